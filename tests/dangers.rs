//! Dangers that a plan can hold, each made by one edit of a mission of the demo that passes: the
//! rule that is there for it, and no silence.

#[path = "bad_input/tree.rs"]
#[allow(dead_code)]
mod tree;

use offing::check::Outcome;
use offing::finding::Nature;
use tree::{Files, mission};

const ID: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";

fn edited(edits: &[(&str, &str, &str)]) -> Outcome {
    let mut files = Files::demo(&[ID]);
    for (path, from, to) in edits {
        let path = if *path == "mission" {
            mission(ID)
        } else {
            (*path).to_owned()
        };
        files.edit(&path, from, to);
    }
    files.check()
}

/// Rules with a finding, in order, each with whether it could be judged.
fn rules(outcome: &Outcome) -> Vec<(String, Nature)> {
    let mut rules: Vec<_> = outcome
        .findings
        .iter()
        .map(|f| (f.rule.clone(), f.nature))
        .collect();
    rules.sort();
    rules
}

fn holds(outcome: &Outcome, rule: &str, nature: Nature) {
    let found = rules(outcome);
    assert!(
        found.contains(&(rule.to_owned(), nature)),
        "{rule}: {found:?}"
    );
}

#[test]
fn the_mission_itself_passes() {
    assert_eq!(rules(&edited(&[])), []);
}

#[test]
fn a_run_that_outlasts_the_latest_return() {
    let late = "latest_return: 2027-06-15T11:30";
    let outcome = edited(&[("mission", late, "latest_return: 2027-06-15T09:45")]);
    holds(&outcome, "back-in-time", Nature::Violation);
    let outcome = edited(&[("mission", late, "")]);
    holds(&outcome, "back-in-time", Nature::NotEvaluated);
}

#[test]
fn responses_that_are_none() {
    let lost_link = "on_lost_link: { action: return, after: 10 s }";
    let lost_position = "on_lost_position: { action: stop, after: 5 s }";
    let low = "on_low_battery: { action: return,";
    let cases = [
        (
            lost_link,
            "on_lost_link: { action: carry on, after: 10 s }",
            "lost-link-action",
        ),
        (
            lost_link,
            "on_lost_link: { action: return, after: 10 h }",
            "lost-link-delay",
        ),
        (
            lost_position,
            "on_lost_position: { action: carry on, after: 5 s }",
            "lost-position-action",
        ),
        (
            lost_position,
            "on_lost_position: { action: return, after: 5 s }",
            "lost-position-action",
        ),
        (low, "on_low_battery: { action: hold,", "low-battery-action"),
    ];
    for (from, to, rule) in cases {
        let outcome = edited(&[("mission", from, to)]);
        assert_eq!(
            rules(&outcome),
            [(rule.to_owned(), Nature::Violation)],
            "{to}"
        );
    }
    for (from, rule) in [
        (lost_link, "lost-link-action"),
        (lost_position, "lost-position-action"),
    ] {
        let outcome = edited(&[("mission", from, "")]);
        holds(&outcome, rule, Nature::NotEvaluated);
    }
}

#[test]
fn a_landing_zone_that_takes_in_the_lake() {
    let outcome = edited(&[(
        SITE,
        "    zone: 50 m\n    depth: 0.9 m",
        "    zone: 5 km\n    depth: 0.9 m",
    )]);
    holds(&outcome, "input-value", Nature::Input);
    assert!(outcome.checked.is_empty());
}

/// A wind that holds a dead boat against the current must not be counted on.
#[test]
fn a_current_that_a_wind_happens_to_hold_off() {
    let swift = "currents:\n  - { id: swift, area: [[52.390, -24.330], [52.390, -24.290], [52.410, \
                 -24.290], [52.410, -24.330]], set: 250°, drift: 0.4 m/s }\n\n";
    let demo = Files::demo(&[ID]);
    let site = demo.text(SITE);
    let (begin, end) = (site.find("currents:\n"), site.find("landing_places:\n"));
    let own = site[begin.expect("currents")..end.expect("landing places after them")].to_owned();
    let drift_time = |mean: &str, gust: &str, from: &str| {
        let mut files = Files::demo(&[ID]);
        files.edit(SITE, &own, swift);
        let name = mission(ID);
        let conditions = files.text(&name).to_owned();
        let begin = conditions
            .find("conditions:\n")
            .expect("the mission states conditions");
        let end = begin
            + conditions[begin..]
                .find("\n\n")
                .unwrap_or(conditions.len() - begin);
        let old = conditions[begin..end].to_owned();
        let new = format!(
            "conditions:\n  wind: {{ from: {from}, spread: 0°, mean: {mean}, gust: {gust}, height: 10 m }}\n  \
             water_temperature: 20 °C"
        );
        files.edit(&name, &old, &new);
        let outcome = files.check();
        let judged = outcome.checked[0]
            .judged
            .iter()
            .find(|j| j.rule == "drift-ashore");
        judged
            .and_then(|j| j.measured)
            .map(|q| q.value)
            .expect("a drift time")
    };
    // Towards 250° runs the current; from 250° the wind holds against it.
    let calm = drift_time("0 m/s", "0 m/s", "250°");
    let against = drift_time("4 m/s", "5.7 m/s", "250°");
    assert!(
        against <= calm + 1e-6,
        "{against} s in the wind, {calm} s without"
    );
}

#[test]
fn currents_that_overlap() {
    let mut files = Files::demo(&[ID]);
    let twin = "currents:\n  - { id: twin, area: [[52.390, -24.330], [52.390, -24.270], [52.410, -24.270], \
                [52.410, -24.330]], set: 90°, drift: 0 m/s }\n";
    files.edit(SITE, "currents:\n", twin);
    let outcome = files.check();
    holds(&outcome, "input-value", Nature::Input);
    assert!(
        outcome
            .findings
            .iter()
            .any(|f| f.message.contains("overlap")),
        "{:?}",
        rules(&outcome)
    );
}

/// A battery that runs flat is not a wind that is too strong.
#[test]
fn a_battery_that_runs_flat_on_the_way_home() {
    let outcome = edited(&[("mission", "below_charge: 45 %", "below_charge: 1 %")]);
    let finding = outcome
        .findings
        .iter()
        .find(|f| f.rule == "low-battery-in-time")
        .expect("a finding");
    assert!(
        finding.nature == Nature::Violation || finding.message.contains("runs flat"),
        "{}",
        finding.message
    );
}
