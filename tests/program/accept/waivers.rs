//! Waivers of a mission.

use super::repo::{Repo, TEAM, UPWIND, WAIVER, findings, standing};

#[test]
fn a_waived_finding_fails_nothing_and_stays_visible_in_every_report() {
    let repo = Repo::new();
    let (status, report) = repo.json(&["check", "plans"]);
    assert_eq!(
        (status, standing(&report)),
        (1, vec!["upwind-run-length".into()])
    );
    repo.append(UPWIND, WAIVER);
    let (status, report) = repo.json(&["check", "plans"]);
    let waived = ("upwind-run-length".to_owned(), Some("waiver".to_owned()));
    assert_eq!((status, findings(&report)), (0, vec![waived]));
    let finding = &report["findings"][0];
    assert_eq!(finding["severity"], "error");
    assert_eq!(finding["accepted"]["by"], "survey lead");
    assert_eq!(finding["accepted"]["until"], "2027-07-13");
    assert_eq!(finding["accepted"]["location"]["path"], UPWIND);
    assert_eq!(report["summary"]["findings"]["error"], 0);
    assert_eq!(report["summary"]["findings"]["accepted"], 1);
    // What somebody accepted is still not met.
    assert_eq!(report["summary"]["missions_clean"], 1);
    let reason = "The recovery crew lies off the far end";
    for (form, holds) in [
        ("terminal", "waived: error[upwind-run-length]"),
        ("sarif", "\"suppressions\""),
        ("junit", "<skipped"),
        ("markdown", "waived (error)"),
        ("github", "::notice "),
        ("gitlab", "\"severity\": \"info\""),
    ] {
        let (status, text) = repo.run(&["check", "plans", "--format", form]);
        assert_eq!(status, 0, "{form}");
        assert!(text.contains(holds), "{form}: {text}");
        assert!(text.replace("\n  ", " ").contains(reason), "{form}: {text}");
        assert!(!text.contains("::error"), "{form}: {text}");
    }
}

/// What is wrong with a waiver: an edit of it, the finding that says so, and whether the finding
/// that it was for stands.
#[test]
#[ignore = "slow"]
fn a_waiver_that_is_not_in_order_waives_nothing() {
    let cases: &[(&str, &str, &str, &str)] = &[
        (
            "rule: upwind-run-length",
            "rule: upwind-run-lenght",
            "waiver-unknown",
            "upwind-run-lenght",
        ),
        (
            "rule: upwind-run-length",
            "rule: shoreline",
            "waiver-not-permitted",
            "lets nobody waive",
        ),
        (
            "approved_by: survey lead",
            "approved_by: operator",
            "waiver-not-permitted",
            "`operator` may not",
        ),
        (
            "reason: The recovery crew lies off the far end for the whole run.",
            "reason: tbd",
            "waiver-not-permitted",
            "no reason",
        ),
        (
            "expires: 2027-07-13",
            "expires: 2027-07-12",
            "waiver-expired",
            "ends on 2027-07-12",
        ),
        (
            "approved: 2027-07-05",
            "approved: 2027-07-14",
            "waiver-expired",
            "after the launch",
        ),
        (
            "approved: 2027-07-05",
            "approved: 2027-06-20",
            "waiver-not-permitted",
            "runs for 23 days",
        ),
        (
            "for: the leg to profile-end",
            "for: the mission",
            "waiver-broad",
            "the leg to profile-end",
        ),
        (
            "    no_worse_than: 1400 m\n",
            "",
            "waiver-broad",
            "1319 m now",
        ),
        (
            "no_worse_than: 1400 m",
            "no_worse_than: 30 kg",
            "waiver-not-permitted",
            "no_worse_than",
        ),
        (
            "for: the leg to profile-end",
            "for: the leg to slow-down",
            "waiver-unused",
            "elsewhere",
        ),
    ];
    for (from, to, code, says) in cases {
        let repo = Repo::new();
        assert_eq!(WAIVER.matches(from).count(), 1, "{from}");
        repo.append(UPWIND, &WAIVER.replace(from, to));
        let (status, report) = repo.json(&["check", "plans"]);
        assert_eq!(status, 1, "{to}");
        let standing = standing(&report);
        assert!(
            standing.contains(&"upwind-run-length".to_owned()),
            "{to}: {standing:?}"
        );
        let found = report["findings"].as_array().unwrap();
        let told = found.iter().find(|finding| finding["rule"] == *code);
        let told = told.unwrap_or_else(|| panic!("{to}: {standing:?}"));
        assert!(told["message"].as_str().unwrap().contains(says), "{told}");
        assert_eq!(told["primary"]["location"]["path"], UPWIND, "{to}");
    }
}

/// Of several roles that may waive a rule any one may.
#[test]
fn each_of_several_roles_may_waive() {
    for role in ["survey lead", "office"] {
        let repo = Repo::new();
        let one = "upwind-run-length: { approved_by: [survey lead],";
        let two = "upwind-run-length: { approved_by: [survey lead, office],";
        repo.edit(TEAM, one, two);
        let by = format!("approved_by: {role}");
        repo.append(UPWIND, &WAIVER.replace("approved_by: survey lead", &by));
        let (status, report) = repo.json(&["check", "plans"]);
        assert_eq!((status, standing(&report)), (0, vec![]), "{role}: {report}");
    }
}

/// A leg by its name alone is not the words of the finding, which the answer gives.
#[test]
fn a_waiver_for_a_leg_by_its_name_alone_is_told_the_words_of_the_finding() {
    for about in ["profile-end", "leg to profile-end", "the leg to profil-end"] {
        let repo = Repo::new();
        let waiver = WAIVER.replace("for: the leg to profile-end", &format!("for: {about}"));
        repo.append(UPWIND, &waiver);
        let (status, report) = repo.json(&["check", "plans"]);
        assert_eq!(status, 1, "{about}");
        let found = report["findings"].as_array().unwrap();
        let told = found.iter().find(|one| one["rule"] == "waiver-unused");
        let told = told.unwrap_or_else(|| panic!("{about}")).to_string();
        assert!(
            told.contains("did you mean `for: the leg to profile-end`?"),
            "{told}"
        );
    }
}

#[test]
fn a_finding_that_is_worse_than_was_waived_stands_and_says_so() {
    let repo = Repo::new();
    repo.append(UPWIND, &WAIVER.replace("1400 m", "1300 m"));
    let (status, report) = repo.json(&["check", "plans"]);
    assert_eq!(
        (status, standing(&report)),
        (1, vec!["upwind-run-length".into()])
    );
    let related = report["findings"][0]["related"].to_string();
    assert!(
        related.contains("waived for no worse than 1300 m, now worse by 19"),
        "{related}"
    );
}

#[test]
fn a_waiver_of_what_is_kept_is_told() {
    let repo = Repo::new();
    repo.append(UPWIND, WAIVER);
    repo.edit(
        TEAM,
        "  operator-near:",
        "  upwind-run-length: { at_most: 2 km, reason: A test. }\n  operator-near:",
    );
    let (status, report) = repo.json(&["check", "plans"]);
    assert_eq!(
        (status, standing(&report)),
        (1, vec!["waiver-unused".into()])
    );
    assert_eq!(report["findings"][0]["severity"], "warning");
}

/// What could not be judged is not known to anybody, so nobody can accept it.
#[test]
fn what_could_not_be_evaluated_is_not_waived() {
    let repo = Repo::new();
    // Without the conditions nobody knows which way is upwind.
    let text = repo.read(UPWIND);
    let (before, rest) = text.split_once("conditions:").unwrap();
    let after = &rest[rest.find("\n#").or(rest.find("\n\n")).unwrap()..];
    let waiver = WAIVER.replace("the leg to profile-end", "the mission");
    repo.write(UPWIND, &format!("{before}{after}\n{waiver}"));
    let (status, report) = repo.json(&["check", "plans"]);
    assert_ne!(status, 0);
    let standing = standing(&report);
    assert!(
        standing.contains(&"upwind-run-length".to_owned()),
        "{standing:?}"
    );
    assert!(
        standing.contains(&"waiver-broad".to_owned()),
        "{standing:?}"
    );
}

/// A policy below another may let less be waived, and more only where that is left open.
#[test]
fn a_policy_below_another_cannot_let_more_be_waived() {
    let own = |rule: &str, longest: &str, open: &str| {
        let repo = Repo::new();
        repo.append(TEAM, open);
        repo.write(
            "plans/policy/own.yaml",
            &format!(
                "kind: policy\nformat: 1\nid: own\nextends: team\nrules: {{}}\nwaivers:\n  {rule}: \
                 {{ approved_by: [survey lead], longest: {longest} }}\n"
            ),
        );
        let (status, report) = repo.json(&["check", "plans"]);
        (status, standing(&report))
    };
    let loosens = |found: &(i32, Vec<String>)| found.1.contains(&"policy-loosens".to_owned());
    assert!(!loosens(&own("upwind-run-length", "7 d", "")));
    assert!(loosens(&own("upwind-run-length", "15 d", "")));
    assert!(loosens(&own("overrun", "1 d", "")));
    assert!(!loosens(&own("overrun", "1 d", "open: [overrun]\n")));
    let unknown = own("overrunn", "1 d", "");
    assert!(
        unknown.1.iter().any(|rule| rule.starts_with("input-")),
        "{unknown:?}"
    );
}

#[test]
fn explain_says_what_may_be_waived() {
    let repo = Repo::new();
    let (status, text) = repo.run(&["explain", "upwind-run-length", "--plans", "plans"]);
    assert_eq!(status, 0);
    assert!(text.contains("by `survey lead` for at most 14 d"), "{text}");
    let (_, text) = repo.run(&["explain", "waiver-expired"]);
    assert!(text.contains("reported by `offing check`"), "{text}");
}
