//! Whatever a command tells under a name can be asked about.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use offing::door::finding::{EXPLAINED, explained};

/// What stands before a name of what no rule says: what builds a finding, a problem, a reason or a doubt,
/// or the field that holds the name.
const MADE: [&str; 12] = [
    "Reason::new(",
    "Finding::builder(",
    "Problem::new(",
    "begin(",
    "unbound(",
    "refused(",
    "add(",
    "doubt(",
    "stop(",
    "rule:",
    "id:",
    "code:",
];
/// How a name begins that a variable holds.
const BEGINS: [&str; 14] = [
    "input-",
    "policy-",
    "waiver-",
    "baseline-",
    "approval-",
    "signers-",
    "record-",
    "recorded-",
    "decision-",
    "commit-",
    "flown-",
    "launch-",
    "launched-",
    "debrief-",
];
/// Beginnings that other words have too, none of them told of anything.
const OTHERS: [&str; 5] = [
    "launch-output",
    "debrief-output",
    "cross-track",
    "residuals-angle",
    "residuals-wind",
];

fn sources(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            sources(&path, all);
        } else if name.ends_with(".rs") && !name.starts_with("tests") {
            all.push(path);
        }
    }
}

/// Ids of the built-in rules.
fn rules(folder: &Path, all: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rules(&path, all);
        } else {
            let text = std::fs::read_to_string(&path).unwrap();
            all.extend(
                text.lines()
                    .filter_map(|line| line.strip_prefix("id: "))
                    .map(str::to_owned),
            );
        }
    }
}

/// Names in a text of Rust, each the whole of a string.
fn names(text: &str) -> Vec<String> {
    let parts: Vec<&str> = text.split('"').collect();
    let pairs = parts.windows(2).filter(|pair| {
        let (before, name) = (pair[0].trim_end(), pair[1]);
        let parts = name.split('-').collect::<Vec<_>>();
        let kebab = parts.len() > 1
            && parts
                .iter()
                .all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase()));
        kebab
            && (MADE.iter().any(|made| before.ends_with(made))
                || BEGINS.iter().any(|begins| name.starts_with(begins)))
    });
    pairs.map(|pair| pair[1].to_owned()).collect()
}

/// Every name in the sources, the list of explanations itself aside.
fn told() -> BTreeSet<String> {
    let mut files = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    sources(&root.join("src"), &mut files);
    let mut of_rules = BTreeSet::new();
    rules(&root.join("rules"), &mut of_rules);
    assert!(of_rules.contains("reserve-at-turnaround"));
    let mut found = BTreeSet::new();
    for path in files {
        if path.ends_with("finding/explained.rs") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        // What a module's own tests invent is told by nobody.
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        found.extend(names(text));
    }
    found.retain(|name| !of_rules.contains(name) && !OTHERS.contains(&name.as_str()));
    found
}

#[test]
fn every_name_that_a_command_tells_is_explained() {
    let told = told();
    for known in [
        "input-syntax",
        "launched-before",
        "record-twice",
        "run-undecided",
        "back-late",
        "waiver-unknown",
        "not-committed",
        "signers-changed",
    ] {
        assert!(
            told.contains(known),
            "the sources are searched for {known}: {told:?}"
        );
    }
    let unknown: Vec<&String> = told
        .iter()
        .filter(|name| {
            explained(name).is_none() && offing::door::debrief::explained(name).is_none()
        })
        .collect();
    assert!(unknown.is_empty(), "told and not explained: {unknown:?}");
}

#[test]
fn what_is_explained_is_told_somewhere() {
    let told = told();
    let idle: Vec<&str> = EXPLAINED
        .iter()
        .map(|one| one.id)
        .filter(|id| !told.contains(*id))
        .collect();
    assert!(idle.is_empty(), "explained and never told: {idle:?}");
}

#[test]
fn the_command_explains_them() {
    for one in [
        "launched-before",
        "run-unused-go",
        "debrief-energy",
        "record-unsigned",
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["explain", one, "--plans", "docs/start"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        assert_eq!(output.status.code(), Some(0), "{one}");
        assert!(
            text.starts_with(one) && text.contains("What to do"),
            "{text}"
        );
    }
}

#[test]
fn what_a_plan_must_state_is_listed_once() {
    let needs = |word: &str| -> Vec<String> {
        let output = Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["explain", word])
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        let (_, behind) = text
            .split_once("What a plan must state for it\n")
            .expect(&text);
        let (listed, _) = behind.split_once("\n\n").unwrap();
        let lines = listed.lines().map(|line| line.strip_prefix("  - "));
        lines.map(|line| line.expect(&text).to_owned()).collect()
    };
    for word in [
        "lights",
        "daylight-left",
        "forecast-fresh",
        "forecast-holds",
        "soundings-age",
        "water-level-age",
        "lost-link-holding",
        "approach-into-wind",
        "mission.time_in_hand",
    ] {
        let listed = needs(word);
        let once: BTreeSet<&String> = listed.iter().collect();
        assert_eq!(once.len(), listed.len(), "{word}: {listed:?}");
    }
    assert_eq!(
        needs("approach-into-wind"),
        ["wind", "last leg", "shoreline"]
    );
    // `conditions`, which the rule applies by, is not listed beside the forecast in them.
    assert_eq!(
        needs("forecast-fresh"),
        ["conditions: forecast", "launch: time", "launch: delay"]
    );
}
