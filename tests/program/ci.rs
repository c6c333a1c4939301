//! The workflow files and the hook that the documents show: their commands are run as they stand,
//! in a clone of a repository whose main branch holds the demo.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use offing::door::document::{Node, ParseLimits, Value, parse};
use offing::door::source::SourceId;

const NORTH: &str = "plans/missions/north-bay-lines.yaml";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Blocks of the chapter that begin with a line.
fn blocks(info: &str) -> Vec<String> {
    let text = std::fs::read_to_string(root().join("docs/how-to/ci.md")).unwrap();
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

/// The commit that stands for the one of offing that a team trusts.
const TRUSTED: &str = "0123456789abcdef0123456789abcdef01234567";

/// What a service gives a job's commands.
fn environment(folder: &Path) -> Vec<(&'static str, String)> {
    let above = folder.parent().unwrap();
    let at = |name: &str| above.join(name).display().to_string();
    std::fs::create_dir_all(at("runner")).unwrap();
    vec![
        ("TARGET", "main".to_owned()),
        ("RUNNER_TEMP", at("runner")),
        ("GITHUB_PATH", at("path")),
        ("GITHUB_STEP_SUMMARY", at("summary.md")),
        (
            "OFFING_SOURCE",
            "https://git.example.com/offing.git".to_owned(),
        ),
        ("OFFING_COMMIT", TRUSTED.to_owned()),
        ("CI_MERGE_REQUEST_TARGET_BRANCH_NAME", "main".to_owned()),
        // Where the service has the target's project: `origin.git` is a link to it.
        ("CI_MERGE_REQUEST_PROJECT_URL", at("origin")),
        ("CI_NODE_INDEX", "1".to_owned()),
        ("CI_NODE_TOTAL", "1".to_owned()),
        ("PARTS", "success".to_owned()),
    ]
}

/// Runs a job's commands in a clone. `cargo` is one that installs nothing and tells how it was called.
fn run(script: &str, folder: &Path) -> Output {
    run_with(script, folder, &[])
}

fn run_with(script: &str, folder: &Path, more: &[(&str, &str)]) -> Output {
    let above = folder.parent().unwrap();
    let tools = above.join("tools");
    std::fs::create_dir_all(&tools).unwrap();
    let cargo = tools.join("cargo");
    let told = above.join("cargo.txt");
    let text = format!(
        "#!/bin/sh\nprintf '%s\\n' \"$PWD\" \"$@\" > '{}'\n",
        told.display()
    );
    std::fs::write(&cargo, text).unwrap();
    let runs = std::os::unix::fs::PermissionsExt::from_mode(0o755);
    std::fs::set_permissions(&cargo, runs).unwrap();
    let link = above.join("origin.git");
    let _ = std::os::unix::fs::symlink(above.join("origin"), &link);
    let program = Path::new(env!("CARGO_BIN_EXE_offing")).parent().unwrap();
    let path = format!(
        "{}:{}:/usr/local/bin:/usr/bin:/bin",
        tools.display(),
        program.display()
    );
    Command::new("sh")
        .args(["-e", "-c", script])
        .current_dir(folder)
        .env("PATH", path)
        .envs(environment(folder))
        .envs(more.iter().copied())
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    let all = [&output.stdout[..], &output.stderr[..]].concat();
    String::from_utf8_lossy(&all).into_owned()
}

/// The commands of every recipe that reviews, each from its checkout on: those of a whole change, and
/// those of its only part.
fn reviews() -> Vec<(String, bool)> {
    let mut all = Vec::new();
    for (info, part) in [("yaml workflow", false), ("yaml matrix", true)] {
        for text in blocks(info) {
            let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
            let mut found = Vec::new();
            scripts(&document.root, &["run", "script"], &mut found);
            let ours = found
                .iter()
                .filter(|script| script.contains("merge-tree") || script.contains("offing review"));
            let mut script = ours.cloned().collect::<Vec<_>>().join("\n");
            if part {
                script = format!(
                    "PART=1; export PART\n{}",
                    script.replace("$PART/4", "$PART/1")
                );
            }
            all.push((script, part));
        }
    }
    assert_eq!(all.len(), 4);
    all
}

/// Whether a review found something: of a part its report says so, since its job goes on.
fn finds(output: &Output, part: bool, clone: &Path, what: &str) -> bool {
    if !part {
        return output.status.code() == Some(1) && said(output).contains(what);
    }
    let report = std::fs::read_to_string(clone.join("part-1.json")).unwrap_or_default();
    output.status.code() == Some(0) && report.contains(what)
}

fn committed(clone: &Path) {
    git(clone, &["add", "--all"]);
    git(clone, &["commit", "--quiet", "--message", "a change"]);
}

#[test]
#[ignore = "slow"]
fn the_commands_of_the_workflow_files_do_what_they_are_for() {
    let workflows = blocks("yaml workflow");
    assert_eq!(workflows.len(), 2);
    for text in workflows {
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let mut all = Vec::new();
        scripts(&document.root, &["run", "script"], &mut all);
        assert!(all.iter().any(|script| script.contains("offing review")));
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        committed(&clone);
        for script in all {
            let output = run(&script, &clone);
            let reviews = script.contains("offing review");
            // The review fails the job; what shows its results does not.
            let told = said(&output);
            assert_eq!(
                output.status.code(),
                Some(i32::from(reviews)),
                "{script}: {told}"
            );
            if reviews {
                assert!(told.contains("reserve-at-turnaround"), "{script}: {told}");
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

/// A tag and a branch that are called as the target's branch is, with a program beside them that is
/// called as the checker is, change nothing: the change is held against the target.
#[test]
#[ignore = "slow"]
fn no_tag_or_branch_of_that_name_stands_in_for_the_target() {
    for (script, part) in reviews() {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        std::fs::write(clone.join("offing"), "#!/bin/sh\nexit 0\n").unwrap();
        std::fs::write(clone.join("cargo"), "#!/bin/sh\nexit 0\n").unwrap();
        committed(&clone);
        for name in [
            "origin/main",
            "refs/remotes/origin/main",
            "target/tip",
            "HEAD",
        ] {
            git(
                &clone,
                &["update-ref", &format!("refs/tags/{name}"), "HEAD"],
            );
            git(
                &clone,
                &["update-ref", &format!("refs/heads/{name}"), "HEAD"],
            );
        }
        let output = run(&script, &clone);
        let found = finds(&output, part, &clone, "reserve-at-turnaround");
        assert!(found, "{script}: {}", said(&output));
    }
}

/// A mission that passes by the policy that the change began from, and not by that of the target now.
#[test]
#[ignore = "slow"]
fn what_merging_gives_is_judged_against_the_targets_tip() {
    for (script, part) in reviews() {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        git(&clone, &["checkout", "--quiet", "--", "."]);
        let text = std::fs::read_to_string(clone.join(NORTH)).unwrap();
        // The same boat, later that day.
        let other = text
            .replace("\nid: north-bay-lines\n", "\nid: other-lines\n")
            .replace("2027-06-15T11:30", "2027-06-15T13:40")
            .replace("2027-06-15T09:30", "2027-06-15T11:40");
        std::fs::write(clone.join("plans/missions/other-lines.yaml"), other).unwrap();
        committed(&clone);
        let passes = run("offing review refs/remotes/origin/main HEAD", &clone);
        assert_eq!(passes.status.code(), Some(0), "{}", said(&passes));
        let origin = folder.path().join("origin");
        let policy = origin.join("plans/policy/team.yaml");
        let strict = std::fs::read_to_string(&policy).unwrap();
        std::fs::write(&policy, strict.replace("at_least: 35 %", "at_least: 95 %")).unwrap();
        git(
            &origin,
            &["commit", "--all", "--quiet", "--message", "stricter"],
        );
        git(&clone, &["fetch", "--quiet", "origin"]);
        let output = run(&script, &clone);
        let found = finds(&output, part, &clone, "other-lines");
        assert!(found, "{script}: {}", said(&output));
    }
}

/// A change that does not merge passes in no way: not by a merge that was made before, nor by reports
/// that the change brings.
#[test]
fn a_change_that_does_not_merge_fails() {
    for (script, part) in reviews() {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        for forged in ["part-1.json", "part-1.sarif", "offing.json", "offing.md"] {
            std::fs::write(clone.join(forged), "{}\n").unwrap();
        }
        committed(&clone);
        git(
            &clone,
            &[
                "update-ref",
                "refs/remotes/target/merged",
                "refs/remotes/origin/main",
            ],
        );
        let origin = folder.path().join("origin");
        let text = std::fs::read_to_string(origin.join(NORTH)).unwrap();
        let other = text.replace("charge_at_launch: 95 %", "charge_at_launch: 90 %");
        std::fs::write(origin.join(NORTH), other).unwrap();
        git(
            &origin,
            &["commit", "--all", "--quiet", "--message", "less"],
        );
        git(&clone, &["fetch", "--quiet", "origin"]);
        let output = run(&script, &clone);
        let told = said(&output);
        assert_ne!(output.status.code(), Some(0), "{part} {script}: {told}");
        assert!(told.contains("CONFLICT"), "{told}");
        // No file that the change brought under a report's name is left.
        for file in ["part-1.json", "part-1.sarif", "offing.json", "offing.md"] {
            let written = script.contains(&file.replace('1', "$PART"))
                || script.contains(&file.replace('1', "$CI_NODE_INDEX"));
            assert!(!written || !clone.join(file).exists(), "{script}: {file}");
        }
    }
}

#[test]
#[ignore = "slow"]
fn in_a_shallow_clone_offing_says_what_to_fetch() {
    for (script, _) in reviews() {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        committed(&clone);
        git(&clone, &["push", "--quiet", "origin", "change"]);
        // The target moves on, so that no history joins the two tips.
        let origin = folder.path().join("origin");
        git(
            &origin,
            &["commit", "--allow-empty", "--quiet", "--message", "later"],
        );
        let from = format!("file://{}", origin.display());
        for (name, how) in [
            ("one", &["--single-branch"][..]),
            ("all", &["--no-single-branch"]),
        ] {
            let at = folder.path().join(name);
            let at = at.display().to_string();
            let clone = ["clone", "--quiet", "--depth=1", "--branch=change"];
            git(folder.path(), &[&clone[..], how, &[&from, &at]].concat());
            let shallow = folder.path().join(name);
            let output = run(&script, &shallow);
            let told = said(&output);
            assert_ne!(output.status.code(), Some(0), "{told}");
            assert!(told.contains("the clone is shallow"), "{script}: {told}");
            assert!(told.contains("git fetch --unshallow"), "{told}");
            assert!(!told.contains("fatal:"), "{script}: {told}");
        }
    }
}

/// In a fork `origin` is the fork, whose main branch may be as its owner likes.
#[test]
#[ignore = "slow"]
fn the_pipeline_of_a_fork_is_held_against_the_target_project() {
    for (script, part) in reviews()
        .into_iter()
        .filter(|(script, _)| script.contains("CI_"))
    {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        committed(&clone);
        git(
            folder.path(),
            &["clone", "--quiet", "--bare", "clone", "fork"],
        );
        let fork = folder.path().join("fork");
        git(
            &fork,
            &["update-ref", "refs/heads/main", "refs/heads/change"],
        );
        let at = fork.display().to_string();
        git(&clone, &["remote", "set-url", "origin", &at]);
        git(&clone, &["fetch", "--quiet", "--force", "origin"]);
        let same = run("offing review refs/remotes/origin/main HEAD", &clone);
        assert_eq!(
            same.status.code(),
            Some(0),
            "the fork's own main has the change"
        );
        let output = run(&script, &clone);
        let found = finds(&output, part, &clone, "reserve-at-turnaround");
        assert!(found, "{script}: {}", said(&output));
    }
}

/// The checker is built from the commit that was put down, away from what the change brings; until one is
/// put down, the job fails.
#[test]
#[ignore = "slow"]
fn the_checker_is_installed_from_what_is_trusted_and_from_nothing_else() {
    let mut installs = Vec::new();
    for text in ["yaml workflow", "yaml matrix"]
        .into_iter()
        .flat_map(blocks)
    {
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let mut all = Vec::new();
        scripts(&document.root, &["run", "script"], &mut all);
        let build = all
            .into_iter()
            .filter(|script| script.contains("cargo install"));
        for script in build {
            let lines: Vec<&str> = script.lines().collect();
            let last = lines
                .iter()
                .position(|line| line.contains("cargo install"))
                .unwrap();
            installs.push(lines[..=last].join("\n"));
        }
        // On a service whose steps come one by one it comes before the checkout.
        if let Some(checkout) = text.find("actions/checkout@") {
            assert!(text.find("cargo install").is_some_and(|at| at < checkout));
        }
    }
    assert_eq!(installs.len(), 6);
    for script in installs {
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        let output = run(&script, &clone);
        assert_eq!(output.status.code(), Some(0), "{script}: {}", said(&output));
        let told = std::fs::read_to_string(folder.path().join("cargo.txt")).unwrap();
        let mut lines = told.lines();
        let place = Path::new(lines.next().unwrap());
        assert!(!place.starts_with(&clone) && !clone.starts_with(place) || place == Path::new("/"));
        let given: Vec<&str> = lines.collect();
        for pair in [
            ["--rev", TRUSTED],
            ["--git", "https://git.example.com/offing.git"],
        ] {
            assert!(given.windows(2).any(|one| one == pair), "{given:?}");
        }
        assert!(given.contains(&"--locked") && !given.contains(&"--path"));
        std::fs::remove_file(folder.path().join("cargo.txt")).unwrap();
        for wrong in [
            "THE-FULL-COMMIT-OF-OFFING-THAT-YOU-TRUST",
            "main",
            "",
            "0123456789",
        ] {
            let output = run_with(&script, &clone, &[("OFFING_COMMIT", wrong)]);
            assert_ne!(output.status.code(), Some(0), "`{wrong}` passes: {script}");
            assert!(
                !folder.path().join("cargo.txt").exists(),
                "`{wrong}` is built"
            );
        }
    }
}

/// What is required fails where a part failed, is missing or was skipped.
#[test]
fn the_required_job_fails_where_a_part_did_not_run() {
    let texts = blocks("yaml matrix");
    let document = parse(SourceId(0), &texts[0], &ParseLimits::YAML).expect("it parses");
    let whole = document
        .root
        .get("jobs")
        .and_then(|jobs| jobs.get("whole"))
        .unwrap();
    assert_eq!(whole.get("if").and_then(Node::as_text), Some("always()"));
    assert_eq!(whole.get("needs").and_then(Node::as_text), Some("part"));
    let parts = whole.get("env").and_then(|env| env.get("PARTS"));
    assert_eq!(
        parts.and_then(Node::as_text),
        Some("${{ needs.part.result }}")
    );
    let mut steps = Vec::new();
    scripts(whole, &["run"], &mut steps);
    let folder = crate::shared::scratch::folder().unwrap();
    let clone = clone_with_a_change(folder.path());
    for (result, passes) in [
        ("success", true),
        ("failure", false),
        ("skipped", false),
        ("cancelled", false),
        ("", false),
    ] {
        let output = run_with(&steps[0], &clone, &[("PARTS", result)]);
        assert_eq!(output.status.success(), passes, "{result}");
    }
    let other = parse(SourceId(0), &texts[1], &ParseLimits::YAML).expect("it parses");
    let rules = other
        .root
        .get("whole")
        .and_then(|whole| whole.get("rules"))
        .unwrap();
    let when = rules
        .as_list()
        .and_then(|rules| rules[0].get("when")?.as_text());
    assert_eq!(when, Some("always"));
}

/// Actions are named by whole commits, tokens may no more than they must, and changes that are aimed
/// elsewhere, or queued, are reviewed too.
#[test]
fn the_workflow_files_pin_what_they_use_and_ask_for_little() {
    let mut pinned = 0;
    for text in ["yaml workflow", "yaml matrix"]
        .into_iter()
        .flat_map(blocks)
    {
        for line in text.lines().filter_map(|line| line.split_once("uses: ")) {
            let (action, version) = line.1.split_once(" # v").expect("the version beside it");
            let (_, commit) = action.split_once('@').expect("a commit");
            let whole = commit.len() == 40 && commit.bytes().all(|b| b.is_ascii_hexdigit());
            assert!(whole && version.split('.').count() == 3, "{action}");
            pinned += 1;
        }
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let Some(jobs) = document.root.get("jobs").and_then(Node::as_map) else {
            assert!(!text.contains("origin/"), "origin may be a fork");
            continue;
        };
        let none = document.root.get("permissions").and_then(Node::as_map);
        assert_eq!(
            none.map(<[_]>::len),
            Some(0),
            "nothing is allowed by itself"
        );
        let on = document.root.get("on").unwrap();
        assert!(on.entry("merge_group").is_some());
        let types = on
            .get("pull_request")
            .and_then(|event| event.get("types")?.as_list());
        let types: Vec<&str> = types.unwrap().iter().filter_map(Node::as_text).collect();
        assert_eq!(types, ["opened", "synchronize", "reopened", "edited"]);
        for job in jobs {
            let mut own = Vec::new();
            scripts(&job.value, &["run"], &mut own);
            let may = job.value.get("permissions").and_then(Node::as_map).unwrap();
            let writes = may.iter().any(|one| one.value.as_text() == Some("write"));
            // What may write runs no command.
            assert!(!writes || own.is_empty(), "{}", job.key);
            let reviews = own.iter().any(|script| script.contains("offing review"));
            if reviews {
                let target = job
                    .value
                    .get("env")
                    .and_then(|env| env.get("TARGET")?.as_text());
                assert!(target.is_some_and(|target| target.contains("merge_group.base_ref")));
            }
        }
    }
    assert_eq!(pinned, 7);
    // The whole name of a branch, as a queue gives it, is the same branch.
    let (script, part) = reviews().remove(0);
    let folder = crate::shared::scratch::folder().unwrap();
    let clone = clone_with_a_change(folder.path());
    committed(&clone);
    let output = run_with(&script, &clone, &[("TARGET", "refs/heads/main")]);
    assert!(
        finds(&output, part, &clone, "reserve-at-turnaround"),
        "{}",
        said(&output)
    );
}

/// Jobs of a workflow whose commands are run for each part, and those of the one that joins them.
#[test]
#[ignore = "slow"]
fn the_jobs_of_the_parts_come_to_what_one_job_comes_to() {
    let workflows = blocks("yaml matrix");
    assert_eq!(workflows.len(), 2);
    for text in workflows {
        let document = parse(SourceId(0), &text, &ParseLimits::YAML).expect("it parses");
        let mut all = Vec::new();
        scripts(&document.root, &["run", "script"], &mut all);
        let one = |what: &str| {
            let mut with = all.iter().filter(|script| script.contains(what));
            with.next().cloned().unwrap()
        };
        let (part, join) = (one("offing review"), one("offing merge"));
        let folder = crate::shared::scratch::folder().unwrap();
        let clone = clone_with_a_change(folder.path());
        committed(&clone);
        let mut reports: Vec<(String, Vec<u8>)> = Vec::new();
        let mut told = Vec::new();
        for number in 1..=4_u32 {
            let number = number.to_string();
            let given = [
                ("PART", number.as_str()),
                ("CI_NODE_INDEX", number.as_str()),
                ("CI_NODE_TOTAL", "4"),
            ];
            let output = run_with(&part, &clone, &given);
            assert_eq!(output.status.code(), Some(0), "{}", said(&output));
            told.push(String::from_utf8(output.stdout).unwrap());
            // Each part is a machine of its own, which hands its report on.
            for form in ["json", "sarif"] {
                let name = format!("part-{number}.{form}");
                if let Ok(bytes) = std::fs::read(clone.join(&name)) {
                    reports.push((name, bytes));
                }
            }
        }
        for (name, bytes) in &reports {
            std::fs::write(clone.join(name), bytes).unwrap();
        }
        let finds = |told: &&String| told.contains("reserve-at-turnaround");
        assert_eq!(told.iter().filter(finds).count(), 1);
        let output = run(&join, &clone);
        assert_eq!(output.status.code(), Some(1), "{}", said(&output));
        let whole = "offing review refs/remotes/origin/main refs/remotes/target/merged --format \
                     json=whole.json --format sarif=whole.sarif";
        assert_eq!(run(whole, &clone).status.code(), Some(1));
        let read = |file: &str| std::fs::read_to_string(clone.join(file)).unwrap();
        assert_eq!(read("offing.json"), read("whole.json"));
        if join.contains("sarif") {
            assert_eq!(read("offing.sarif"), read("whole.sarif"));
        }
        // A part that is missing has not passed.
        std::fs::remove_file(clone.join("part-3.json")).unwrap();
        let output = run(&join, &clone);
        assert_eq!(output.status.code(), Some(2));
        // Nor is a mistake in the command line a part that found something.
        let broken = part.replace("--partition", "--partitoin");
        let output = run_with(&broken, &clone, &[("PART", "1")]);
        assert_eq!(output.status.code(), Some(1));
    }
}

#[test]
#[ignore = "slow"]
fn the_hook_lets_no_worse_plan_be_committed() {
    let hooks = blocks("hook");
    assert_eq!(hooks.len(), 1);
    let folder = crate::shared::scratch::folder().unwrap();
    let clone = clone_with_a_change(folder.path());
    git(&clone, &["add", "--all"]);
    let output = run(&hooks[0], &clone);
    assert_eq!(output.status.code(), Some(1));
    // What lies on the disk is not what is committed.
    git(&clone, &["checkout", "--quiet", "HEAD", "--", NORTH]);
    let sound = std::fs::read_to_string(clone.join(NORTH)).unwrap();
    let worse = sound.replace("charge_at_launch: 95 %", "charge_at_launch: 50 %");
    assert_ne!(sound, worse);
    for (staged, on_disk, status) in [
        (&worse, &sound, 1),
        (&sound, &worse, 0),
        (&sound, &sound, 0),
    ] {
        std::fs::write(clone.join(NORTH), staged).unwrap();
        git(&clone, &["add", "--", NORTH]);
        std::fs::write(clone.join(NORTH), on_disk).unwrap();
        let output = run(&hooks[0], &clone);
        assert_eq!(output.status.code(), Some(status));
    }
}

/// A static binary needs no library that is not Rust's own: packages that bind one end their names
/// in `-sys`, and these call the kernel by numbers, are for other systems, or bring their C and build it in.
#[test]
fn nothing_binds_a_library_that_a_static_binary_would_miss() {
    let known = [
        "linux-raw-sys",
        "windows-sys",
        "js-sys",
        "web-sys",
        "libmimalloc-sys",
    ];
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
