//! The workflow files and the hook that the documents show: their commands are run as they stand,
//! in a clone of a repository whose main branch holds the demo.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use offing::document::{Node, ParseLimits, Value, parse};
use offing::source::SourceId;

const NORTH: &str = "plans/missions/north-bay-lines.yaml";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Blocks of the chapter that begin with a line.
fn blocks(info: &str) -> Vec<String> {
    let text = std::fs::read_to_string(root().join("docs/ci.md")).unwrap();
    let fence = format!("```{info}\n");
    let parts = text.split(&fence).skip(1);
    parts
        .map(|part| part.split("```").next().unwrap().to_owned())
        .collect()
}

/// Every text of a document under one of these keys.
fn scripts(node: &Node, keys: &[&str], found: &mut Vec<String>) {
    match &node.value {
        Value::Map(entries) => {
            for entry in entries {
                if keys.contains(&entry.key.as_str()) {
                    match &entry.value.value {
                        Value::List(lines) => {
                            let lines: Vec<&str> = lines.iter().filter_map(Node::as_text).collect();
                            found.push(lines.join("\n"));
                        }
                        _ => found.extend(entry.value.as_text().map(str::to_owned)),
                    }
                }
                scripts(&entry.value, keys, found);
            }
        }
        Value::List(items) => items.iter().for_each(|item| scripts(item, keys, found)),
        _ => {}
    }
}

fn git(folder: &Path, arguments: &[&str]) {
    let output = Command::new("git")
        .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
        .args(["-c", "commit.gpgsign=false"])
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "git {arguments:?}: {said}");
}

/// A clone in which a branch has changed a mission so that it no longer passes.
fn clone_with_a_change(folder: &Path) -> PathBuf {
    let origin = folder.join("origin");
    for entry in walkdir::WalkDir::new(root().join("plans")) {
        let entry = entry.unwrap();
        let target = origin.join(entry.path().strip_prefix(root()).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(target).unwrap();
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
    git(&origin, &["init", "--quiet", "--initial-branch=main"]);
    git(&origin, &["add", "--all"]);
    git(&origin, &["commit", "--quiet", "--message", "plans"]);
    git(folder, &["clone", "--quiet", "origin", "clone"]);
    let clone = folder.join("clone");
    git(&clone, &["switch", "--quiet", "--create", "change"]);
    let text = std::fs::read_to_string(clone.join(NORTH)).unwrap();
    let changed = text.replace("charge_at_launch: 95 %", "charge_at_launch: 60 %");
    assert_ne!(text, changed);
    std::fs::write(clone.join(NORTH), changed).unwrap();
    clone
}

fn run(script: &str, folder: &Path) -> Output {
    let program = Path::new(env!("CARGO_BIN_EXE_offing")).parent().unwrap();
    let path = format!("{}:/usr/local/bin:/usr/bin:/bin", program.display());
    Command::new("sh")
        .args(["-e", "-c", script])
        .current_dir(folder)
        .env("PATH", path)
        .env("GITHUB_BASE_REF", "main")
        .env("GITHUB_STEP_SUMMARY", folder.join("summary.md"))
        .env("CI_MERGE_REQUEST_TARGET_BRANCH_NAME", "main")
        .output()
        .unwrap()
}

#[test]
fn the_commands_of_the_workflow_files_do_what_they_are_for() {
    let workflows = blocks("yaml workflow");
    assert_eq!(workflows.len(), 2);
    for text in workflows {
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let mut all = Vec::new();
        scripts(&document.root, &["run", "script"], &mut all);
        assert!(all.iter().any(|script| script.contains("offing review")));
        let folder = tempfile::tempdir().unwrap();
        let clone = clone_with_a_change(folder.path());
        git(
            &clone,
            &["commit", "--all", "--quiet", "--message", "less charge"],
        );
        for script in all {
            let output = run(&script, &clone);
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            let reviews = script.contains("offing review");
            // The review fails the job; what shows its results does not.
            assert_eq!(
                output.status.code(),
                Some(i32::from(reviews)),
                "{script}: {said}"
            );
            if reviews {
                let shown = String::from_utf8_lossy(&output.stdout).into_owned();
                assert!(shown.contains("reserve-at-turnaround"), "{script}: {shown}");
            }
        }
        // Every file that the workflow hands on was written.
        let words: Vec<&str> = text.split_whitespace().collect();
        for pair in words.windows(2).filter(|pair| pair[0] == "--format") {
            if let Some((_, file)) = pair[1].split_once('=') {
                let text = std::fs::read_to_string(clone.join(file)).expect(file);
                assert!(text.contains("reserve-at-turnaround"), "{file}");
            }
        }
        for (field, file) in text.lines().filter_map(|line| line.trim().split_once(": ")) {
            if ["sarif_file", "codequality", "junit"].contains(&field) {
                assert!(clone.join(file).is_file(), "{file}");
            }
        }
    }
}

/// Jobs of a workflow whose commands are run for each part, and those of the one that joins them.
#[test]
fn the_jobs_of_the_parts_come_to_what_one_job_comes_to() {
    let workflows = blocks("yaml matrix");
    assert_eq!(workflows.len(), 2);
    for text in workflows {
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let mut all = Vec::new();
        scripts(&document.root, &["run", "script"], &mut all);
        let [part, join] = all.as_slice() else {
            panic!("{all:?}")
        };
        let folder = tempfile::tempdir().unwrap();
        let clone = clone_with_a_change(folder.path());
        git(&clone, &["commit", "--all", "--quiet", "--message", "less"]);
        let in_job = |number: u32| {
            let given = format!(
                "PART={number} CI_NODE_INDEX={number} CI_NODE_TOTAL=4; export PART\n{part}"
            );
            let output = run(&given, &clone);
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_eq!(output.status.code(), Some(0), "{said}");
            String::from_utf8(output.stdout).unwrap()
        };
        let told: Vec<String> = (1..=4).map(in_job).collect();
        let finds = |told: &&String| told.contains("reserve-at-turnaround");
        assert_eq!(told.iter().filter(finds).count(), 1);
        let output = run(join, &clone);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{said}");
        let whole =
            "offing review origin/main HEAD --format json=whole.json --format sarif=whole.sarif";
        assert_eq!(run(whole, &clone).status.code(), Some(1));
        let read = |file: &str| std::fs::read_to_string(clone.join(file)).unwrap();
        assert_eq!(read("offing.json"), read("whole.json"));
        if join.contains("sarif") {
            assert_eq!(read("offing.sarif"), read("whole.sarif"));
        }
        // A part that is missing has not passed.
        std::fs::remove_file(clone.join("part-3.json")).unwrap();
        let output = run(join, &clone);
        assert_eq!(output.status.code(), Some(2));
        // Nor is a mistake in the command line a part that found something.
        let broken = part.replace("--partition", "--partitoin");
        assert_eq!(run(&broken, &clone).status.code(), Some(1));
    }
}

#[test]
fn the_hook_lets_no_worse_plan_be_committed() {
    let hooks = blocks("hook");
    assert_eq!(hooks.len(), 1);
    let folder = tempfile::tempdir().unwrap();
    let clone = clone_with_a_change(folder.path());
    let output = run(&hooks[0], &clone);
    assert_eq!(output.status.code(), Some(1));
    git(&clone, &["checkout", "--quiet", "--", NORTH]);
    let output = run(&hooks[0], &clone);
    assert_eq!(output.status.code(), Some(0));
}

/// A static binary needs no library that is not Rust's own: packages that bind one end their names
/// in `-sys`, and these call the kernel by numbers, or are for other systems.
#[test]
fn nothing_binds_a_library_that_a_static_binary_would_miss() {
    let known = ["linux-raw-sys", "windows-sys", "js-sys", "web-sys"];
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let names = lock
        .lines()
        .filter_map(|line| line.strip_prefix("name = \"")?.strip_suffix('"'));
    let names: Vec<&str> = names.collect();
    assert!(names.contains(&"rustix"));
    for name in names {
        let binds = name.ends_with("-sys") || ["libloading", "dlopen2"].contains(&name);
        assert!(!binds || known.contains(&name), "{name}");
    }
}
