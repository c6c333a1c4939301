//! A go after which the boat stayed ashore, and the decision that takes its place.

use super::repo::{Repo, standing};
use super::season::{Run, Season, record, told};
use super::water::{launching, with};

const DAY: &str = "2027-06-15";
const WHY: &str = "The wind rose before the boat was in the water.";

fn launch(season: &Season, changes: &[(&str, &str)]) -> (i32, String, String) {
    let output = season
        .repo
        .offing(&launching("north-bay-lines", &with(changes)));
    season.repo.commit();
    told(&output)
}

fn verified(season: &Season) -> Vec<String> {
    let (_, report) = season.repo.json(&["history", "verify"]);
    standing(&report["verified"])
}

/// A go that was not used, and another in its place.
fn again() -> Season {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    assert_eq!(launch(&season, &[]).0, 0);
    // Nothing is launched twice without a word, and the way on is reported.
    let (status, text, _) = launch(&season, &[]);
    assert_eq!(status, 1, "{text}");
    assert!(
        text.contains("launched-before") && text.contains("--again"),
        "{text}"
    );
    // Only whoever is in charge can say that it was not used.
    let (status, text, _) = launch(&season, &[("--by", "operator"), ("--again", WHY)]);
    assert_eq!(status, 1, "{text}");
    assert!(text.contains("launched-before: "), "{text}");
    // A no-go for another reason takes nothing back of what was said.
    let (status, text, _) = launch(&season, &[("--ticked", "gauge-set"), ("--again", WHY)]);
    assert_eq!(status, 1, "{text}");
    assert!(!text.contains("launched-before: "), "{text}");
    let (status, text, said) = launch(&season, &[]);
    assert_eq!(status, 0, "{text}{said}");
    assert!(text.contains("decided before:"), "{text}");
    assert!(text.contains("said not to have been used"), "{text}");
    assert!(
        text.contains("(launches/north-bay-lines-20270615T114000Z-4.yaml): item-open"),
        "{text}"
    );
    season
}

#[test]
#[ignore = "slow"]
fn a_go_that_was_not_used_gives_way_to_another_and_the_chain_stays_whole() {
    let season = again();
    let said = season
        .repo
        .read("launches/north-bay-lines-20270615T114000Z-4.yaml");
    assert!(said.contains(&format!("again: \"{WHY}\"")), "{said}");
    assert!(
        said.contains("path: \"launches/north-bay-lines-20270615T114000Z.yaml\""),
        "{said}"
    );
    let output = record(&season.repo, &Run::on(DAY, 40, "completed"), &[]);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let run = season
        .repo
        .read("runs/north-bay-lines-20270615T114000Z.yaml");
    assert!(
        run.contains("launches/north-bay-lines-20270615T114000Z-5.yaml"),
        "{run}"
    );
    season.repo.commit();
    assert_eq!(verified(&season), Vec::<String>::new());
    // What was run is not launched again, whatever is said.
    let (status, text, _) = launch(&season, &[("--again", WHY)]);
    assert_eq!(status, 1, "{text}");
    assert!(
        text.contains("as runs/north-bay-lines-20270615T114000Z.yaml records"),
        "{text}"
    );
}

#[test]
#[ignore = "slow"]
fn a_run_on_a_go_that_was_said_to_be_unused_is_found() {
    let season = again();
    let first = "north-bay-lines-20270615T114000Z";
    let output = record(
        &season.repo,
        &Run::on(DAY, 40, "completed"),
        &[("--decision", first)],
    );
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success() && text.contains("run-unused-go"),
        "{text}"
    );
    season.repo.commit();
    assert_eq!(verified(&season), ["run-unused-go"]);
}

#[test]
#[ignore = "slow"]
fn a_go_that_was_said_to_be_unused_is_not_taken_away() {
    let season = again();
    std::fs::remove_file(
        season
            .repo
            .path()
            .join("launches/north-bay-lines-20270615T114000Z.yaml"),
    )
    .unwrap();
    season.repo.commit();
    let found = verified(&season);
    for rule in ["decision-differs", "record-removed"] {
        assert!(found.iter().any(|one| one == rule), "{rule}: {found:?}");
    }
}

#[test]
fn nothing_is_said_again_of_what_was_not_decided() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let (status, text, said) = launch(&season, &[("--again", WHY)]);
    assert_eq!((status, text.as_str()), (64, ""), "{said}");
    assert!(said.contains("there is no go for this launch"), "{said}");
    let (status, _, said) = launch(&season, &[("--again", " ")]);
    assert_eq!(status, 64, "{said}");
    assert!(!season.repo.path().join("launches").exists());
}
