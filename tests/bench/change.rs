//! How long it takes to answer for a change of one file among very many, as a whole command on a
//! repository that git made.

use std::path::Path;
use std::process::Command;

use criterion::Criterion;
use tempfile::TempDir;

use crate::lake::{self, Pack};

/// How many missions there are.
const MISSIONS: usize = 10_000;

pub(crate) fn git(folder: &Path, arguments: &[&str]) {
    let status = Command::new("git")
        .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
        .args([
            "-c",
            "commit.gpgsign=false",
            "-c",
            "gc.auto=0",
            "-c",
            "maintenance.auto=false",
        ])
        .args(arguments)
        .current_dir(folder)
        .status();
    assert!(status.is_ok_and(|status| status.success()), "{arguments:?}");
}

/// A repository of two commits, the second of which changes one mission. Its objects are packed, as
/// those of a clone are.
fn repository() -> TempDir {
    let Ok(folder) = tempfile::tempdir() else {
        panic!("no folder for the repository")
    };
    let root = folder.path();
    lake::write(&lake::repository(1000, MISSIONS, Pack::Ample), root);
    git(root, &["init", "--quiet", "--initial-branch=main"]);
    git(root, &["add", "--all"]);
    git(root, &["commit", "--quiet", "--message", "ten thousand"]);
    let one = root.join("missions/lines-4711.yaml");
    let text = std::fs::read_to_string(&one).unwrap_or_default();
    let changed = text.replace("charge_at_launch: 95 %", "charge_at_launch: 94 %");
    assert_ne!(text, changed);
    assert!(std::fs::write(&one, changed).is_ok());
    git(root, &["commit", "--quiet", "--all", "--message", "one"]);
    git(root, &["gc", "--quiet"]);
    folder
}

/// Runs the program, and makes sure that it judged the one mission.
fn offing(folder: &Path, arguments: &[&str], said: &str) {
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(folder)
        .output();
    let Ok(output) = output else {
        panic!("the program does not run")
    };
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success() && text.contains(said), "{text}");
}

/// One file changed among ten thousand.
pub fn change(c: &mut Criterion) {
    let folder = repository();
    let root = folder.path();
    let mut group = c.benchmark_group("one mission changed of 10000");
    group.sample_size(10);
    let bears = "it affects 1 mission of 10000";
    for (name, arguments, said) in [
        (
            "review the work tree",
            ["review", "HEAD~1"].as_slice(),
            bears,
        ),
        ("review a revision", &["review", "HEAD~1", "HEAD"], bears),
        (
            "check what changed since",
            &["check", "--changed-since", "HEAD~1"],
            "9999 missions",
        ),
    ] {
        offing(root, arguments, said);
        group.bench_function(name, |b| b.iter(|| offing(root, arguments, said)));
    }
    group.finish();
}
