//! Positions that are left to a launch site, or to the remote operator, are as if they were stated.

use crate::shared::demo_tree::{Files, mission, orders, places};

const TRANSECTS: &str = "dam-to-bay-transects";
const DAM: &str = "from-the-dam";
/// The quay, as the site states it.
const QUAY: &str = "[52.404486, -24.289770]";
const RECOVERY: &str = "  at: [52.404267, -24.289593]\n";

/// The figures of the passage, and every finding's sentence.
fn judged(files: &Files) -> (Vec<String>, Vec<String>) {
    let outcome = files.check();
    let [mission] = &outcome.checked[..] else {
        panic!("{:?} {:?}", outcome.not_checked, outcome.findings);
    };
    let figures = mission.figures.iter();
    let findings = outcome.findings.iter();
    (
        figures.map(|one| format!("{one:?}")).collect(),
        findings
            .map(|one| format!("{}: {}", one.rule, one.message))
            .collect(),
    )
}

#[test]
fn a_launch_and_a_recovery_without_a_position_are_at_their_launch_site() {
    let files = Files::demo(&[TRANSECTS]);
    let path = mission(TRANSECTS);
    let text = files.text(&path).to_owned();
    assert!(text.contains(RECOVERY));
    let mut stated = files.clone();
    stated.write(&path, text.replace(RECOVERY, &format!("  at: {QUAY}\n")));
    let mut left = files.clone();
    let without = text
        .replace(RECOVERY, "")
        .replace(&format!("  at: {QUAY}\n"), "");
    assert!(!without.contains("\n  at: "), "{without}");
    left.write(&path, without);
    assert_eq!(judged(&left), judged(&stated));
    // The demo's boat is recovered elsewhere, so that the positions do weigh.
    assert_ne!(judged(&left).0, judged(&files).0);
}

#[test]
fn an_operator_at_a_launch_site_serves_the_stations_that_name_nobody() {
    let files = Files::demo(&[TRANSECTS]);
    let path = orders(DAM);
    let text = files.text(&path).to_owned();
    let operator = "[52.404476, -24.289795]";
    assert_eq!(text.matches(operator).count(), 2, "{text}");
    let mut stated = files.clone();
    stated.write(&path, text.replace(operator, QUAY));
    let mut left = files.clone();
    let without = text
        .replace(&format!("  at: {operator}\n"), "  place: dam-quay\n")
        .replace(&format!(", operator_at: {operator}"), "");
    assert!(!without.contains(operator), "{without}");
    left.write(&path, without);
    assert_eq!(judged(&left), judged(&stated));
}

#[test]
fn a_place_that_is_none_and_a_station_that_nobody_serves_are_refused_on_their_line() {
    let mut files = Files::demo(&[TRANSECTS]);
    let path = orders(DAM);
    files.edit(&path, "  at: [52.404476, -24.289795]", "  place: §dam-key");
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert!(
        outcome.findings[0]
            .message
            .contains("`dam-key` is not a launch site"),
        "{:?}",
        outcome.findings
    );
    let mut files = Files::demo(&[TRANSECTS]);
    let text = files.text(&path).to_owned();
    let begin = text.find("operator:\n").expect("an operator");
    let end = begin + text[begin..].find("safety_boat:").expect("what follows");
    let text = format!("{}{}", &text[..begin], &text[end..]);
    let text = text.replace(", operator_at: [52.404476, -24.289795]", "");
    files.write(
        &path,
        text.replace("station: dam-mast", "station: §dam-mast"),
    );
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert!(
        outcome.findings[0]
            .message
            .contains("Where the operator of station `dam-mast` stands is not stated"),
        "{:?}",
        outcome.findings
    );
}
