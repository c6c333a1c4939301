//! The program as people and scripts run it: exit status, what goes to which stream.

use std::io::Read as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use super::tree::{Files, mission};

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_offing"));
    command
        .current_dir(folder)
        .args(arguments)
        .env("NO_COLOR", "1");
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    command(folder, arguments).output().expect("it runs")
}

fn status(folder: &Path, arguments: &[&str]) -> i32 {
    run(folder, arguments)
        .status
        .code()
        .expect("it ends by itself")
}

#[test]
#[ignore = "slow"]
fn exit_statuses() {
    let clean = Files::demo(&["north-bay-lines"]).lay_out();
    let found = Files::demo(&["long-run-downwind"]).lay_out();
    let mut broken = Files::demo(&["north-bay-lines", "long-run-downwind"]);
    broken.edit(
        &mission("north-bay-lines"),
        "charge_at_launch: 95 %",
        "charge_at_launch: 95",
    );
    let broken = broken.lay_out();
    let empty = crate::shared::scratch::folder().expect("a folder");
    // A file is checked within its repository.
    std::fs::create_dir(clean.path().join(".git")).expect("a folder");
    for (folder, arguments, due) in [
        (&clean, &["check"][..], 0),
        (&clean, &["check", "."], 0),
        (&clean, &["check", "missions/north-bay-lines.yaml"], 0),
        (&found, &["check"], 1),
        (&found, &["check", "--fail-on", "error"], 1),
        (&broken, &["check"], 2),
        (
            &broken,
            &["check", "--fail-on", "error", "--format", "json"],
            2,
        ),
        (&broken, &["explain", "overrun"], 0),
        (&empty, &["check"], 2),
        (&empty, &["check", "nowhere"], 2),
        (&empty, &["check", "nowhere.yaml"], 2),
        (&empty, &["check", ""], 64),
        (&empty, &["rules", "--plans", "nowhere"], 2),
        (&broken, &["rules"], 2),
        (&broken, &["rules", "test"], 2),
        (&empty, &["explain", "nosuch"], 64),
        (&empty, &["schema", "nosuch"], 64),
        (&empty, &["docs", "nosuch"], 64),
        (&empty, &["check", "--format", "nope"], 64),
        (&empty, &["check", "--fail-on", "nope"], 64),
        (&empty, &["check", "--width", "3"], 64),
        (&empty, &["check", "--nope"], 64),
        (&empty, &["chekc"], 64),
        (&empty, &[], 64),
        (&empty, &["--help"], 0),
        (&empty, &["--version"], 0),
        (&empty, &["schema", "mission"], 0),
        (&empty, &["measures"], 0),
    ] {
        let output = run(folder.path(), arguments);
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(due), "{arguments:?}: {told}");
        // What is wrong with a command goes to the error stream, and only there.
        if due == 64 {
            assert!(output.stdout.is_empty(), "{arguments:?}");
            assert!(!output.stderr.is_empty(), "{arguments:?}");
        }
        assert!(!told.contains("panicked"), "{arguments:?}: {told}");
    }
}

#[test]
fn complaints() {
    let mut files = Files::demo(&["north-bay-lines"]);
    files.edit(
        &mission("north-bay-lines"),
        "charge_at_launch: 95 %",
        "charge_at_launch: 95",
    );
    let folder = files.lay_out();
    let mut text = String::new();
    for arguments in [
        &["explain", "overrunn"][..],
        &["explain", "nosuch"],
        &["explain", "reserve"],
        &["explain", "link"],
        &["schema", "vessle"],
        &["schema", "nosuch"],
        &["check", "nowhere"],
        &["limits", "nosuch.yaml"],
        &["limits", "missions/north-bay-line.yaml"],
        &["check", ""],
        &["check", "--format", "nope"],
        &["rules"],
    ] {
        let output = run(folder.path(), arguments);
        let told = String::from_utf8(output.stderr).expect("text");
        text += &format!("$ offing {}\n{told}\n", arguments.join(" "));
    }
    let here = folder.path().canonicalize().expect("a folder");
    insta::assert_snapshot!(text.replace(&here.display().to_string(), "HERE"));
}

/// A policy that cannot be read leaves it open which limits hold, so that no limit is explained
/// as the one in force.
#[test]
fn explaining_beside_a_broken_policy() {
    let mut files = Files::demo(&[]);
    files.edit(
        super::tree::POLICY,
        "    at_least: 35 %",
        "    at_lest: 35 %",
    );
    let folder = files.lay_out();
    let output = run(folder.path(), &["explain", "reserve-at-turnaround"]);
    assert_eq!(output.status.code(), Some(2));
    insta::assert_snapshot!(String::from_utf8(output.stderr).expect("text"));
}

/// A file that does not exist in a report is no excuse: JSON says what was not checked as well.
#[test]
fn json_says_what_was_not_checked() {
    let mut files = Files::demo(&["north-bay-lines", "long-run-downwind"]);
    files.edit(&mission("north-bay-lines"), "at_end: {", "at_end: [");
    let folder = files.lay_out();
    let output = run(folder.path(), &["check", "--format", "json"]);
    assert_eq!(output.status.code(), Some(2));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let text = json.to_string();
    assert!(text.contains("missions/north-bay-lines.yaml"), "{text}");
    assert!(text.contains("it cannot be read"), "{text}");
    let output = run(folder.path(), &["check", "--width", "200"]);
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(
        text.contains("missions/north-bay-lines.yaml: it cannot be read"),
        "{text}"
    );
}

/// A reader that closes the pipe early is no failure of the output, and no pass of the plan.
#[test]
fn closed_pipe() {
    let found = Files::demo(&["long-run-downwind"]).lay_out();
    let mut broken = Files::demo(&["north-bay-lines"]);
    broken.edit(
        &mission("north-bay-lines"),
        "charge_at_launch: 95 %",
        "charge_at_launch: 95",
    );
    let broken = broken.lay_out();
    for (folder, arguments, due) in [
        (&found, &["check"][..], 1),
        (&found, &["check", "--format", "json"], 1),
        (&broken, &["check"], 2),
        (&broken, &["rules"], 2),
        (&found, &["measures"], 0),
        (&found, &["--help"], 0),
    ] {
        let mut child = command(folder.path(), arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        drop(child.stdout.take());
        let mut told = String::new();
        let mut stderr = child.stderr.take().expect("piped");
        stderr.read_to_string(&mut told).expect("text");
        let status = child.wait().expect("it ends");
        assert_eq!(status.code(), Some(due), "{arguments:?}: {told}");
        assert!(!told.contains("panicked"), "{arguments:?}: {told}");
    }
}

/// The file that is named need not lie in the folder where the program is run.
#[test]
fn a_file_elsewhere() {
    let folder = Files::demo(&["north-bay-lines"]).lay_out();
    std::fs::create_dir(folder.path().join(".git")).expect("a folder");
    let elsewhere = crate::shared::scratch::folder().expect("a folder");
    let path = folder.path().join("missions/north-bay-lines.yaml");
    let path = path.to_str().expect("text");
    assert_eq!(status(elsewhere.path(), &["check", path]), 0);
    #[cfg(unix)]
    {
        let link = elsewhere.path().join("linked.yaml");
        std::os::unix::fs::symlink(path, &link).expect("linked");
        let output = run(elsewhere.path(), &["check", "linked.yaml"]);
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(
            String::from_utf8_lossy(&output.stderr),
            "offing: linked.yaml: is a symbolic link, and links are not followed\n"
        );
    }
}

/// A word that is no rule may be a measure or the code of an error; else the list is pointed to.
#[test]
fn explaining_other_words() {
    let folder = Files::demo(&[]).lay_out();
    for (word, told) in [
        ("mission.shoreline_clearance", "shoreline (at least 10 m)"),
        ("input-schema", "an error of the input"),
        ("policy-weakened", "reported by `offing review`"),
    ] {
        let output = run(folder.path(), &["explain", word]);
        assert_eq!(output.status.code(), Some(0), "{word}");
        let text = String::from_utf8(output.stdout).expect("text");
        assert!(text.contains(told), "{text}");
    }
    for (word, hint) in [
        ("shorelin", "did you mean `shoreline`?"),
        ("zzz", "`offing rules` lists them"),
    ] {
        let output = run(folder.path(), &["explain", word]);
        assert_eq!(output.status.code(), Some(64), "{word}");
        let text = String::from_utf8(output.stderr).expect("text");
        assert!(text.contains(hint) && text.len() < 120, "{text}");
    }
}

/// A report never takes the place of what it was made from.
#[test]
fn a_report_is_not_written_over_a_plan() {
    let files = Files::demo(&["north-bay-lines"]);
    let folder = files.lay_out();
    let path = mission("north-bay-lines");
    let before = std::fs::read(folder.path().join(&path)).expect("the mission");
    let report = format!("markdown={path}");
    for arguments in [
        &["brief", "north-bay-lines", "-o", &path][..],
        &[
            "limits",
            "north-bay-lines",
            "--step",
            "30°",
            "--figure",
            &path,
        ],
        &["export", "north-bay-lines", "--to", "gpx", "-o", &path],
        &["check", ".", "--format", &report],
    ] {
        let output = run(folder.path(), arguments);
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(64), "{arguments:?}: {told}");
        assert!(told.contains("was not overwritten"), "{told}");
        let after = std::fs::read(folder.path().join(&path)).expect("the mission");
        assert_eq!(before, after, "{arguments:?}");
    }
}
