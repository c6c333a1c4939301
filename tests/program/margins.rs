//! What is not known: a policy's margins, and variations drawn by lot.

use crate::shared::demo_tree as tree;

use offing::door::check::{CheckScope, Outcome, Sampling, Spread, check_share, on_large_stacks};
use offing::door::source::WorkTree;
use tree::{Files, POLICY, mission};

const ID: &str = "dam-to-bay-transects";

fn with_margins(margins: &str) -> Files {
    let mut files = Files::demo(&[ID]);
    let text = files.text(POLICY).to_owned();
    let cut = text
        .split("margins:")
        .next()
        .expect("a text")
        .trim_end()
        .to_owned();
    files.write(POLICY, format!("{cut}\nmargins:\n{margins}"));
    files
}

fn without_margins() -> Files {
    let mut files = with_margins("");
    let text = files.text(POLICY).replace("margins:\n", "");
    files.write(POLICY, text);
    files
}

fn measured(outcome: &Outcome, rule: &str) -> f64 {
    let judged = outcome.checked[0]
        .judged
        .iter()
        .find(|one| &*one.rule == rule);
    judged.and_then(|one| one.measured).expect("a figure").value
}

/// A margin of a figure does what that figure, made worse by hand in its own file, does.
#[test]
fn a_margin_is_the_stated_figure_made_worse() {
    let cases = [
        (
            "  battery_age: 10 %\n",
            tree::VESSEL,
            "measured_capacity: 9.3 Ah",
            "measured_capacity: 8.37 Ah",
            "reserve-at-turnaround",
        ),
        (
            "  trial_error: 20 %\n",
            tree::VESSEL,
            "- { speed: 1.0 m/s, power: 30 W }",
            "- { speed: 1.0 m/s, power: 36 W }",
            "upwind-run-energy",
        ),
        (
            "  forecast_error: 10 %\n",
            "mission",
            "mean: 2.5 m/s, gust: 5.5 m/s",
            "mean: 2.75 m/s, gust: 6.05 m/s",
            "drift-ashore",
        ),
    ];
    let plain = without_margins().check();
    for (margin, path, from, to, rule) in cases {
        let by_margin = with_margins(margin).check();
        let mut files = without_margins();
        let path = if path == "mission" {
            mission(ID)
        } else {
            path.to_owned()
        };
        if margin.contains("trial") {
            // Every point of the table, as the margin does.
            for (speed, power, raised) in [
                ("0.4", "2.1 W", "2.52 W"),
                ("0.6", "6.6 W", "7.92 W"),
                ("0.8", "15 W", "18 W"),
                ("1.2", "54 W", "64.8 W"),
                ("1.4", "94 W", "112.8 W"),
                ("1.6", "150 W", "180 W"),
                ("1.8", "222 W", "266.4 W"),
            ] {
                files.edit(
                    &path,
                    &format!("speed: {speed} m/s, power: {power}"),
                    &format!("speed: {speed} m/s, power: {raised}"),
                );
            }
        }
        if margin.contains("forecast") {
            // Every hour of the forecast, likewise.
            for (hour, raised) in [
                ("2.8 m/s, gust: 6.5 m/s", "3.08 m/s, gust: 7.15 m/s"),
                ("3 m/s, gust: 7 m/s", "3.3 m/s, gust: 7.7 m/s"),
                ("3.1 m/s, gust: 7.5 m/s", "3.41 m/s, gust: 8.25 m/s"),
            ] {
                files.edit(&path, &format!("mean: {hour}"), &format!("mean: {raised}"));
            }
        }
        files.edit(&path, from, to);
        let by_hand = files.check();
        let (with, by_hand) = (measured(&by_margin, rule), measured(&by_hand, rule));
        assert!(
            (with - by_hand).abs() < 1e-9 * with.abs(),
            "{rule}: {with}, {by_hand}"
        );
        let without = measured(&plain, rule);
        assert!(
            (with - without).abs() > 1e-3 * without.abs(),
            "{rule}: {with}, {without}"
        );
    }
}

#[test]
#[ignore = "slow"]
fn margins_are_told_of() {
    let outcome = with_margins("  battery_age: 10 %\n  forecast_error: 50 %\n").check();
    let told = &outcome.checked[0].assumptions;
    for text in [
        "battery capacity: 10 % less than stated: the margin `battery_age` of policy `team`",
        "mean wind and gust: 50 % stronger than planned for: the margin `forecast_error` of policy \
         `team`",
    ] {
        assert!(told.iter().any(|line| line == text), "{told:?}");
    }
    // A finding of a rule that the wind bears on points to the margin's own line.
    let mut files = with_margins("  forecast_error: 50 %\n");
    files.edit(
        &mission(ID),
        "charge_at_launch: 100 %",
        "charge_at_launch: 75 %",
    );
    let outcome = files.check();
    let finding = outcome
        .findings
        .iter()
        .find(|finding| finding.rule == "reserve-at-turnaround")
        .expect("a finding");
    let line = finding
        .related
        .iter()
        .find(|label| label.text == "mean wind and gust: 50 % stronger than planned for")
        .expect("a line");
    assert_eq!(outcome.sources.slice(line.span), "50 %");
}

#[test]
fn a_policy_that_extends_another_keeps_its_margins() {
    let mut files = with_margins("  battery_age: 10 %\n  trial_error: 5 %\n");
    files.write(
        "policy/evening.yaml",
        "kind: policy\nformat: 1\nid: evening\nextends: team\nrules: {}\nmargins:\n  \
         battery_age: §8 %\n  forecast_error: 1 %\n",
    );
    let own = mission(ID);
    files.edit(&own, "policy: team", "policy: evening");
    let outcome = files.check();
    let found: Vec<&str> = outcome
        .findings
        .iter()
        .map(|f| f.message.as_str())
        .collect();
    assert_eq!(
        found,
        ["Margin `battery_age`: 8 % is less than the 10 % of policy `team`"]
    );
    let at = outcome.sources.position(outcome.findings[0].primary.span);
    let marks = files.marks();
    assert_eq!(
        marks,
        [("policy/evening.yaml".to_owned(), at.line, at.column)]
    );
    let margins: Vec<&String> = outcome.checked[0]
        .assumptions
        .iter()
        .filter(|text| text.contains("the margin"))
        .collect();
    assert_eq!(margins.len(), 3, "{margins:?}");
    assert!(margins[0].contains("10 % less") && margins[0].contains("policy `team`"));
    assert!(margins[1].contains("5 % more") && margins[1].contains("policy `team`"));
    assert!(margins[2].contains("1 % stronger") && margins[2].contains("policy `evening`"));
}

fn sampled(files: &Files, runs: u32, seed: u64) -> Spread {
    let folder = files.lay_out();
    let tree = WorkTree::open(folder.path()).expect("a tree");
    let outcome = on_large_stacks(|| {
        check_share(
            &tree,
            None,
            CheckScope {
                sampling: Some(Sampling { runs, seed }),
                ..CheckScope::default()
            },
        )
    });
    let outcome = outcome.expect("an outcome");
    outcome.checked[0].spread.clone().expect("variations")
}

#[test]
#[ignore = "slow"]
fn the_same_seed_draws_the_same_variations() {
    let mut files = without_margins();
    files.edit(
        &mission(ID),
        "charge_at_launch: 100 %",
        "charge_at_launch: 88 %",
    );
    let first = sampled(&files, 60, 7);
    assert_eq!(first, sampled(&files, 60, 7));
    assert_ne!(first.rules, sampled(&files, 60, 8).rules);
    assert_eq!(first.judged, 60);
    // Some hold and some do not: what is not known decides.
    assert!(first.any > 0 && first.any < 60, "{first:?}");
    assert!(first.rules.iter().all(|rule| rule.failed <= first.any));
}

#[test]
fn what_fails_whatever_the_wind_fails_in_every_variation() {
    let mut files = without_margins();
    files.edit(
        &mission(ID),
        "at_end: { action: hold }",
        "at_end: { action: carry on }",
    );
    let spread = sampled(&files, 20, 1);
    let end = spread.rules.iter().find(|rule| rule.rule == "end-action");
    assert_eq!(end.map(|rule| rule.failed), Some(20));
    assert_eq!(spread.any, 20);
}

#[test]
#[ignore = "slow"]
fn no_margin_draws_no_error() {
    // With every margin stated as nothing only the direction is drawn, and every direction of the
    // band was judged to hold already.
    let files = with_margins("  battery_age: 0 %\n  trial_error: 0 %\n  forecast_error: 0 %\n");
    assert_eq!(files.check().findings, []);
    let spread = sampled(&files, 40, 3);
    assert_eq!((spread.judged, spread.any), (40, 0), "{spread:?}");
}
