//! How long it takes to verify the history of a team that has run ten thousand plans, as a whole command
//! on a repository that git made. Every run is from a commit of its own, as the days of a team are.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use criterion::Criterion;
use sha2::{Digest as _, Sha256};
use tempfile::TempDir;

use crate::change::git;

/// How many runs there are.
const RUNS: usize = 10_000;
const MISSION: &str = "plans/missions/north-bay-lines.yaml";

fn sha256(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn offing(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output();
    let Ok(output) = output else {
        panic!("the program does not run")
    };
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{arguments:?}: {said}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// A day's run: when it was decided on and launched, was back, and was recorded.
fn times(run: usize) -> [String; 4] {
    let Ok(first) = "2027-06-15T11:40:00Z".parse::<jiff::Timestamp>() else {
        panic!("a time")
    };
    let hours = |hours: i64| first + jiff::SignedDuration::from_hours(hours);
    let day = i64::try_from(run).unwrap_or(0) * 24;
    let launched = hours(day);
    let name = jiff::tz::TimeZone::UTC.to_datetime(launched);
    [
        launched.to_string(),
        hours(day + 1).to_string(),
        hours(day + 4).to_string(),
        name.strftime("%Y%m%dT%H%M%SZ").to_string(),
    ]
}

/// What stands between a beginning and the next quotation mark.
fn value<'a>(text: &'a str, beginning: &str) -> &'a str {
    let rest = text.split(beginning).nth(1).unwrap_or("");
    rest.split('"').next().unwrap_or("")
}

/// The digest of the plan of a record, from those of its files.
fn whole(record: &str) -> String {
    let files: Vec<(&str, &str, &str)> = record
        .lines()
        .filter(|line| line.contains("{ role: "))
        .filter(|line| line.contains("sha256: "))
        .map(|line| {
            let role = line.split("role: ").nth(1).unwrap_or("");
            let role = role.split(',').next().unwrap_or("");
            (value(line, "sha256: \""), role, value(line, "name: \""))
        })
        .collect();
    let policy = value(record, "\npolicy: \"");
    sha256(&offing::door::check::statement(policy, files))
}

/// One run is decided on and recorded by the program, and stands for all the others: each has the same
/// texts with its own times, commit and digests.
fn repository() -> TempDir {
    let Ok(folder) = tempfile::tempdir() else {
        panic!("no folder for the repository")
    };
    let root = folder.path();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR"));
    for path in [
        MISSION,
        "plans/policy/team.yaml",
        "plans/vessels/goosander.yaml",
        "plans/site/quenderby.yaml",
        "plans/site/quenderby-shoreline.geojson",
        "plans/site/quenderby-soundings.geojson",
    ] {
        let to = root.join(path);
        let made = to.parent().map(std::fs::create_dir_all);
        assert!(made.is_some_and(|made| made.is_ok()));
        assert!(std::fs::copy(demo.join(path), to).is_ok());
    }
    git(root, &["init", "--quiet", "--initial-branch=main"]);
    git(root, &["add", "--all"]);
    git(root, &["commit", "--quiet", "--message", "plans"]);
    let ticked = "gauge-set,end-action-seen,stop-tried,logging-on";
    offing(
        root,
        &[
            "launch",
            "north-bay-lines",
            "--wind=240° 2 m/s gust 3 m/s at 2 m",
            "--battery=16.6 V",
            "--by=survey lead",
            "--ticked",
            ticked,
            "--at=2027-06-15T11:40Z",
            "--now=2027-06-15T11:40Z",
        ],
    );
    let [launched, ended, recorded, name] = times(0);
    let track = format!(
        "<gpx version=\"1.1\"><trk><trkseg><trkpt lat=\"52.3958\" lon=\"-24.3104\"><time>{ended}</time></trkpt>\
         </trkseg></trk></gpx>\n"
    );
    assert!(std::fs::write(root.join("track.gpx"), track).is_ok());
    offing(
        root,
        &[
            "record",
            "north-bay-lines",
            "--track",
            "track.gpx",
            "--outcome=completed",
            "--by=survey lead",
            "--energy=14 Wh",
            &format!("--ended={ended}"),
            &format!("--at={recorded}"),
        ],
    );
    let read = |path: &str| std::fs::read_to_string(root.join(path)).unwrap_or_default();
    let decision = format!("launches/north-bay-lines-{name}.yaml");
    let run = format!("runs/north-bay-lines-{name}.yaml");
    let (of_decision, of_run) = (read(&decision), read(&run));
    let first_commit = of_run
        .lines()
        .find_map(|line| line.strip_prefix("commit: \""))
        .map(|rest| rest.trim_end_matches('"').to_owned());
    let Some(first_commit) = first_commit else {
        panic!("{of_run}")
    };
    for path in [&decision, &run] {
        assert!(std::fs::remove_file(root.join(path)).is_ok());
    }
    // The commits that were run from: ten thousand, each with another mission, as none is run twice.
    let mission = read(MISSION);
    let of_day = |run: usize| match run {
        0 => mission.clone(),
        run => format!("{mission}# Day {run}.\n"),
    };
    let mut stream = String::new();
    for run in 1..RUNS {
        let text = of_day(run);
        stream.push_str(&format!(
            "commit refs/heads/main\ncommitter t <t@example.com> {} +0000\ndata 4\nday\n\n{}M 100644 \
             inline {MISSION}\ndata {}\n{text}\n",
            1_800_000_000 + run,
            if run == 1 { format!("from {first_commit}\n") } else { String::new() },
            text.len(),
        ));
    }
    import(root, &stream);
    let listed = Command::new("git")
        .args(["rev-list", "--reverse", "main"])
        .current_dir(root)
        .output();
    let Ok(listed) = listed else { panic!("git") };
    let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
    let commits: Vec<&str> = listed.lines().collect();
    assert_eq!(commits.len(), RUNS);
    // Their decisions and records, one commit each.
    let mut stream = String::new();
    let mut previous = String::new();
    for (run, commit) in commits.iter().enumerate() {
        let [launched_now, ended_now, recorded_now, name_now] = times(run);
        let told = |text: &str| {
            text.replace(&launched, &launched_now)
                .replace(&ended, &ended_now)
                .replace(&recorded, &recorded_now)
                .replace(&name, &name_now)
        };
        let now = sha256(&of_day(run));
        let with_plan = |text: &str| {
            let text = told(text).replace(&sha256(&mission), &now);
            let old = value(&text, "digest: \"").to_owned();
            text.replace(&old, &whole(&text))
        };
        let decided = with_plan(&of_decision);
        let mut record = with_plan(&of_run)
            .replace(&sha256(&of_decision), &sha256(&decided))
            .replace(&first_commit, commit);
        if !previous.is_empty() {
            record = record.replace("previous: []", &format!("previous:\n  - \"{previous}\""));
        }
        previous = sha256(&record);
        stream.push_str(&format!(
            "commit refs/heads/main\ncommitter t <t@example.com> {} +0000\ndata 7\nrecord\n\n{}M 100644 \
             inline launches/north-bay-lines-{name_now}.yaml\ndata {}\n{decided}\nM 100644 inline \
             runs/north-bay-lines-{name_now}.yaml\ndata {}\n{record}\n",
            1_900_000_000 + run,
            if run == 0 { "from refs/heads/main^0\n" } else { "" },
            decided.len(),
            record.len(),
        ));
    }
    import(root, &stream);
    git(root, &["reset", "--quiet", "--hard", "main"]);
    git(root, &["gc", "--quiet"]);
    folder
}

fn import(root: &Path, stream: &str) {
    let child = Command::new("git")
        .args(["fast-import", "--quiet"])
        .current_dir(root)
        .stdin(Stdio::piped())
        .spawn();
    let Ok(mut child) = child else { panic!("git") };
    let written = child
        .stdin
        .take()
        .map(|mut pipe| pipe.write_all(stream.as_bytes()));
    assert!(written.is_some_and(|written| written.is_ok()));
    assert!(child.wait().is_ok_and(|status| status.success()));
}

/// A history of ten thousand runs.
pub fn history(c: &mut Criterion) {
    let folder = repository();
    let root = folder.path();
    let mut group = c.benchmark_group("history of 10000 runs");
    group.sample_size(10);
    group.bench_function("verify", |b| {
        b.iter(|| {
            let text = offing(root, &["history", "verify"]);
            assert!(
                text.starts_with("10000 records: the chain is whole"),
                "{text}"
            );
        });
    });
    group.bench_function("list", |b| {
        b.iter(|| {
            let text = offing(root, &["history"]);
            assert!(text.contains("10000 runs"), "{text}");
        });
    });
    group.finish();
}
