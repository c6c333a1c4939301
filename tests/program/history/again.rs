//! Launches that are decided again when a history is verified.

use serde_json::Value as Json;

use super::last_season::SEASON;
use super::repo::{Repo, standing};
use super::season::{Run, Season, deciding, record};

const DAY: &str = "2027-06-15";
const DECISION: &str = "launches/north-bay-lines-20270615T114000Z.yaml";

fn verified(repo: &Repo, more: &[&str]) -> (i32, Vec<String>, Json) {
    let arguments = [&["history", "verify"], more].concat();
    let (status, report) = repo.json(&arguments);
    let verified = report["verified"].clone();
    (status, standing(&verified), verified)
}

/// A run on a decision that came out one way and was changed before anybody saw it.
fn run_on_a_changed_decision(options: &[(&str, &str)], changes: &[(&str, &str)]) -> Repo {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let mut arguments = deciding(DAY);
    for (option, value) in options {
        let at = arguments.iter().position(|one| one == option).unwrap();
        (*value).clone_into(&mut arguments[at + 1]);
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    season.repo.offing(&arguments);
    for (from, to) in changes {
        let text = season.repo.read(DECISION);
        let text: Vec<&str> = text
            .lines()
            .map(|line| if line.starts_with(from) { to } else { line })
            .collect();
        season.repo.write(DECISION, &(text.join("\n") + "\n"));
    }
    season.repo.commit();
    let output = record(&season.repo, &Run::on(DAY, 40, "completed"), &[]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{said}");
    season.repo.commit();
    season.repo
}

#[test]
fn a_no_go_that_was_made_a_go_before_it_was_committed_is_found() {
    let wind = ("--wind", "240° 14 m/s gust 20 m/s at 2 m");
    let repo = run_on_a_changed_decision(&[wind], &[("decision: no-go", "decision: go")]);
    // The chain by itself is whole: nobody saw the decision as it was.
    let (status, rules, told) = verified(&repo, &[]);
    assert_eq!((status, rules), (0, Vec::new()), "{told}");
    assert_eq!(told["judged"], Json::Null);
    let (status, rules, told) = verified(&repo, &["--judge"]);
    assert_eq!(status, 1);
    assert_eq!(rules, ["go-not-borne-out"], "{told}");
    assert_eq!(told["judged"], 1);
    let found = &told["findings"][0];
    assert_eq!(found["primary"]["location"]["path"], DECISION);
    let message = found["message"].as_str().unwrap();
    assert!(
        message.contains("is a no-go when judged again"),
        "{message}"
    );
    // Only the launches that are requested are decided again.
    let (status, _, told) = verified(&repo, &["--judge", "--since", "2027-06-16"]);
    assert_eq!((status, &told["judged"]), (0, &Json::from(0)));
    // A slip in a name is no question that was answered.
    let (status, _) = repo.run(&[
        "history",
        "verify",
        "--judge",
        "--mission",
        "north-bay-linez",
    ]);
    assert_eq!(status, 64);
    let (status, _) = repo.run(&["history", "verify", "--since", "2027-06-16"]);
    assert_eq!(status, 64, "a whole chain is not verified from a day on");
}

#[test]
fn a_reading_that_was_made_milder_is_what_stands() {
    // Whoever changes what was read as well is found out by a signature alone.
    let wind = ("--wind", "240° 14 m/s gust 20 m/s at 2 m");
    let changes = [
        ("decision: no-go", "decision: go"),
        ("  wind: ", "  wind: \"240° 2 m/s gust 3 m/s at 2 m\""),
    ];
    let repo = run_on_a_changed_decision(&[wind], &changes);
    let (status, rules, told) = verified(&repo, &["--judge"]);
    assert_eq!((status, rules), (0, Vec::new()), "{told}");
}

#[test]
#[ignore = "slow"]
fn a_decision_of_another_person_or_commit_is_found() {
    let repo = run_on_a_changed_decision(
        &[("--by", "operator")],
        &[("decision: no-go", "decision: go")],
    );
    let (status, _, told) = verified(&repo, &["--judge"]);
    assert_eq!(status, 1);
    let message = told["findings"][0]["message"].as_str().unwrap();
    assert!(message.contains("not-in-charge"), "{message}");
    for (to, why) in [
        ("", "names no commit"),
        (
            "commit: \"0123456789012345678901234567890123456789\"",
            "does not lead to this one",
        ),
    ] {
        let repo = run_on_a_changed_decision(&[], &[("commit: ", to)]);
        let (status, rules, told) = verified(&repo, &["--judge"]);
        assert_eq!(status, 2, "{told}");
        assert_eq!(rules, ["go-not-judged"], "{told}");
        let message = told["findings"][0]["message"].as_str().unwrap();
        assert!(message.contains(why), "{message}");
    }
}

#[test]
fn what_was_read_and_cannot_be_is_not_judged() {
    let changes = [("  wind: ", "  wind: \"a light breeze\"")];
    let repo = run_on_a_changed_decision(&[], &changes);
    let (status, rules, told) = verified(&repo, &["--judge"]);
    assert_eq!(status, 2, "{told}");
    assert_eq!(rules, ["go-not-judged"], "{told}");
}

#[test]
fn a_waiver_that_was_left_out_of_a_decision_and_its_record_is_found() {
    let repo = Repo::imported(SEASON);
    let decision = "launches/headwind-return-20270713T120500Z.yaml";
    let text = repo.read(decision);
    let from = text.find("waived:").unwrap();
    let end = text.find("taken:").unwrap();
    repo.write(
        decision,
        &format!("{}waived: []\n{}", &text[..from], &text[end..]),
    );
    let digest = |text: &str| offing::door::check::sha256(text);
    let record = "runs/headwind-return-20270713T120500Z.yaml";
    let recorded = repo.read(record);
    let recorded = recorded.replace(&digest(&text), &digest(&repo.read(decision)));
    let from = recorded.find("waived:").unwrap();
    let end = recorded.find("launched:").unwrap();
    repo.write(
        record,
        &format!("{}waived: []\n{}", &recorded[..from], &recorded[end..]),
    );
    let (_, _, told) = verified(&repo, &["--judge", "--mission", "headwind-return"]);
    let findings = told["findings"].as_array().unwrap();
    let found = findings
        .iter()
        .find(|one| one["rule"] == "go-not-borne-out");
    let message = found.unwrap()["message"].as_str().unwrap();
    assert!(message.contains("waived nothing"), "{message}");
}
