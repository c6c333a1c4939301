//! Records that were put in afterwards, remade, or taken away and still there; and what git is made to
//! leave out.

use super::repo::{Repo, standing};
use super::season::{Run, Season, deciding, record, told};
use super::water::{launching, with};

fn run(day: &str) -> String {
    format!("runs/north-bay-lines-{day}T114000Z.yaml")
}

/// What is found, with the notes.
fn verified(repo: &Repo) -> (Vec<String>, String) {
    let (_, report) = repo.json(&["history", "verify"]);
    let verified = &report["verified"];
    let mut rules = standing(verified);
    rules.sort();
    rules.dedup();
    (rules, verified["notes"].to_string())
}

/// A record made up of another, beside it: its own name and time, the same before it.
fn beside(season: &Season, of: &str, recorded: &str) {
    let text = season.repo.read(&run(of));
    let line = |key: &str| {
        let at = text.find(&format!("\n{key}: \"")).unwrap();
        text[at + 1..].lines().next().unwrap().to_owned()
    };
    let text = text
        .replace(&line("id"), "id: \"put-in\"")
        .replace(&line("launched"), "launched: \"2027-06-10T10:00:00Z\"")
        .replace(&line("ended"), "ended: \"2027-06-10T10:30:00Z\"")
        .replace(&line("recorded"), &format!("recorded: \"{recorded}\""));
    season.repo.write("runs/put-in.yaml", &text);
}

#[test]
#[ignore = "slow"]
fn a_record_that_is_put_in_before_later_ones_is_found() {
    // Between the second and the third, and at the beginning; committed, and not yet.
    for (of, recorded) in [
        ("20270617", "2027-06-16T20:00:00Z"),
        ("20270615", "2027-06-10T12:00:00Z"),
        ("20270618", "2027-06-18T20:00:00Z"),
    ] {
        let season = Season::new();
        beside(&season, of, recorded);
        let (rules, _) = verified(&season.repo);
        assert!(
            rules.contains(&"record-inserted".to_owned()),
            "{of}: {rules:?}"
        );
        season.repo.commit();
        let (rules, _) = verified(&season.repo);
        assert!(
            rules.contains(&"record-inserted".to_owned()),
            "{of}: {rules:?}"
        );
    }
    // A branch that was rebased looks the same; one that was merged does not.
    let season = Season::new();
    let repo = &season.repo;
    repo.git(&["checkout", "--quiet", "-b", "other"]);
    season.run_on("2027-06-21", 30, "completed");
    repo.commit();
    repo.git(&["checkout", "--quiet", "main"]);
    season.run_on("2027-06-22", 30, "completed");
    repo.commit();
    repo.git(&["branch", "rebased", "other"]);
    repo.git(&[
        "merge",
        "--quiet",
        "--strategy-option=ours",
        "-m",
        "both",
        "other",
    ]);
    assert_eq!(verified(repo).0, Vec::<String>::new());
    repo.git(&["reset", "--quiet", "--hard", "HEAD~1"]);
    for path in ["launches", "runs"] {
        repo.git(&["checkout", "--quiet", "rebased", "--", path]);
    }
    repo.commit();
    // The commit that was run is no part of this history then, either.
    assert_eq!(verified(repo).0, ["commit-missing", "record-inserted"]);
}

#[test]
fn a_record_that_is_remade_is_found_and_none_is_made_in_its_place() {
    let season = Season::new();
    let repo = &season.repo;
    let last = run("20270618");
    let text = repo.read(&last);
    std::fs::remove_file(repo.path().join(&last)).unwrap();
    // The one that is committed is missed before another is made.
    let run = Run::on("2027-06-18", 20, "completed");
    let (status, _, said) = told(&record(repo, &run, &[]));
    assert_eq!(status, 2, "{said}");
    assert!(
        said.contains(&last) && said.contains("nothing can follow"),
        "{said}"
    );
    // Made by hand all the same: on disk, and committed.
    let other = text.replace("outcome: recovered by boat", "outcome: completed");
    assert_ne!(other, text);
    repo.write(&last, &other);
    assert_eq!(verified(repo).0, ["record-altered"]);
    let (status, _, said) = told(&record(repo, &run, &[("--launched", "2027-06-18T13:00Z")]));
    assert_eq!(status, 2, "{said}");
    repo.commit();
    assert_eq!(verified(repo).0, ["record-altered"]);
    // Under another name.
    std::fs::remove_file(repo.path().join(&last)).unwrap();
    repo.write("runs/other.yaml", &other);
    repo.commit();
    let (rules, _) = verified(repo);
    assert!(rules.contains(&"record-altered".to_owned()), "{rules:?}");
}

#[test]
fn a_record_that_a_commit_takes_away_is_missed_though_it_lies_there() {
    let decision = "launches/north-bay-lines-20270618T114000Z.yaml";
    for path in [run("20270618"), run("20270616"), decision.to_owned()] {
        let season = Season::new();
        let repo = &season.repo;
        repo.git(&["rm", "--quiet", "--cached", &path]);
        repo.git(&["commit", "--quiet", "--message", "less"]);
        assert!(repo.path().join(&path).exists());
        let (rules, notes) = verified(repo);
        assert!(
            rules.contains(&"record-removed".to_owned()),
            "{path}: {rules:?}"
        );
        assert!(notes.contains("not committed yet"), "{path}: {notes}");
        // Put back, it is there.
        repo.commit();
        assert_eq!(verified(repo).0, Vec::<String>::new(), "{path}");
    }
}

#[test]
fn a_decision_that_is_not_committed_is_noted() {
    let season = Season::new();
    let repo = &season.repo;
    season.next_day("2027-06-19");
    let gale = [
        ("--at", "2027-06-19T09:40"),
        ("--wind", "240° 14 m/s gust 20 m/s at 2 m"),
    ];
    let (status, text, _) = told(&repo.offing(&launching("north-bay-lines", &with(&gale))));
    assert_eq!(status, 1, "{text}");
    let (rules, notes) = verified(repo);
    assert_eq!(rules, Vec::<String>::new());
    assert!(notes.contains("1 decision is not committed yet"), "{notes}");
    repo.commit();
    assert!(!verified(repo).1.contains("not committed"));
    // Once it is, taking it away is found, by a verification and by the next launch.
    std::fs::remove_file(
        repo.path()
            .join("launches/north-bay-lines-20270619T114000Z.yaml"),
    )
    .unwrap();
    assert_eq!(verified(repo).0, ["record-altered"]);
    let (status, text, _) = told(&repo.offing(&deciding("2027-06-19")));
    assert_eq!(status, 1, "{text}");
    assert!(text.contains("not-committed"), "{text}");
    repo.commit();
    let (_, text, _) = told(&repo.offing(&deciding("2027-06-19")));
    assert!(
        text.contains("decided before:") && text.contains("no go for a launch"),
        "{text}"
    );
}

/// Changes the first parent of a commit in the file of commits that git keeps beside its objects (git's
/// documentation: commit-graph format; chunks `OIDL` and `CDAT`).
fn forge(repo: &Repo, commit: &str, parent: &str) {
    repo.git(&["commit-graph", "write", "--reachable"]);
    let path = repo.path().join(".git/objects/info/commit-graph");
    let mut bytes = std::fs::read(&path).unwrap();
    let number = |bytes: &[u8], at: usize, size: usize| {
        let part = bytes[at..at + size].iter();
        part.fold(0_usize, |sum, byte| sum << 8 | usize::from(*byte))
    };
    let chunk = |bytes: &[u8], name: &[u8]| {
        let mut entries = (0..usize::from(bytes[6])).map(|entry| 8 + 12 * entry);
        let entry = entries.find(|at| &bytes[*at..*at + 4] == name).unwrap();
        number(bytes, entry + 4, 8)
    };
    let (names, data) = (chunk(&bytes, b"OIDL"), chunk(&bytes, b"CDAT"));
    let count = (data.abs_diff(names)) / 20;
    let hex = |part: &[u8]| -> String { part.iter().map(|byte| format!("{byte:02x}")).collect() };
    let place = |commit: &str| {
        let mut all = 0..count;
        all.find(|at| hex(&bytes[names + 20 * at..names + 20 * at + 20]) == commit)
            .unwrap()
    };
    let (of, to) = (place(commit), place(parent));
    let at = data + 36 * of + 20;
    let to = u32::try_from(to).unwrap().to_be_bytes();
    bytes[at..at + 4].copy_from_slice(&to);
    std::fs::remove_file(&path).unwrap();
    std::fs::write(&path, bytes).unwrap();
}

#[test]
fn a_file_that_tells_of_other_commits_hides_nothing() {
    let season = Season::new();
    let repo = &season.repo;
    let before = repo.git(&["rev-parse", "HEAD"]);
    std::fs::remove_file(repo.path().join(run("20270618"))).unwrap();
    repo.commit();
    let last = repo.commit();
    assert_eq!(verified(repo).0, ["record-removed"]);
    // The commit that took it away is left out, by git itself as long as it believes the file.
    forge(repo, &last, &before);
    let told = repo.git(&["rev-list", "--count", "HEAD"]);
    let counted = repo.git(&[
        "-c",
        "core.commitGraph=false",
        "rev-list",
        "--count",
        "HEAD",
    ]);
    assert_ne!(
        told, counted,
        "the file is not believed, and the test tests nothing"
    );
    assert_eq!(verified(repo).0, ["record-removed"]);
}

#[test]
fn a_clone_without_its_beginning_says_so() {
    let season = Season::new();
    let clone = Repo::empty();
    let from = format!("file://{}", season.repo.path().display());
    clone.git(&["remote", "add", "origin", &from]);
    clone.git(&["fetch", "--quiet", "--depth", "2", "origin", "main"]);
    clone.git(&["reset", "--quiet", "--hard", "FETCH_HEAD"]);
    let (_, notes) = verified(&clone);
    assert!(
        notes.contains("lacks the beginning of its history"),
        "{notes}"
    );
    let (_, text, _) = told(&clone.offing(&deciding("2027-06-18")));
    assert!(
        text.contains("lacks the beginning of its history"),
        "{text}"
    );
}

#[test]
fn a_decision_of_an_hour_before_the_launch_is_found() {
    let season = Season::begun(Repo::new());
    season.next_day("2027-06-15");
    let early = [("--now", "2027-06-15T08:41")];
    let (status, text, _) = told(
        &season
            .repo
            .offing(&launching("north-bay-lines", &with(&early))),
    );
    assert_eq!(status, 0, "{text}");
    let path = "launches/north-bay-lines-20270615T114000Z.yaml";
    season.repo.edit(
        path,
        "decided: \"2027-06-15T10:41:00Z\"",
        "decided: \"2027-06-15T10:39:00Z\"",
    );
    season.repo.commit();
    let (status, _, said) = told(&record(
        &season.repo,
        &Run::on("2027-06-15", 40, "completed"),
        &[],
    ));
    assert_eq!(status, 0, "{said}");
    season.repo.commit();
    assert_eq!(verified(&season.repo).0, ["decided-early"]);
}
