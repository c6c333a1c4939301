//! Figures that contradict each other, a line of the files or physics: each is reported, and the safe verdict
//! is gone.

use crate::shared::demo_tree as tree;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use offing::door::check::Outcome;
use offing::door::finding::{Nature, Severity};
use tree::{Files, POLICY, SITE, SOUNDINGS, VESSEL};

const NORTH: &str = "north-bay-lines";
const MISSION: &str = "missions/north-bay-lines.yaml";

fn files(edits: &[(&str, &str, &str)]) -> Files {
    let mut files = Files::demo(&[NORTH]);
    for (path, from, to) in edits {
        files.edit(path, from, to);
    }
    files
}

/// Rules of severity error that fail, not those that cannot be judged.
fn errors(outcome: &Outcome) -> BTreeSet<&str> {
    let findings = outcome.findings.iter();
    findings
        .filter(|one| one.severity == Severity::Error && one.nature == Nature::Violation)
        .map(|one| one.rule.as_str())
        .collect()
}

fn told(outcome: &Outcome) -> String {
    let mut text = String::new();
    for one in &outcome.findings {
        let _ = writeln!(text, "{:?} [{}] {}", one.nature, one.rule, one.message);
    }
    text
}

/// A path, a text that stands there, and what is put in its place.
type Edit<'a> = (&'a str, &'a str, &'a str);

/// Each case brings an error by its rule.
fn each(cases: &[(&str, &[Edit<'_>])]) {
    for (rule, edits) in cases {
        let outcome = files(edits).check();
        assert!(
            errors(&outcome).contains(rule),
            "{rule}, {edits:?}:\n{}",
            told(&outcome)
        );
    }
}

/// The soundings of the demo, each depth turned.
fn soundings(turn: impl Fn(f64) -> f64) -> Files {
    let mut files = files(&[]);
    let text = files.text(SOUNDINGS).to_owned();
    let mut turned = String::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find("\"depth\": ") {
        let (head, tail) = rest.split_at(at + "\"depth\": ".len());
        let end = tail.find(' ').expect("a number ends");
        let depth: f64 = tail[..end].parse().expect("a number");
        let _ = write!(turned, "{head}{:.2}", turn(depth));
        rest = &tail[end..];
    }
    turned.push_str(rest);
    files.write(SOUNDINGS, turned);
    files
}

#[test]
fn soundings_in_feet_contradict_every_other_depth() {
    let outcome = soundings(|metres| metres / 0.3048).check();
    let found = errors(&outcome);
    for rule in ["mean-depth-agrees", "expected-depths-agree"] {
        assert!(found.contains(rule), "{rule}:\n{}", told(&outcome));
    }
}

#[test]
fn soundings_in_decimetres_and_in_fathoms_are_told() {
    for factor in [10.0, 1.0 / 1.8288, 100.0] {
        let outcome = soundings(|metres| metres * factor).check();
        let found = errors(&outcome);
        let told = told(&outcome);
        if factor > 1.0 {
            assert!(found.contains("mean-depth-agrees"), "{factor}:\n{told}");
        } else {
            // 1.8 times too shallow: within what depths may differ by, and on the safe side.
            assert!(!found.contains("mean-depth-agrees"), "{factor}:\n{told}");
        }
    }
}

#[test]
fn heights_of_the_bed_are_no_depths() {
    // Below the datum as negative heights, and above the sea for a lake in the hills.
    let outcome = soundings(|metres| -metres).check();
    assert!(
        outcome
            .findings
            .iter()
            .any(|one| one.nature == Nature::Input
                && one.message.contains("look like heights of the bed")),
        "{}",
        told(&outcome)
    );
    for crest in [20.0, 182.0, 1500.0] {
        let outcome = soundings(|metres| crest - metres).check();
        let found = errors(&outcome);
        assert!(
            found.contains("soundings-deepen-offshore"),
            "{crest}:\n{}",
            told(&outcome)
        );
    }
    // A few that dry are none.
    let outcome = soundings(|metres| if metres < 2.0 { -0.2 } else { metres }).check();
    assert!(
        !outcome
            .findings
            .iter()
            .any(|one| one.nature == Nature::Input),
        "{}",
        told(&outcome)
    );
}

#[test]
fn depths_and_levels_that_the_soundings_contradict_are_told() {
    let cast = |depth: &str| {
        format!(
            "land_height: 12 m\ncasts:\n  - {{ at: [52.400600, -24.307900], depth: {depth}, measured: 2027-05-02 }}\n"
        )
    };
    let (feet, height) = (cast("25 m"), cast("-7 m"));
    each(&[
        (
            "mean-depth-agrees",
            &[(SITE, "mean_depth: 7 m", "mean_depth: 23 m")],
        ),
        (
            "mean-depth-agrees",
            &[(SITE, "mean_depth: 7 m", "mean_depth: 1.5 m")],
        ),
        (
            "mean-depth-agrees",
            &[(SITE, "mean_depth: 7 m", "mean_depth: 70 m")],
        ),
        (
            "expected-depths-agree",
            &[(
                MISSION,
                "least: 2 m, greatest: 9 m",
                "least: 1 m, greatest: 2.5 m",
            )],
        ),
        (
            "expected-depths-agree",
            &[(MISSION, "greatest: 9 m", "greatest: 90 m")],
        ),
        (
            "expected-depths-agree",
            &[(
                MISSION,
                "least: 2 m, greatest: 9 m",
                "least: 20 m, greatest: 55 m",
            )],
        ),
        (
            "least-expected-depth-agrees",
            &[(
                MISSION,
                "least: 2 m, greatest: 9 m",
                "least: 8 m, greatest: 9 m",
            )],
        ),
        (
            "least-depth-agrees",
            &[
                (SITE, "mean_depth: 7 m", "mean_depth: 7 m\nleast_depth: 3 m"),
                (
                    MISSION,
                    "least: 2 m, greatest: 9 m",
                    "least: 3 m, greatest: 9 m",
                ),
            ],
        ),
        (
            "launch-site-depth-agrees",
            &[(SITE, "depth: 1.1 m", "depth: 4.5 m")],
        ),
        (
            "water-level-above-datum",
            &[(SITE, "above_datum: -0.20 m", "above_datum: 3 m")],
        ),
        (
            "water-level-above-datum",
            &[(SITE, "above_datum: -0.20 m", "above_datum: 20 m")],
        ),
        (
            "water-level-above-datum",
            &[(SITE, "above_datum: -0.20 m", "above_datum: 182.3 m")],
        ),
        ("casts-agree", &[(SITE, "land_height: 12 m\n", &feet)]),
        ("casts-agree", &[(SITE, "land_height: 12 m\n", &height)]),
    ]);
}

#[test]
fn a_cast_that_agrees_is_no_finding() {
    let outcome = files(&[(
        SITE,
        "land_height: 12 m\n",
        "land_height: 12 m\ncasts:\n  - { at: [52.400600, -24.307900], depth: 6.5 m, measured: 2027-05-02, error: 3 m }\n",
    )])
    .check();
    assert!(outcome.findings.is_empty(), "{}", told(&outcome));
}

#[test]
fn the_sounder_must_reach_what_the_soundings_show() {
    // The depths expected lie within its reach, and the charted ones do not.
    let outcome = files(&[
        (
            MISSION,
            "least: 2 m, greatest: 9 m",
            "least: 2 m, greatest: 5 m",
        ),
        (VESSEL, "greatest: 60 m", "greatest: 5 m"),
    ])
    .check();
    let finding = outcome
        .findings
        .iter()
        .find(|one| one.rule == "deepest-in-range");
    let finding = finding.unwrap_or_else(|| panic!("{}", told(&outcome)));
    assert!(
        finding.message.contains("by the soundings"),
        "{}",
        finding.message
    );
}

#[test]
#[ignore = "slow"]
fn figures_that_no_boat_of_its_size_has_are_told() {
    each(&[
        (
            "measured-capacity",
            &[(
                VESSEL,
                "measured_capacity: 9.3 Ah",
                "measured_capacity: 13 Ah",
            )],
        ),
        (
            "measured-capacity",
            &[(VESSEL, "nominal_capacity: 10 Ah", "nominal_capacity: 5 Ah")],
        ),
        (
            "measured-capacity",
            &[(
                VESSEL,
                "measured_capacity: 9.3 Ah",
                "measured_capacity: 93 Ah",
            )],
        ),
        (
            "internal-resistance-low",
            &[(VESSEL, "60 mohm", "0.6 mohm")],
        ),
        ("internal-resistance-low", &[(VESSEL, "60 mohm", "1 mohm")]),
        (
            "internal-resistance-low",
            &[(VESSEL, "60 mohm", "3.4 mohm")],
        ),
        (
            "trial-friction",
            &[(VESSEL, "power: 2.1 W", "power: 0.02 W")],
        ),
        (
            "trial-friction",
            &[
                (VESSEL, "power: 2.1 W", "power: 0.1 W"),
                (VESSEL, "power: 6.6 W", "power: 0.3 W"),
            ],
        ),
        // A wetted surface that no hull of its length and mass has does not help.
        (
            "trial-friction",
            &[
                (VESSEL, "power: 2.1 W", "power: 0.15 W"),
                (
                    VESSEL,
                    "bow_length: 0.45 m",
                    "bow_length: 0.45 m\n  wetted_surface: 0.05 m2",
                ),
            ],
        ),
        (
            "trial-speed",
            &[(
                VESSEL,
                "speed: 1.8 m/s, power: 222 W",
                "speed: 3.5 m/s, power: 222 W",
            )],
        ),
        (
            "trial-speed",
            &[(
                VESSEL,
                "speed: 1.8 m/s, power: 222 W",
                "speed: 18 m/s, power: 222 W",
            )],
        ),
        (
            "trial-speed",
            &[(
                VESSEL,
                "waterline_length: 1.10 m",
                "waterline_length: 0.80 m",
            )],
        ),
        ("trial-power", &[(VESSEL, "power: 222 W", "power: 2220 W")]),
        ("trial-power", &[(VESSEL, "60 mohm", "250 mohm")]),
        (
            "trial-power",
            &[(VESSEL, "cut_off_voltage: 12.8 V", "cut_off_voltage: 16.0 V")],
        ),
        (
            "propulsion-efficiency",
            &[
                (VESSEL, "motor_efficiency: 70 %", "motor_efficiency: 100 %"),
                (
                    VESSEL,
                    "propulsive_efficiency: 45 %",
                    "propulsive_efficiency: 100 %",
                ),
            ],
        ),
        (
            "propulsion-efficiency",
            &[(
                VESSEL,
                "propulsive_efficiency: 45 %",
                "propulsive_efficiency: 94 %",
            )],
        ),
        (
            "hotel-load",
            &[(VESSEL, "hotel_load: 9 W", "hotel_load: 0 W")],
        ),
        (
            "hotel-load",
            &[(VESSEL, "hotel_load: 9 W", "hotel_load: 9 mW")],
        ),
        (
            "hotel-load",
            &[(VESSEL, "transmit_power: 14 dBm", "transmit_power: 40 dBm")],
        ),
    ]);
}

#[test]
fn antennas_that_no_small_boat_or_tripod_carries_are_told() {
    const ABOARD: &str = "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi, height: 0.6 m";
    each(&[
        (
            "boat-antenna-beam",
            &[(
                VESSEL,
                ABOARD,
                "sensitivity: -103 dBm\n    antenna: { gain: 8 dBi, height: 0.6 m",
            )],
        ),
        (
            "boat-antenna-height",
            &[(
                VESSEL,
                ABOARD,
                "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi, height: 6 m",
            )],
        ),
        (
            "boat-antenna-height",
            &[(
                VESSEL,
                ABOARD,
                "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi, height: 400 m",
            )],
        ),
        (
            "station-antenna-beam",
            &[(SITE, "gain: 12 dBi", "gain: 40 dBi")],
        ),
        // The land of the site is 12 m high, and the mast stands at the water all the same.
        (
            "station-antenna-height",
            &[(
                SITE,
                "gain: 12 dBi, height: 6 m",
                "gain: 12 dBi, height: 20 m",
            )],
        ),
        (
            "station-antenna-height",
            &[(
                SITE,
                "gain: 12 dBi, height: 6 m",
                "gain: 12 dBi, height: 60 m",
            )],
        ),
        (
            "station-antenna-height",
            &[(
                SITE,
                "gain: 12 dBi, height: 6 m",
                "gain: 12 dBi, height: 500 m",
            )],
        ),
    ]);
    let loud = files(&[(VESSEL, "transmit_power: 14 dBm", "transmit_power: 36 dBm")]).check();
    let finding = loud
        .findings
        .iter()
        .find(|one| one.rule == "radiated-power");
    let finding = finding.unwrap_or_else(|| panic!("{}", told(&loud)));
    assert_eq!(finding.severity, Severity::Advice);
}

#[test]
fn a_low_battery_action_that_begins_too_low_fails_plainly() {
    for (from, to) in [
        ("below_charge: 45 %", "below_charge: 1 %"),
        ("below_charge: 45 %", "below_charge: 5 %"),
        ("below_charge: 45 %", "below_charge: 10 %"),
        ("below_charge: 45 %", "below_voltage: 12.0 V"),
    ] {
        let outcome = files(&[(MISSION, from, to)]).check();
        let finding = outcome
            .findings
            .iter()
            .find(|one| one.rule == "low-battery-trigger-late");
        let finding = finding.unwrap_or_else(|| panic!("{to}:\n{}", told(&outcome)));
        assert_eq!(
            finding.nature,
            Nature::Violation,
            "{to}: {}",
            finding.message
        );
        let comparison = finding.comparison.as_ref().expect("a figure");
        assert!(comparison.measured.value < 0.0, "{to}: {}", finding.message);
    }
}

/// What a rule measured, whether it failed or not.
fn measured(outcome: &Outcome, rule: &str) -> f64 {
    let judged = outcome.checked[0]
        .judged
        .iter()
        .find(|one| &*one.rule == rule);
    judged
        .and_then(|one| one.measured)
        .unwrap_or_else(|| panic!("{rule}:\n{}", told(outcome)))
        .value
}

#[test]
fn no_figure_of_crew_or_boat_counts_for_more_than_its_floor() {
    // What is stated below the floor, what is the floor, and a rule that is measured with it.
    for (path, from, below, floor, rule) in [
        (
            MISSION,
            "reaction_time: 10 s",
            "reaction_time: 0.1 s",
            "reaction_time: 5 s",
            "override-time",
        ),
        (
            MISSION,
            "reaction_time: 10 s",
            "reaction_time: 0.1 s",
            "reaction_time: 5 s",
            "overrun",
        ),
        (
            MISSION,
            "ready_within: 2 min",
            "ready_within: 1 s",
            "ready_within: 1 min",
            "drift-onto-weir",
        ),
        (
            MISSION,
            "within: 2 s }",
            "within: 0.01 s }",
            "within: 1 s }",
            "override-time",
        ),
        (
            VESSEL,
            "stopping_distance: 3 m",
            "stopping_distance: 0.05 m",
            "stopping_distance: 1.2 m",
            "overrun",
        ),
    ] {
        let (below, floor) = (
            files(&[(path, from, below)]).check(),
            files(&[(path, from, floor)]).check(),
        );
        let (a, b) = (measured(&below, rule), measured(&floor, rule));
        assert!((a - b).abs() < 1e-9, "{rule}: {a} {b}");
        let warned = |outcome: &Outcome| {
            outcome
                .findings
                .iter()
                .any(|one| one.rule == "crew-figures")
        };
        assert!(warned(&below) && !warned(&floor), "{from}");
        let said = below.checked[0]
            .assumptions
            .iter()
            .any(|one| one.contains("the built-in floor"));
        assert!(said, "{:?}", below.checked[0].assumptions);
    }
}

#[test]
fn a_policy_raises_floors_and_lowers_none() {
    let raised = "floors: { reaction_time: 20 s, ready_within: 4 min, override_within: 3 s, stopping_distance: 500 % }\nrules:\n";
    let plain = files(&[]).check();
    let higher = files(&[(POLICY, "rules:\n", raised)]).check();
    let (before, after) = (
        measured(&plain, "override-time"),
        measured(&higher, "override-time"),
    );
    assert!((after - before - 11.0).abs() < 1e-9, "{before} {after}");
    assert!(measured(&higher, "overrun") < measured(&plain, "overrun"));
    let said = &higher.checked[0].assumptions;
    assert!(
        said.iter()
            .any(|one| one.contains("the floor `ready_within` of policy `team`")),
        "{said:?}"
    );
    for lower in [
        "reaction_time: 1 s",
        "ready_within: 10 s",
        "override_within: 0.1 s",
        "stopping_distance: 10 %",
    ] {
        let text = format!("floors: {{ {lower} }}\nrules:\n");
        let outcome = files(&[(POLICY, "rules:\n", &text)]).check();
        let refused = outcome
            .findings
            .iter()
            .any(|one| one.rule == "policy-loosens");
        assert!(refused, "{lower}:\n{}", told(&outcome));
    }
}
