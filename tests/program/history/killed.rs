//! Writers that are killed while they write: at every call by which something comes to the disk. `strace`
//! kills them, since no other means knows the moment.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use super::season::{Run, Season, TRACK, record};

/// By what a file gets its bytes, its name and its place. A file that is only opened is the same as
/// one whose first bytes are not written.
const CALLS: [&str; 6] = ["write", "fsync", "rename", "renameat2", "link", "mkdir"];
/// More than the program makes of any call.
const MANY: usize = 400;

/// The files of a folder that are not hidden, with their bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let Ok(all) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut files: Vec<(String, Vec<u8>)> = all
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), entry.path()))
        .filter(|(name, _)| !name.starts_with('.'))
        .map(|(name, path)| (name, fs::read(path).unwrap()))
        .collect();
    files.sort();
    files
}

/// Runs the program and kills it at the given one of its calls; whether it was killed. What it runs
/// itself, git among it, is let go at its `execve`: its calls are not the writer's.
fn killed(season: &Season, arguments: &[String], call: &str, number: usize) -> bool {
    let output = Command::new("strace")
        .args(["-f", "-b", "execve", "-o", "/dev/null", "-e"])
        .arg(format!("trace={call}"))
        .arg("-e")
        .arg(format!("inject={call}:signal=KILL:when={number}"))
        .arg(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(season.repo.path())
        .stdin(Stdio::null())
        .output()
        .expect("strace is installed");
    !output.status.success()
}

/// Kills a writer at each of its calls in turn, and looks each time at what it left in a folder: nothing
/// or the whole, and a history that is in order either way.
fn at_every_call(season: &Season, folder: &str, arguments: &[String]) {
    let repo = &season.repo;
    let folder = repo.path().join(folder);
    let before = files(&folder);
    let output = repo.offing(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{said}");
    let whole = files(&folder);
    assert_eq!(whole.len(), before.len() + 1);
    // What is timed by the clock differs from run to run, and nothing else does.
    let timeless = |files: &[(String, Vec<u8>)]| -> BTreeSet<String> {
        let all = files.iter().map(|(_, bytes)| {
            let text = String::from_utf8(bytes.clone()).unwrap();
            let kept: Vec<&str> = text
                .lines()
                .filter(|line| {
                    let timed = ["decided:", "clock:"];
                    let told = line.contains("this computer's clock shows");
                    !told && !timed.iter().any(|key| line.starts_with(key))
                })
                .collect();
            kept.join("\n")
        });
        all.collect()
    };
    let (none, one) = (timeless(&before), timeless(&whole));
    let mut at_calls = BTreeSet::new();
    let mut left = BTreeSet::new();
    for call in CALLS {
        for number in 1..=MANY {
            if before.is_empty() {
                let _ = fs::remove_dir_all(&folder);
            } else {
                for (name, _) in files(&folder) {
                    fs::remove_file(folder.join(name)).unwrap();
                }
                for (name, bytes) in &before {
                    fs::write(folder.join(name), bytes).unwrap();
                }
            }
            let was_killed = killed(season, arguments, call, number);
            let now = timeless(&files(&folder));
            assert!(
                now == none || now == one,
                "killed at {call} number {number}: {now:?}"
            );
            left.insert(now == one);
            if !was_killed {
                assert!(now == one, "{call} number {number}");
                break;
            }
            at_calls.insert((call, number));
            // Hidden leavings are in nobody's way, and what was begun can be done again.
            let (status, text) = repo.run(&["history", "verify"]);
            assert_eq!(status, 0, "killed at {call} number {number}: {text}");
            let again = repo.offing(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
            let done = timeless(&files(&folder));
            assert!(done.is_superset(&one), "killed at {call} number {number}");
            // One that has its name stays as it is; a launch that is decided again is another decision,
            // and a no.
            let mut more = done.difference(&one);
            assert!(
                more.all(|text| now == one && text.contains("rule: \"launched-before\"")),
                "killed at {call} number {number}: {done:?}"
            );
            assert_eq!(again.status.success(), now == none);
            assert!(number < MANY, "{call} is made more often than is tried");
        }
    }
    let calls: BTreeSet<&str> = at_calls.iter().map(|(call, _)| *call).collect();
    assert!(
        calls.contains("write") && calls.contains("fsync"),
        "{calls:?}"
    );
    assert!(
        calls.contains("renameat2") || calls.contains("link"),
        "{calls:?}"
    );
    assert_eq!(
        left.len(),
        2,
        "killed before and after the file had its name"
    );
}

#[test]
#[ignore = "slow"]
fn a_record_killed_anywhere_is_whole_or_none() {
    let season = Season::begun(super::repo::Repo::new());
    season.run_on("2027-06-15", 40, "completed");
    season.repo.commit();
    season.next_day("2027-06-16");
    season.decide("2027-06-16");
    season.repo.write(TRACK, &super::water::track("2027-06-16"));
    let run = Run::on("2027-06-16", 25, "aborted");
    let arguments = super::season::arguments(&run, &[]);
    at_every_call(&season, "runs", &arguments);
    let output = record(&season.repo, &run, &[]);
    assert_eq!(output.status.code(), Some(64), "it is recorded");
}

#[test]
#[ignore = "slow"]
fn a_decision_killed_anywhere_is_whole_or_none() {
    let season = Season::begun(super::repo::Repo::new());
    season.next_day("2027-06-15");
    let arguments = super::season::deciding("2027-06-15");
    at_every_call(&season, "launches", &arguments);
}
