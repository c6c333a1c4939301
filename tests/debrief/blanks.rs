//! Runs of whose power, link or depth something is missing: it is told, and never taken for good.

use serde_json::Value as Json;

use super::made::{Making, csv, run};
use super::{number, told};

/// Which cell of a row holds what.
const VOLTAGE: usize = 3;
const CURRENT: usize = 4;

/// The text with cells of some rows left blank; the first row after the head is 0.
fn blanked(text: &str, cells: &[usize], rows: impl Fn(usize) -> bool) -> String {
    let mut lines = text.lines();
    let mut all = vec![lines.next().unwrap().to_owned()];
    for (number, line) in lines.enumerate() {
        let mut row: Vec<&str> = line.split(',').collect();
        if rows(number) {
            for cell in cells {
                row[*cell] = "";
            }
        }
        all.push(row.join(","));
    }
    all.join("\n") + "\n"
}

/// What was found of an id and a subject.
fn of<'a>(json: &'a Json, id: &str, subject: &str) -> Vec<&'a Json> {
    let all = json["findings"].as_array().unwrap().iter();
    all.filter(|one| one["id"] == id && one["subject"] == subject)
        .collect()
}

/// The run with a power by which the whole takes so much more than planned.
fn dearer(share: f64) -> String {
    let with = |power: f64| {
        csv(&run(&Making {
            power: (power, power),
            ..Making::default()
        }))
    };
    let mut power = 50.0;
    for _ in 0..3 {
        let off = number(&told(&with(power)).1, "/whole/energy/off");
        power *= (1.0 + share) / (1.0 + off);
    }
    with(power)
}

#[test]
fn power_that_was_not_logged_is_not_nothing() {
    let text = dearer(0.18);
    let (_, json) = told(&text);
    let whole = number(&json, "/whole/energy/off");
    assert!((whole - 0.18).abs() < 0.01, "{whole}");
    assert_eq!(number(&json, "/whole/unlogged/value"), 0.0);
    let name = "the whole run";
    assert_eq!(of(&json, "debrief-energy", name).len(), 1);
    let rows = text.lines().count() - 1;
    let first = rows * 9 / 100;
    for (what, blank) in [
        (
            "first",
            blanked(&text, &[VOLTAGE, CURRENT], |row| row < first),
        ),
        (
            "last",
            blanked(&text, &[VOLTAGE], |row| row >= rows - first),
        ),
    ] {
        let (status, json) = told(&blank);
        assert!(status != 0, "{what}");
        assert_eq!(of(&json, "debrief-energy", name).len(), 1, "{what}: {json}");
        let off = number(&json, "/whole/energy/off");
        // The mean of the rest stands in; the last legs are slow ones.
        assert!((off - whole).abs() < 0.07, "{what}: {off}");
        assert!(number(&json, "/whole/unlogged/value") > 60.0, "{what}");
    }
}

/// What lies within the limit at the mean power, and beyond it at the greatest, is not told as good.
#[test]
fn energy_that_may_have_been_too_much_is_not_judged() {
    let text = dearer(0.13);
    // A burst against a gust: the pack gave twice as much at one moment.
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut row: Vec<String> = lines[120].split(',').map(str::to_owned).collect();
    row[CURRENT] = format!("{:.2}", 2.0 * row[CURRENT].parse::<f64>().unwrap());
    lines[120] = row.join(",");
    let text = lines.join("\n") + "\n";
    let (_, json) = told(&text);
    assert!(of(&json, "debrief-energy", "the whole run").is_empty());
    let rows = text.lines().count() - 1;
    let blank = blanked(&text, &[CURRENT], |row| row < rows * 9 / 100);
    let (status, json) = told(&blank);
    assert_eq!(status, 2);
    let found = of(&json, "debrief-not-judged", "the whole run");
    assert_eq!(found.len(), 1, "{json}");
    assert_eq!(found[0]["nature"], "not evaluated", "{json}");
    let (most, planned) = (
        number(&json, "/whole/energy_at_most/value"),
        number(&json, "/whole/energy/planned/value"),
    );
    assert!(most > 1.15 * planned && most < 1.4 * planned, "{most}");
}
