//! The demo's season: eight runs of the summer of 2027, as git wrote their repository out. Its records are
//! kept: that they still verify is what a history is for. They are made anew, by `season_2027.py`, only where
//! the fields or the rules of the plans have changed so that a launch of then would be no go today.

use std::process::Command;

use super::repo::{Repo, standing};

pub const SEASON: &str = "plans/season-2027.fast-export";
const TAMPERED: &str = "tests/data/season-2027-tampered.fast-export";

fn output(program: &str, repo: &Repo, argument: &str) -> String {
    let output = Command::new(program)
        .arg(argument)
        .current_dir(repo.path())
        .output()
        .unwrap();
    assert!(output.status.success());
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_demo_s_season_is_whole() {
    let repo = Repo::imported(SEASON);
    let (status, text) = repo.run(&["history", "verify"]);
    let whole = "8 records: the chain is whole, and as git has it\n";
    let not_again = "no launch was decided again; `offing history verify --judge` does that\n";
    assert_eq!((status, text), (0, format!("{not_again}{whole}")));
    let (status, text) = repo.run(&["history", "verify", "--judge"]);
    let again = "8 launches that were a go were decided again, and came out the same\n";
    assert_eq!((status, text), (0, format!("{again}{whole}")));
    let (_, listed) = repo.json(&["history"]);
    let totals = &listed["totals"];
    for (what, count) in [
        ("runs", 8),
        ("aborted", 1),
        ("recovered", 1),
        ("lost", 0),
        ("near_misses", 1),
    ] {
        assert_eq!(totals[what], count, "{what}: {totals}");
    }
    // Two branches each recorded a run, and the next record joins them.
    let runs = listed["runs"].as_array().unwrap();
    let joins = runs
        .iter()
        .filter(|run| run["previous"].as_array().unwrap().len() == 2);
    assert_eq!(joins.count(), 1);
    // One was run with something waived.
    let waived = runs
        .iter()
        .filter(|run| !run["waived"].as_array().unwrap().is_empty());
    assert_eq!(waived.count(), 1);
}

/// What the records say of their tracks is what `sha256sum` says, and what the tracks come to: volts times
/// amperes, over the half minute from each sample to the next.
#[test]
fn the_season_s_tracks_are_those_of_its_records() {
    let repo = Repo::imported(SEASON);
    let (_, listed) = repo.json(&["history"]);
    for run in listed["runs"].as_array().unwrap() {
        let track = run["track"]["kept"].as_str().unwrap();
        let digest = output("sha256sum", &repo, track);
        assert_eq!(&digest[..64], run["track"]["sha256"].as_str().unwrap());
        let text = repo.read(track);
        let power: Vec<f64> = text
            .lines()
            .skip(1)
            .map(|row| {
                let cells: Vec<f64> = row.split(',').skip(3).map(|c| c.parse().unwrap()).collect();
                cells[0] * cells[1]
            })
            .collect();
        let hours = 30.0 / 3600.0;
        let energy: f64 = power.iter().map(|watts| watts * hours).sum();
        let said = run["energy"].as_str().unwrap().trim_end_matches(" Wh");
        let said: f64 = said.parse().unwrap();
        assert!((said - energy).abs() < 0.5, "{track}: {said} Wh, {energy}");
    }
}

/// Somebody took the near miss out of its record, and made git's history anew so that it shows no change.
#[test]
fn a_copy_that_was_tampered_with_is_found() {
    let repo = Repo::imported(TAMPERED);
    let (_, listed) = repo.json(&["history"]);
    assert_eq!(
        listed["totals"]["near_misses"], 0,
        "it lists as if nothing were"
    );
    let (status, report) = repo.json(&["history", "verify"]);
    let verified = &report["verified"];
    assert_eq!(status, 1, "{verified}");
    let rules = standing(verified);
    assert!(rules.contains(&"record-unlinked".to_owned()), "{rules:?}");
    // The first break is of the record that follows the one that was changed, at the line that names it.
    let first = &verified["findings"][0];
    assert_eq!(first["rule"], "record-unlinked", "{first}");
    let at = &first["primary"]["location"];
    assert!(
        at["path"]
            .as_str()
            .unwrap()
            .contains("dam-to-bay-transects-20270622"),
        "{at}"
    );
    let line = at["start"]["line"].as_u64().unwrap();
    let text = repo.read(at["path"].as_str().unwrap());
    let lines: Vec<&str> = text.lines().collect();
    let line = usize::try_from(line).unwrap() - 1;
    assert_eq!(lines[line - 1], "previous:");
    // What was recorded afterwards names commits that are gone with the old history.
    assert!(rules.contains(&"commit-missing".to_owned()), "{rules:?}");
}
