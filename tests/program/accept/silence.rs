//! What would pass in silence: a decision under another name, a second danger behind a known one, a second
//! place behind a waived one, a laxer judge under a new id.

use super::launch::{reasons, uncommitted};
use super::repo::{NORTH, Repo, TEAM, UPWIND, WAIVER, findings, standing};
use super::water::{self, go, launching, with};

const MISSION: &str = "north-bay-lines";
const DECISION: &str = "launches/north-bay-lines-20270615T114000Z.yaml";

/// Exit status and rules of a decision on what lies there.
fn decide(repo: &Repo, mission: &str, changes: &[(&str, &str)]) -> (i32, Vec<String>) {
    let all = with(&[changes, &[("--format", "json")]].concat());
    let (status, text, said) = uncommitted(repo, mission, &all);
    let decision = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{said}{text}"));
    (status, reasons(&decision))
}

/// One that decided on its launch, the decision committed or not.
fn launched(commit: bool) -> Repo {
    let repo = Repo::new();
    repo.commit();
    assert_eq!(decide(&repo, MISSION, &[]), (0, vec![]));
    if commit {
        repo.commit();
    }
    repo
}

fn stands_in_the_way(repo: &Repo, what: &str) {
    let (status, rules) = decide(repo, MISSION, &[]);
    let told = ["launched-before", "not-committed"];
    let told = rules.iter().any(|rule| told.contains(&rule.as_str()));
    assert!(status == 1 && told, "{what}: {status} {rules:?}");
}

#[test]
#[ignore = "slow"]
fn a_decision_under_a_name_that_nothing_reads_counts() {
    for name in ["notes.txt", "launches/old.yaml.bak", "decision.json"] {
        let repo = launched(true);
        repo.git(&["mv", DECISION, name]);
        repo.commit();
        stands_in_the_way(&repo, name);
        let (_, report) = repo.json(&["history", "verify"]);
        let found = standing(&report["verified"]);
        assert!(
            found.contains(&"record-removed".to_owned()),
            "{name}: {found:?}"
        );
        // Copied and taken away, which git would call the same.
        let repo = launched(true);
        repo.write(name, &repo.read(DECISION));
        std::fs::remove_file(repo.path().join(DECISION)).unwrap();
        stands_in_the_way(&repo, name);
        repo.commit();
        stands_in_the_way(&repo, name);
    }
    // Of another branch, put into this one under another name.
    let repo = Repo::new();
    repo.commit();
    repo.git(&["checkout", "--quiet", "-b", "aside"]);
    assert_eq!(decide(&repo, MISSION, &[]), (0, vec![]));
    repo.commit();
    let text = repo.read(DECISION);
    repo.git(&["checkout", "--quiet", "main"]);
    repo.write("notes.txt", &text);
    repo.commit();
    stands_in_the_way(&repo, "another branch");
}

#[test]
fn a_decision_that_the_index_has_counts() {
    let repo = launched(false);
    repo.git(&["add", "launches"]);
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    stands_in_the_way(&repo, "the index");
    // One that was altered there since is another file; the one of the index is still a go.
    let repo = launched(false);
    repo.git(&["add", "launches"]);
    repo.edit(DECISION, "decision: go", "decision: no-go");
    stands_in_the_way(&repo, "the index, and a no-go in its place");
}

#[test]
#[ignore = "slow"]
fn a_decision_in_another_work_tree_counts() {
    let folder = crate::shared::scratch::folder().unwrap();
    let beside = folder.path().join("beside");
    let repo = Repo::new();
    repo.commit();
    let at = beside.to_str().unwrap();
    repo.git(&["worktree", "add", "--quiet", "--detach", at]);
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(launching(MISSION, &go()))
        .current_dir(&beside)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0));
    stands_in_the_way(&repo, "another work tree");
    // Its index alone.
    let git = |arguments: &[&str]| {
        let mut all = vec!["-C", at];
        all.extend(arguments);
        repo.git(&all);
    };
    git(&["add", "launches"]);
    std::fs::remove_dir_all(beside.join("launches")).unwrap();
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    stands_in_the_way(&repo, "the index of another work tree");
    // One that is gone altogether is no reason to stay ashore.
    std::fs::remove_dir_all(&beside).unwrap();
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    assert_eq!(decide(&repo, MISSION, &[]), (0, vec![]));
}

/// Launches at once, each for another minute: one goes, whatever the order.
#[test]
#[ignore = "slow"]
fn of_several_launches_at_once_one_goes() {
    let repo = Repo::new();
    repo.commit();
    let times: Vec<String> = (0..4).map(|i| format!("2027-06-15T09:4{i}")).collect();
    let children: Vec<_> = times
        .iter()
        .map(|at| {
            let all = with(&[("--at", at), ("--now", "2027-06-15T09:40")]);
            std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
                .args(launching(MISSION, &all))
                .current_dir(repo.path())
                .stdout(std::process::Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    let ended: Vec<Option<i32>> = children
        .into_iter()
        .map(|mut child| child.wait().unwrap().code())
        .collect();
    let goes = ended.iter().filter(|code| **code == Some(0)).count();
    assert_eq!(goes, 1, "{ended:?}");
    // For one minute, the file that is there is not told to be named otherwise.
    let repo = Repo::new();
    repo.commit();
    let children: Vec<_> = (0..3)
        .map(|_| {
            std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
                .args(launching(MISSION, &go()))
                .current_dir(repo.path())
                .stdout(std::process::Stdio::null())
                .stderr(std::process::Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let mut goes = 0;
    for child in children {
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        goes += usize::from(output.status.success());
        assert!(!said.contains("name another file"), "{said}");
        if output.status.code() == Some(64) {
            assert!(said.contains("decide again"), "{said}");
        }
    }
    assert_eq!(goes, 1);
}

/// A second run against the wind after the first, which nobody waived: 1269 m by the places of its ends.
#[test]
fn a_waiver_is_for_its_place_and_hides_no_other() {
    let repo = Repo::new();
    repo.append(UPWIND, WAIVER);
    let (status, report) = repo.json(&["check", "plans"]);
    assert_eq!((status, standing(&report)), (0, vec![]));
    let line_up = "  - { id: line-up, to: [52.396368, -24.309783] }\n";
    let second =
        "  - { id: far-again, to: [52.401700, -24.294200], speed: { over_ground: 1.1 m/s } }
  - { id: back-again, to: [52.396720, -24.309148], speed: { over_ground: 1.1 m/s } }\n";
    repo.edit(UPWIND, line_up, &format!("{second}{line_up}"));
    let (status, report) = repo.json(&["check", "plans"]);
    let found = findings(&report);
    let how = |accepted: bool| {
        let mut upwind = found.iter();
        upwind.any(|(rule, how)| rule == "upwind-run-length" && how.is_some() == accepted)
    };
    assert_eq!(status, 1, "{found:?}");
    assert!(how(true) && how(false), "{found:?}");
    let all = report["findings"].as_array().unwrap();
    let other = all
        .iter()
        .find(|one| one["rule"] == "upwind-run-length" && one["accepted"].is_null());
    let message = other.unwrap()["message"].as_str().unwrap();
    assert!(message.contains("for the leg to "), "{message}");
    // A waiver of its own is for it.
    let place = message.split(" for ").nth(1).unwrap();
    let place = place.split(" (limit").next().unwrap();
    let own = WAIVER
        .replace("the leg to profile-end", place)
        .replace("waivers:\n", "");
    repo.append(UPWIND, &own);
    let (_, report) = repo.json(&["check", "plans"]);
    let still = standing(&report);
    assert!(
        !still.contains(&"upwind-run-length".to_owned()),
        "{report:#}"
    );
}

#[test]
#[ignore = "slow"]
fn a_laxer_policy_under_a_new_mission_id_still_launches_from_the_reviewed_branch() {
    let upstream = Repo::new();
    upstream.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\nlaunch_from: origin/main\n",
    );
    let lax =
        "kind: policy\nformat: 1\nid: lax\ntitle: Another water's\nextends: builtin\nrules: {}\n";
    upstream.write("plans/policy/lax.yaml", lax);
    upstream.commit();
    let repo = Repo::cloned(upstream.path());
    let text = repo.read(NORTH);
    let text = text
        .replace("id: north-bay-lines\n", "id: north-bay-again\n")
        .replace("policy: team\n", "policy: lax\n");
    repo.write(
        "plans/missions/north-bay-again.yaml",
        &format!("{text}{}", water::ITEMS),
    );
    repo.commit();
    let (status, rules) = decide(&repo, "north-bay-again", &[]);
    assert!(
        status == 1 && rules.contains(&"not-reviewed".to_owned()),
        "{rules:?}"
    );
    // Its boat and its water copied under new ids as well.
    for (path, id) in [
        ("plans/vessels/goosander.yaml", "goosander"),
        ("plans/site/quenderby.yaml", "quenderby"),
    ] {
        let copy = path.replace(".yaml", "-2.yaml");
        let own = format!("id: {id}\n");
        assert!(repo.read(path).contains(&own));
        repo.write(
            &copy,
            &repo.read(path).replace(&own, &format!("id: {id}-2\n")),
        );
        let text = repo.read("plans/missions/north-bay-again.yaml");
        let text = text.replace(&format!(": {id}\n"), &format!(": {id}-2\n"));
        repo.write("plans/missions/north-bay-again.yaml", &text);
        repo.commit();
        let (status, rules) = decide(&repo, "north-bay-again", &[]);
        assert!(
            status == 1 && rules.contains(&"not-reviewed".to_owned()),
            "{id}: {rules:?}"
        );
    }
    // A branch of this clone alone, which its owner moves, is no reviewed one either.
    repo.edit(
        "plans/policy/lax.yaml",
        "extends: builtin\n",
        "extends: builtin\nlaunch_from: main\n",
    );
    repo.commit();
    let (status, rules) = decide(&repo, "north-bay-again", &[]);
    assert!(
        status == 1 && rules.contains(&"not-reviewed".to_owned()),
        "{rules:?}"
    );
}

/// Line ends that git changed as it checked out are told as that, with what to do, which helps.
#[test]
fn a_check_out_with_other_line_ends_says_what_to_do() {
    let repo = Repo::new();
    repo.write(".gitattributes", "*.yaml text eol=crlf\n");
    repo.commit();
    let check_out = || {
        std::fs::remove_dir_all(repo.path().join("plans")).unwrap();
        repo.git(&["checkout", "--quiet", "HEAD", "--", "plans"]);
    };
    check_out();
    assert!(repo.read(NORTH).contains("\r\n"));
    assert_eq!(repo.git(&["status", "--porcelain"]), "");
    let (status, text, said) = uncommitted(&repo, MISSION, &go());
    let text: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(status, 1, "{said}");
    assert!(text.contains("has other line endings"), "{text}");
    repo.write(".gitattributes", "* -text\n");
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    repo.commit();
    check_out();
    assert_eq!(decide(&repo, MISSION, &[]), (0, vec![]));
}
