//! What judges a mission cannot be exchanged for something laxer unseen.

use serde_json::Value as Json;

use super::launch::{decided, reasons};
use super::repo::{NORTH, Repo, TEAM, UPWIND, standing};
use super::water::{self, go};

const LAX: &str = "plans/policy/lax.yaml";
const VESSEL: &str = "plans/vessels/goosander.yaml";
const SITE: &str = "plans/site/quenderby.yaml";

/// A policy that extends the built-in one and switches rules off.
fn lax(id: &str) -> String {
    format!(
        "kind: policy\nformat: 1\nid: {id}\nextends: builtin\nrules:\n  reserve-at-turnaround: {{ \
         enabled: false, reason: It is only a pond. }}\n  overrun: {{ enabled: false, reason: It is only a \
         pond. }}\n"
    )
}

fn of_rule<'a>(report: &'a Json, rule: &str) -> Vec<&'a Json> {
    let all = report["check"]["findings"].as_array().unwrap();
    all.iter().filter(|one| one["rule"] == rule).collect()
}

fn message(finding: &Json) -> &str {
    finding["message"].as_str().unwrap()
}

/// A mission that does not yet exist, under a policy.
fn new_mission(repo: &Repo, policy: &str) {
    let text = repo.read(NORTH);
    let text = text
        .replace("\nid: north-bay-lines\n", "\nid: other-lines\n")
        .replace("\npolicy: team\n", policy);
    repo.write("plans/missions/other.yaml", &text);
}

#[test]
fn a_new_policy_that_asks_for_less_is_told_whether_or_not_a_mission_names_it() {
    let repo = Repo::new();
    let base = repo.commit();
    repo.write(LAX, &lax("lax"));
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report:#}");
    let found = of_rule(&report, "policy-weakened");
    let laxer = found
        .iter()
        .find(|one| message(one).contains("`lax` is new"));
    let laxer = laxer.unwrap_or_else(|| panic!("{found:#?}"));
    assert_eq!(laxer["severity"], "error");
    assert_eq!(laxer["primary"]["location"]["path"], LAX);
    let steps = laxer["steps"].to_string();
    // What it switches off, and what the team asks for beside its limits.
    for what in [
        "rule `overrun`",
        "rule `reserve-at-turnaround`",
        "`gauge-set`",
    ] {
        assert!(steps.contains(what), "{what}: {steps}");
    }
    // The policy that judged everything by being the only one does so no longer.
    assert!(
        found
            .iter()
            .any(|one| message(one).contains("no longer judges every mission")),
        "{found:#?}"
    );
    // One that asks for no less is no finding, where the team's stays in force.
    repo.write(
        LAX,
        "kind: policy\nformat: 1\nid: strict\nextends: team\nrules:\n  reserve-at-turnaround: { at_least: \
         45 % }\n",
    );
    repo.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\njudges: every mission\n",
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, standing(&report["check"])),
        (0, vec![]),
        "{report:#}"
    );
}

#[test]
fn a_first_policy_is_held_against_the_built_in_one() {
    let repo = Repo::new();
    for path in [NORTH, UPWIND] {
        repo.edit(path, "policy: team\n", "");
    }
    repo.git(&[
        "rm",
        "-r",
        "--quiet",
        "--cached",
        "--ignore-unmatch",
        "plans/policy",
    ]);
    std::fs::remove_file(repo.path().join(TEAM)).unwrap();
    let base = repo.commit();
    repo.write(LAX, &lax("first"));
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report:#}");
    let found = of_rule(&report, "policy-weakened");
    assert!(
        message(found[0]).contains("the built-in policy"),
        "{found:#?}"
    );
    assert!(found[0]["steps"].to_string().contains("rule `overrun`"));
    // In a repository that holds no mission yet, too.
    let empty = Repo::empty();
    empty.write("README.md", "plans to come");
    let base = empty.commit();
    empty.write(LAX, &lax("first"));
    let (status, report) = empty.json(&["review", &base]);
    assert!(status != 0, "{report:#}");
    assert_eq!(of_rule(&report, "policy-weakened").len(), 1, "{report:#}");
}

/// New, renamed, or exchanged: a mission under a laxer policy is refused by the check, and told in the
/// review.
#[test]
fn a_mission_under_a_laxer_policy_is_told() {
    let repo = Repo::new();
    let base = repo.commit();
    new_mission(&repo, "\npolicy: builtin\n");
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    assert_eq!(of_rule(&report, "policy-bypassed").len(), 1, "{report:#}");
    let weakened = of_rule(&report, "policy-weakened");
    assert_eq!(weakened.len(), 1, "{weakened:#?}");
    assert_eq!(weakened[0]["mission"], "other-lines");
    let text = message(weakened[0]);
    assert!(text.contains("is less strict than `team`"), "{text}");
    // Renamed.
    repo.git(&["clean", "--force", "--quiet", "plans"]);
    let text = repo.read(NORTH);
    repo.write(
        NORTH,
        &text
            .replace("\nid: north-bay-lines\n", "\nid: south-bay-lines\n")
            .replace("\npolicy: team\n", "\npolicy: builtin\n"),
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    assert_eq!(of_rule(&report, "policy-weakened").len(), 1, "{report:#}");
}

/// Of several policies none of which judges every mission, the strictest that judged the same boat or
/// water counts.
#[test]
fn a_new_mission_is_held_against_what_judged_its_boat_or_its_water() {
    let repo = Repo::new();
    repo.write(LAX, &lax("lax"));
    repo.edit(UPWIND, "policy: team\n", "policy: lax\n");
    let base = repo.commit();
    // Nothing changes: no news, though the water is judged by two policies.
    assert_eq!(repo.json(&["review", &base]).0, 0);
    repo.edit(UPWIND, "charge_at_launch: 100 %", "charge_at_launch: 99 %");
    let (_, report) = repo.json(&["review", &base]);
    assert!(of_rule(&report, "policy-weakened").is_empty(), "{report:#}");
    // A new mission under the laxer of both is. The review does not parse those that stay.
    repo.git(&["checkout", "--quiet", "--", "."]);
    new_mission(&repo, "\npolicy: lax\n");
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    let found = of_rule(&report, "policy-weakened");
    assert_eq!(found.len(), 1, "{report:#}");
    assert!(message(found[0]).contains("is less strict than `team`"));
    // Under a copy of the boat and of the water, too.
    for (path, from, to) in [(VESSEL, "goosander", "teal"), (SITE, "quenderby", "quarry")] {
        let text = repo.read(path);
        let copy = text.replace(&format!("\nid: {from}\n"), &format!("\nid: {to}\n"));
        assert_ne!(text, copy);
        repo.write(&path.replace(from, to), &copy);
        repo.edit(
            "plans/missions/other.yaml",
            &format!(": {from}\n"),
            &format!(": {to}\n"),
        );
    }
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    let found = of_rule(&report, "policy-weakened");
    assert!(
        found
            .iter()
            .any(|one| message(one).contains("is less strict than `team`")),
        "{report:#}"
    );
}

/// What a policy leaves open may be looser in one below it. A new mission under that one is told all the same.
#[test]
fn a_mission_under_a_policy_that_loosens_what_is_open_is_told() {
    let repo = Repo::new();
    repo.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\nopen: [overrun]\n",
    );
    repo.write(
        LAX,
        "kind: policy\nformat: 1\nid: pond\nextends: team\nrules:\n  overrun: { enabled: false, reason: It \
         is only a pond. }\n",
    );
    let base = repo.commit();
    new_mission(&repo, "\npolicy: pond\n");
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report:#}");
    let found = of_rule(&report, "policy-weakened");
    assert_eq!(found.len(), 1, "{report:#}");
    assert!(message(found[0]).contains("is less strict than `team`"));
    assert!(found[0]["steps"].to_string().contains("rule `overrun`"));
}

#[test]
fn a_mission_that_no_policy_judges_any_more_is_told() {
    let repo = Repo::new();
    repo.edit(NORTH, "policy: team\n", "");
    let base = repo.commit();
    repo.write(
        LAX,
        "kind: policy\nformat: 1\nid: strict\nextends: team\nrules:\n  reserve-at-turnaround: { at_least: \
         45 % }\n",
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    let found = of_rule(&report, "policy-exchanged");
    assert_eq!(found.len(), 1, "{report:#}");
    assert_eq!(found[0]["mission"], "north-bay-lines");
    // Where one of both judges every mission, it judges this one.
    repo.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\njudges: every mission\n",
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, standing(&report["check"])),
        (0, vec![]),
        "{report:#}"
    );
}

#[test]
fn a_policy_that_judges_every_mission_is_not_got_round() {
    let repo = Repo::new();
    let refused = |repo: &Repo| {
        let (status, report) = repo.json(&["check", "."]);
        let all = report["findings"].as_array().unwrap();
        let of = all.iter().filter(|one| one["rule"] == "policy-bypassed");
        (status, of.cloned().collect::<Vec<Json>>())
    };
    // The only policy does, unless it says otherwise.
    repo.edit(NORTH, "policy: team\n", "policy: builtin\n");
    let (status, found) = refused(&repo);
    assert_eq!((status, found.len()), (1, 1), "{found:#?}");
    assert_eq!(found[0]["severity"], "error");
    assert!(found[0]["steps"].to_string().contains("at least 35 %"));
    repo.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\njudges: missions that name it\n",
    );
    assert_eq!(refused(&repo).1, Vec::<Json>::new());
    // Of several, those that say so.
    repo.write(LAX, &lax("lax"));
    repo.edit(NORTH, "policy: builtin\n", "policy: lax\n");
    assert_eq!(refused(&repo).1, Vec::<Json>::new());
    repo.edit(
        TEAM,
        "judges: missions that name it\n",
        "judges: every mission\n",
    );
    let (_, found) = refused(&repo);
    assert_eq!(found.len(), 1, "{found:#?}");
    // One below it may loosen what it leaves open, and no more.
    repo.write(LAX, &lax("lax").replace("builtin", "team"));
    repo.edit(
        TEAM,
        "extends: builtin\n",
        "extends: builtin\nopen: [reserve-at-turnaround, overrun]\n",
    );
    assert_eq!(refused(&repo).1, Vec::<Json>::new());
    // No waiver and no baseline accepts it.
    repo.write(LAX, &lax("lax"));
    let (status, _) = repo.run(&[
        "baseline",
        "--review-by",
        "2027-12-31",
        "--by",
        "survey lead",
        "--reason",
        "Begun.",
    ]);
    assert_eq!(status, 0);
    let (status, found) = refused(&repo);
    assert_eq!(
        (status, found[0]["accepted"].is_null()),
        (1, true),
        "{found:#?}"
    );
}

/// What the check refuses is not launched.
#[test]
fn a_mission_that_gets_round_a_policy_is_not_launched() {
    let repo = Repo::new();
    let (_, decision) = decided(&repo, "north-bay-lines", &go());
    assert_eq!(reasons(&decision), Vec::<String>::new(), "{decision}");
    let repo = Repo::new();
    repo.edit(NORTH, "policy: team\n", "policy: builtin\n");
    repo.append(NORTH, water::ITEMS);
    let (status, decision) = decided(&repo, "north-bay-lines", &go());
    assert_eq!(status, 1);
    assert!(
        reasons(&decision).contains(&"policy-bypassed".to_owned()),
        "{decision}"
    );
}

#[test]
fn signers_of_another_file_count_for_less_under_the_same_words_too() {
    let repo = Repo::new();
    repo.append(
        TEAM,
        "approvals: { signers: signers, needed: [survey lead] }\njudges: every mission\n",
    );
    repo.write("plans/policy/signers", "survey-lead ssh-ed25519 AAAA\n");
    let base = repo.commit();
    let text = repo.read(TEAM).replace("\nid: team\n", "\nid: twin\n");
    repo.write("plans/else/twin.yaml", &text);
    repo.write("plans/else/signers", "survey-lead ssh-ed25519 BBBB\n");
    let (_, report) = repo.json(&["review", &base]);
    let found = of_rule(&report, "policy-weakened");
    assert_eq!(found.len(), 1, "{report:#}");
    assert!(
        message(found[0]).contains("whose signatures count"),
        "{found:#?}"
    );
}

/// Every form says that a policy asks for less than the built-in one.
#[test]
#[ignore = "slow"]
fn every_report_says_what_a_policy_asks_for_less() {
    let repo = Repo::new();
    repo.edit(
        TEAM,
        "  operator-near:",
        "  overrun: { severity: warning, reason: The pontoon has a fender. }\n  operator-near:",
    );
    let base = repo.commit();
    repo.edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
    for form in [
        "terminal", "json", "sarif", "junit", "markdown", "github", "gitlab",
    ] {
        for command in [&["check", "."][..], &["review", &base]] {
            let (_, text) = repo.run(&[command, &["--format", form]].concat());
            let text = text
                .replace(['\n', '`'], " ")
                .replace("&#96;", " ")
                .replace("&#45;", "-");
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(
                text.contains("is less strict than rule"),
                "{form} {command:?}: {text}"
            );
            assert!(text.contains("pontoon has a fender"), "{form} {command:?}");
        }
    }
}
