//! The JSON output against its schema.

use serde_json::Value;

use super::tests_support::{MISSION, bare, checked, empty, full, judged, span};
use super::*;
use crate::check::{Outcome, Verdict};
use crate::finding::{Comparison, Nature, Place, Severity, Side};
use crate::source::Sources;
use crate::units::{Dimension, Length, Quantity};

/// The output as a value, after it was held against the schema.
fn valid(outcome: &Outcome) -> Value {
    let text = json(outcome).expect("serializes");
    let value: Value = serde_json::from_str(&text).expect("is JSON");
    let validator = jsonschema::validator_for(&schema()).expect("the schema is a schema");
    let errors: Vec<String> = validator
        .iter_errors(&value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    value
}

#[test]
fn the_output_is_as_its_schema_says() {
    let value = valid(&full());
    let text = json(&full()).expect("serializes");
    let own = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(text.contains(&own));
    insta::assert_snapshot!("json", text.replace(&own, "\"version\": \"(its version)\""));
    let finding = &value["findings"][0];
    let start = &finding["primary"]["location"]["start"];
    assert_eq!(
        (start["line"].as_u64(), start["column"].as_u64()),
        (Some(10), Some(5))
    );
    let from = usize::try_from(start["byte"].as_u64().expect("a number")).expect("short");
    assert!(MISSION[from..].starts_with("{ id: profile-end"));
    assert_eq!(finding["comparison"]["measured"]["unit"], "1");
    assert_eq!(finding["comparison"]["measured"]["text"], "29.9 %");
    assert_eq!(finding["place"]["along"]["unit"], "m");
    assert_eq!(value["summary"]["missions_clean"], 1);
    assert_eq!(value["missions"][0]["judged"][0]["limit"]["unit"], "dB");
    valid(&empty(Sources::new()));
}

#[test]
fn the_schema_refuses_what_it_does_not_describe() {
    let validator = jsonschema::validator_for(&schema()).expect("the schema is a schema");
    let good = valid(&full());
    for pointer in [
        "",
        "/summary",
        "/findings/0",
        "/findings/0/primary/location/start",
        "/missions/0/judged/0",
    ] {
        let mut bad = good.clone();
        let at = bad.pointer_mut(pointer).expect(pointer);
        at["surplus"] = Value::Bool(true);
        assert!(!validator.is_valid(&bad), "{pointer}");
        let mut bad = good.clone();
        let at = bad
            .pointer_mut(pointer)
            .and_then(Value::as_object_mut)
            .expect(pointer);
        let first = at.keys().next().cloned().expect("a field");
        at.shift_remove(&first);
        assert!(!validator.is_valid(&bad), "{pointer} without {first}");
    }
}

#[test]
fn what_is_not_finite_becomes_null_and_says_so() {
    let mut sources = Sources::new();
    let id = sources.add("a.yaml", MISSION);
    let mut outcome = empty(Sources::new());
    let mut rows = Vec::new();
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let quantity = Quantity::new(value, Dimension::POWER);
        let at = span(&sources, id, "mission");
        let mut finding = bare(&sources, at, Severity::Error, Nature::Violation);
        finding.comparison = Some(Comparison {
            measured: quantity,
            limit: Quantity::new(1.0, Dimension::POWER),
            side: Side::AtMost,
        });
        finding.place = Some(Place {
            name: String::new(),
            along: Some(Length::metres(value)),
            position: Some((value, value)),
            ..Place::default()
        });
        outcome.findings.push(finding);
        rows.push(judged("reserve", Verdict::Fails, quantity, quantity));
    }
    outcome.sources = sources;
    let mut mission = checked("west", rows);
    mission.figures = vec![("power", Quantity::new(f64::NAN, Dimension::POWER))];
    outcome.checked = vec![mission];
    let value = valid(&outcome);
    for finding in value["findings"].as_array().expect("a list") {
        assert!(finding["comparison"]["measured"]["value"].is_null());
        assert_eq!(
            finding["comparison"]["measured"]["text"],
            "no finite number"
        );
        assert!(finding["place"]["position"].is_null());
    }
    for text in [
        json(&outcome).expect("serializes"),
        terminal(&outcome, &Settings::default()),
    ] {
        let lower = text
            .to_lowercase()
            .replace("finding", "")
            .replace("infinite", "");
        assert!(!lower.contains("nan") && !lower.contains("inf "), "{text}");
    }
}

#[test]
fn escapes_give_back_what_was_written() {
    let mut outcome = empty(Sources::new());
    let nasty = "a\u{1b}[31m \u{202e}b\u{9b} \u{e0041} c\n\td \u{7f}";
    outcome.notes = vec![nasty.to_owned()];
    let text = json(&outcome).expect("serializes");
    assert_eq!(crate::source::printable(&text), text.as_str());
    assert_eq!(valid(&outcome)["notes"][0], nasty);
}

/// The names and symbols of the derived units are those of the SI Brochure (BIPM, 9th edition,
/// 2019), tables 2 and 4, but for `ohm`, written out as in the files.
#[test]
fn stored_units_are_si_units() {
    let cases = [
        (Dimension::RATIO, "1"),
        (Dimension::LENGTH, "m"),
        (Dimension::AREA, "m2"),
        (Dimension::MASS, "kg"),
        (Dimension::TIME, "s"),
        (Dimension::SPEED, "m/s"),
        (Dimension::FORCE, "N"),
        (Dimension::POWER, "W"),
        (Dimension::ENERGY, "J"),
        (Dimension::VOLTAGE, "V"),
        (Dimension::CURRENT, "A"),
        (Dimension::CHARGE, "C"),
        (Dimension::RESISTANCE, "ohm"),
        (Dimension::TEMPERATURE, "°C"),
        (Dimension::ANGLE, "rad"),
        (Dimension::TURN_RATE, "rad/s"),
        (Dimension::LEVEL, "dB"),
        (Dimension::POWER_LEVEL, "dBm"),
        (Dimension::FREQUENCY, "Hz"),
        (Dimension::DENSITY, "kg/m3"),
        (Dimension::DATA_RATE, "bit/s"),
        (Dimension::FORCE.per(Dimension::SPEED), "kg·s^-1"),
    ];
    for (dimension, unit) in cases {
        assert_eq!(quantity::stored_unit(dimension), unit);
    }
}
