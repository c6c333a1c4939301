//! `offing review`, on repositories that git itself made.

use std::path::Path;
use std::process::Command;

use offing::door::git::Revision;
use offing::door::git::{Git, GitError, Repository, commit};
use offing::door::source::{Limit, ReadError, Tree, WorkTree};
use serde_json::Value as Json;

use crate::shared::repo::Repo;

const NORTH: &str = "plans/missions/north-bay-lines.yaml";
const TEAM: &str = "plans/policy/team.yaml";
const VESSEL: &str = "plans/vessels/goosander.yaml";

impl Repo {
    /// A repository that holds the demo with two of its missions, one of which passes.
    fn demo() -> Self {
        let repo = Self::empty();
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        for path in [
            NORTH,
            "plans/missions/dam-to-bay-transects.yaml",
            "plans/missions/careless-end.yaml",
            TEAM,
            "plans/orders/from-the-slip.yaml",
            "plans/orders/from-the-dam.yaml",
            VESSEL,
            "plans/site/quenderby.yaml",
            "plans/site/quenderby-shoreline.geojson",
            "plans/site/quenderby-soundings.geojson",
        ] {
            repo.write(path, &std::fs::read_to_string(root.join(path)).unwrap());
        }
        repo.commit_as("first");
        repo
    }

    /// The JSON of a review, held against its schema, with the exit status.
    fn review(&self, arguments: &[&str]) -> (Json, i32) {
        let mut all = vec!["review"];
        all.extend(arguments);
        all.extend(["--format", "json"]);
        let output = self.offing(&all);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let value: Json = serde_json::from_slice(&output.stdout).expect(&said);
        crate::shared::schema::hold(&value);
        (value, output.status.code().unwrap())
    }

    fn refused(&self, arguments: &[&str]) -> (String, i32) {
        let output = self.offing(arguments);
        assert!(output.stdout.is_empty());
        let said = String::from_utf8(output.stderr).unwrap();
        (said, output.status.code().unwrap())
    }
}

fn texts(value: &Json, field: &str) -> Vec<String> {
    let all = value.as_array().unwrap();
    all.iter()
        .map(|one| one[field].as_str().unwrap_or("").to_owned())
        .collect()
}

fn new_rules(review: &Json) -> Vec<String> {
    texts(&review["check"]["findings"], "rule")
}

#[test]
fn a_revision_reads_as_the_work_tree_does() {
    let repo = Repo::demo();
    let git = Repository::open(repo.path()).unwrap();
    let head = commit(&git, "HEAD").unwrap();
    let revision = Revision::open(&git, &head, "").unwrap();
    let tree = WorkTree::open(repo.path()).unwrap();
    let files: Vec<_> = tree.list().unwrap().files;
    assert_eq!(revision.list().unwrap().files, files);
    assert!(!files.is_empty());
    for file in &files {
        let limit = Limit::GEODATA;
        assert_eq!(
            revision.read(&file.path, limit).unwrap(),
            tree.read(&file.path, limit).unwrap()
        );
    }
    let small = Limit::from_bytes(10);
    assert!(matches!(
        revision.read(NORTH, small),
        Err(ReadError::TooLarge { .. })
    ));
    // One that was too large does not spoil the reading of the next.
    assert!(
        git.blob(revision.object(NORTH).unwrap(), 10)
            .unwrap()
            .is_none()
    );
    assert!(revision.read(NORTH, Limit::YAML).is_ok());
    assert!(matches!(
        revision.read("plans/none.yaml", Limit::YAML),
        Err(ReadError::NotFound { .. })
    ));
}

#[test]
#[ignore = "slow"]
fn files_are_found_by_their_names_in_a_commit() {
    let repo = Repo::demo();
    repo.write("plans/a b missing.yaml", "one: 1\n");
    repo.write("-z", "two: 2\n");
    let head = repo.commit_as("odd names");
    let git = Repository::open(repo.path()).unwrap();
    let revision = Revision::open(&git, &head, "").unwrap();
    let cases: &[(&str, bool)] = &[
        (NORTH, true),
        ("plans/a b missing.yaml", true),
        ("-z", true),
        ("plans/none.yaml", false),
        ("plans", false),
        ("", false),
        ("plans/two\nlines.yaml", false),
    ];
    let names: Vec<String> = cases
        .iter()
        .map(|(path, _)| format!("{head}:{path}"))
        .chain([
            "no-such-commit:plans".to_owned(),
            String::new(),
            head.clone(),
        ])
        .collect();
    let found = git.named(&names).unwrap();
    assert_eq!(found.len(), names.len());
    for ((path, there), object) in cases.iter().zip(&found) {
        assert_eq!(object.is_some(), *there, "{path:?}");
        if *there && *path != "-z" {
            assert_eq!(object.as_deref(), revision.object(path), "{path}");
        }
    }
    assert_eq!(found[cases.len()..], [None, None, None]);
    // More than a pipe holds, in one go.
    let many: Vec<String> = (0..20_000)
        .map(|at| {
            format!(
                "{head}:{}",
                if at % 3 == 0 {
                    NORTH
                } else {
                    "plans/none.yaml"
                }
            )
        })
        .collect();
    let found = git.named(&many).unwrap();
    assert_eq!(found.len(), many.len());
    assert!(
        found
            .iter()
            .enumerate()
            .all(|(at, one)| one.is_some() == (at % 3 == 0))
    );
    assert_eq!(git.named(&[]).unwrap(), Vec::<Option<String>>::new());
}

#[test]
fn links_and_other_repositories_in_a_revision_are_refused() {
    let repo = Repo::demo();
    std::os::unix::fs::symlink("/etc/passwd", repo.path().join("plans/link.yaml")).unwrap();
    repo.write("plans/two\nlines.yaml", "kind: mission\n");
    let inner = repo.commit_as("a link");
    let cacheinfo = format!("160000,{inner},plans/inner");
    repo.git(&["update-index", "--add", "--cacheinfo", &cacheinfo]);
    repo.git(&["commit", "--quiet", "--message", "another repository"]);
    let git = Repository::open(repo.path()).unwrap();
    let head = commit(&git, "HEAD").unwrap();
    let listing = Revision::open(&git, &head, "").unwrap().list().unwrap();
    let refused = |path: &str| listing.refused.iter().find(|(known, _)| known == path);
    assert!(matches!(
        refused("plans/link.yaml"),
        Some((_, ReadError::IsLink { .. }))
    ));
    assert!(matches!(
        refused("plans/inner"),
        Some((_, ReadError::NestedRepository { .. }))
    ));
    assert!(refused("plans/two\nlines.yaml").is_some());
    assert!(
        listing
            .files
            .iter()
            .all(|file| file.path != "plans/link.yaml")
    );
}

#[test]
fn a_change_of_nothing_bears_on_nothing() {
    let repo = Repo::demo();
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 0);
    assert_eq!(review["missions"], Json::Array(Vec::new()));
    assert_eq!(review["missions_in_all"], 3);
    // Nor does one of a file that no mission is made of.
    repo.write("README.md", "words");
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(
        (review["missions"].as_array().unwrap().len(), status),
        (0, 0)
    );
}

#[test]
#[ignore = "slow"]
fn a_changed_route_is_told_in_the_plans_own_terms() {
    let repo = Repo::demo();
    // A thousandth of a degree of latitude is 111.3 m here, by the meridian arc of WGS 84
    // (111 132.95 − 559.85 cos 2φ m a degree, coefficients from memory).
    let to = "to: [52.398271, -24.308195], speed: { over_ground: 1.1 m/s }";
    repo.edit(
        NORTH,
        to,
        "to: [52.398371, -24.308195], speed: { over_ground: 1.0 m/s }",
    );
    repo.edit(NORTH, "  - { id: bay-mouth,", "  - { id: the-bay,");
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 0);
    assert_eq!(texts(&review["missions"], "mission"), ["north-bay-lines"]);
    let mission = &review["missions"][0];
    assert_eq!(mission["files"], serde_json::json!([NORTH]));
    let points = &mission["waypoints"];
    assert_eq!(points["added"], serde_json::json!(["the-bay"]));
    assert_eq!(points["removed"], serde_json::json!(["bay-mouth"]));
    let moved = serde_json::json!([{ "id": "off-the-bay", "by": "11.1 m", "towards": "000°" }]);
    assert_eq!(points["moved"], moved);
    assert_eq!(points["speeds"][0]["now"], "1 m/s over ground");
    let figures = texts(&mission["figures"], "name");
    assert!(figures.contains(&"duration".to_owned()), "{figures:?}");
    let margins = mission["margins"].as_array().unwrap();
    let first_better = margins.iter().position(|one| one["worse"] == false);
    let last_worse = margins.iter().rposition(|one| one["worse"] == true);
    assert!(
        last_worse < first_better || first_better.is_none(),
        "{margins:?}"
    );
    // The same between two commits, and in words.
    let head = repo.commit_as("moved");
    assert_eq!(
        repo.review(&["HEAD~1", "HEAD"]).0["missions"],
        review["missions"]
    );
    assert_eq!(
        repo.review(&["HEAD~1", &head]).0["missions"],
        review["missions"]
    );
    let output = repo.offing(&["review", "HEAD~1"]);
    let text = String::from_utf8(output.stdout).unwrap();
    let marked = repo.offing(&["review", "HEAD~1", "--format", "markdown"]);
    let marked = String::from_utf8(marked.stdout).unwrap();
    let first = marked.lines().next().unwrap();
    assert!(
        first.starts_with("### offing: ✓ no new findings: ") && first.contains("1 mission of"),
        "{first}"
    );
    let sketch = marked.split("Sketch of north").nth(1).expect("a sketch");
    assert!(sketch.contains("off-the-bay before the change"), "{sketch}");
    assert!(
        text.contains("  off-the-bay moved 11.1 m towards 000°\n"),
        "{text}"
    );
    assert!(text.contains("no new findings"), "{text}");
}

/// A finding that gets worse is one of the new ones, and the first line says so.
#[test]
fn a_finding_that_gets_worse_is_not_counted_beside_the_new_ones() {
    let repo = Repo::demo();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 83 %");
    repo.git(&["commit", "-q", "-a", "-m", "launch with less"]);
    repo.edit(NORTH, "charge_at_launch: 83 %", "charge_at_launch: 82 %");
    let marked = repo.offing(&["review", "HEAD", "--format", "markdown"]);
    let marked = String::from_utf8(marked.stdout).unwrap();
    let first = marked.lines().next().unwrap();
    assert!(
        first.contains(": 1 error new, 1 of them known before and worse now, 1 mission of "),
        "{first}"
    );
    assert!(marked.contains("**New or worse findings**"), "{marked}");
    assert!(!marked.contains(" 1 other margins"), "{marked}");
}

#[test]
#[ignore = "slow"]
fn a_change_of_the_boat_bears_on_every_mission_of_it() {
    let repo = Repo::demo();
    repo.edit(
        VESSEL,
        "measured_capacity: 9.3 Ah",
        "measured_capacity: 4.2 Ah",
    );
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 1);
    assert_eq!(
        texts(&review["missions"], "mission"),
        ["careless-end", "dam-to-bay-transects", "north-bay-lines"]
    );
    // What changed is a battery figure; what is found stands on waypoints that did not.
    let found = new_rules(&review);
    assert!(
        found.contains(&"reserve-at-turnaround".to_owned()),
        "{found:?}"
    );
    // The verdict is read first, what is new next, and what is as before is folded.
    let marked = repo.offing(&["review", "HEAD", "--format", "markdown"]);
    let marked = String::from_utf8(marked.stdout).unwrap();
    let first = marked.lines().next().unwrap();
    assert!(
        first.starts_with("### offing: ✗ not fit to launch as changed: "),
        "{first}"
    );
    assert!(
        first.contains(" new, ") && first.contains(" still there"),
        "{first}"
    );
    let at = |words: &str| {
        marked
            .find(words)
            .unwrap_or_else(|| panic!("{words}: {marked}"))
    };
    assert!(at("**New findings**") < at("**mission "), "{marked}");
    assert!(
        at("**mission ") < at("still there, as before the change</summary>"),
        "{marked}"
    );
    // What was there before is no news, and is not lost.
    assert!(texts(&review["still"], "rule").contains(&"overrun".to_owned()));
    assert!(!found.contains(&"overrun".to_owned()));
    repo.commit_as("a worn pack");
    repo.edit(
        VESSEL,
        "measured_capacity: 4.2 Ah",
        "measured_capacity: 9.3 Ah",
    );
    // A better figure of which no test tells.
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 1);
    assert_eq!(new_rules(&review), ["vessel-without-evidence"]);
    repo.edit(
        VESSEL,
        "capacity_tested: 2027-04-10",
        "capacity_tested: 2027-04-12",
    );
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 0);
    assert!(texts(&review["fixed"], "rule").contains(&"reserve-at-turnaround".to_owned()));
}

/// Figures of a boat that are better in whatever way, while what vouches for them is as it was.
#[test]
#[ignore = "slow"]
fn a_better_boat_that_nothing_vouches_for_is_told() {
    let repo = Repo::demo();
    let told = |edits: &[(&str, &str)]| {
        for (from, to) in edits {
            repo.edit(VESSEL, from, to);
        }
        let (review, _) = repo.review(&["HEAD"]);
        repo.git(&["checkout", "--quiet", "--", "."]);
        let all = review["check"]["findings"].as_array().unwrap().iter();
        let of = all.filter(|one| one["rule"] == "vessel-without-evidence");
        of.map(|one| one["severity"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    for (from, to) in [
        (
            "speed: 1.0 m/s, power: 30 W",
            "speed: 1.15 m/s, power: 30 W",
        ),
        ("frontal_area: 0.08 m2", "frontal_area: 0.05 m2"),
        ("leeway: 4 %", "leeway: 2 %"),
        ("cut_off_voltage: 12.8 V", "cut_off_voltage: 12.2 V"),
        ("usable_fraction: 80 %", "usable_fraction: 90 %"),
        ("propulsive_efficiency: 45 %", "propulsive_efficiency: 55 %"),
        ("motor_efficiency: 70 %", "motor_efficiency: 80 %"),
    ] {
        assert_eq!(told(&[(from, to)]), ["warning"], "{to}");
    }
    let faster = (
        "speed: 1.0 m/s, power: 30 W",
        "speed: 1.15 m/s, power: 30 W",
    );
    let log = "evidence: trial log 7, kept";
    for (evidence, due) in [
        ("evidence: trial log  7,  kept", 1),
        (
            "evidence: \"trial log 7, kept in the team's workshop\" #",
            1,
        ),
        ("# kept", 1),
        ("evidence: trial log 8, kept", 0),
    ] {
        assert_eq!(told(&[faster, (log, evidence)]).len(), due, "{evidence}");
    }
    // Worse is news and no warning.
    assert_eq!(told(&[("leeway: 4 %", "leeway: 5 %")]), ["advice"]);
}

/// Each way to weaken what judges is a finding on the line that does, and the plan of the same
/// change is judged as before.
#[test]
#[ignore = "slow"]
fn a_change_that_loosens_what_judges_it() {
    let cases: &[(&str, &str, &str, &str)] = &[
        (
            TEAM,
            "at_least: 35 %",
            "at_least: 31 %",
            "the limit is at least 31 % in place of at least 35 %",
        ),
        (
            TEAM,
            "    severity: error\n",
            "    severity: warning\n",
            "the severity is warning in place of error",
        ),
        (
            TEAM,
            "  operator-near:\n    at_most: 60 m\n",
            "  operator-near:\n    enabled: false\n",
            "whether it applies is off in place of on",
        ),
        (
            TEAM,
            "extends: builtin\n",
            "extends: builtin\nopen: [overrun]\n",
            "`overrun` may now be loosened",
        ),
        (
            TEAM,
            "gauge-set",
            "gauge-seen",
            "the checklist item `gauge-set` is no longer required",
        ),
    ];
    for (path, from, to, says) in cases {
        let repo = Repo::demo();
        // An item is named where it is demanded and where its words are.
        let text = repo.read(path);
        assert!(text.contains(from), "`{from}` is not in {path}");
        repo.write(path, &text.replace(from, to));
        let (review, status) = repo.review(&["HEAD"]);
        assert_eq!(status, 1, "{says}");
        let findings = review["check"]["findings"].as_array().unwrap();
        let weakened: Vec<&Json> = findings
            .iter()
            .filter(|f| f["rule"] == "policy-weakened")
            .collect();
        assert!(
            weakened
                .iter()
                .any(|f| f["message"].as_str().unwrap().contains(says)),
            "{says}: {findings:#?}"
        );
        assert!(weakened.iter().all(|f| f["severity"] == "error"));
    }
}

#[test]
#[ignore = "slow"]
fn other_words_of_a_demanded_item_are_told() {
    let words =
        "  stop-tried: stop was tried from the operator's place, and the motors stood still\n";
    for (now, says) in [
        (
            "  stop-tried: nothing need be done here\n",
            "says “nothing need be done here” in place of “stop was tried",
        ),
        ("", "has lost its text, “stop was tried"),
    ] {
        let repo = Repo::demo();
        repo.edit(TEAM, words, now);
        let (review, _) = repo.review(&["HEAD"]);
        let findings = review["check"]["findings"].as_array().unwrap();
        let found = findings.iter().find(|f| f["rule"] == "words-changed");
        let found = found.unwrap_or_else(|| panic!("{findings:#?}"));
        assert_eq!(found["severity"], "warning");
        let message = found["message"].as_str().unwrap();
        assert!(message.contains("`stop-tried`"), "{message}");
        assert!(message.contains(says), "{message}");
    }
    // The same words on other lines are the same words.
    let repo = Repo::demo();
    repo.edit(TEAM, words, &words.replace("place, and", "place,\n    and"));
    let (review, _) = repo.review(&["HEAD"]);
    assert!(!new_rules(&review).contains(&"words-changed".to_owned()));
}

#[test]
#[ignore = "slow"]
fn a_plan_that_passes_only_under_the_changed_policy() {
    let repo = Repo::demo();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 82 %");
    repo.edit(TEAM, "at_least: 35 %", "at_least: 20 %");
    repo.edit(TEAM, "extends: builtin", "extends: builtin\ntitle_: x");
    let (_, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 2);
    repo.edit(TEAM, "\ntitle_: x", "");
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 1);
    let found = new_rules(&review);
    assert!(
        found.contains(&"reserve-at-turnaround".to_owned()),
        "{found:?}"
    );
    let only = review["only_under_change"].as_array().unwrap();
    let finding = review["check"]["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|finding| finding["rule"] == "reserve-at-turnaround")
        .unwrap();
    assert!(only.contains(&finding["fingerprint"]), "{only:?}");
    let text = String::from_utf8(repo.offing(&["review", "HEAD"]).stdout).unwrap();
    assert!(text.contains("passes only under the policies and rules of the change:"));
    // Where it is asked for, the change's own policy judges, and that is said loudly.
    let (review, _) = repo.review(&["HEAD", "--policy-from", "head"]);
    let found = new_rules(&review);
    assert!(found.contains(&"policy-weakened".to_owned()), "{found:?}");
    assert!(
        !found.contains(&"reserve-at-turnaround".to_owned()),
        "{found:?}"
    );
    let output = repo.offing(&["review", "HEAD", "--policy-from", "head"]);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("JUDGED BY THE CHANGE'S OWN POLICIES AND RULES"),
        "{text}"
    );
}

#[test]
#[ignore = "slow"]
fn what_is_moved_out_of_what_is_checked() {
    let repo = Repo::demo();
    repo.edit(NORTH, "kind: mission", "kind: missing-person-report");
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 2);
    let gone = "no-longer-checked".to_owned();
    assert!(new_rules(&review).contains(&gone), "{review:#}");
    // What is there is not told as gone.
    let mission = |review: &Json| {
        let missions = review["missions"].as_array().unwrap().clone();
        missions
            .into_iter()
            .find(|one| one["mission"] == "north-bay-lines")
            .unwrap()
    };
    assert_eq!(mission(&review)["change"], "no longer checked");
    assert_eq!(mission(&review)["files"], serde_json::json!([NORTH]));
    let repo = Repo::demo();
    repo.edit(NORTH, "kind: mission", "kind mission");
    let (review, _) = repo.review(&["HEAD"]);
    assert_eq!(mission(&review)["change"], "no longer checked");
    assert_eq!(mission(&review)["files"], serde_json::json!([NORTH]));
    // One that no longer looks like a mission at all.
    let repo = Repo::demo();
    let text = repo.read(NORTH).replace('\n', "\n  ");
    repo.write(NORTH, &format!("notes:\n  {}", text.trim_end()));
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(new_rules(&review), [gone.as_str()]);
    assert_eq!(status, 1);
    // Taking it away is news and no finding.
    std::fs::remove_file(repo.path().join(NORTH)).unwrap();
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 0);
    assert_eq!(review["missions"][0]["change"], "removed");
    assert_eq!(review["missions"][0]["files"], serde_json::json!([NORTH]));
    // A policy that is gone, and a mission that names another.
    let repo = Repo::demo();
    std::fs::remove_file(repo.path().join(TEAM)).unwrap();
    let found = new_rules(&repo.review(&["HEAD"]).0);
    assert!(found.contains(&"policy-removed".to_owned()), "{found:?}");
    let repo = Repo::demo();
    repo.edit(NORTH, "policy: team", "policy: builtin");
    let found = new_rules(&repo.review(&["HEAD"]).0);
    // The built-in one asks for less than the team's, which judges every mission by being the only one.
    assert_eq!(
        found,
        ["policy-weakened", "policy-exchanged", "policy-bypassed"]
    );
}

#[test]
fn a_renamed_and_changed_mission_is_the_same_mission() {
    let repo = Repo::demo();
    let careless = "plans/missions/careless-end.yaml";
    let moved = "plans/missions/2027/the-end.yaml";
    let text = repo
        .read(careless)
        .replace("charge_at_launch: 95 %", "charge_at_launch: 94 %");
    repo.write(moved, &text);
    std::fs::remove_file(repo.path().join(careless)).unwrap();
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 0, "{review:#}");
    assert_eq!(review["missions"][0]["change"], "changed");
    assert_eq!(
        review["missions"][0]["files"],
        serde_json::json!([moved, careless])
    );
    assert!(texts(&review["still"], "rule").contains(&"overrun".to_owned()));
}

#[test]
fn what_cannot_be_reviewed_is_said() {
    let repo = Repo::demo();
    for revision in ["nothing", "--output=x", "", "HEAD:plans", "HEAD^{tree}"] {
        let (said, status) = repo.refused(&["review", "--", revision]);
        assert_eq!(status, 2, "{revision}: {said}");
        assert!(said.contains("there is no revision"), "{said}");
    }
    let (said, status) = repo.refused(&["review"]);
    assert_eq!(status, 64, "{said}");
    let folder = crate::shared::scratch::folder().unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(["review", "HEAD"])
        .current_dir(folder.path())
        .env("GIT_CEILING_DIRECTORIES", folder.path().parent().unwrap())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("no git repository is here or above"),
        "{said}"
    );
}

#[test]
fn a_shallow_clone_lacks_the_base_and_a_bare_one_the_work_tree() {
    let repo = Repo::demo();
    let first = repo.git(&["rev-parse", "HEAD"]);
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
    repo.commit_as("second");
    let clones = crate::shared::scratch::folder().unwrap();
    let from = format!("file://{}", repo.path().display());
    let clone = |more: &[&str], into: &str| {
        let mut arguments = vec!["clone", "--quiet"];
        arguments.extend(more);
        let into = clones.path().join(into);
        let at = into.display().to_string();
        arguments.extend([from.as_str(), at.as_str()]);
        repo.git(&arguments);
        into
    };
    let shallow = clone(&["--depth=1"], "shallow");
    let git = Repository::open(&shallow).unwrap();
    let error = commit(&git, &first).unwrap_err();
    assert!(matches!(error, GitError::NoRevision { shallow: true, .. }));
    assert!(
        error.to_string().contains("git fetch --unshallow"),
        "{error}"
    );
    let bare = clone(&["--bare"], "bare");
    let run = |arguments: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(arguments)
            .current_dir(&bare)
            .output()
            .unwrap()
    };
    let output = run(&["review", &first]);
    assert_eq!(output.status.code(), Some(64));
    let output = run(&["review", &first, "main", "--format", "json"]);
    assert_eq!(output.status.code(), Some(0));
    let review: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(texts(&review["missions"], "mission"), ["north-bay-lines"]);
}

#[test]
fn conflict_markers_are_an_error_on_their_line() {
    let repo = Repo::demo();
    repo.edit(
        NORTH,
        "charge_at_launch: 95 %\n",
        "<<<<<<< ours\ncharge_at_launch: 95 %\n=======\ncharge_at_launch: 94 %\n>>>>>>> theirs\n",
    );
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!(status, 2);
    let found = texts(&review["check"]["findings"], "message");
    assert!(
        found.iter().any(|message| message.contains("conflict")),
        "{found:?}"
    );
}

#[test]
#[ignore = "slow"]
fn every_form_is_written_at_once() {
    let repo = Repo::demo();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 60 %");
    let folder = crate::shared::scratch::folder().unwrap();
    let forms = [
        "terminal", "json", "sarif", "junit", "markdown", "github", "gitlab",
    ];
    let wanted: Vec<String> = forms
        .iter()
        .map(|form| format!("--format={form}={}", folder.path().join(form).display()))
        .collect();
    let mut arguments = vec!["review", "HEAD"];
    arguments.extend(wanted.iter().map(String::as_str));
    let output = repo.offing(&arguments);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    for form in forms {
        let text = std::fs::read_to_string(folder.path().join(form)).unwrap();
        assert!(text.contains("reserve-at-turnaround"), "{form}: {text}");
    }
}

/// What no check can miss a reviewer sees: each of these is gone without another error, or with one.
#[test]
fn a_danger_that_is_left_out_is_told() {
    let repo = Repo::demo();
    let site = "plans/site/quenderby.yaml";
    let cut = |path: &str, from: &str, until: &str| {
        let text = repo.read(path);
        let begin = text
            .find(from)
            .unwrap_or_else(|| panic!("`{from}` in {path}"));
        let end = begin + text[begin..].find(until).unwrap();
        assert!(end > begin);
        repo.write(path, &format!("{}{}", &text[..begin], &text[end..]));
    };
    let text = repo.read(NORTH);
    repo.write(
        NORTH,
        &format!("{text}checklist:\n  - {{ item: towline-ready, text: ready to throw }}\n"),
    );
    repo.commit_as("an item");
    cut(site, "  - id: slip-rock\n", "  - id: bay-moorings\n");
    cut(site, "  - id: brook-mouth\n", "  - id: draw-off");
    cut(site, "keep_out:\n", "currents:\n");
    repo.edit(site, "currents:\n", "keep_out: []\ncurrents:\n");
    repo.edit(NORTH, ", text: ready to throw", "");
    cut(NORTH, "soundings: #", "\nat_end:");
    cut(NORTH, "on_lost_propulsion:", "manual_override:");
    // One sounding of the bed.
    let path = "plans/site/quenderby-soundings.geojson";
    let mut bed: Json = serde_json::from_str(&repo.read(path)).unwrap();
    let soundings = bed["features"].as_array_mut().unwrap();
    soundings.pop().unwrap();
    repo.write(path, &bed.to_string());
    repo.commit_as("less");
    let output = repo.offing(&["review", "HEAD~1"]);
    let told = String::from_utf8(output.stdout).unwrap();
    let told: String = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for gone in [
        "site, hazards, slip-rock, clearance",
        "site, keep out, reed-bed, title",
        "site, currents, brook-mouth, drift",
        "checklist, towline-ready, text",
        "soundings, survey order",
        "on lost propulsion, then",
        "site, number of soundings",
    ] {
        assert!(told.contains(gone), "`{gone}` is not told:\n{told}");
    }
}

/// A mission is judged with its vessel, its water and what judges it, from whichever folder the review is
/// called in and whichever it is given.
#[test]
#[ignore = "slow"]
fn a_review_is_of_the_whole_repository_from_any_folder() {
    let record = "runs/r.yaml";
    let run = include_str!("../data/full/run.yaml.txt");
    let cases: &[(&str, &str, &str, &str)] = &[
        (
            NORTH,
            "charge_at_launch: 95 %",
            "charge_at_launch: 50 %",
            "reserve-at-turnaround",
        ),
        (
            VESSEL,
            "measured_capacity: 9.3 Ah",
            "measured_capacity: 4.3 Ah",
            "reserve-at-turnaround",
        ),
        (TEAM, "at_least: 35 %", "at_least: 25 %", "policy-weakened"),
        (
            record,
            "outcome: completed",
            "outcome: aborted",
            "record-altered",
        ),
    ];
    for (path, from, to, rule) in cases {
        let repo = Repo::demo();
        repo.write(record, run);
        repo.commit_as("a run");
        repo.edit(path, from, to);
        for (folder, plans) in [
            (".", "."),
            (".", "plans"),
            (".", "plans/missions"),
            ("plans/missions", "."),
            ("runs", "."),
            ("plans/site", "../missions"),
        ] {
            let output = Command::new(env!("CARGO_BIN_EXE_offing"))
                .args(["review", "HEAD", "--plans", plans, "--format", "json"])
                .current_dir(repo.path().join(folder))
                .output()
                .unwrap();
            let review: Json = serde_json::from_slice(&output.stdout).unwrap();
            let found = new_rules(&review);
            assert!(
                found.iter().any(|one| one == rule),
                "{folder} {plans} {rule}: {found:?}"
            );
            assert_eq!(output.status.code(), Some(1), "{folder} {plans} {rule}");
        }
    }
}

/// What could not be judged before and is touched now is not judged now either, and that is no pass.
#[test]
#[ignore = "slow"]
fn a_changed_mission_that_is_not_judged_is_no_pass() {
    let broken = |repo: &Repo| {
        repo.edit(
            VESSEL,
            "measured_capacity: 9.3 Ah",
            "measured_capacity: 9.3 A",
        );
        repo.commit_as("a broken vessel");
    };
    let not_checked = |review: &Json| texts(&review["check"]["not_checked"], "path");
    let repo = Repo::demo();
    broken(&repo);
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!((status, not_checked(&review)), (0, vec![]));
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 50 %");
    let (review, status) = repo.review(&["HEAD"]);
    assert_eq!((status, not_checked(&review)), (2, vec![NORTH.to_owned()]));
    // Its vessel is changed, and is as broken as before.
    let repo = Repo::demo();
    broken(&repo);
    repo.edit(
        VESSEL,
        "measured_capacity: 9.3 A",
        "measured_capacity: 9.4 A",
    );
    assert_eq!(repo.review(&["HEAD"]).1, 2);
    // A site that cannot be read, a file that no parser takes, and a water that is not there.
    for (path, from, to) in [
        (
            "plans/site/quenderby.yaml",
            "kind: site",
            "kind: site\nunheard-of: 1",
        ),
        (NORTH, "vessel: goosander", "vessel: merganser"),
        (NORTH, "kind: mission", "kind: mission: mission"),
    ] {
        let repo = Repo::demo();
        repo.edit(path, from, to);
        repo.commit_as("broken");
        assert_eq!(repo.review(&["HEAD"]).1, 0, "{path} {to}");
        repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 50 %");
        let (review, status) = repo.review(&["HEAD"]);
        assert_eq!(
            (status, not_checked(&review)),
            (2, vec![NORTH.to_owned()]),
            "{path} {to}"
        );
    }
}

/// A danger behind a known one of the same rule, and one in its place, are new.
#[test]
#[ignore = "slow"]
fn another_danger_under_a_known_rule_is_new() {
    let site = "plans/site/quenderby.yaml";
    let rule = "hazards".to_owned();
    let known = || {
        let repo = Repo::demo();
        repo.edit(site, "    clearance: 3 m\n", "    clearance: 300 m\n");
        repo.commit_as("too near to the rock");
        repo
    };
    let repo = known();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
    let (review, _) = repo.review(&["HEAD"]);
    assert!(!new_rules(&review).contains(&rule), "{review:#}");
    assert!(texts(&review["still"], "rule").contains(&rule));
    // Farther past its limit than the known one, and less far.
    for clearance in ["900 m", "250 m"] {
        let repo = known();
        let moorings = "    clearance: 15 m\n";
        repo.edit(site, moorings, &format!("    clearance: {clearance}\n"));
        let (review, status) = repo.review(&["HEAD"]);
        assert!(
            new_rules(&review).contains(&rule),
            "{clearance}: {review:#}"
        );
        assert_eq!(status, 1, "{clearance}");
    }
    // The rock is mended, and another danger comes in its place, no worse.
    let repo = known();
    repo.edit(site, "    clearance: 300 m\n", "    clearance: 3 m\n");
    repo.edit(site, "    clearance: 15 m\n", "    clearance: 250 m\n");
    let (review, _) = repo.review(&["HEAD"]);
    assert!(new_rules(&review).contains(&rule), "{review:#}");
}

#[test]
#[ignore = "slow"]
fn a_vessel_that_is_another_boat_now_is_told() {
    for now in ["", "boat: smew\n"] {
        let repo = Repo::demo();
        let text = repo.read(VESSEL);
        let with =
            |boat: &str| text.replacen("id: goosander\n", &format!("id: goosander\n{boat}"), 1);
        repo.write(VESSEL, &with("boat: hull-one\n"));
        repo.commit_as("a hull");
        repo.write(VESSEL, &with(now));
        let (review, status) = repo.review(&["HEAD"]);
        let all = review["check"]["findings"].as_array().unwrap();
        let found = all.iter().find(|one| one["rule"] == "boat-changed");
        let found = found.unwrap_or_else(|| panic!("{now}: {all:#?}"));
        assert_eq!((&found["severity"], status), (&Json::from("warning"), 1));
        assert!(found["message"].as_str().unwrap().contains("`hull-one`"));
    }
    // Named for the first time after its own id, it is the same boat.
    let repo = Repo::demo();
    let text = repo.read(VESSEL);
    repo.write(
        VESSEL,
        &text.replacen("id: goosander\n", "id: goosander\nboat: goosander\n", 1),
    );
    assert!(!new_rules(&repo.review(&["HEAD"]).0).contains(&"boat-changed".to_owned()));
}

/// The other mission of the boat is one that the change leaves alone.
#[test]
fn a_boat_that_a_change_has_out_twice_is_told() {
    let twice = "boat-out-twice".to_owned();
    let second = "plans/missions/second.yaml";
    let repo = Repo::demo();
    let text = repo
        .read(NORTH)
        .replace("id: north-bay-lines\n", "id: second\n");
    repo.write(second, &text.replace("2027-06-15T", "2027-06-17T"));
    repo.commit_as("another day");
    repo.edit(second, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
    assert!(!new_rules(&repo.review(&["HEAD"]).0).contains(&twice));
    repo.write(second, &text);
    let (review, status) = repo.review(&["HEAD"]);
    let all = review["check"]["findings"].as_array().unwrap();
    let found: Vec<&Json> = all
        .iter()
        .filter(|one| one["rule"] == "boat-out-twice")
        .collect();
    assert_eq!((found.len(), status), (1, 1), "{all:#?}");
    assert_eq!(found[0]["severity"], "error");
    // Known before, it is no news.
    repo.commit_as("the same day");
    repo.edit(second, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
    let (review, _) = repo.review(&["HEAD"]);
    assert!(!new_rules(&review).contains(&twice), "{review:#}");
    assert!(texts(&review["still"], "rule").contains(&twice));
}

#[test]
fn a_clone_that_lacks_files_and_a_repository_without_a_commit_are_told_what_to_do() {
    let repo = Repo::demo();
    repo.git(&["config", "uploadpack.allowFilter", "true"]);
    let clones = crate::shared::scratch::folder().unwrap();
    let into = clones.path().join("partial");
    let from = format!("file://{}", repo.path().display());
    let at = into.to_str().unwrap();
    repo.git(&[
        "clone",
        "--quiet",
        "--no-checkout",
        "--filter=blob:none",
        &from,
        at,
    ]);
    let run = |folder: &Path| {
        let output = Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["review", "HEAD"])
            .current_dir(folder)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        String::from_utf8(output.stderr).unwrap()
    };
    let said = run(&into);
    assert!(said.contains("git fetch --refetch --no-filter"), "{said}");
    let empty = clones.path().join("empty");
    repo.git(&["init", "--quiet", empty.to_str().unwrap()]);
    let said = run(&empty);
    assert!(
        said.contains("no commit here yet") && said.contains("offing check"),
        "{said}"
    );
}
