//! What the commands write as JSON is what their schemas say, and the schemas are those of the types
//! that write it.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value as Json;

use super::shared::copied;
use super::shared::repo::{NORTH, Repo, UPWIND, WAIVER};
use super::shared::schema::{OUTPUTS, faults, file_of, hold};
use super::shared::water::{go, launching, with};

/// Where the demo is.
fn root() -> &'static Path {
    copied::unchanged()
}

fn offing(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap()
}

/// The JSON that a command writes in a folder, once it was held against its schema.
fn output(folder: &Path, arguments: &[&str]) -> Json {
    let came = offing(folder, &[arguments, &["--format", "json"]].concat());
    let said = String::from_utf8_lossy(&came.stderr);
    let json = serde_json::from_slice(&came.stdout);
    let json = json.unwrap_or_else(|error| panic!("{arguments:?}: {error}: {said}"));
    hold(&json);
    json
}

fn missions() -> Vec<String> {
    let files = std::fs::read_dir(root().join("plans/missions")).unwrap();
    let names = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    let mut all: Vec<String> = names
        .filter_map(|name| name.strip_suffix(".yaml").map(str::to_owned))
        .collect();
    all.sort();
    assert!(all.len() >= 16, "{all:?}");
    all
}

fn schema(name: &str) -> String {
    let came = offing(root(), &["schema", name]);
    assert!(came.status.success(), "{name}");
    String::from_utf8(came.stdout).unwrap()
}

#[test]
fn the_schemas_of_outputs_are_those_of_this_program() {
    let files = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas")).unwrap();
    let names = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    let kept: BTreeSet<String> = names
        .filter_map(|name| name.strip_suffix(".schema.json").map(str::to_owned))
        .filter(|name| name.ends_with("-output"))
        .collect();
    assert_eq!(kept, OUTPUTS.map(str::to_owned).into_iter().collect());
    for name in OUTPUTS {
        let kept = std::fs::read_to_string(file_of(name)).unwrap();
        assert!(
            kept == schema(name),
            "schemas/{name}.schema.json is stale: make it again with \
             `offing schema {name} > schemas/{name}.schema.json`"
        );
    }
}

/// Every object of a schema takes the fields that it names, all of them and no others, and says what
/// each of them is.
fn closed(value: &Json, path: &str) {
    match value {
        Json::Object(fields) => {
            // A field of an output may be called `properties`; none is a list of schemas.
            if let Some(Json::Object(properties)) = fields.get("properties") {
                assert_eq!(fields["additionalProperties"], false, "{path}");
                let required = fields["required"].as_array().unwrap().iter();
                let required: Vec<&str> = required.map(|name| name.as_str().unwrap()).collect();
                let named: Vec<&str> = properties.keys().map(String::as_str).collect();
                assert_eq!(required, named, "{path}");
                for (name, field) in properties {
                    let said = field["description"].as_str().unwrap_or_default();
                    assert!(said.ends_with('.'), "{path}: {name}: {said}");
                    assert!(!said.contains('\n'), "{path}: {name}: {said}");
                }
            }
            for (name, field) in fields {
                closed(field, &format!("{path}/{name}"));
            }
        }
        Json::Array(items) => items.iter().for_each(|item| closed(item, path)),
        _ => {}
    }
}

#[test]
fn every_object_of_a_schema_is_closed_and_described() {
    for name in OUTPUTS {
        let schema: Json = serde_json::from_str(&schema(name)).unwrap();
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
        assert!(schema["title"].is_string(), "{name}");
        assert!(schema["description"].is_string(), "{name}");
        closed(&schema, name);
        for (shape, of) in schema["$defs"].as_object().unwrap() {
            assert!(of["description"].is_string(), "{name}: {shape}");
        }
    }
}

/// A schema that takes anything would hold nothing.
#[test]
#[ignore = "slow"]
fn a_schema_refuses_a_field_too_many_and_a_field_too_few() {
    let good = output(root(), &["check", "plans"]);
    for pointer in [
        "",
        "/summary",
        "/findings/0/primary",
        "/missions/0/judged/0",
    ] {
        let mut more = good.clone();
        more.pointer_mut(pointer).unwrap()["surplus"] = Json::Null;
        assert!(!faults(&more).is_empty(), "{pointer}");
        let mut less = good.clone();
        let fields = less.pointer_mut(pointer).unwrap().as_object_mut().unwrap();
        let first = fields.keys().next().unwrap().clone();
        fields.shift_remove(&first);
        assert!(!faults(&less).is_empty(), "{pointer} without {first}");
    }
    let mut other = good;
    other["findings"][0]["severity"] = "grave".into();
    assert!(!faults(&other).is_empty());
}

#[test]
#[ignore = "slow"]
fn every_mission_of_the_demo_is_told_as_the_schemas_say() {
    let whole = output(root(), &["check", "plans"]);
    assert!(whole["findings"].as_array().unwrap().len() > 10);
    output(root(), &["check", "plans", "--spread", "3"]);
    output(root(), &["check", "plans", "--partition", "1/3"]);
    for mission in missions() {
        let window = ["window", &mission, "--plans", "plans"];
        assert_eq!(output(root(), &window)["mission"], mission.as_str());
        let limits = ["limits", &mission, "--plans", "plans", "--step", "30°"];
        assert_eq!(output(root(), &limits)["mission"], mission.as_str());
    }
}

#[test]
#[ignore = "slow"]
fn a_run_of_the_demo_is_told_as_the_schemas_say() {
    let track = "plans/tracks/dam-to-bay-transects-20270622.csv";
    let columns = "plans/tracks/columns.yaml";
    let debrief = [
        "debrief",
        "dam-to-bay-transects",
        "--plans",
        "plans",
        "--track",
        track,
        "--columns",
        columns,
    ];
    let told = output(root(), &debrief);
    let findings = told["findings"].as_array().unwrap();
    assert!(!findings.is_empty() && told["link"].is_object(), "{told}");
    let copy = copied::demo();
    let calibrate = [
        "calibrate",
        "goosander",
        "--plans",
        "plans",
        "--track",
        "plans/tracks/legs-1.csv",
        "plans/tracks/legs-2.csv",
        "--columns",
        "plans/tracks/legs-columns.yaml",
        "--wind",
        "240° 4.5 m/s at 2 m",
        "--wind",
        "75° 6 m/s at 2 m",
    ];
    let told = output(copy.path(), &calibrate);
    assert!(told["written"].is_object(), "{told}");
}

#[test]
#[ignore = "slow"]
fn the_season_of_the_demo_is_told_as_the_schemas_say() {
    let season = Repo::imported("plans/season-2027.fast-export");
    let listed = output(season.path(), &["history"]);
    assert_eq!(listed["runs"].as_array().unwrap().len(), 8);
    output(season.path(), &["history", "verify", "--judge"]);
    let tampered = Repo::imported("tests/data/season-2027-tampered.fast-export");
    let verified = output(tampered.path(), &["history", "verify"]);
    let broken = verified["verified"]["findings"].as_array().unwrap();
    assert!(!broken.is_empty(), "{verified}");
    // A review, of which the check is a part.
    let review = output(season.path(), &["review", "HEAD~4", "HEAD"]);
    assert!(!review["missions"].as_array().unwrap().is_empty());
}

#[test]
#[ignore = "slow"]
fn errors_waivers_and_what_is_not_evaluated_are_told_as_the_schemas_say() {
    let repo = Repo::new();
    repo.commit();
    let go = launching(
        "north-bay-lines",
        &[&[("--plans", "plans")][..], &go()].concat(),
    );
    let go: Vec<&str> = go.iter().map(String::as_str).collect();
    assert_eq!(output(repo.path(), &go)["decision"], "go");
    let gale = with(&[
        ("--plans", "plans"),
        ("--wind", "240° 14 m/s gust 20 m/s at 2 m"),
    ]);
    let gale = launching("north-bay-lines", &gale);
    let gale: Vec<&str> = gale.iter().map(String::as_str).collect();
    let no_go = output(repo.path(), &gale);
    assert_eq!(no_go["decision"], "no-go");
    assert!(!no_go["reasons"].as_array().unwrap().is_empty());
    let natures = |report: &Json| -> BTreeSet<String> {
        let all = report["findings"].as_array().unwrap().iter();
        all.map(|one| one["nature"].as_str().unwrap().to_owned())
            .collect()
    };
    // What nobody states cannot be judged.
    let vessel = "plans/vessels/goosander.yaml";
    let text = repo.read(vessel);
    let (before, rest) = text.split_once("\nsonar:").unwrap();
    let (_, after) = rest.split_once("\n\n").unwrap();
    repo.write(vessel, &format!("{before}\n\n{after}"));
    let report = output(repo.path(), &["check", "."]);
    assert!(natures(&report).contains("not evaluated"), "{report:#}");
    repo.write(vessel, &text);
    // A waiver, and a file that cannot be read.
    repo.append(UPWIND, WAIVER);
    repo.edit(NORTH, "kind: mission", "kind: mission\nkind: mission");
    let report = output(repo.path(), &["check", "."]);
    assert!(natures(&report).contains("input"), "{report:#}");
    let accepted = |finding: &Json| finding["accepted"]["how"] == "waiver";
    assert!(
        report["findings"].as_array().unwrap().iter().any(accepted),
        "{report:#}"
    );
    repo.commit();
    let review = output(repo.path(), &["review", "HEAD~1", "HEAD"]);
    assert!(natures(&review["check"]).contains("input"), "{review:#}");
}
