//! A change cannot let itself be accepted.

use serde_json::Value as Json;

use super::key::Key;
use super::repo::{Repo, TEAM, UPWIND, WAIVER, standing};
use super::signatures::{APPROVAL, signed_by, statement};

fn severity(report: &Json, rule: &str) -> Option<String> {
    let all = report["check"]["findings"]
        .as_array()
        .or(report["findings"].as_array());
    let found = all
        .unwrap()
        .iter()
        .find(|finding| finding["rule"] == rule)?;
    Some(found["severity"].as_str().unwrap().to_owned())
}

fn rules(report: &Json) -> Vec<String> {
    let report = if report["check"].is_object() {
        &report["check"]
    } else {
        report
    };
    standing(report)
}

/// The rule, and the place, of the waiver made those of another finding.
const OTHERS: [(&str, &str); 2] = [
    ("rule: upwind-run-length", "rule: upwind-run-energy"),
    (
        "for: the leg to profile-end",
        "for: the leg to profile-begin",
    ),
];

#[test]
fn a_waiver_that_a_change_adds_is_told_by_itself() {
    let repo = Repo::new();
    let base = repo.commit();
    repo.append(UPWIND, WAIVER);
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    assert_eq!(
        severity(&report, "waiver-added").as_deref(),
        Some("error"),
        "{report}"
    );
    // The same waiver is no news once it is there; an extended one is.
    let base = repo.commit();
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!((status, rules(&report)), (0, vec![]));
    repo.edit(UPWIND, "expires: 2027-07-13", "expires: 2027-07-15");
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!((status, rules(&report)), (1, vec!["waiver-added".into()]));
    // So is one that now accepts another rule, or another place, in the same words and until the same day.
    repo.edit(UPWIND, "expires: 2027-07-15", "expires: 2027-07-13");
    let waived = repo.read(UPWIND);
    for (from, to) in OTHERS {
        repo.edit(UPWIND, from, to);
        let (status, report) = repo.json(&["review", &base]);
        assert_eq!(status, 1);
        let told = severity(&report, "waiver-added");
        assert_eq!(told.as_deref(), Some("error"), "{to}");
        repo.write(UPWIND, &waived);
    }
    // One that is taken away brings its finding back, as a new one.
    repo.write(UPWIND, repo.read(UPWIND).split("waivers:").next().unwrap());
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, rules(&report)),
        (1, vec!["upwind-run-length".into()])
    );
}

#[test]
fn a_waiver_signed_by_the_signers_of_before_is_news_and_no_more() {
    let key = Key::new();
    let repo = signed_by(&key);
    let waived = repo.read(UPWIND);
    repo.write(UPWIND, waived.split("waivers:").next().unwrap());
    let base = repo.commit();
    repo.write(UPWIND, &waived);
    repo.write(APPROVAL, &key.sign("offing-plan", &statement(&repo)));
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, severity(&report, "waiver-added").as_deref()),
        (0, Some("advice")),
        "{report}"
    );
    // A stranger who brings a key of their own in the same change has signed nothing.
    let stranger = Key::new();
    repo.write(
        "plans/policy/signers",
        &format!("survey-lead {}", stranger.public),
    );
    repo.write(APPROVAL, &stranger.sign("offing-plan", &statement(&repo)));
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    let found = rules(&report);
    for rule in [
        "signers-changed",
        "waiver-added",
        "approval-invalid",
        "waiver-not-permitted",
    ] {
        assert!(found.contains(&rule.to_owned()), "{rule}: {found:?}");
        assert_eq!(severity(&report, rule).as_deref(), Some("error"), "{rule}");
    }
}

#[test]
#[ignore = "slow"]
fn a_change_is_judged_by_the_baseline_of_before() {
    let repo = Repo::new();
    let take = |repo: &Repo, more: &[&str]| {
        let (status, _) = repo.run(
            &[
                &[
                    "baseline",
                    "--review-by",
                    "2027-12-31",
                    "--by",
                    "survey lead",
                    "--reason",
                    "Begun.",
                ][..],
                more,
            ]
            .concat(),
        );
        assert_eq!(status, 0);
    };
    let none = repo.commit();
    take(&repo, &[]);
    let (status, report) = repo.json(&["review", &none]);
    assert_eq!(status, 1);
    assert_eq!(
        severity(&report, "baseline-widened").as_deref(),
        Some("error"),
        "{report}"
    );
    let base = repo.commit();
    assert_eq!(repo.json(&["review", &base]).0, 0);
    // A worse plan and a baseline that takes it in, in one change.
    repo.edit(
        TEAM,
        "  operator-near:",
        "  upwind-run-time: { at_most: 1 min }\n  operator-near:",
    );
    take(&repo, &["--renew"]);
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    assert!(
        rules(&report).contains(&"baseline-widened".to_owned()),
        "{report}"
    );
    // Put off.
    repo.git(&["checkout", "--quiet", "--", "."]);
    repo.edit(
        "baseline.yaml",
        "review_by: 2027-12-31",
        "review_by: 2029-12-31",
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, rules(&report)),
        (1, vec!["baseline-widened".into()])
    );
    // Struck off: no harm in it.
    repo.git(&["checkout", "--quiet", "--", "."]);
    repo.edit(
        "baseline.yaml",
        "review_by: 2027-12-31",
        "review_by: 2027-11-30",
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!((status, rules(&report)), (0, vec![]));
}

#[test]
#[ignore = "slow"]
fn a_policy_that_lets_more_be_waived_is_weakened() {
    let repo = Repo::new();
    let base = repo.commit();
    for (from, to) in [
        ("longest: 14 d }", "longest: 15 d }"),
        ("[survey lead], longest", "[survey lead, operator], longest"),
        (
            "  full-coverage: {",
            "  overrun: { approved_by: [office], longest: 1 d }\n  full-coverage: {",
        ),
    ] {
        repo.git(&["checkout", "--quiet", "--", "."]);
        repo.edit(TEAM, from, to);
        let (status, report) = repo.json(&["review", &base]);
        assert_eq!(
            (status, rules(&report)),
            (1, vec!["policy-weakened".into()]),
            "{to}"
        );
    }
    repo.git(&["checkout", "--quiet", "--", "."]);
    repo.edit(TEAM, "longest: 14 d }", "longest: 7 d, signed: true }");
    let (_, report) = repo.json(&["review", &base]);
    assert!(
        !rules(&report).contains(&"policy-weakened".to_owned()),
        "{report}"
    );
}

#[test]
fn a_waiver_is_told_of_where_the_plan_under_it_changes() {
    let repo = Repo::new();
    repo.append(UPWIND, WAIVER);
    let base = repo.commit();
    repo.edit(UPWIND, "charge_at_launch: 100 %", "charge_at_launch: 99 %");
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1, "{report}");
    assert_eq!(
        severity(&report, "waiver-added").as_deref(),
        Some("warning")
    );
}

/// The file of signers moved along with its policy is the same file all the same.
#[test]
fn signers_are_compared_wherever_their_file_lies() {
    let key = Key::new();
    let repo = signed_by(&key);
    let base = repo.commit();
    repo.git(&["mv", "plans/policy", "plans/pol"]);
    let (_, report) = repo.json(&["review", &base]);
    assert!(
        !rules(&report).contains(&"signers-changed".to_owned()),
        "{report}"
    );
    // A comment and an empty line let nobody sign.
    repo.append("plans/pol/signers", "# Kept by the survey lead.\n\n");
    let (_, report) = repo.json(&["review", &base]);
    assert!(
        !rules(&report).contains(&"signers-changed".to_owned()),
        "{report}"
    );
    repo.append(
        "plans/pol/signers",
        &format!("survey-lead {}", Key::new().public),
    );
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(status, 1);
    assert!(
        rules(&report).contains(&"signers-changed".to_owned()),
        "{report}"
    );
}
