//! Columns in another unit, with their sign turned round, or of a sensor that is not connected: they are
//! no deviation of the run. They are reported, at the line that states the unit, and what depends on them is
//! not judged.

use serde_json::Value as Json;

use super::made::{Making, csv, run};
use super::told;

const VOLTAGE: usize = 3;
const CURRENT: usize = 4;
const DEPTH: usize = 5;
const LINK: usize = 6;

/// A column, its quantity, what becomes of its numbers, and what is told of it.
type Case = (usize, &'static str, fn(f64) -> f64, &'static str);

/// The made run with every number of a column put otherwise.
fn changed(column: usize, change: impl Fn(f64) -> f64) -> String {
    let text = csv(&run(&Making::default()));
    let mut all = String::new();
    for (number, line) in text.lines().enumerate() {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        if number > 0 {
            let value: f64 = cells[column].parse().unwrap();
            cells[column] = format!("{:.5}", change(value));
        }
        all.push_str(&cells.join(","));
        all.push('\n');
    }
    all
}

fn found<'a>(json: &'a Json, id: &str) -> Vec<&'a Json> {
    let all = json["findings"].as_array().unwrap().iter();
    all.filter(|one| one["id"] == id).collect()
}

/// The line of the demo's file of columns that states the unit of a quantity.
fn line_of(quantity: &str) -> usize {
    let text = std::fs::read_to_string(super::COLUMNS).unwrap();
    let at = text
        .lines()
        .position(|line| line.starts_with(&format!("{quantity}:")));
    at.unwrap() + 1
}

/// What is found of a run whose columns are as they should be.
fn usual() -> Vec<String> {
    let (_, json) = told(&changed(VOLTAGE, |value| value));
    let all = json["findings"].as_array().unwrap().iter();
    all.map(|one| one["id"].as_str().unwrap().to_owned())
        .collect()
}

/// 1 V is 1000 mV, 1 A is 1000 mA, 1 m is 100 cm (the SI's prefixes).
#[test]
#[ignore = "slow"]
fn another_unit_is_told_where_it_is_stated_and_is_no_deviation() {
    let usual = usual();
    let cases: [Case; 10] = [
        (VOLTAGE, "voltage", |v| v * 1000.0, "did you mean `mV`?"),
        (VOLTAGE, "voltage", |_| 0.0, "is the sensor connected?"),
        (VOLTAGE, "voltage", |v| v / 4.0, "of one cell"),
        (CURRENT, "current", |i| i * 1000.0, "did you mean `mA`?"),
        (CURRENT, "current", |i| -i, "`flow: into the pack`"),
        (
            CURRENT,
            "current",
            |i| -1000.0 * i,
            "did you mean `mA`, positive into the pack",
        ),
        (DEPTH, "depth", |d| d * 100.0, "`cm`"),
        (DEPTH, "depth", |d| -d, "is it positive upwards?"),
        (LINK, "link", |_| 50.0, "leave out the sign"),
        (LINK, "link", |level| -level, "leave out the sign"),
    ];
    for (column, quantity, change, meant) in cases {
        let (status, json) = told(&changed(column, change));
        assert_eq!(status, 2, "{quantity} {meant}");
        let columns = found(&json, "debrief-column");
        assert_eq!(columns.len(), 1, "{quantity} {meant}: {columns:?}");
        let one = columns[0];
        assert_eq!(one["nature"], "not evaluated", "{one}");
        let message = one["message"].as_str().unwrap();
        assert!(
            message.contains(meant) && message.contains("reads as"),
            "{message}"
        );
        assert!(
            one["primary"]["path"]
                .as_str()
                .unwrap()
                .ends_with("columns.yaml"),
            "{one}"
        );
        assert_eq!(one["primary"]["line"], line_of(quantity), "{one}");
        // Nothing is told of the run for it that is not told without.
        for finding in json["findings"].as_array().unwrap() {
            let id = finding["id"].as_str().unwrap();
            let violated = finding["nature"] == "violation";
            assert!(!violated || usual.iter().any(|one| one == id), "{finding}");
        }
        let energy = json["whole"]["energy"]["actual"].is_null();
        let powered = column == VOLTAGE || column == CURRENT;
        assert_eq!(energy, powered, "{quantity} {meant}");
        assert_eq!(json["depths"].is_null(), column == DEPTH);
        assert_eq!(json["link"].is_null(), column == LINK);
    }
}

#[test]
#[ignore = "slow"]
fn a_few_values_that_cannot_be_are_put_aside_and_counted() {
    let text = csv(&run(&Making::default()));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for row in [100, 200, 300] {
        let mut cells: Vec<&str> = lines[row].split(',').collect();
        (cells[VOLTAGE], cells[CURRENT]) = ("0.00", "9999");
        lines[row] = cells.join(",");
    }
    let (_, json) = told(&(lines.join("\n") + "\n"));
    assert_eq!(found(&json, "debrief-column").len(), 0);
    let cleaned = json["track"]["cleaned"].to_string();
    for what in ["3 × a voltage", "3 × a current"] {
        assert!(cleaned.contains(what), "{cleaned}");
    }
    // A pack at 9999 A would have been empty within seconds.
    let (_, sound) = told(&text);
    let energy = |json: &Json| json["whole"]["energy"]["actual"]["value"].as_f64().unwrap();
    assert!((energy(&json) / energy(&sound) - 1.0).abs() < 0.01);
}

/// Little water is a danger, and not put aside for it.
#[test]
fn a_shoal_is_no_other_unit() {
    let text = csv(&run(&Making::default()));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for line in lines.iter_mut().skip(200).take(20) {
        let mut cells: Vec<&str> = line.split(',').collect();
        cells[DEPTH] = "0.02";
        *line = cells.join(",");
    }
    let (_, json) = told(&(lines.join("\n") + "\n"));
    assert_eq!(found(&json, "debrief-column").len(), 0);
    assert_eq!(found(&json, "debrief-under-keel").len(), 1);
}
