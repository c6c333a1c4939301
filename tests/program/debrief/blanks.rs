//! Runs of whose power, link or depth something is missing: it is told, and never taken for good.

use serde_json::Value as Json;

use super::made::{EVERY, Making, csv, run};
use super::{COLUMNS, MISSION, debrief, number, offing, told};

/// Which cell of a row holds what.
const VOLTAGE: usize = 3;
const CURRENT: usize = 4;
const DEPTH: usize = 5;
const LINK: usize = 6;

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

fn same(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} is not {b}");
}

/// What was found of an id and a subject.
fn of<'a>(json: &'a Json, id: &str, subject: &str) -> Vec<&'a Json> {
    let all = json["findings"].as_array().unwrap().iter();
    all.filter(|one| one["id"] == id && one["subject"] == subject)
        .collect()
}

/// The run with a power by which the whole takes so much more than planned.
fn costlier(share: f64) -> String {
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
#[ignore = "slow"]
fn power_that_was_not_logged_is_not_nothing() {
    let text = costlier(0.18);
    let (_, json) = told(&text);
    let whole = number(&json, "/whole/energy/off");
    assert!((whole - 0.18).abs() < 0.01, "{whole}");
    assert!(number(&json, "/whole/unlogged/value") < 1e-9);
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
#[ignore = "slow"]
fn energy_that_may_have_been_too_much_is_not_judged() {
    let text = costlier(0.13);
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

/// A recorder writes no figure of a link that is lost.
#[test]
#[ignore = "slow"]
fn a_link_that_has_no_figure_is_told() {
    let text = csv(&run(&Making::default()));
    let (_, json) = told(&text);
    assert!(json["link"]["silent"].is_null(), "{}", json["link"]);
    assert_eq!(json["link"]["count"], json["link"]["of"]);
    let lost = |from: usize, rows: usize| {
        let (status, json) = told(&blanked(&text, &[LINK], |row| {
            (from..from + rows).contains(&row)
        }));
        (status, json)
    };
    let (status, json) = lost(100, 199);
    assert_eq!(status, 2);
    let found = of(&json, "debrief-link", "control");
    assert_eq!(found.len(), 1, "{json}");
    assert_eq!(found[0]["nature"], "not evaluated");
    same(number(&json, "/link/silent/time/value"), 199.0 * EVERY);
    // Half a minute is enough; less is reported beside the table.
    let (status, json) = lost(100, 6);
    assert_eq!((status, of(&json, "debrief-link", "control").len()), (2, 1));
    let (status, json) = lost(100, 4);
    assert_eq!((status, of(&json, "debrief-link", "control").len()), (0, 0));
    same(number(&json, "/link/silent/time/value"), 20.0);
    let missing = number(&json, "/link/of") - number(&json, "/link/count");
    same(missing, 4.0);
}

/// However seldom it was logged: a stretch takes in the next figure.
#[test]
#[ignore = "slow"]
fn a_weak_link_that_was_seldom_logged_is_told() {
    let mut rows = run(&Making::default());
    for row in &mut rows[100..299] {
        row.link = -120.0;
    }
    for every in [1, 3, 7, 24] {
        let text = blanked(&csv(&rows), &[LINK], |row| row % every != 0);
        let (status, json) = told(&text);
        let found = of(&json, "debrief-link", "control");
        assert!(
            found.iter().any(|one| one["nature"] == "violation"),
            "{every}: {}",
            json["link"]
        );
        same(number(&json, "/link/worst/mean/value"), -120.0);
        let time = number(&json, "/link/worst/time/value");
        assert!((30.0..=120.0).contains(&time), "{every}: {time}");
        assert_eq!(status, if every == 1 { 1 } else { 2 }, "{every}");
    }
}

/// Time and place alone: nothing that the plan has a limit for is told as good.
#[test]
#[ignore = "slow"]
fn a_bare_track_leaves_the_rest_not_judged() {
    let text = csv(&run(&Making::default()));
    let bare = blanked(&text, &[VOLTAGE, CURRENT, DEPTH, LINK], |_| true);
    let (status, json) = told(&bare);
    assert_eq!(status, 2);
    for subject in ["the whole run", "depths", "control"] {
        let found = of(&json, "debrief-not-judged", subject);
        assert_eq!(found.len(), 1, "{subject}: {json}");
        assert_eq!(found[0]["severity"], "warning");
    }
    let folder = crate::shared::scratch::folder().unwrap();
    let page = |text: &str| {
        let file = folder.path().join("track.csv");
        std::fs::write(&file, text).unwrap();
        debrief(&file, &["--format", "html"]).out
    };
    let (bare, whole) = (page(&bare), page(&text));
    assert!(whole.contains("class=\"verdict good\""), "{whole}");
    assert!(bare.contains("class=\"verdict doubtful\""), "{bare}");
    assert!(bare.contains("as far as they could be judged: 3 not judged"));
}

/// A sounder that finds no bottom writes nothing, 0 or less (common practice, no source): what it did not
/// sound is not known to have been deep enough.
#[test]
#[ignore = "slow"]
fn water_under_the_keel_is_not_judged_by_few_depths() {
    let text = csv(&run(&Making::default()));
    let (status, json) = told(&text);
    assert_eq!(
        (status, number(&json, "/depths/count")),
        (0, number(&json, "/depths/of"))
    );
    let rows = text.lines().count() - 1;
    let written = |cell: &str, rows: &dyn Fn(usize) -> bool| {
        let blank = blanked(&text, &[DEPTH], rows);
        let cells = blank.lines().map(|line| {
            let mut row: Vec<&str> = line.split(',').collect();
            if row[DEPTH].is_empty() {
                row[DEPTH] = cell;
            }
            row.join(",")
        });
        cells.collect::<Vec<_>>().join("\n") + "\n"
    };
    for cell in ["", "0"] {
        for (what, few) in [
            ("two in five", written(cell, &|row| row % 5 < 2)),
            ("all but one", written(cell, &|row| row != rows / 2)),
        ] {
            let (status, json) = told(&few);
            assert_eq!(status, 2, "{what}");
            let found = of(&json, "debrief-under-keel", "depths");
            assert_eq!(found.len(), 1, "{what}: {json}");
            assert_eq!(found[0]["nature"], "not evaluated");
        }
        let (status, json) = told(&written(cell, &|row| row % 20 == 0));
        assert_eq!(
            (status, of(&json, "debrief-under-keel", "depths").len()),
            (0, 0)
        );
    }
    // Less than nothing is no depth: few are put aside and counted, and many make the column doubtful.
    let (status, json) = told(&written("-0.3", &|row| row % 20 == 0));
    assert_eq!(status, 0);
    let aside = json["track"]["cleaned"].as_array().unwrap().iter();
    let due = format!("{} × a depth that the boat cannot have", rows.div_ceil(20));
    assert!(
        aside
            .into_iter()
            .any(|one| one.as_str().unwrap().starts_with(&due)),
        "{}",
        json["track"]["cleaned"]
    );
    let (status, json) = told(&written("-0.3", &|row| row % 5 < 2));
    assert_eq!(status, 2);
    assert_eq!(of(&json, "debrief-column", "depth").len(), 1, "{json}");
    assert_eq!(of(&json, "debrief-not-judged", "depths").len(), 1, "{json}");
}

/// A bed that is shoaler on some fixes of which none follows another.
#[test]
#[ignore = "slow"]
fn depths_on_either_side_of_a_blank_do_not_follow_each_other() {
    let mut rows = run(&Making::default());
    for row in &mut rows {
        row.depth -= 1.5;
    }
    let text = csv(&rows);
    let (_, json) = told(&text);
    assert_eq!(of(&json, "debrief-depth", "").len(), 1);
    let seldom = blanked(&text, &[DEPTH], |row| row % 4 != 0);
    let (_, json) = told(&seldom);
    assert!(json["depths"]["shoal"].is_null(), "{}", json["depths"]);
    let why = json["depths"]["not_compared"].as_str().unwrap();
    assert_eq!(why, "no 5 consecutive depths lie within 10 s");
    assert_eq!(of(&json, "debrief-not-judged", "depths").len(), 1);
    // Four, a blank of three, four, and so on.
    let (_, json) = told(&blanked(&text, &[DEPTH], |row| row % 7 > 3));
    assert!(json["depths"]["shoal"].is_null(), "{}", json["depths"]);
}

#[test]
fn a_rule_that_does_not_apply_to_the_plan_asks_nothing_of_its_run() {
    let folder = crate::shared::scratch::folder().unwrap();
    let plans = folder.path().join("plans");
    copy(std::path::Path::new("plans"), &plans);
    let track = folder.path().join("track.csv");
    std::fs::write(&track, csv(&run(&Making::default()))).unwrap();
    for (when, due) in [(">", false), ("<", true)] {
        let rule = std::fs::read_to_string("plans/rules/second-try.yaml").unwrap();
        let rule: Vec<String> = rule
            .lines()
            .map(|line| match line.split_once(':') {
                Some(("measure", _)) => "measure: mission.hazard_clearance".to_owned(),
                Some(("at_most" | "at_least", _)) => "at_least: 900 m".to_owned(),
                Some(("applies_when", _)) => {
                    format!("applies_when: mission.upwind_run_length {when} q(\"500 km\")")
                }
                _ => line.to_owned(),
            })
            .collect();
        std::fs::write(plans.join("rules/second-try.yaml"), rule.join("\n") + "\n").unwrap();
        let ran = offing(&[
            "debrief",
            MISSION,
            "--plans",
            plans.to_str().unwrap(),
            "--track",
            track.to_str().unwrap(),
            "--columns",
            COLUMNS,
            "--format",
            "json",
        ]);
        let err = String::from_utf8(ran.stderr).unwrap();
        assert!(!ran.stdout.is_empty(), "{err}");
        let json: Json = serde_json::from_slice(&ran.stdout).unwrap();
        let asked = json["clearances"].as_array().unwrap().iter();
        let asked = asked.filter(|one| one["limit"]["value"] == 900.0).count();
        assert_eq!(asked > 0, due, "{when}: {} {err}", json["clearances"]);
    }
}

fn copy(from: &std::path::Path, to: &std::path::Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// A logger that writes more seldom tells much the same, and nothing that was not.
#[test]
#[ignore = "slow"]
fn a_track_of_a_slower_rate_says_much_the_same() {
    let full = csv(&run(&Making::default()));
    let off = |json: &Json| number(json, "/whole/energy/off");
    let ids = |json: &Json| -> Vec<String> {
        let all = json["findings"].as_array().unwrap().iter();
        all.map(|one| one["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let (_, whole) = told(&full);
    let rows: Vec<&str> = full.lines().collect();
    for every in [2, 3, 6] {
        let kept: Vec<&str> = rows
            .iter()
            .enumerate()
            .filter(|(number, _)| {
                *number == 0 || (number - 1) % every == 0 || number + 1 == rows.len()
            })
            .map(|(_, row)| *row)
            .collect();
        let (_, json) = told(&(kept.join("\n") + "\n"));
        assert!(
            (off(&json) - off(&whole)).abs() < 0.05,
            "every {every}: {} is not {}",
            off(&json),
            off(&whole)
        );
        for id in [
            "debrief-end",
            "debrief-left",
            "debrief-return",
            "debrief-launch",
        ] {
            assert_eq!(
                ids(&json).contains(&id.to_owned()),
                ids(&whole).contains(&id.to_owned()),
                "every {every}: {id}: {json}"
            );
        }
    }
}
