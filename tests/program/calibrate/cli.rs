//! `offing calibrate` from end to end, in a copy of the demo.

use std::path::Path;
use std::process::{Command, Output};

use offing::door::check::sha256;
use serde_json::Value as Json;
use tempfile::TempDir;

use crate::shared::schema::hold;

struct Team {
    folder: TempDir,
}

impl Team {
    fn new() -> Self {
        Self {
            folder: super::copied::demo(),
        }
    }

    fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join(name)
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    fn offing(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(arguments)
            .current_dir(self.folder.path())
            .output()
            .unwrap()
    }

    fn calibrate(&self, tracks: &[&str], more: &[&str]) -> Output {
        let mut all = vec!["calibrate", "goosander", "--plans", "plans", "--track"];
        all.extend_from_slice(tracks);
        if !tracks.iter().all(|track| track.ends_with(".gpx")) {
            all.extend_from_slice(&["--columns", "plans/tracks/legs-columns.yaml"]);
        }
        all.extend_from_slice(more);
        self.offing(&all)
    }

    /// Names of the files beside the vessel.
    fn vessels(&self) -> Vec<String> {
        let files = std::fs::read_dir(self.path("plans/vessels")).unwrap();
        let name = |file: std::fs::DirEntry| file.file_name().into_string().unwrap();
        let mut names: Vec<String> = files.map(|file| name(file.unwrap())).collect();
        names.sort();
        names
    }
}

const BOTH: [&str; 2] = ["plans/tracks/legs-1.csv", "plans/tracks/legs-2.csv"];
const WINDS: [&str; 4] = [
    "--wind",
    "240° 4.5 m/s at 2 m",
    "--wind",
    "75° 6 m/s at 2 m",
];
const NEW: &str = "plans/vessels/goosander.calibrated-2027-06-17.yaml";

fn said(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (
        output.status.code().unwrap(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

/// The contact is the site's: a calibration has no plan, and its page is read where the boat is.
#[test]
fn the_page_names_whom_to_call_near_its_top() {
    let team = Team::new();
    let page = |name: &str| {
        let form = ["--format", "html", "-o", name];
        let (status, out, err) = said(&team.calibrate(&BOTH, &[&WINDS[..], &form].concat()));
        assert_eq!(status, 0, "{err}");
        out[..out.find("<h2>Figures").unwrap()].to_owned()
    };
    let top = page("a.yaml");
    assert!(top.contains("<b>The reservoir keeper on duty;"), "{top}");
    std::fs::remove_file(team.path("a.yaml")).unwrap();
    let site = team.read("plans/site/quenderby.yaml");
    let named = site
        .lines()
        .filter(|line| !line.starts_with("emergency_contact:"));
    team.write(
        "plans/site/quenderby.yaml",
        &named.map(|line| format!("{line}\n")).collect::<String>(),
    );
    let top = page("b.yaml");
    let contact = "In an emergency call <b class=\"error\">nobody named</b>";
    assert!(top.contains(contact), "{top}");
}

#[test]
fn a_new_file_stands_beside_the_old_and_a_mission_may_use_it() {
    let team = Team::new();
    let old = team.read("plans/vessels/goosander.yaml");
    let (status, out, err) =
        said(&team.calibrate(&BOTH, &[&WINDS[..], &["--figure", "off.svg"]].concat()));
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert_eq!(team.read("plans/vessels/goosander.yaml"), old);
    assert!(out.contains("hotel load: 9.75 W fitted"), "{out}");
    assert!(out.contains("is no permission to launch"), "{out}");
    let new = team.read(NEW);
    assert!(new.contains(&sha256(&old)) && new.contains(&sha256(&team.read(BOTH[0]))));
    let svg = team.read("off.svg");
    assert!(svg.contains("Residuals of the fit"));
    // A ring of every stretch, and one of each run in the legend.
    assert_eq!(svg.matches("<circle").count(), 96 + 2);
    // The check reads the new file like any other, and a mission is judged by it.
    let mission = team.read("plans/missions/north-bay-lines.yaml");
    let id = "goosander-calibrated-2027-06-17";
    let mission = mission.replace("vessel: goosander", &format!("vessel: {id}"));
    team.write("plans/missions/north-bay-lines.yaml", &mission);
    let (status, out, _) = said(&team.offing(&["check", "plans/missions/north-bay-lines.yaml"]));
    // The pack's resistance is worse than it was stated, and by the end of its energy too much so.
    assert_eq!(status, 1, "{out}");
    assert!(
        out.contains("error[full-power]") && out.contains(NEW),
        "{out}"
    );
    // It is not written over.
    let again = [&WINDS[..], &["--id", "again"]].concat();
    let (status, out, err) = said(&team.calibrate(&BOTH, &again));
    assert_eq!((status, out.as_str()), (64, ""));
    assert!(err.contains("exists already"), "{err}");
    assert_eq!(team.read(NEW), new);
    // Nor does another file take its id.
    let elsewhere = [&WINDS[..], &["-o", "plans/vessels/other.yaml"]].concat();
    let (status, _, err) = said(&team.calibrate(&BOTH, &elsewhere));
    assert_eq!(status, 64);
    assert!(err.contains("has the id") && err.contains("--id"), "{err}");
}

/// A word that YAML would read as a number or a truth is an id like any other.
#[test]
fn an_id_that_looks_like_something_else_is_a_text() {
    let team = Team::new();
    for id in ["123", "true", "2027-06-17", "null"] {
        let file = format!("plans/vessels/{id}.yaml");
        let more = [&WINDS[..], &["--id", id, "-o", &file]].concat();
        let (status, out, err) = said(&team.calibrate(&BOTH, &more));
        assert_eq!((status, err.as_str()), (0, ""), "{id}: {out}");
        assert!(team.read(&file).contains(&format!("\nid: \"{id}\"\n")));
    }
    // Nor does what it is made from read as anything else.
    let team = Team::new();
    let old = team.read("plans/vessels/goosander.yaml");
    let old = old.replace("\nid: goosander\n", "\nid: \"123\"\n");
    team.write("plans/vessels/number.yaml", &old);
    let mut all = vec!["calibrate", "123", "--plans", "plans", "--track"];
    all.extend_from_slice(&BOTH);
    all.extend_from_slice(&["--columns", "plans/tracks/legs-columns.yaml"]);
    all.extend_from_slice(&WINDS);
    all.extend_from_slice(&["-o", "plans/vessels/again.yaml"]);
    let (status, out, err) = said(&team.offing(&all));
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let new = team.read("plans/vessels/again.yaml");
    assert!(new.contains("from: { vessel: \"123\", sha256:"), "{new}");
    assert!(new.contains("\n  site: \"quenderby\"\n"), "{new}");
}

#[test]
fn the_json_form_fits_its_schema_and_is_the_same_again() {
    let mut seen = Vec::new();
    for (tracks, winds) in [
        (&BOTH[..], &WINDS[..]),
        (&BOTH[..], &WINDS[..]),
        (&BOTH[..1], &WINDS[..2]),
    ] {
        let team = Team::new();
        let output = team.calibrate(tracks, &[winds, &["--format", "json"]].concat());
        let json: Json = serde_json::from_slice(&output.stdout).unwrap();
        hold(&json);
        seen.push((output.stdout, team.read("plans/vessels/goosander.yaml")));
    }
    assert_eq!(seen[0], seen[1]);
    let one: Json = serde_json::from_slice(&seen[2].0).unwrap();
    assert_eq!(one["held_out"]["what"], "legs");
}

#[test]
fn a_run_without_its_wind_is_refused_unless_a_record_knows_it() {
    let team = Team::new();
    let (status, _, err) = said(&team.calibrate(&BOTH[..1], &[]));
    assert_eq!(status, 64);
    assert!(
        err.contains("no record of a run names this track") && err.contains("--wind"),
        "{err}"
    );
    // A record that names the track and the decision on its launch.
    let launch = std::fs::read_to_string("tests/data/full/launch.yaml.txt").unwrap();
    let launch = launch.replace("wind: 240° 6 m/s", "wind: 240° 4.5 m/s gust 7 m/s");
    assert!(launch.contains("gust 7"));
    team.write("launches/lines.yaml", &launch);
    let run = std::fs::read_to_string("tests/data/full/run.yaml.txt").unwrap();
    let mut lines: Vec<String> = run.lines().map(str::to_owned).collect();
    let (mut of, track) = (String::new(), sha256(&team.read(BOTH[0])));
    for line in &mut lines {
        if !line.starts_with(' ') {
            of = line.split(':').next().unwrap().to_owned();
        }
        let digest = match of.as_str() {
            "track" => track.clone(),
            "decision" => sha256(&launch),
            _ => continue,
        };
        if line.trim_start().starts_with("sha256:") {
            *line = format!("  sha256: \"{digest}\"");
        }
    }
    team.write("runs/lines.yaml", &(lines.join("\n") + "\n"));
    let (status, out, err) = said(&team.calibrate(&BOTH[..1], &[]));
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("wind 240° 4.5 m/s at 2 m, as read at the launch, launches/lines.yaml"),
        "{out}"
    );
}

#[test]
fn one_run_that_would_make_the_boat_better_is_told_and_left() {
    let team = Team::new();
    // Nine tenths of the current: a boat that draws less.
    let csv = team.read(BOTH[0]);
    let better: Vec<String> = csv
        .lines()
        .enumerate()
        .map(|(number, line)| match line.rsplit_once(',') {
            Some((rest, amps)) if number > 0 => {
                format!("{rest},{:.3}", amps.parse::<f64>().unwrap() * 0.8)
            }
            _ => line.to_owned(),
        })
        .collect();
    team.write("better.csv", &(better.join("\n") + "\n"));
    let wind = ["--wind", "240° 4.5 m/s at 2 m"];
    let (_, out, _) =
        said(&team.calibrate(&["better.csv"], &[&wind[..], &["-o", "a.yaml"]].concat()));
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("better than stated on one run only, and left as it was"),
        "{out}"
    );
    let asked = [
        &wind[..],
        &["-o", "b.yaml", "--id", "b", "--despite-one-run"],
    ]
    .concat();
    let (status, out, _) = said(&team.calibrate(&["better.csv"], &asked));
    assert_eq!(status, 0, "{out}");
    assert!(team.read("b.yaml").contains("better_on_one_run: true"));
    assert!(out.contains("Figures in it rest on one run"), "{out}");
    // Every check of a mission that uses it says so too.
    team.write("plans/vessels/b.yaml", &team.read("b.yaml"));
    let mission = team.read("plans/missions/north-bay-lines.yaml");
    let mission = mission.replace("vessel: goosander", "vessel: b");
    team.write("plans/missions/north-bay-lines.yaml", &mission);
    std::fs::remove_file(team.path("b.yaml")).unwrap();
    let (_, out, _) = said(&team.offing(&["check", "plans/missions/north-bay-lines.yaml"]));
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("a vessel figure was improved on the evidence of one run alone"),
        "{out}"
    );
}

#[test]
fn where_nothing_changes_nothing_is_written() {
    let team = Team::new();
    let csv = team.read(BOTH[0]);
    let short: Vec<&str> = csv.lines().take(100).collect();
    team.write("short.csv", &(short.join("\n") + "\n"));
    let before = team.vessels();
    let wind = ["--wind", "240° 4.5 m/s"];
    let (status, out, err) = said(&team.calibrate(
        &["short.csv"],
        &[&wind[..], &["--figure", "x.svg"]].concat(),
    ));
    assert_eq!(status, 1);
    assert!(
        out.contains("no file was written") && out.contains("five minutes each"),
        "{out}"
    );
    assert!(err.contains("no figure is drawn"), "{err}");
    assert_eq!(team.vessels(), before);
    assert!(!Path::new(&team.path("x.svg")).exists());
}

#[test]
#[ignore = "slow"]
fn what_is_hostile_or_amiss_is_refused_with_its_place() {
    let team = Team::new();
    let csv = team.read(BOTH[0]);
    team.write("bare.gpx", "<gpx><trk><trkseg><trkpt lat='52.4' lon='-24.3'><time>2027-06-15T12:00:00Z</time></trkpt></trkseg></trk></gpx>");
    team.write(
        "bomb.gpx",
        "<!DOCTYPE gpx [<!ENTITY a 'aaaa'>]><gpx>&a;</gpx>",
    );
    let row = csv.lines().nth(1).unwrap();
    let cells: Vec<&str> = row.split(',').collect();
    team.write("nan.csv", &csv.replacen(cells[3], "NaN", 1));
    team.write("bad.csv", &csv.replacen("52.", "fifty-two\u{1b}[2J", 1));
    team.write("columns.yaml", "kind: track-columns\nformat: 1\ntime: { column: nothing, written: ISO 8601 }\nlatitude: { column: latitude }\nlongitude: { column: longitude }\n");
    let headings = csv.replacen("latitude,longitude", "longitude,latitude", 1);
    assert_ne!(headings, csv);
    team.write("swapped.csv", &headings);
    let before = team.vessels();
    let wind = ["--wind", "240° 4.5 m/s"];
    for (track, more, status, why) in [
        ("bare.gpx", &wind[..], 2, "no voltage with a current"),
        ("bomb.gpx", &wind[..], 2, "a document type is not read"),
        (
            "bare.gpx",
            &["--wind", "240° 4 m/s", "--columns", "columns.yaml"][..],
            64,
            "a GPX file has no columns",
        ),
        ("nan.csv", &wind[..], 2, "line 2"),
        ("bad.csv", &wind[..], 2, "line 2"),
        ("absent.csv", &wind[..], 2, "absent.csv"),
        (
            "swapped.csv",
            &wind[..],
            64,
            "`quenderby` with latitude and longitude swapped",
        ),
        ("plans", &wind[..], 64, "--columns"),
        (BOTH[0], &["--wind", "about west"][..], 64, "--wind"),
        (
            BOTH[0],
            &["--wind", "240° 4 m/s", "--wind", "240° 4 m/s"][..],
            64,
            "1 track and 2 winds",
        ),
        (
            BOTH[0],
            &["--wind", "240° 4 m/s", "--site", "quenderbi"][..],
            64,
            "did you mean `quenderby`",
        ),
        (
            BOTH[0],
            &["--wind", "240° 4 m/s", "--id", "no id"][..],
            64,
            "is no id",
        ),
    ] {
        let (code, out, err) = said(&team.calibrate(&[track], more));
        let due = if track == "plans" { 2 } else { status };
        assert_eq!((code, out.as_str()), (due, ""), "{track} {more:?}: {err}");
        assert!(track == "plans" || err.contains(why), "{track}: {err}");
        assert!(!err.contains('\u{1b}'));
    }
    let all = [
        "calibrate",
        "goosandre",
        "--plans",
        "plans",
        "--track",
        BOTH[0],
        "--columns",
    ];
    let (status, _, err) = said(&team.offing(&[&all[..], &["columns.yaml"], &wind].concat()));
    assert_eq!(status, 64);
    assert!(err.contains("did you mean `goosander`"), "{err}");
    let all = [
        "calibrate",
        "goosander",
        "--plans",
        "plans",
        "--track",
        BOTH[0],
    ];
    let (status, _, err) =
        said(&team.offing(&[&all[..], &["--columns", "columns.yaml"], &wind].concat()));
    assert_eq!(status, 2);
    assert!(err.contains("no column is headed `nothing`"), "{err}");
    let (status, _, err) = said(&team.offing(&[&all[..], &wind].concat()));
    assert_eq!(status, 64);
    assert!(err.contains("--columns FILE"), "{err}");
    assert_eq!(team.vessels(), before);
}

/// Millivolts read as volts would go to the vessel's account.
#[test]
fn another_unit_is_refused_at_the_line_that_states_it() {
    let team = Team::new();
    let csv = team.read(BOTH[0]);
    for (column, key, factor, meant) in [
        (3, "voltage", 1000.0, "did you mean `mV`?"),
        (4, "current", 1000.0, "did you mean `mA`?"),
        (4, "current", -1.0, "`flow: into the pack`"),
        (3, "voltage", 0.0, "is the sensor connected?"),
    ] {
        let lines: Vec<String> = csv
            .lines()
            .enumerate()
            .map(|(number, line)| {
                let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
                if number > 0 {
                    cells[column] = (cells[column].parse::<f64>().unwrap() * factor).to_string();
                }
                cells.join(",")
            })
            .collect();
        team.write("off.csv", &(lines.join("\n") + "\n"));
        let (status, out, err) =
            said(&team.calibrate(&["off.csv"], &["--wind", "240° 4.5 m/s at 2 m"]));
        assert_eq!((status, out.as_str()), (2, ""), "{key}: {err}");
        let columns = team.read("plans/tracks/legs-columns.yaml");
        let line = columns.lines().position(|line| line.starts_with(key));
        let place = format!("plans/tracks/legs-columns.yaml:{}:", line.unwrap() + 1);
        assert!(err.contains(&place) && err.contains(meant), "{err}");
        assert!(err.contains("off.csv"), "{err}");
    }
    // What the recorder writes is read as it is stated.
    let turned: Vec<String> = csv
        .lines()
        .map(|line| match line.rsplit_once(',') {
            Some((rest, amps)) => match amps.parse::<f64>() {
                Ok(amps) => format!("{rest},{}", -amps),
                Err(_) => line.to_owned(),
            },
            None => line.to_owned(),
        })
        .collect();
    team.write("off.csv", &(turned.join("\n") + "\n"));
    let columns = team.read("plans/tracks/legs-columns.yaml");
    let stated = columns.replace("unit: A }", "unit: A, flow: into the pack }");
    assert_ne!(stated, columns);
    team.write("plans/tracks/legs-columns.yaml", &stated);
    let wind = ["--wind", "240° 4.5 m/s at 2 m"];
    let (_, turned, _) = said(&team.calibrate(&["off.csv"], &wind));
    team.write("plans/tracks/legs-columns.yaml", &columns);
    team.write("off.csv", &csv);
    let (_, plain, _) = said(&team.calibrate(
        &["off.csv"],
        &[&wind[..], &["--id", "b", "-o", "b.yaml"]].concat(),
    ));
    let fitted = |text: &str| {
        let lines = text.lines().filter(|line| line.contains(" fitted ("));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert!(!fitted(&plain).is_empty());
    assert_eq!(fitted(&turned), fitted(&plain));
}
