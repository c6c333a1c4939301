//! Records that somebody would have overlooked: under other names, in other folders, in another way of
//! writing, behind a merge or a setting.

use super::repo::standing;
use super::season::{Run, Season, deciding, record};

const DAY: &str = "2027-06-15";
const RUN: &str = "runs/north-bay-lines-20270615T114000Z.yaml";
const DECISION: &str = "launches/north-bay-lines-20270615T114000Z.yaml";

/// A season of one run that is committed.
fn season() -> Season {
    let season = Season::begun(super::repo::Repo::new());
    season.run_on(DAY, 40, "completed");
    season.repo.commit();
    season
}

fn rules(season: &Season) -> Vec<String> {
    let (_, report) = season.repo.json(&["history", "verify"]);
    standing(&report["verified"])
}

fn remove(season: &Season, path: &str) {
    std::fs::remove_file(season.repo.path().join(path)).unwrap();
}

#[test]
fn a_record_under_a_name_in_capitals_is_one() {
    let season = season();
    let other = "runs/ONE.YAML";
    season.repo.git(&["mv", RUN, other]);
    season.repo.commit();
    assert_eq!(
        rules(&season),
        Vec::<String>::new(),
        "moved, it is as it was"
    );
    season
        .repo
        .edit(other, "outcome: completed", "outcome: aborted");
    season.repo.commit();
    assert!(rules(&season).contains(&"record-altered".to_owned()));
    remove(&season, other);
    season.repo.commit();
    assert!(rules(&season).contains(&"record-removed".to_owned()));
}

#[test]
fn a_record_that_is_written_in_another_way_is_one() {
    let season = season();
    season.repo.edit(RUN, "kind: run", "kind: run # of June");
    season.repo.git(&["add", "--all"]);
    // Recorded so from the start.
    season
        .repo
        .git(&["commit", "--quiet", "--amend", "--message", "one"]);
    assert_eq!(rules(&season), Vec::<String>::new());
    remove(&season, RUN);
    assert_eq!(rules(&season), ["record-altered"]);
    season.repo.commit();
    assert!(rules(&season).contains(&"record-removed".to_owned()));
}

#[test]
fn records_of_any_folder_are_missed() {
    let season = season();
    let repo = &season.repo;
    for (from, to) in [("runs", "team/runs"), ("launches", "team/launches")] {
        std::fs::create_dir_all(repo.path().join("team")).unwrap();
        repo.git(&["mv", from, to]);
    }
    repo.commit();
    std::fs::remove_dir_all(repo.path().join("team")).unwrap();
    let found = rules(&season);
    let missed = found.iter().filter(|rule| *rule == "record-altered");
    assert_eq!(missed.count(), 2, "{found:?}");
}

/// What git's log leaves out by the settings of a repository is looked at all the same.
#[test]
fn settings_of_git_hide_nothing() {
    for setting in ["off", "first-parent"] {
        let season = season();
        let repo = &season.repo;
        repo.git(&["config", "log.diffMerges", setting]);
        repo.git(&["config", "log.showRoot", "false"]);
        repo.git(&["checkout", "--quiet", "-b", "aside", "HEAD~2"]);
        repo.write("notes.txt", "aside");
        repo.commit();
        repo.git(&["merge", "--quiet", "--strategy=ours", "-m", "both", "main"]);
        let found = rules(&season);
        assert!(
            found.contains(&"record-removed".to_owned()),
            "{setting}: {found:?}"
        );
    }
}

/// What was decided on and is taken away, or turned about, cannot be decided on once more.
#[test]
fn a_decision_that_is_gone_keeps_the_boat_ashore() {
    let season = season();
    let decide = || {
        let arguments = deciding(DAY);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let (status, text) = season.repo.run(&arguments);
        assert_eq!(status, 1, "{text}");
        text
    };
    assert!(decide().contains("launched-before"));
    season.repo.git(&["clean", "--quiet", "--force", "-d"]);
    remove(&season, DECISION);
    let text = decide();
    assert!(
        text.contains("not-committed") && text.contains(DECISION),
        "{text}"
    );
    season.repo.git(&["clean", "--quiet", "--force", "-d"]);
    season
        .repo
        .git(&["checkout", "--quiet", "HEAD", "--", DECISION]);
    season
        .repo
        .edit(DECISION, "decision: go", "decision: no-go");
    let text = decide();
    assert!(text.contains("is not as committed"), "{text}");
}

#[test]
fn what_is_decided_afterwards_was_not_decided() {
    let season = Season::begun(super::repo::Repo::new());
    season.next_day(DAY);
    season.decide(DAY);
    let text = season.repo.read(DECISION);
    let at = text.find("decided: \"").unwrap() + "decided: \"".len();
    let end = at + text[at..].find('"').unwrap();
    season.repo.write(
        DECISION,
        &(text[..at].to_owned() + "2027-06-15T13:00:00Z" + &text[end..]),
    );
    season.repo.git(&["add", "--all"]);
    season
        .repo
        .git(&["commit", "--quiet", "--amend", "--message", "one"]);
    let output = record(&season.repo, &Run::on(DAY, 40, "completed"), &[]);
    assert!(output.status.success());
    season.repo.commit();
    assert_eq!(rules(&season), ["decided-afterwards"]);
}
