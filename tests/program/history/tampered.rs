//! A history that somebody changed.

use serde_json::Value as Json;

use super::repo::{NORTH, standing};
use super::season::Season;

fn broken(season: &Season) -> (i32, Vec<String>, Json) {
    let (status, report) = season.repo.json(&["history", "verify"]);
    let verified = report["verified"].clone();
    (status, standing(&verified), verified)
}

fn run(day: &str) -> String {
    format!("runs/north-bay-lines-{}T114000Z.yaml", day.replace('-', ""))
}

#[test]
fn the_first_break_is_named_with_both_lines() {
    let season = Season::new();
    let second = run("2027-06-16");
    season
        .repo
        .edit(&second, "outcome: aborted", "outcome: completed");
    let (status, rules, verified) = broken(&season);
    assert_eq!(status, 1);
    assert_eq!(rules, ["record-altered", "record-unlinked"], "{verified}");
    // At the line that was changed, beside the one that is committed.
    let first = &verified["findings"][0];
    let changed = season.repo.read(&second);
    let line = changed
        .lines()
        .position(|line| line == "outcome: completed");
    let line = line.unwrap() + 1;
    for (at, path) in [
        (&first["primary"], second.clone()),
        (&first["related"][0], format!("HEAD:{second}")),
    ] {
        assert_eq!(at["location"]["path"], path.as_str());
        assert_eq!(at["location"]["start"]["line"], line);
    }
    assert_eq!(
        verified["findings"][1]["primary"]["location"]["path"],
        run("2027-06-17").as_str()
    );
    // Committed, it is no better: git still has what it was.
    season.repo.commit();
    let (status, rules, verified) = broken(&season);
    assert_eq!(status, 1);
    assert!(rules.contains(&"record-altered".to_owned()), "{verified}");
    let altered = verified["findings"].as_array().unwrap();
    let altered = altered
        .iter()
        .find(|one| one["rule"] == "record-altered")
        .unwrap();
    let then = altered["primary"]["location"]["path"].as_str().unwrap();
    assert!(then.ends_with(&format!("^:{second}")), "{then}");
    assert_eq!(altered["related"][0]["location"]["path"], second.as_str());
}

#[test]
#[ignore = "slow"]
fn every_kind_of_tampering_is_found() {
    type Change = fn(&Season);
    let cases: &[(&str, Change, &str)] = &[
        (
            "a record taken away",
            |season| {
                std::fs::remove_file(season.repo.path().join(run("2027-06-16"))).unwrap();
            },
            "record-unlinked",
        ),
        (
            "the last record taken away and committed",
            |season| {
                std::fs::remove_file(season.repo.path().join(run("2027-06-18"))).unwrap();
                season.repo.commit();
            },
            "record-removed",
        ),
        (
            "a record back-dated",
            |season| {
                season.repo.edit(
                    &run("2027-06-18"),
                    "recorded: \"2027-06-18T16:00:00Z\"",
                    "recorded: \"2027-06-17T15:00:00Z\"",
                );
            },
            "record-back-dated",
        ),
        (
            "a record copied",
            |season| {
                let text = season.repo.read(&run("2027-06-18"));
                season.repo.write(
                    "runs/again.yaml",
                    &text.replacen("id: \"", "id: \"again-", 1),
                );
            },
            "record-twice",
        ),
        (
            "a decision altered",
            |season| {
                season.repo.edit(
                    "launches/north-bay-lines-20270616T114000Z.yaml",
                    "by: \"survey lead\"",
                    "by: \"operator\"",
                );
            },
            "decision-differs",
        ),
        (
            "a decision taken away",
            |season| {
                std::fs::remove_file(
                    season
                        .repo
                        .path()
                        .join("launches/north-bay-lines-20270616T114000Z.yaml"),
                )
                .unwrap();
            },
            "decision-differs",
        ),
        (
            "an input's digest exchanged",
            |season| {
                let path = run("2027-06-18");
                let text = season.repo.read(&path);
                let at = text.find("role: vessel").unwrap();
                let at = at + text[at..].find("sha256: \"").unwrap() + "sha256: \"".len();
                season.repo.write(
                    &path,
                    &(text[..at].to_owned() + &"0".repeat(64) + &text[at + 64..]),
                );
            },
            "input-differs",
        ),
        (
            "another commit named",
            |season| {
                let path = run("2027-06-18");
                let text = season.repo.read(&path);
                let at = text.find("commit: \"").unwrap() + "commit: \"".len();
                season.repo.write(
                    &path,
                    &(text[..at].to_owned() + &"0".repeat(40) + &text[at + 40..]),
                );
            },
            "commit-missing",
        ),
        (
            "a waiver put in",
            |season| {
                season.repo.edit(
                    &run("2027-06-18"),
                    "waived: []",
                    "waived: [{ rule: shoreline, by: operator }]",
                );
            },
            "waiver-not-permitted",
        ),
        (
            "the decision left out",
            |season| {
                let path = run("2027-06-18");
                let text = season.repo.read(&path);
                let kept: Vec<&str> = text
                    .lines()
                    .filter(|line| !line.starts_with("decision:"))
                    .collect();
                season.repo.write(&path, &(kept.join("\n") + "\n"));
            },
            "run-undecided",
        ),
        (
            "a record that is no YAML any more",
            |season| {
                season.repo.edit(&run("2027-06-18"), "inputs:", "inputs: [");
            },
            "input-syntax",
        ),
        (
            "merge marks",
            |season| {
                season
                    .repo
                    .edit(&run("2027-06-18"), "outcome:", "<<<<<<< ours\noutcome:");
            },
            "input-syntax",
        ),
    ];
    for (what, change, rule) in cases {
        let season = Season::new();
        change(&season);
        let (status, rules, verified) = broken(&season);
        assert_ne!(status, 0, "{what}");
        assert!(
            rules.contains(&(*rule).to_owned()),
            "{what}: {rules:?} {verified}"
        );
    }
}

/// A plan that is changed after it was run is a plan for another day, and breaks nothing.
#[test]
fn a_plan_may_change_after_it_was_run() {
    let season = Season::new();
    season
        .repo
        .edit(NORTH, "charge_at_launch: 95 %", "charge_at_launch: 80 %");
    season.repo.commit();
    assert_eq!(broken(&season).0, 0);
}

/// Records are only added to: a change that alters one, or takes one away, is recognised by its review.
#[test]
fn a_review_tells_of_records_that_a_change_alters_or_takes_away() {
    let season = Season::new();
    let repo = &season.repo;
    let base = repo.git(&["rev-parse", "HEAD"]);
    let told = |arguments: &[&str]| {
        let (status, report) = repo.json(&[&["review", base.as_str()], arguments].concat());
        let all = report["check"]["findings"].as_array().unwrap().clone();
        let all = all.into_iter().map(|one| {
            let place = one["primary"]["location"]["path"]
                .as_str()
                .unwrap()
                .to_owned();
            (one["rule"].as_str().unwrap().to_owned(), place)
        });
        (status, all.collect::<Vec<_>>())
    };
    // A record that is added, and one that is moved as it is, are no loss.
    let (last, launch) = (
        run("2027-06-18"),
        run("2027-06-16").replace("runs", "launches"),
    );
    repo.git(&["mv", &run("2027-06-15"), "runs/first.yaml"]);
    assert_eq!(told(&[]), (0, vec![]));
    std::fs::remove_file(repo.path().join(&last)).unwrap();
    repo.edit(&launch, "decision: go", "decision: no-go");
    let then = |path: &str| format!("{}:{path}", &base[..10]);
    let expected = vec![
        ("record-altered".to_owned(), then(&launch)),
        ("record-removed".to_owned(), then(&last)),
    ];
    assert_eq!(told(&[]), (1, expected.clone()));
    // Committed it is the same, and one of no kind any more is altered as well.
    repo.commit();
    assert_eq!(told(&["HEAD"]), (1, expected));
    repo.edit(&run("2027-06-17"), "kind: run", "kind: note");
    let (status, all) = told(&[]);
    let altered = ("record-altered".to_owned(), then(&run("2027-06-17")));
    assert!(status > 0 && all.contains(&altered), "{all:?}");
    let text = repo.run(&["review", &base]).1;
    assert!(text.contains("A record is removed: runs/"), "{text}");
    assert!(text.contains("git checkout"), "{text}");
}
