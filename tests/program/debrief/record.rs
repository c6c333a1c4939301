//! The record of a run that names the track: it is told, and what does not agree with it or with the
//! plan at hand is found.

use std::path::Path;
use std::process::Command;

use offing::door::check::sha256;
use serde_json::Value as Json;
use tempfile::TempDir;

use super::MISSION;

const TRACK: &str = "plans/tracks/dam-to-bay-transects-20270622.csv";

struct Team {
    folder: TempDir,
}

impl Team {
    /// A copy of the demo, with a record of its run that agrees with plan and track but for some lines.
    fn new(changes: &[(&str, &str)]) -> Self {
        let team = Self {
            folder: super::copied::demo(),
        };
        let plain = team.debrief().1;
        assert!(plain["record"].is_null());
        let text = |value: &Json| value.as_str().unwrap().to_owned();
        let energy = &plain["whole"]["energy"]["actual"]["value"];
        let track = std::fs::read_to_string(TRACK).unwrap();
        let mut record = std::fs::read_to_string("tests/data/full/run.yaml.txt").unwrap();
        let any = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";
        let digest = text(&plain["digest"]);
        let mission = format!("plans/missions/{MISSION}.yaml");
        let of_mission = sha256(&std::fs::read_to_string(&mission).unwrap());
        for (from, to) in [
            ("mission: lines\n", format!("mission: {MISSION}\n")),
            (
                &format!("digest: \"{any}\""),
                format!("digest: \"{digest}\""),
            ),
            ("name: lines", format!("name: {MISSION}")),
            ("path: lines.yaml", format!("path: missions/{MISSION}.yaml")),
            (
                &format!("sha256: \"{any}\"\ndecision"),
                format!("sha256: \"{of_mission}\"\ndecision"),
            ),
            (
                &format!("track:\n  sha256: \"{any}\""),
                format!("track:\n  sha256: \"{}\"", sha256(&track)),
            ),
            (
                "launched: 2027-06-15T10:00:00Z",
                format!("launched: {}", text(&plain["ends"]["launched"])),
            ),
            (
                "ended: 2027-06-15T11:00:00Z",
                format!("ended: {}", text(&plain["ends"]["arrived"])),
            ),
            (
                "energy: 31 Wh",
                format!("energy: {} J", energy.as_f64().unwrap().round()),
            ),
        ] {
            assert!(record.contains(from), "{from}");
            record = record.replacen(from, &to, 1);
        }
        for (from, to) in changes {
            let lines: Vec<String> = record
                .lines()
                .map(|line| match line.starts_with(from) {
                    true => (*to).to_owned(),
                    false => line.to_owned(),
                })
                .collect();
            record = lines.join("\n") + "\n";
        }
        let runs = team.folder.path().join("plans/runs");
        std::fs::create_dir_all(&runs).unwrap();
        std::fs::write(runs.join("lines.yaml"), record).unwrap();
        team
    }

    fn ran(&self, mission: &str) -> std::process::Output {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["debrief", mission, "--plans", "plans", "--track", TRACK])
            .args(["--columns", super::COLUMNS, "--format", "json"])
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    fn debrief(&self) -> (i32, Json) {
        let ran = self.ran(MISSION);
        let json = serde_json::from_slice(&ran.stdout);
        let json = json.unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&ran.stderr)));
        (ran.status.code().unwrap(), json)
    }

    fn found(&self) -> Vec<(String, String)> {
        let (_, json) = self.debrief();
        assert_eq!(json["record"]["id"], "lines-20270615");
        let all = json["findings"].as_array().unwrap().iter();
        let text = |one: &Json, key: &str| one[key].as_str().unwrap().to_owned();
        all.filter(|one| one["id"] == "debrief-record")
            .map(|one| (text(one, "subject"), text(one, "message")))
            .collect()
    }
}

#[test]
fn a_record_that_agrees_is_named_and_nothing_is_found() {
    let team = Team::new(&[]);
    assert_eq!(team.found(), []);
    assert!(Path::new(TRACK).exists());
}

#[test]
#[ignore = "slow"]
fn what_the_track_shows_otherwise_than_the_record_is_found() {
    for (from, to, subject, due) in [
        (
            "launched:",
            "launched: 2027-06-22T10:00:00Z",
            "launch",
            "By the track the launch was at",
        ),
        (
            "ended:",
            "ended: 2027-06-22T18:00:00Z",
            "return",
            "By the track the return was at",
        ),
        ("energy:", "energy: 12 Wh", "energy", "the record has 12 Wh"),
        (
            "outcome:",
            "outcome: aborted",
            "outcome",
            "the boat ran the route to its end",
        ),
    ] {
        let found = Team::new(&[(from, to)]).found();
        assert_eq!(found.len(), 1, "{from}: {found:?}");
        assert!(
            found[0].0 == subject && found[0].1.contains(due),
            "{found:?}"
        );
    }
}

/// Nothing of a run is set beside a plan that its record does not name.
#[test]
fn a_track_that_its_record_says_is_of_another_mission_is_refused() {
    let team = Team::new(&[("mission:", "mission: north-bay-lines")]);
    let ran = team.ran(MISSION);
    assert_eq!((ran.status.code(), ran.stdout.len()), (Some(2), 0));
    let err = String::from_utf8(ran.stderr).unwrap();
    let due = "the record lines-20270615 says that the track is of the mission `north-bay-lines`";
    assert!(err.contains(due), "{err}");
}

/// Another week and another route: what it would tell of this plan is nothing.
#[test]
fn a_track_of_another_mission_is_refused_with_the_one_that_it_fits() {
    let came = super::offing(&[
        "debrief",
        "north-bay-lines",
        "--plans",
        "plans",
        "--track",
        TRACK,
        "--columns",
        super::COLUMNS,
    ]);
    assert_eq!((came.status.code(), came.stdout.len()), (Some(2), 0));
    let err = String::from_utf8(came.stderr).unwrap();
    for due in [
        "is from 2027-06-22, the plan from 2027-06-15",
        &format!("`{MISSION}`"),
    ] {
        assert!(err.contains(due), "{err}");
    }
}

#[test]
fn another_plan_than_was_run_is_told_with_the_commit_to_check_out() {
    let team = Team::new(&[]);
    let vessel = team
        .folder
        .path()
        .join(format!("plans/missions/{MISSION}.yaml"));
    let text = std::fs::read_to_string(&vessel).unwrap();
    std::fs::write(&vessel, text + "# a word more\n").unwrap();
    let found = team.found();
    assert_eq!(found.len(), 1, "{found:?}");
    let (subject, message) = &found[0];
    assert_eq!(subject, "plan");
    assert!(
        message.contains("dam-to-bay-transects.yaml has changed")
            && message.contains("Check out 0123456789ab"),
        "{message}"
    );
}
