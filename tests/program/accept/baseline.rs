//! The baseline of a repository that begins to be checked.

use std::path::Path;

use super::repo::{Repo, UPWIND, findings, standing};

const WHY: &[&str] = &[
    "--review-by",
    "2027-12-31",
    "--by",
    "survey lead",
    "--reason",
    "Begun to be checked; the \"old\" plans are mended one by one.",
];

fn take(repo: &Repo, more: &[&str]) -> (i32, String) {
    let output = repo.offing(&[&["baseline", "--plans", "plans"], WHY, more].concat());
    let said = String::from_utf8_lossy(&output.stderr).into_owned()
        + &String::from_utf8_lossy(&output.stdout);
    (output.status.code().unwrap(), said)
}

/// The whole demo, every hazard of it.
fn demo() -> Repo {
    let repo = Repo::new();
    for folder in ["plans/missions", "plans/orders"] {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let text = std::fs::read_to_string(&path).unwrap();
            repo.write(&format!("{folder}/{name}"), &text);
        }
    }
    repo
}

#[test]
#[ignore = "slow"]
fn a_repository_with_every_hazard_is_adopted_and_new_findings_fail() {
    let repo = demo();
    let (status, before) = repo.json(&["check", "plans"]);
    assert_eq!(status, 1);
    let (status, said) = take(&repo, &[]);
    assert_eq!(status, 0, "{said}");
    let count = before["findings"].as_array().unwrap().len();
    assert!(
        said.contains(&format!("baseline.yaml holds {count} findings.")),
        "{said}"
    );
    let (status, after) = repo.json(&["check", "."]);
    assert_eq!((status, standing(&after)), (0, vec![]));
    assert!(
        findings(&after)
            .iter()
            .all(|(_, how)| how.as_deref() == Some("baseline"))
    );
    // What is new fails: the wind planned for past the boat's own limit.
    let mission = "plans/missions/past-the-island.yaml";
    let text = repo.read(mission);
    let at = text.find("gust: ").unwrap();
    let end = at + text[at..].find(',').unwrap();
    repo.write(
        mission,
        &(text[..at].to_owned() + "gust: 19 m/s" + &text[end..]),
    );
    let (status, after) = repo.json(&["check", "."]);
    assert_eq!(status, 1);
    assert!(!standing(&after).is_empty());
}

#[test]
fn a_known_finding_that_grows_worse_stands() {
    let repo = Repo::new();
    take(&repo, &[]);
    // Farther upwind by some hundred metres: another end of the profile.
    let text = repo.read("baseline.yaml");
    let at = text.find("measured: \"").unwrap() + "measured: \"".len();
    let end = at + text[at..].find('"').unwrap();
    repo.write(
        "baseline.yaml",
        &(text[..at].to_owned() + "1200 m" + &text[end..]),
    );
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(
        (status, standing(&report)),
        (1, vec!["upwind-run-length".into()])
    );
    let related = report["findings"][0]["related"].to_string();
    assert!(
        related.contains("worse than the 1200 m of the baseline"),
        "{related}"
    );
    // Without a value nothing was accepted.
    repo.write(
        "baseline.yaml",
        &text
            .lines()
            .filter(|line| !line.contains("measured"))
            .fold(String::new(), |all, line| all + line + "\n"),
    );
    assert_eq!(
        standing(&repo.json(&["check", "."]).1),
        ["upwind-run-length"]
    );
}

#[test]
#[ignore = "slow"]
fn what_is_mended_is_pruned() {
    let repo = demo();
    take(&repo, &[]);
    let careless = "plans/missions/careless-end.yaml";
    // On a day of its own, since the boat is one.
    let north = repo.read("plans/missions/north-bay-lines.yaml");
    let north = north.replace("2027-06-15", "2027-06-18");
    repo.write(careless, &north.replace("2027-06-14", "2027-06-17"));
    repo.edit(careless, "id: north-bay-lines", "id: careless-end");
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 1);
    assert_eq!(standing(&report), ["baseline-fixed"; 3]);
    let (status, text) = repo.run(&["baseline", "--prune"]);
    assert_eq!(status, 0);
    assert!(text.contains("3 findings pruned"), "{text}");
    assert_eq!(repo.json(&["check", "."]).0, 0);
    let written = repo.read("baseline.yaml");
    let (_, text) = repo.run(&["baseline", "--prune"]);
    assert!(!text.contains("pruned"), "{text}");
    assert_eq!(
        repo.read("baseline.yaml"),
        written,
        "nothing to prune, nothing written"
    );
}

#[test]
fn after_the_day_of_the_review_nothing_is_accepted() {
    let repo = Repo::new();
    take(&repo, &[]);
    repo.edit(
        "baseline.yaml",
        "review_by: 2027-12-31",
        "review_by: 2027-07-12",
    );
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 1);
    let mut standing = standing(&report);
    standing.sort();
    assert_eq!(standing, ["baseline-overdue", "upwind-run-length"]);
    // Its last day is its last day.
    repo.edit(
        "baseline.yaml",
        "review_by: 2027-07-12",
        "review_by: 2027-07-13",
    );
    assert_eq!(repo.json(&["check", "."]).0, 0);
}

#[test]
fn what_cannot_be_accepted_is_refused_with_a_reason() {
    let repo = Repo::new();
    for (arguments, status, says) in [
        (&["baseline"][..], 64, "--review-by` is missing"),
        (
            &["baseline", "--review-by", "soon"],
            64,
            "`soon` is not a day",
        ),
        (
            &["baseline", "--review-by", "2027-12-31"],
            64,
            "`--by` is missing",
        ),
        (
            &["baseline", "--review-by", "2027-12-31", "--by", " "],
            64,
            "`--by` is missing",
        ),
        (
            &["baseline", "--review-by", "2027-12-31", "--by", "lead"],
            64,
            "`--reason` is missing",
        ),
        (&["baseline", "--prune"], 2, "no readable baseline is here"),
    ] {
        let output = repo.offing(arguments);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(status), "{arguments:?}: {said}");
        assert!(said.contains(says), "{arguments:?}: {said}");
    }
    assert!(!repo.path().join("baseline.yaml").exists());
    // A file that cannot be read is not accepted, and nothing is written.
    repo.edit(UPWIND, "kind: mission", "kind: mision");
    let (status, said) = take(&repo, &[]);
    assert_eq!(status, 2, "{said}");
    assert!(!repo.path().join("baseline.yaml").exists());
}

#[test]
fn a_baseline_that_is_there_is_not_written_over_unasked() {
    let repo = Repo::new();
    take(&repo, &[]);
    let first = repo.read("baseline.yaml");
    let (status, said) = take(&repo, &[]);
    assert_eq!(status, 64, "{said}");
    assert!(said.contains("--renew"), "{said}");
    let (status, said) = take(&repo, &["--renew"]);
    assert_eq!(
        (status, repo.read("baseline.yaml")),
        (0, first.clone()),
        "{said}"
    );
    // Two of them: which is meant cannot be determined.
    repo.write("other.yaml", &first.replace("id: baseline", "id: other"));
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 2);
    let standing = standing(&report);
    assert!(
        standing.contains(&"input-reference".to_owned()),
        "{standing:?}"
    );
    assert!(
        standing.contains(&"upwind-run-length".to_owned()),
        "{standing:?}"
    );
}
