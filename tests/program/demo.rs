//! The demo: two missions pass, each of the others fails by one hazard, and the report says so.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value as Json;

/// What a mission of the demo fails by: the folder of the built-in rules.
const HAZARDS: &[(&str, &str)] = &[
    ("adrift-above-the-weir", "drift"),
    ("antenna-off-bearing", "link"),
    ("careless-end", "recovery"),
    ("evening-lines", "time"),
    ("gaps-between-lines", "sounding"),
    ("headwind-return", "wind"),
    ("lines-across-the-wind", "sea"),
    ("long-run-downwind", "energy"),
    ("one-pair-of-hands", "people"),
    ("over-the-silt", "depth"),
    ("past-the-island", "clearance"),
    ("a-day-too-late", "time"),
    ("slow-approach", "configuration"),
    ("slow-hands", "contingency"),
];
const CLEAN: [&str; 2] = ["dam-to-bay-transects", "north-bay-lines"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(crate::shared::copied::unchanged())
        .output()
        .unwrap()
}

fn report() -> Json {
    let output = offing(&["check", "plans", "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The folder that a built-in rule lies in; `None` for one of the team's own.
fn folder_of(rule: &str) -> Option<String> {
    let mut folders = std::fs::read_dir(root().join("rules"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|folder| folder.join(format!("{rule}.yaml")).is_file());
    let folder = folders.next()?;
    Some(folder.file_name().unwrap().to_str().unwrap().to_owned())
}

#[test]
fn the_report_at_a_terminal() {
    let output = offing(&["check", "plans", "--colour", "never", "--width", "100"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stderr.is_empty());
    insta::assert_snapshot!("terminal", String::from_utf8(output.stdout).unwrap());
}

#[test]
fn the_counts_of_the_json_report() {
    let report = report();
    let missions: BTreeMap<&str, &Json> = report["missions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|mission| (mission["mission"].as_str().unwrap(), &mission["findings"]))
        .collect();
    let counts = serde_json::json!({ "summary": report["summary"], "missions": missions });
    insta::assert_snapshot!("counts", serde_json::to_string_pretty(&counts).unwrap());
}

#[test]
fn two_missions_pass_and_each_other_one_shows_one_hazard() {
    let report = report();
    let mut clean = Vec::new();
    let mut hazards: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for mission in report["missions"].as_array().unwrap() {
        let id = mission["mission"].as_str().unwrap().to_owned();
        if mission["clean"] == true {
            clean.push(id);
            continue;
        }
        for judged in mission["judged"].as_array().unwrap() {
            let verdict = judged["verdict"].as_str().unwrap();
            assert_ne!(verdict, "not evaluated", "{id}: {}", judged["rule"]);
            if verdict == "fails"
                && let Some(folder) = folder_of(judged["rule"].as_str().unwrap())
            {
                hazards.entry(id.clone()).or_default().insert(folder);
            }
        }
    }
    assert_eq!(clean, CLEAN);
    let expected: BTreeMap<String, BTreeSet<String>> = HAZARDS
        .iter()
        .map(|(id, folder)| ((*id).to_owned(), BTreeSet::from([(*folder).to_owned()])))
        .collect();
    assert_eq!(hazards, expected);
}

#[test]
#[ignore = "slow"]
fn a_team_rule_fails_only_where_its_hazard_is_shown_already() {
    let report = report();
    let mut found = 0;
    for finding in report["findings"].as_array().unwrap() {
        let rule = finding["rule"].as_str().unwrap();
        if folder_of(rule).is_none() {
            assert_eq!(
                (rule, &finding["mission"]),
                ("second-try", &"long-run-downwind".into())
            );
            found += 1;
        }
    }
    assert_eq!(found, 1);
    let output = offing(&["rules", "test", "--plans", "plans"]);
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(text, "examples: 3 tried, 0 not as their rules say\n");
}

/// An editor finds the schema of a file by the comment on its first line.
#[test]
fn every_file_names_its_schema() {
    let mut files = 0;
    for entry in walkdir::WalkDir::new(root().join("plans")) {
        let path = entry.unwrap().into_path();
        if path.extension().is_none_or(|e| e != "yaml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let shown = path.display();
        let schema = text
            .lines()
            .next()
            .and_then(|line| line.strip_prefix("# yaml-language-server: $schema="))
            .unwrap_or_else(|| panic!("{shown} names no schema"));
        let schema = path.parent().unwrap().join(schema);
        let schema = std::fs::read_to_string(schema).unwrap_or_else(|e| panic!("{shown}: {e}"));
        let schema: Json = serde_json::from_str(&schema).unwrap();
        let kind = schema["properties"]["kind"]["const"].as_str().unwrap();
        assert!(
            text.lines().any(|line| line == format!("kind: {kind}")),
            "{shown} names the schema of a {kind}"
        );
        files += 1;
    }
    assert_eq!(files, 24);
}
