//! One boat, whatever its file is called, is out once at a time.

use super::repo::{NORTH, Repo, standing};
use super::season::{Run, Season, arguments, told};
use super::water::{launching, track, with};

const VESSEL: &str = "plans/vessels/goosander.yaml";
const OTHER: &str = "plans/vessels/goosander-2.yaml";
const SECOND: &str = "plans/missions/second-lines.yaml";

/// The mission in the north bay once more, at the same time, with a vessel file of its own.
fn second(repo: &Repo, of_boat: &str) {
    let vessel = repo
        .read(VESSEL)
        .replace("\nid: goosander\n", "\nid: goosander-2\n");
    repo.write(OTHER, &format!("{vessel}{of_boat}"));
    let north = repo
        .read(NORTH)
        .replace("\nid: north-bay-lines\n", "\nid: second-lines\n")
        .replace("vessel: goosander\n", "vessel: goosander-2\n");
    repo.write(SECOND, &north);
}

/// Paths and lines that the findings name, by mission.
fn found(repo: &Repo) -> Vec<(String, String)> {
    let (_, report) = repo.json(&["check", "."]);
    let all = report["findings"].as_array().unwrap().iter();
    let twice = all.filter(|one| one["rule"] == "boat-out-twice");
    twice
        .map(|one| (one["mission"].as_str().unwrap().to_owned(), one.to_string()))
        .collect()
}

#[test]
fn two_missions_of_one_boat_at_one_time_are_told_with_both_lines() {
    let repo = Repo::new();
    assert_eq!(found(&repo), vec![]);
    second(&repo, "boat: goosander\n");
    let told = found(&repo);
    let missions: Vec<&str> = told.iter().map(|(mission, _)| mission.as_str()).collect();
    assert_eq!(missions, ["north-bay-lines", "second-lines"]);
    for (_, text) in &told {
        for path in [NORTH, SECOND, VESSEL, OTHER] {
            assert!(text.contains(path), "{path}: {text}");
        }
        assert!(text.contains("2027-06-15 11:30"), "when it is back: {text}");
    }
    // Each by itself, too.
    let (_, report) = repo.json(&["check", NORTH]);
    assert_eq!(standing(&report), ["boat-out-twice"]);
    // Another boat by its file is another one; one after the other is not at one time.
    repo.edit(OTHER, "boat: goosander\n", "boat: teal\n");
    assert_eq!(found(&repo), vec![]);
    repo.edit(OTHER, "boat: teal\n", "boat: goosander\n");
    let later = repo
        .read(SECOND)
        .replace("time: 2027-06-15T09:30", "time: 2027-06-15T11:30")
        .replace(
            "latest_return: 2027-06-15T11:30",
            "latest_return: 2027-06-15T13:30",
        );
    repo.write(SECOND, &later);
    assert_eq!(found(&repo), vec![]);
    let later = later.replace("time: 2027-06-15T11:30", "time: 2027-06-15T11:29");
    repo.write(SECOND, &later);
    assert_eq!(found(&repo).len(), 2);
    // By the same file, and by one that was calibrated from it.
    repo.edit(SECOND, "vessel: goosander-2\n", "vessel: goosander\n");
    assert_eq!(found(&repo).len(), 2);
    // What is not said gains nothing: without a latest return it is out for a day.
    let unsaid: String = repo
        .read(NORTH)
        .lines()
        .filter(|line| !line.contains("latest_return"))
        .map(|line| format!("{line}\n"))
        .collect();
    let day_before = unsaid.replace("2027-06-15", "2027-06-14");
    let noon = day_before.replace("time: 2027-06-14T09:30", "time: 2027-06-14T12:00");
    repo.write(NORTH, &noon);
    assert_eq!(found(&repo).len(), 2);
}

/// Launches of both, one after the other; the status of the second and what it says.
fn launched(repo: &Repo, at: &str) -> (i32, String) {
    repo.commit();
    let (status, text, said) = told(&repo.offing(&launching("north-bay-lines", &with(&[]))));
    assert_eq!(status, 0, "{text}{said}");
    repo.commit();
    let options = with(&[("--at", at)]);
    let (status, text, said) = told(&repo.offing(&launching("second-lines", &options)));
    (status, text + &said)
}

#[test]
#[ignore = "slow"]
fn a_boat_that_is_out_is_not_launched_under_another_name() {
    for of_boat in ["boat: goosander\n".to_owned(), calibrated_block()] {
        let repo = Repo::new();
        second(&repo, &of_boat);
        let (status, text) = launched(&repo, "2027-06-15T09:45");
        assert_eq!(status, 1, "{of_boat}: {text}");
        assert!(
            text.contains("boat-out-twice") && text.contains("in mission `north-bay-lines`"),
            "{of_boat}: {text}"
        );
    }
    // Another boat goes.
    let repo = Repo::new();
    second(&repo, "boat: teal\n");
    let (status, text) = launched(&repo, "2027-06-15T09:45");
    assert_eq!(status, 0, "{text}");
}

/// What `offing calibrate` writes at the end of a vessel file.
fn calibrated_block() -> String {
    let digest = "0".repeat(64);
    format!(
        "\ncalibration:\n  date: 2027-06-01\n  program: \"0.1.0\"\n  from: {{ vessel: goosander, sha256: \
         \"{digest}\" }}\n  site: quenderby\n  tracks:\n    - file: one.csv\n      sha256: \"{digest}\"\n      wind: \
         240° 4 m/s at 2 m\n      wind_known: given\n      stretches: 48\n  figures:\n    - figure: hotel_load\n      \
         was: 9 W\n      fitted: 9.5 W\n      low: 9 W\n      high: 10 W\n      taken: 9.5 W\n      outcome: worse\n  \
         better_on_one_run: false\n"
    )
}

#[test]
fn one_boat_that_was_out_twice_at_one_time_is_found_under_its_names() {
    let repo = Repo::new();
    second(&repo, "boat: goosander\n");
    let season = Season::begun(repo);
    let repo = &season.repo;
    repo.commit();
    season.decide("2027-06-15");
    // Nobody held the second launch to the first one: it was decided in another clone.
    let other = Repo::cloned(repo.path());
    other.git(&["reset", "--quiet", "--hard", "HEAD~1"]);
    other.git(&["reflog", "expire", "--expire=now", "--all"]);
    other.git(&["remote", "remove", "origin"]);
    let options = with(&[("--at", "2027-06-15T09:45")]);
    let (status, text, said) = told(&other.offing(&launching("second-lines", &options)));
    assert_eq!(status, 0, "{text}{said}");
    other.commit();
    let from = other.path().to_str().unwrap().to_owned();
    repo.git(&["pull", "--quiet", "--no-rebase", "--no-edit", &from, "main"]);
    repo.write(super::season::TRACK, &track("2027-06-15"));
    let first = arguments(&Run::on("2027-06-15", 40, "completed"), &[]);
    let (status, text, said) = told(&repo.offing(&first));
    assert_eq!(status, 0, "{text}{said}");
    assert!(!text.contains("runs-overlap"), "{text}");
    repo.commit();
    let mut second = first.clone();
    second[1] = "second-lines".to_owned();
    let (status, text, said) = told(&repo.offing(&second));
    assert_eq!(status, 0, "{text}{said}");
    assert!(text.contains("runs-overlap"), "{text}");
    repo.commit();
    let (_, report) = repo.json(&["history", "verify"]);
    let rules = standing(&report["verified"]);
    assert_eq!(rules, ["runs-overlap"], "{report}");
}
