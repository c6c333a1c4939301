//! A run beside its plan: tracks made along the demo's routes with figures that are known, told by
//! the program, and held against what was put in.

mod blanks;
mod columns;
use crate::shared::copied;
mod demo;
mod hostile;
mod left;
mod made;
mod numbers;
mod record;

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value as Json;

/// Runs the program in the demo.
fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(copied::unchanged())
        .output()
        .unwrap()
}

/// The columns of the tracks that are made here.
const COLUMNS: &str = "plans/tracks/columns.yaml";
/// The mission that they are of.
const MISSION: &str = "dam-to-bay-transects";

/// What came of a debrief: exit status, standard output, standard error.
struct Came {
    status: i32,
    out: String,
    err: String,
}

fn debrief(track: &Path, more: &[&str]) -> Came {
    let mut all = vec![
        "debrief",
        MISSION,
        "--plans",
        "plans",
        "--track",
        track.to_str().unwrap(),
    ];
    if track.extension().is_none_or(|ending| ending != "gpx") {
        all.extend(["--columns", COLUMNS]);
    }
    all.extend(more);
    let ran = offing(&all);
    Came {
        status: ran.status.code().unwrap(),
        out: String::from_utf8(ran.stdout).unwrap(),
        err: String::from_utf8(ran.stderr).unwrap(),
    }
}

/// The JSON form of a debrief of a text, with the exit status; it is held against its schema.
fn told(text: &str) -> (i32, Json) {
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("track.csv");
    std::fs::write(&file, text).unwrap();
    let came = debrief(&file, &["--format", "json"]);
    assert!(!came.out.is_empty(), "{}", came.err);
    let json: Json = serde_json::from_str(&came.out).unwrap();
    crate::shared::schema::hold(&json);
    (came.status, json)
}

/// A number in the JSON form.
fn number(json: &Json, path: &str) -> f64 {
    json.pointer(path)
        .and_then(Json::as_f64)
        .unwrap_or_else(|| panic!("{path} is no number in {json}"))
}

/// Ids of everything that was found.
fn found(json: &Json) -> Vec<&str> {
    let findings = json["findings"].as_array().unwrap();
    findings
        .iter()
        .map(|one| one["id"].as_str().unwrap())
        .collect()
}
