//! What findings offer to fix them: each change of a file, made as it is told, makes its finding go away, and
//! what no change of a file does says who does it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use offing::door::check::Outcome;
use offing::door::finding::{Edit, Finding, Nature, Remedy};
use rayon::prelude::*;
use serde_json::Value as Json;

use crate::alone::{self, Case};
use crate::shared::demo_tree::{Files, mission, told};

/// The missions of the demo.
fn missions() -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans/missions");
    let files = std::fs::read_dir(root).expect("missions");
    let names = files.map(|file| {
        file.expect("a file")
            .file_name()
            .into_string()
            .expect("text")
    });
    let mut all: Vec<String> = names
        .filter_map(|name| Some(name.strip_suffix(".yaml")?.to_owned()))
        .collect();
    all.sort();
    all
}

/// The files with the changes of a remedy made in their text, from the last to the first.
fn edited(files: &Files, outcome: &Outcome, edits: &[Edit]) -> Files {
    let mut files = files.clone();
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort_by_key(|edit| std::cmp::Reverse((edit.file.0, edit.replaced.start)));
    for edit in edits {
        let path = outcome.sources.path(edit.file);
        let mut text = files.text(path).to_owned();
        text.replace_range(edit.replaced.range(), &edit.text);
        files.write(path, text);
    }
    files
}

fn same(one: &Finding, other: &Finding) -> bool {
    one.rule == other.rule && one.mission == other.mission && one.subject == other.subject
}

/// How many changes of files an outcome offers, and what is wrong with each of them that does not do.
fn faults(files: &Files, outcome: &Outcome, of: impl Fn(&Finding) -> bool) -> (usize, Vec<String>) {
    let findings = outcome.findings.iter().filter(|finding| of(finding));
    let offered: Vec<(&Finding, &Remedy)> = findings
        .flat_map(|finding| finding.remedies.iter().map(move |remedy| (finding, remedy)))
        .filter(|(_, remedy)| !remedy.edits.is_empty())
        .collect();
    let faults = offered.par_iter();
    let faults = faults.filter_map(|one| fault(files, outcome, *one));
    (offered.len(), faults.collect())
}

/// What is wrong with a remedy that is a change of files: nothing, or what is found all the same.
fn fault(
    files: &Files,
    outcome: &Outcome,
    (finding, remedy): (&Finding, &Remedy),
) -> Option<String> {
    let outcome = edited(files, outcome, &remedy.edits).check();
    let input = outcome
        .findings
        .iter()
        .any(|one| one.nature == Nature::Input);
    let still = outcome.findings.iter().find(|one| same(one, finding));
    let why = match still {
        _ if input => told(&outcome),
        Some(still) => still.message.clone(),
        None if outcome.checked.len() == 1 => return None,
        None => "the mission is no longer checked".to_owned(),
    };
    let mission = finding.mission.as_deref().unwrap_or_default();
    Some(format!(
        "{mission}, {}: {}\n    {why}",
        finding.rule, remedy.text
    ))
}

#[test]
#[ignore = "slow"]
fn every_change_of_a_file_that_the_demo_offers_makes_its_finding_go_away() {
    let tried: Vec<(usize, Vec<String>)> = missions()
        .par_iter()
        .map(|id| {
            let files = Files::demo(&[id]);
            faults(&files, &files.check(), |_| true)
        })
        .collect();
    let faults: Vec<&String> = tried.iter().flat_map(|(_, faults)| faults).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    let offered: usize = tried.iter().map(|(offered, _)| offered).sum();
    assert!(offered >= 20, "only {offered} changes of files are offered");
}

#[test]
#[ignore = "slow"]
fn every_change_of_a_file_that_a_built_in_rule_offers_makes_its_finding_go_away() {
    let all: Vec<&Case> = alone::cases().collect();
    let faults: Vec<String> = all
        .par_iter()
        .flat_map(|case| {
            let files = case.files();
            faults(&files, &files.check(), |one| one.rule == case.rule).1
        })
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
#[ignore = "slow"]
fn what_no_change_of_a_file_does_says_who_does_it() {
    for id in missions() {
        let outcome = Files::demo(&[&id]).check();
        for finding in &outcome.findings {
            assert!(!finding.remedies.is_empty(), "{id}: {}", finding.rule);
            for (remedy, told) in finding.remedies.iter().zip(finding.remedies_told()) {
                let who = remedy.who.expect("somebody").label();
                assert_eq!(
                    remedy.edits.is_empty(),
                    told.to_lowercase().starts_with(&format!("{who}: ")),
                    "{id}: {told}"
                );
            }
        }
    }
}

/// The first remedies of a rule's finding in a mission.
fn remedies(files: &Files, rule: &str) -> Vec<Remedy> {
    let outcome = files.check();
    let found = outcome.findings.iter().find(|one| one.rule == rule);
    found
        .unwrap_or_else(|| panic!("{rule}: {}", told(&outcome)))
        .remedies
        .clone()
}

#[test]
fn a_low_battery_is_answered_by_its_trigger_before_any_speed() {
    let all = remedies(
        &Files::demo(&["long-run-downwind"]),
        "low-battery-trigger-late",
    );
    let field = |remedy: &Remedy| remedy.edits.first().map(|edit| edit.field.clone());
    assert_eq!(
        field(&all[0]).as_deref(),
        Some("/on_low_battery/below_charge")
    );
    let speeds = all.iter().position(|remedy| remedy.text.contains("speed"));
    assert!(speeds.is_none_or(|at| at > 0), "{all:#?}");
}

/// Fresh water at 20 °C carries sound at 1482 m/s, and at 17 °C at 1473 m/s (Marczak 1997, as the chapter on
/// models has it): the setting in the middle is wrong by the least.
#[test]
fn a_speed_of_sound_that_is_wrong_comes_with_the_one_to_set() {
    let mut files = Files::demo(&["a-day-too-late"]);
    files.edit(
        "vessels/goosander.yaml",
        "sound_speed: 1480 m/s",
        "sound_speed: 1530 m/s",
    );
    let outcome = files.check();
    let all = remedies(&files, "sound-speed");
    let edit = all[0].edits.first().expect("a change");
    assert_eq!(edit.field, "/sonar/sound_speed");
    let speed: f64 = edit.value.trim_end_matches(" m/s").parse().unwrap();
    assert!((1473.0..=1482.0).contains(&speed), "{speed}");
    let after = edited(&files, &outcome, &all[0].edits).check();
    assert!(
        after.findings.iter().all(|one| one.rule != "sound-speed"),
        "{}",
        told(&after)
    );
}

#[test]
fn a_value_of_the_orders_is_stated_otherwise_by_the_mission_alone() {
    let mut files = Files::demo(&["careless-end"]);
    files.edit(
        "orders/from-the-slip.yaml",
        "at_end: { action: hold }",
        "at_end: { action: carry on }",
    );
    let text = files.text(&mission("careless-end")).to_owned();
    let own = text
        .lines()
        .find(|line| line.starts_with("at_end:"))
        .unwrap()
        .to_owned();
    files.edit(&mission("careless-end"), &format!("{own}\n"), "");
    let outcome = files.check();
    let all = remedies(&files, "end-action");
    let edit = all[0].edits.first().expect("a change");
    assert_eq!(outcome.sources.path(edit.file), mission("careless-end"));
    assert_eq!(
        (edit.field.as_str(), edit.value.as_str()),
        ("/at_end", "{ action: hold }")
    );
    let after = edited(&files, &outcome, &all[0].edits).check();
    assert!(
        after.findings.iter().all(|one| one.rule != "end-action"),
        "{}",
        told(&after)
    );
}

/// The changes of a finding's first remedy, and what is found after them.
fn after_the_first(files: &Files, rule: &str) -> (Vec<Edit>, Outcome) {
    let edits = remedies(files, rule)[0].edits.clone();
    let after = edited(files, &files.check(), &edits).check();
    (edits, after)
}

/// As `offing init` writes orders: a line for each field, with its comment.
#[test]
fn an_order_with_a_line_for_each_field_is_stated_otherwise_by_the_mission_too() {
    let mut files = Files::demo(&["long-run-downwind"]);
    let path = mission("long-run-downwind");
    let text = files.text(&path).to_owned();
    let mut lines = text.lines();
    if let Some(own) = lines.find(|line| line.starts_with("on_low_battery:")) {
        files.edit(&path, &format!("{own}\n"), "");
    }
    files.edit(
        "orders/from-the-slip.yaml",
        "on_low_battery: { action: return, below_charge: 45 % }\n",
        "on_low_battery: # What the boat does.\n  action: return # proposed: What it does, at once.\n  \
         below_charge: 15 % # Reading of the gauge.\n",
    );
    let (edits, after) = after_the_first(&files, "low-battery-trigger-late");
    assert_eq!(edits[0].field, "/on_low_battery");
    let braces = edits[0]
        .value
        .starts_with("{ action: return, below_charge: ");
    assert!(
        braces && edits[0].value.ends_with(" % }"),
        "{}",
        edits[0].value
    );
    let still = after
        .findings
        .iter()
        .any(|one| one.rule == "low-battery-trigger-late" || one.nature == Nature::Input);
    assert!(!still, "{}", told(&after));
}

#[test]
fn an_item_that_is_added_stands_in_its_list() {
    let mut files = Files::demo(&["a-day-too-late"]);
    let pointed = "  - { station: slip-mast, link: control, azimuth: 015° }\n";
    files.edit(&mission("a-day-too-late"), pointed, "");
    let (edits, after) = after_the_first(&files, "link-margin");
    assert_eq!(edits[0].field, "/antennas/1");
    let still = after
        .findings
        .iter()
        .any(|one| one.rule == "link-margin" || one.nature == Nature::Input);
    assert!(!still, "{}", told(&after));
}

#[test]
fn a_return_leg_that_a_hazard_bars_goes_by_a_waypoint_of_the_route() {
    let mut files = Files::demo(&["north-bay-lines"]);
    files.edit("site/quenderby.yaml", "clearance: 15 m", "clearance: 70 m");
    let (edits, after) = after_the_first(&files, "hazards");
    let values: Vec<&str> = edits.iter().map(|edit| edit.value.as_str()).collect();
    assert!(values.contains(&"by waypoints"), "{values:?}");
    let named = values
        .iter()
        .any(|value| value.starts_with("[{ waypoint: "));
    assert!(named, "{values:?}");
    let still = after
        .findings
        .iter()
        .any(|one| one.rule == "hazards" || one.nature == Nature::Input);
    assert!(!still, "{}", told(&after));
}

#[test]
fn a_return_leg_across_an_island_goes_by_a_waypoint_of_its_own() {
    let (edits, after) = after_the_first(&Files::demo(&["past-the-island"]), "shoreline");
    let via = edits
        .iter()
        .find(|edit| edit.value.contains("via: [{ id: return-clear, at: ["));
    assert!(via.is_some(), "{edits:#?}");
    let still = after
        .findings
        .iter()
        .any(|one| one.rule == "shoreline" || one.nature == Nature::Input);
    assert!(!still, "{}", told(&after));
}

/// The boat goes 1500.8 m east, across the wind, and 2503.6 m north, against it. By hand: 2503.6 m, at most 1000 m at
/// once, in 3 parts of 834.5 m, the first of which ends at 1500.8 m + 834.5 m = 2335.3 m. At 1 m/s 2503.6 s, at most
/// 1500 s, which is 1.67 parts and half a one to spare: 3 again. At 1.25 m/s 2002.9 s, 1.34 parts and a half: 2 parts
/// of 1251.8 m, the first to 2752.6 m. Lengths of a degree by the WGS 84 ellipsoid: 111.27 km of latitude, 68.22 km of
/// longitude there.
#[test]
#[ignore = "slow"]
fn a_run_against_the_wind_is_to_be_broken_before_it_is_too_long() {
    let mut files = Files::wide();
    let own = "first-lines.yaml";
    for (from, to) in [
        (
            "wind: { from: 270°, spread: 20°, mean: 3 m/s, gust: 5 m/s, height: 10 m }",
            "wind: { from: 000°, spread: 20°, mean: 1 m/s, gust: 1.6 m/s, height: 10 m }",
        ),
        (
            "  - { id: out, to: [52.300300, -24.401500] }\n",
            "  - { id: out, to: [52.299950, -24.380850] }\n",
        ),
        (
            "  - { id: east-end, to: [52.300300, -24.398000] }\n",
            "  - { id: north-end, to: [52.322450, -24.380850] }\n",
        ),
        ("  - { id: south, to: [52.299800, -24.398000] }\n", ""),
        ("  - { id: line-up, to: [52.299950, -24.401500] }\n", ""),
    ] {
        files.edit(own, from, to);
    }
    for (from, to) in [
        ("nominal_capacity: 6 Ah", "nominal_capacity: 20 Ah"),
        ("measured_capacity: 5.6 Ah", "measured_capacity: 20 Ah"),
        ("capacity_set: 5.5 Ah", "capacity_set: 20 Ah"),
    ] {
        files.edit("boat.yaml", from, to);
    }
    let often = "at least every 834 m, the first time 2335 m along the route.";
    let seldom = "at least every 1251 m, the first time 2752 m along the route.";
    let mut faster = files.clone();
    faster.edit(
        own,
        "\nspeed: { over_ground: 1.0 m/s }",
        "\nspeed: { over_ground: 1.25 m/s }",
    );
    for (files, rule, due) in [
        (&files, "upwind-run-length", often),
        (&files, "upwind-run-time", often),
        (&faster, "upwind-run-length", often),
        (&faster, "upwind-run-time", seldom),
    ] {
        let due = format!("Break the run with a leg across the wind {due}");
        let all = remedies(files, rule);
        assert!(all.iter().any(|one| one.text == due), "{rule}: {all:#?}");
    }
}

/// Every name of a field, and every word that may be its value, in any schema.
fn known(json: &Json, names: &mut BTreeSet<String>) {
    match json {
        Json::Object(fields) => {
            for (key, value) in fields {
                if key == "properties"
                    && let Some(own) = value.as_object()
                {
                    names.extend(own.keys().cloned());
                }
                if key == "enum"
                    && let Some(words) = value.as_array()
                {
                    names.extend(words.iter().filter_map(Json::as_str).map(str::to_owned));
                }
                known(value, names);
            }
        }
        Json::Array(items) => items.iter().for_each(|item| known(item, names)),
        _ => {}
    }
}

/// Words of rules between backticks that are no fields: a command, a name of a time zone, a value of `fetch`.
const NO_FIELDS: [&str; 3] = ["offing window", "Etc/GMT+2", "unlimited"];

#[test]
fn every_field_that_a_rule_tells_to_change_exists() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut names = BTreeSet::new();
    for kind in ["mission", "orders", "vessel", "site", "policy", "rule"] {
        let path = root.join(format!("schemas/{kind}.schema.json"));
        let text = std::fs::read_to_string(path).expect("a schema");
        known(&serde_json::from_str(&text).expect("JSON"), &mut names);
    }
    let mut unknown: BTreeMap<String, String> = BTreeMap::new();
    for folder in std::fs::read_dir(root.join("rules")).expect("rules") {
        for file in std::fs::read_dir(folder.expect("a folder").path()).expect("rules") {
            let path = file.expect("a file").path();
            let text = std::fs::read_to_string(&path).expect("a rule");
            let (_, remedy) = text.split_once("\nremedy:").expect("a remedy");
            let remedy = remedy.split("\nsources:").next().unwrap_or_default();
            for word in remedy.split('`').skip(1).step_by(2) {
                let fields = word.split(": ").all(|one| names.contains(one));
                if !fields && !NO_FIELDS.contains(&word) {
                    unknown.insert(word.to_owned(), path.display().to_string());
                }
            }
        }
    }
    assert!(unknown.is_empty(), "{unknown:#?}");
}
