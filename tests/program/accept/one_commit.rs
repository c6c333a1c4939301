//! A launch is decided of the bytes of one commit, and of one that was reviewed.

use std::io::{Read as _, Write as _};

use serde_json::Value as Json;

use super::key::Key;
use super::launch::{decided, reasons, uncommitted};
use super::repo::{NORTH, Repo, TEAM};
use super::water::{go, launching, with};

const MISSION: &str = "north-bay-lines";
const SIGNERS: &str = "plans/policy/signers";

/// No-go because, as it is told, with the exit status.
fn told(repo: &Repo) -> (i32, Json) {
    let all = [&go()[..], &[("--format", "json")]].concat();
    let (status, text, said) = uncommitted(repo, MISSION, &all);
    let decision = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{said}{text}"));
    let _ = std::fs::remove_dir_all(repo.path().join("launches"));
    (status, decision)
}

fn says(decision: &Json, rule: &str) -> String {
    let all = decision["reasons"].as_array().unwrap().iter();
    let of_rule = all.filter(|one| one["rule"] == rule);
    of_rule.map(|one| one["says"].as_str().unwrap()).collect()
}

/// Decides at a terminal; `meanwhile` happens once the first answer is
/// waited for.
fn deciding(repo: &Repo, meanwhile: impl FnOnce()) -> (Option<i32>, String) {
    let arguments = "--plans plans --at 2027-06-15T09:40 --now 2027-06-15T09:35 --colour never";
    let mut child = repo.terminal(&format!("launch {MISSION} {arguments}"));
    let mut stdout = child.stdout.take().unwrap();
    let mut text = String::new();
    let mut byte = [0];
    while !text.contains("the wind (") {
        assert_eq!(stdout.read(&mut byte).unwrap(), 1, "{text}");
        text.push(char::from(byte[0]));
    }
    meanwhile();
    let answers = "240° 2 m/s gust 3 m/s at 2 m\n16.5 V\nsurvey lead\nyes\nyes\nyes\nyes\n";
    let mut stdin = child.stdin.take().unwrap();
    stdin.write_all(answers.as_bytes()).unwrap();
    drop(stdin);
    let mut rest = Vec::new();
    stdout.read_to_end(&mut rest).unwrap();
    text.push_str(&String::from_utf8_lossy(&rest));
    (child.wait().unwrap().code(), text)
}

/// The digest of the plan as it is committed, and the file of the one decision.
fn of_record(repo: &Repo) -> String {
    let folder = repo.path().join("launches");
    let entry = std::fs::read_dir(&folder).unwrap().next().unwrap().unwrap();
    let text = std::fs::read_to_string(entry.path()).unwrap();
    std::fs::remove_dir_all(folder).unwrap();
    text
}

#[test]
#[ignore = "slow"]
fn what_is_judged_is_what_was_committed_though_files_change_while_it_asks() {
    let repo = Repo::new();
    let commit = repo.commit();
    let digest = repo.run(&["digest", MISSION, "--whole"]).1;
    let north = repo.read(NORTH);
    let judged = |meanwhile: &dyn Fn(), status: i32| {
        let (found, text) = deciding(&repo, meanwhile);
        assert_eq!(found, Some(status), "{text}");
        let record = of_record(&repo);
        assert!(record.contains(digest.trim()), "{record}");
        assert!(
            record.contains(&format!("commit: \"{commit}\"")),
            "{record}"
        );
        assert_eq!(status == 1, text.contains("changed-meanwhile"), "{text}");
        text
    };
    judged(&|| (), 0);
    // The plan itself: neither the new bytes count, nor does anybody go without knowing of them.
    let other = north.replace("charge_at_launch: 95 %", "charge_at_launch: 94 %");
    assert_ne!(other, north);
    let text = judged(&|| repo.write(NORTH, &other), 1);
    assert!(text.contains(NORTH), "{text}");
    // And back again before it is looked at: what was read is what was committed.
    repo.write(NORTH, &north);
    judged(
        &|| {
            repo.write(NORTH, "kind: mission\n");
            repo.write(NORTH, &north);
        },
        0,
    );
    // What judges: a policy, a rule that comes, a mission beside it.
    let team = repo.read(TEAM);
    judged(&|| repo.append(TEAM, "# a remark"), 1);
    repo.write(TEAM, &team);
    judged(&|| repo.write("plans/rules/new.yaml", "kind: rule\n"), 1);
    std::fs::remove_dir_all(repo.path().join("plans/rules")).unwrap();
    let shore = "plans/site/quenderby-shoreline.geojson";
    let line = repo.read(shore);
    judged(&|| repo.write(shore, &format!("{line}\n")), 1);
    repo.write(shore, &line);
    // Another decision that somebody makes meanwhile.
    judged(&|| repo.write("launches/other.yaml", "kind: launch\n"), 1);
    // Another commit, all files being as they were.
    judged(
        &|| {
            repo.git(&["commit", "--quiet", "--allow-empty", "--message", "two"]);
        },
        1,
    );
}

#[test]
#[ignore = "slow"]
fn whoever_may_sign_and_what_is_signed_stand_in_the_commit() {
    let (key, other) = (Key::new(), Key::new());
    let repo = Repo::new();
    repo.write(SIGNERS, &format!("survey-lead {}", key.public));
    let asks = "approvals: { signers: signers, needed: [survey lead] }\n";
    repo.append(TEAM, asks);
    let approval = NORTH.replace(".yaml", ".survey-lead.approval");
    let plan = repo.run(&["digest", MISSION]).1;
    repo.write(&approval, &key.sign("offing-plan", &plan));
    repo.commit();
    assert_eq!(told(&repo).0, 0);
    // Somebody lets their own key sign, on this disk alone.
    repo.write(SIGNERS, &format!("survey-lead {}", other.public));
    repo.write(&approval, &other.sign("offing-plan", &plan));
    let (status, decision) = told(&repo);
    assert_eq!(status, 1, "{decision}");
    let why = says(&decision, "not-committed");
    assert!(
        why.contains(SIGNERS) && why.contains("the signers"),
        "{why}"
    );
    assert!(why.contains(&approval), "{why}");
    // The signers as they are committed, and a signature that is not.
    repo.git(&["checkout", "--quiet", "--", SIGNERS]);
    repo.git(&["rm", "--quiet", "--cached", &approval]);
    repo.git(&["commit", "--quiet", "--message", "without"]);
    repo.write(&approval, &key.sign("offing-plan", &plan));
    let (status, decision) = told(&repo);
    assert_eq!(
        (status, reasons(&decision)),
        (1, vec!["not-committed".to_owned()])
    );
    let why = says(&decision, "not-committed");
    assert!(
        why.contains("the signature of `survey-lead`, is not committed"),
        "{why}"
    );
    repo.commit();
    assert_eq!(told(&repo).0, 0);
}

/// A repository whose policy names a branch, with a remote that has what is committed.
fn reviewed(from: &str) -> Repo {
    let repo = Repo::new();
    repo.append(TEAM, &format!("launch_from: {from}\n"));
    repo.commit();
    repo.git(&["update-ref", "refs/remotes/origin/main", "HEAD"]);
    repo
}

#[test]
#[ignore = "slow"]
fn a_commit_that_nobody_reviewed_is_not_launched() {
    let repo = reviewed("origin/main");
    let (status, decision) = told(&repo);
    assert_eq!((status, reasons(&decision)), (0, vec![]), "{decision}");
    assert_eq!(decision["reviewed_in"], "refs/remotes/origin/main");
    // One commit more, though it changes nothing that is launched.
    repo.write("plans/notes.txt", "a remark");
    repo.commit();
    let (status, decision) = told(&repo);
    assert_eq!(
        (status, reasons(&decision)),
        (1, vec!["not-reviewed".to_owned()]),
        "{decision}"
    );
    let why = says(&decision, "not-reviewed");
    assert!(
        why.contains("is not in refs/remotes/origin/main") && why.contains("policy `team`"),
        "{why}"
    );
    assert_eq!(decision["reviewed_in"], Json::Null);
    // Neither a tag nor a branch here of that name is the one that is meant.
    repo.git(&["tag", "origin/main"]);
    repo.git(&["branch", "origin/main"]);
    repo.git(&["update-ref", "refs/heads/refs/remotes/origin/main", "HEAD"]);
    repo.git(&["update-ref", "refs/tags/refs/remotes/origin/main", "HEAD"]);
    let (status, decision) = told(&repo);
    assert_eq!(
        (status, reasons(&decision)),
        (1, vec!["not-reviewed".to_owned()])
    );
    // Nor where the clone has none of it.
    repo.git(&["update-ref", "-d", "refs/remotes/origin/main"]);
    let (status, decision) = told(&repo);
    assert_eq!(
        (status, reasons(&decision)),
        (1, vec!["not-reviewed".to_owned()])
    );
    let why = says(&decision, "not-reviewed");
    assert!(
        why.contains("this clone has no branch refs/remotes/origin/main"),
        "{why}"
    );
    // An earlier commit of a branch that went on is in it.
    repo.git(&["commit", "--quiet", "--allow-empty", "--message", "more"]);
    repo.git(&["update-ref", "refs/remotes/origin/main", "HEAD"]);
    repo.git(&["reset", "--quiet", "--hard", "HEAD~1"]);
    let (status, decision) = told(&repo);
    assert_eq!((status, reasons(&decision)), (0, vec![]), "{decision}");
}

#[test]
#[ignore = "slow"]
fn a_policy_that_names_no_branch_is_told_and_leaving_it_out_gains_nothing() {
    // Nobody asks: it is committed, and that is all that is known.
    let repo = Repo::new();
    repo.commit();
    let output = repo.offing(&launching(MISSION, &go()));
    let text = String::from_utf8(output.stdout).unwrap();
    let words: Vec<&str> = text.split_whitespace().collect();
    assert_eq!(output.status.code(), Some(0), "{text}");
    assert!(
        words
            .join(" ")
            .contains("(committed, not known to be reviewed)"),
        "{text}"
    );
    // A commit of one's own takes the line out of the policy that the remote has.
    let gained = |change: &dyn Fn(&Repo)| {
        let repo = reviewed("origin/main");
        change(&repo);
        repo.commit();
        let (status, decision) = told(&repo);
        let why = says(&decision, "not-reviewed");
        assert_eq!(status, 1, "{decision}");
        assert!(
            why.contains("as refs/remotes/origin/main has it"),
            "{decision}"
        );
    };
    gained(&|repo| {
        repo.edit(TEAM, "launch_from: origin/main\n", "");
    });
    // Or the policy that says so from what the mission is judged by.
    gained(&|repo| {
        let own = repo.read(TEAM).replace("launch_from: origin/main\n", "");
        repo.write("plans/policy/own.yaml", &own.replace("id: team", "id: own"));
        repo.edit(NORTH, "policy: team", "policy: own");
    });
    // Or takes the policy for another one, by its name and in its file.
    gained(&|repo| {
        let own = repo.read(TEAM).replace("launch_from: origin/main\n", "");
        repo.write(TEAM, &own.replace("id: team", "id: own"));
        for mission in [NORTH, super::repo::UPWIND] {
            repo.edit(mission, "policy: team", "policy: own");
        }
    });
}

#[test]
fn a_branch_is_said_once_and_named_as_one() {
    let repo = reviewed("refs/tags/v1");
    let (status, decision) = told(&repo);
    assert_eq!(status, 1, "{decision}");
    let why = says(&decision, "not-reviewed");
    assert!(why.contains("is not a branch"), "{why}");
    // A branch of the clone itself may be meant.
    let repo = reviewed("main");
    assert_eq!(told(&repo).1["reviewed_in"], "refs/heads/main");
    // A policy below names no other one.
    repo.write(
        "plans/policy/below.yaml",
        "kind: policy\nformat: 1\nid: below\nextends: team\nlaunch_from: mine\nrules: {}\n",
    );
    let (_, report) = repo.json(&["check", "."]);
    let found = report["findings"].to_string();
    assert!(
        found.contains("policy-loosens") && found.contains("the branch for launch decisions"),
        "{found}"
    );
    // To ask for less is told in a review.
    let repo = reviewed("origin/main");
    repo.edit(TEAM, "launch_from: origin/main\n", "");
    repo.commit();
    let (status, report) = repo.json(&["review", "HEAD~1"]);
    assert_eq!(status, 1, "{report}");
    assert!(
        report
            .to_string()
            .contains("launch decisions are no longer made from branch `origin/main` alone"),
        "{report}"
    );
}

/// Where one of two clocks is wrong, it is told.
#[test]
fn what_is_later_than_now_is_told() {
    let repo = Repo::new();
    // Common practice, no source: a clock that was reset stands years back.
    let early = [("--at", "2020-06-15T09:40"), ("--now", "2020-06-15T09:40")];
    let (_, decision) = decided(&repo, MISSION, &with(&early));
    let notes = decision["notes"].to_string();
    assert!(
        notes.contains("commit ") && notes.contains("which is later than now"),
        "{notes}"
    );
    // A decision of tomorrow.
    let record = decision["record"].as_str().unwrap().to_owned();
    let (_, decision) = decided(
        &repo,
        MISSION,
        &with(&[("--at", "2019-06-15T09:40"), ("--now", "2019-06-15T09:40")]),
    );
    let notes = decision["notes"].to_string();
    assert!(
        notes.contains(&format!("{record} was decided at")) && notes.contains("later than now"),
        "{notes}"
    );
}
