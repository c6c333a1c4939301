//! Judgements: three values, subjects, bounds.

use super::testing::{absent, in_force, known, quantity, unknown};
use super::{Judgement, Verdict, judge};
use crate::finding::Side;
use crate::measures::{Measurement, Value};

/// A reading that is true, false, or not there.
fn truth(value: Option<bool>) -> Vec<Measurement> {
    match value {
        Some(truth) => vec![known("", Value::Truth(truth))],
        None => vec![unknown("", "it is not stated")],
    }
}

fn figures(name: &str, values: &[(&str, f64)]) -> Vec<Measurement> {
    values
        .iter()
        .map(|(subject, value)| known(subject, quantity(name, *value)))
        .collect()
}

/// The one judgement of a rule under readings of the mission.
fn one(lines: &str, lookup: &dyn Fn(&str) -> Vec<Measurement>) -> Judgement {
    let mut all = judge(&in_force(lines), lookup);
    assert_eq!(all.len(), 1, "{lines}");
    all.remove(0)
}

/// The strong three-valued logic of Kleene (1952, § 64; from memory), in full: it is told where one side
/// settles the matter, and unknown otherwise.
#[test]
fn and_or_and_not_are_three_valued() {
    const T: Option<bool> = Some(true);
    const F: Option<bool> = Some(false);
    const U: Option<bool> = None;
    let and = [
        (T, T, T),
        (T, F, F),
        (T, U, U),
        (F, T, F),
        (F, F, F),
        (F, U, F),
        (U, T, U),
        (U, F, F),
        (U, U, U),
    ];
    let or = [
        (T, T, T),
        (T, F, T),
        (T, U, T),
        (F, T, T),
        (F, F, F),
        (F, U, U),
        (U, T, T),
        (U, F, U),
        (U, U, U),
    ];
    for (operator, table) in [("&&", and), ("||", or)] {
        for (left, right, due) in table {
            let lines = format!("measure: mission.returns {operator} mission.lit\nequals: true");
            let judgement = one(&lines, &|name| match name {
                "mission.returns" => truth(left),
                _ => truth(right),
            });
            let verdict = match due {
                Some(true) => Verdict::Holds,
                Some(false) => Verdict::Fails,
                None => Verdict::Unknown,
            };
            assert_eq!(judgement.verdict, verdict, "{left:?} {operator} {right:?}");
            assert_eq!(judgement.unknown.is_some(), due.is_none());
        }
    }
    for (value, due) in [
        (T, Verdict::Fails),
        (F, Verdict::Holds),
        (U, Verdict::Unknown),
    ] {
        let judgement = one("measure: '!mission.lit'\nequals: true", &|_| truth(value));
        assert_eq!(judgement.verdict, due);
    }
}

#[test]
fn arithmetic_with_an_unknown_is_unknown_and_says_which() {
    let lines = "measure: mission.reach / mission.delay\nat_least: 1 m/s";
    let judgement = one(lines, &|name| match name {
        "mission.reach" => figures(name, &[("", 100.0)]),
        _ => vec![unknown("", "the delay is not stated")],
    });
    assert_eq!(judgement.verdict, Verdict::Unknown);
    assert_eq!(judgement.value, None);
    let why = judgement.unknown.expect("a reason");
    assert_eq!(why.reason, "the delay is not stated");
    assert_eq!(why.remedy, "state it");
}

#[test]
fn the_unknown_that_counts_is_told_and_not_another() {
    let lines = "measure: 'mission.lit ? mission.reach : q(\"2 s\") * (mission.reach / \
                 mission.delay)'\nat_least: 1 m";
    let judgement = one(lines, &|name| match name {
        "mission.lit" => truth(Some(false)),
        "mission.reach" => figures(name, &[("", 100.0)]),
        _ => vec![unknown("", "the delay is not stated")],
    });
    assert_eq!(
        judgement.unknown.expect("a reason").reason,
        "the delay is not stated"
    );
    let taken = one(lines, &|name| match name {
        "mission.lit" => truth(Some(true)),
        "mission.reach" => figures(name, &[("", 100.0)]),
        _ => vec![unknown("", "the delay is not stated")],
    });
    assert_eq!(taken.verdict, Verdict::Holds);
}

#[test]
fn what_is_not_finite_is_unknown_wherever_it_arises() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for lines in [
            "measure: mission.reach\nat_least: 1 m",
            "measure: mission.reach + q(\"1 m\")\nat_least: 1 m",
            "measure: mission.reach > q(\"1 m\")\nequals: false",
        ] {
            let judgement = one(lines, &|name| figures(name, &[("", bad)]));
            assert_eq!(judgement.verdict, Verdict::Unknown, "{lines} of {bad}");
            assert_eq!(
                judgement.unknown.expect("a reason").reason,
                "`mission.reach` is not a finite number"
            );
        }
    }
    // A quotient by nothing inside a comparison never becomes true or false.
    for equals in [true, false] {
        let division = "mission.reach / mission.delay";
        let lines = format!("measure: '{division} > q(\"1 m/s\")'\nequals: {equals}");
        let judgement = one(&lines, &|name| figures(name, &[("", 0.0)]));
        assert_eq!(judgement.verdict, Verdict::Unknown);
        assert_eq!(
            judgement.unknown.expect("a reason").reason,
            format!("`{division} > q(\"1 m/s\")` is not a finite number")
        );
    }
}

#[test]
fn expressions_come_to_what_they_say() {
    let readings = |name: &str| match name {
        "mission.reach" => figures(name, &[("", 1852.0)]),
        "mission.delay" => figures(name, &[("", 3600.0)]),
        "mission.reserve" => figures(name, &[("", 0.25)]),
        "mission.lit" => truth(Some(true)),
        other => panic!("{other}"),
    };
    // A nautical mile of 1852 m an hour is a knot (SI Brochure, 8th ed., 2006, table 8; from memory).
    for (expression, due) in [
        ("mission.reach / mission.delay", "1 kn"),
        ("min(mission.reach, q(\"1 km\"))", "1 km"),
        ("max(mission.reach, q(\"1 km\"))", "1 nmi"),
        ("abs(mission.delay - q(\"1 h 30 min\"))", "30 min"),
        ("-mission.reserve * 2.0 + 1.0", "50 %"),
        (
            "'mission.lit && mission.reserve < 0.3 ? q(\"90°\") : q(\"0°\")'",
            "90°",
        ),
        ("mission.reach - mission.reserve * mission.reach", "1389 m"),
    ] {
        for side in ["at_least", "at_most"] {
            let judgement = one(&format!("measure: {expression}\n{side}: {due}"), &readings);
            assert_eq!(
                judgement.verdict,
                Verdict::Holds,
                "{expression} {side} {due}"
            );
        }
    }
}

#[test]
fn a_value_at_its_limit_holds_and_one_past_it_fails() {
    let at = |lines: &str, value: f64| one(lines, &|name| figures(name, &[("", value)])).verdict;
    let least = "measure: mission.reach\nat_least: 100 m";
    assert_eq!(at(least, 100.0), Verdict::Holds);
    assert_eq!(at(least, 100.0 - 0.5e-7), Verdict::Holds);
    assert_eq!(at(least, 100.0 - 2e-7), Verdict::Fails);
    let most = "measure: mission.reach\nat_most: 100 m";
    assert_eq!(at(most, 100.0), Verdict::Holds);
    assert_eq!(at(most, 100.0 + 2e-7), Verdict::Fails);
    // At a limit of nothing there is no rounding to allow for.
    let zero = "measure: mission.reach\nat_least: 0 m";
    assert_eq!(at(zero, 0.0), Verdict::Holds);
    assert_eq!(at(zero, -1e-12), Verdict::Fails);
}

#[test]
fn of_two_limits_the_broken_one_is_told_else_the_nearer() {
    let lines = "measure: mission.reach\nat_least: 10 m\nat_most: 100 m";
    for (value, verdict, side) in [
        (5.0, Verdict::Fails, Side::AtLeast),
        (101.0, Verdict::Fails, Side::AtMost),
        (20.0, Verdict::Holds, Side::AtLeast),
        (90.0, Verdict::Holds, Side::AtMost),
    ] {
        let judgement = one(lines, &|name| figures(name, &[("", value)]));
        assert_eq!(judgement.verdict, verdict, "{value}");
        let comparison = judgement.comparison.expect("a comparison");
        assert_eq!(comparison.side, side, "{value}");
        assert!((comparison.measured.value - value).abs() < 1e-12);
    }
}

/// A rule over what is not there does not apply. One that calculates with it is not evaluated: what
/// else it speaks of may be there.
#[test]
fn what_is_not_there_is_not_judged() {
    let verdict = |lines: &str| {
        let judgement = one(lines, &|name| match name {
            "mission.reach" => vec![absent("")],
            _ => figures(name, &[("", 5.0)]),
        });
        (judgement.verdict, judgement.unknown.map(|why| why.reason))
    };
    let none = Some("there is none".to_owned());
    assert_eq!(
        verdict("measure: mission.reach\nat_least: 10 m"),
        (Verdict::NotApplicable, None)
    );
    assert_eq!(
        verdict("measure: mission.reach * 2.0\nat_least: 10 m"),
        (Verdict::Unknown, none)
    );
}

#[test]
fn a_rule_that_does_not_apply_is_not_judged() {
    let lines = "measure: mission.reach\nat_least: 10 m\napplies_when: mission.returns";
    let verdict = |applies: Option<bool>, value: f64| {
        one(lines, &|name| match name {
            "mission.returns" => truth(applies),
            _ => figures(name, &[("", value)]),
        })
    };
    assert_eq!(verdict(Some(false), 5.0).verdict, Verdict::NotApplicable);
    assert_eq!(verdict(Some(true), 5.0).verdict, Verdict::Fails);
    assert_eq!(verdict(Some(true), 50.0).verdict, Verdict::Holds);
    for value in [5.0, 50.0] {
        let judgement = verdict(None, value);
        assert_eq!(judgement.verdict, Verdict::Unknown);
        assert_eq!(
            judgement.unknown.expect("a reason").reason,
            "it is not stated"
        );
    }
}

#[test]
fn each_subject_is_judged_and_mission_measures_go_for_all() {
    let lines = "measure: link.margin - link.loss\nat_least: 10 dB\napplies_when: mission.lit";
    let judged = judge(&in_force(lines), &|name| match name {
        "mission.lit" => truth(Some(true)),
        "link.margin" => figures(name, &[("control", 20.0), ("data", 12.0), ("relay", 30.0)]),
        _ => figures(name, &[("data", 5.0), ("control", 5.0)]),
    });
    let verdicts: Vec<(&str, Verdict)> = judged
        .iter()
        .map(|j| (j.subject.as_str(), j.verdict))
        .collect();
    assert_eq!(
        verdicts,
        [
            ("control", Verdict::Holds),
            ("data", Verdict::Fails),
            ("relay", Verdict::Unknown)
        ]
    );
    let why = judged[2].unknown.as_ref().expect("a reason");
    assert_eq!(why.reason, "`link.loss` was not measured");
    let names: Vec<&str> = judged[0].readings.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["link.margin", "link.loss", "mission.lit"]);
}

#[test]
fn no_subject_is_not_applicable_but_no_reading_of_the_mission_is_unknown() {
    let none = |_: &str| Vec::new();
    let judgement = one("measure: link.margin\nat_least: 10 dB", &none);
    assert_eq!(judgement.verdict, Verdict::NotApplicable);
    let judgement = one("measure: mission.reach\nat_least: 10 m", &none);
    assert_eq!(judgement.verdict, Verdict::Unknown);
    assert_eq!(
        judgement.unknown.expect("a reason").reason,
        "`mission.reach` was not measured"
    );
}

#[test]
fn readings_that_are_not_as_the_catalogue_has_them_are_unknown() {
    let lines = "measure: mission.reach\nat_least: 10 m";
    let wrong = one(lines, &|_| truth(Some(true)));
    assert_eq!(
        wrong.unknown.expect("a reason").reason,
        "`mission.reach` is of the wrong kind"
    );
    let twice = one(lines, &|name| figures(name, &[("", 50.0), ("", 5.0)]));
    assert_eq!(
        twice.unknown.expect("a reason").reason,
        "`mission.reach` has more than one value"
    );
}

#[test]
fn what_is_known_comes_first_where_the_rule_was_judged() {
    let lines = "measure: 'mission.reach < q(\"5 m\") && mission.lit'\nequals: true";
    let judgement = one(lines, &|name| match name {
        "mission.lit" => truth(Some(false)),
        _ => vec![unknown("", "it is not stated")],
    });
    assert_eq!(judgement.verdict, Verdict::Fails);
    assert_eq!(judgement.readings[0].0, "mission.lit");
}

#[test]
fn a_rule_that_is_switched_off_gives_no_judgement() {
    let mut rule = in_force("measure: mission.reach\nat_least: 10 m");
    rule.enabled.value = false;
    assert_eq!(judge(&rule, &|_| panic!("nothing is looked up")), []);
}
