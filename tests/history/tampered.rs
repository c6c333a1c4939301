//! A history that somebody changed.

use std::collections::HashMap;
use std::sync::Mutex;

use offing::check::on_large_stacks;
use offing::history::verify;
use offing::review::git::{Git, GitError, Repository};
use offing::source::{MemoryTree, WorkTree};
use rayon::prelude::*;
use serde_json::Value as Json;

use super::repo::{NORTH, standing};
use super::season::Season;

fn broken(season: &Season) -> (i32, Vec<String>, Json) {
    let (status, report) = season.repo.json(&["history", "verify"]);
    let verified = report["verified"].clone();
    (status, standing(&verified), verified)
}

fn flight(day: &str) -> String {
    format!(
        "flights/north-bay-lines-{}T114000Z.yaml",
        day.replace('-', "")
    )
}

#[test]
fn the_first_break_is_named_with_both_lines() {
    let season = Season::new();
    let second = flight("2027-06-16");
    season
        .repo
        .edit(&second, "outcome: aborted", "outcome: completed");
    let (status, rules, verified) = broken(&season);
    assert_eq!(status, 1);
    assert_eq!(rules, ["record-altered", "record-unlinked"], "{verified}");
    assert_eq!(
        verified["findings"][0]["primary"]["location"]["path"],
        second.as_str()
    );
    assert_eq!(
        verified["findings"][1]["primary"]["location"]["path"],
        flight("2027-06-17").as_str()
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
fn every_kind_of_tampering_is_found() {
    type Change = fn(&Season);
    let cases: &[(&str, Change, &str)] = &[
        (
            "a record taken away",
            |season| {
                std::fs::remove_file(season.repo.path().join(flight("2027-06-16"))).unwrap();
            },
            "record-unlinked",
        ),
        (
            "the last record taken away and committed",
            |season| {
                std::fs::remove_file(season.repo.path().join(flight("2027-06-18"))).unwrap();
                season.repo.commit();
            },
            "record-removed",
        ),
        (
            "a record back-dated",
            |season| {
                season.repo.edit(
                    &flight("2027-06-18"),
                    "recorded: \"2027-06-18T16:00:00Z\"",
                    "recorded: \"2027-06-17T15:00:00Z\"",
                );
            },
            "record-back-dated",
        ),
        (
            "a record copied",
            |season| {
                let text = season.repo.read(&flight("2027-06-18"));
                season.repo.write(
                    "flights/again.yaml",
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
                let path = flight("2027-06-18");
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
                let path = flight("2027-06-18");
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
                    &flight("2027-06-18"),
                    "waived: []",
                    "waived: [{ rule: shoreline, by: operator }]",
                );
            },
            "waiver-not-permitted",
        ),
        (
            "the decision left out",
            |season| {
                let path = flight("2027-06-18");
                let text = season.repo.read(&path);
                let kept: Vec<&str> = text
                    .lines()
                    .filter(|line| !line.starts_with("decision:"))
                    .collect();
                season.repo.write(&path, &(kept.join("\n") + "\n"));
            },
            "flown-undecided",
        ),
        (
            "a record that is no YAML any more",
            |season| {
                season
                    .repo
                    .edit(&flight("2027-06-18"), "inputs:", "inputs: [");
            },
            "input-syntax",
        ),
        (
            "merge marks",
            |season| {
                season
                    .repo
                    .edit(&flight("2027-06-18"), "outcome:", "<<<<<<< ours\noutcome:");
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

type Answer = Result<Vec<u8>, GitError>;

/// Git's answers, remembered, since the repository stays as it is; one object's bytes may be turned.
struct Remembered<'a> {
    git: &'a Repository,
    answers: &'a Mutex<HashMap<Vec<String>, Answer>>,
    blobs: &'a Mutex<HashMap<String, Option<Vec<u8>>>>,
    turned: Option<(String, usize)>,
}

impl Git for Remembered<'_> {
    fn output(&self, arguments: &[&str]) -> Result<Vec<u8>, GitError> {
        let key: Vec<String> = arguments.iter().map(|one| (*one).to_owned()).collect();
        let known = self.answers.lock().unwrap().get(&key).cloned();
        known.unwrap_or_else(|| {
            let answer = self.git.output(arguments);
            self.answers.lock().unwrap().insert(key, answer.clone());
            answer
        })
    }

    fn blob(&self, object: &str, limit: u64) -> Result<Option<Vec<u8>>, GitError> {
        let known = self.blobs.lock().unwrap().get(object).cloned();
        let bytes = match known {
            Some(bytes) => bytes,
            None => {
                let bytes = self.git.blob(object, limit)?;
                self.blobs
                    .lock()
                    .unwrap()
                    .insert(object.to_owned(), bytes.clone());
                bytes
            }
        };
        Ok(match (&self.turned, bytes) {
            (Some((turned, at)), Some(mut bytes)) if turned == object => {
                bytes[*at] ^= 1;
                Some(bytes)
            }
            (_, bytes) => bytes,
        })
    }
}

#[test]
fn one_bit_of_any_byte_of_a_record_a_decision_or_an_input_is_found() {
    let season = Season::new();
    let git = Repository::open(season.repo.path()).unwrap();
    let (answers, blobs) = (Mutex::default(), Mutex::default());
    let remembered = |turned| Remembered {
        git: &git,
        answers: &answers,
        blobs: &blobs,
        turned,
    };
    // The records and decisions of two days are enough; the others are made the same way.
    let mut tree = MemoryTree::default();
    for folder in ["flights", "launches"] {
        for entry in std::fs::read_dir(season.repo.path().join(folder)).unwrap() {
            let name = entry.unwrap().file_name().into_string().unwrap();
            let path = format!("{folder}/{name}");
            tree.put(path.clone(), season.repo.read(&path));
        }
    }
    let whole = |tree: &MemoryTree, git: &dyn Git| verify(tree, git).unwrap().findings.is_empty();
    assert!(on_large_stacks(|| whole(&tree, &remembered(None))));
    let last = flight("2027-06-18");
    let decision = "launches/north-bay-lines-20270617T114000Z.yaml".to_owned();
    let unnoticed: Vec<String> = on_large_stacks(|| {
        [last, flight("2027-06-15"), decision]
            .par_iter()
            .flat_map_iter(|path| {
                let text = tree.files[path].clone().into_bytes();
                let tree = &tree;
                let remembered = &remembered;
                (0..text.len()).filter_map(move |at| {
                    let mut turned = text.clone();
                    turned[at] ^= 1;
                    let mut tree = tree.clone();
                    // A file that is no text any more is refused before it is looked at.
                    tree.put(path.clone(), String::from_utf8(turned).ok()?);
                    whole(&tree, &remembered(None)).then(|| format!("{path}: byte {at}"))
                })
            })
            .collect()
    });
    assert!(unnoticed.is_empty(), "{unnoticed:?}");
    // Every byte of the plan itself, and of its vessel and policy; of geodata some.
    let commit = season.repo.git(&["rev-parse", "HEAD~1"]);
    for (path, step) in [
        (NORTH, 1),
        ("plans/vessels/goosander.yaml", 1),
        ("plans/policy/team.yaml", 1),
        ("plans/site/quenderby.yaml", 7),
        ("plans/site/quenderby-shoreline.geojson", 211),
    ] {
        let object = season.repo.git(&["rev-parse", &format!("{commit}:{path}")]);
        let length = season
            .repo
            .git(&["cat-file", "-s", &object])
            .parse::<usize>()
            .unwrap();
        let unnoticed: Vec<usize> = on_large_stacks(|| {
            (0..length)
                .into_par_iter()
                .step_by(step)
                .filter(|at| whole(&tree, &remembered(Some((object.clone(), *at)))))
                .collect()
        });
        assert!(unnoticed.is_empty(), "{path}: {unnoticed:?}");
    }
    // The tree on disk and that in memory are the same to it.
    let work = WorkTree::open(season.repo.path()).unwrap();
    assert!(on_large_stacks(|| verify(&work, &git)
        .unwrap()
        .findings
        .is_empty()));
}
