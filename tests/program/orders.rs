//! Standing orders: what a mission leaves to them, where it differs, and what a change of them bears on.

use std::collections::BTreeSet;

use offing::door::check::Outcome;
use offing::door::finding::Nature;

use crate::shared::demo_tree::{Files, mission, orders, places, told};
use crate::shared::repo::Repo;

const SLIP: &str = "from-the-slip";
const DAM: &str = "from-the-dam";
/// A mission that states nothing otherwise than its orders.
const TRANSECTS: &str = "dam-to-bay-transects";
/// One that does, in one field each.
const SLOW: &str = "slow-hands";

/// What is found, without the lines.
fn found(outcome: &Outcome) -> BTreeSet<(String, String)> {
    let all = outcome.findings.iter();
    all.map(|one| (one.rule.clone(), one.message.clone()))
        .collect()
}

/// The blocks of a file by their keys at the margin.
fn blocks(text: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        match line.split_once(':') {
            Some((key, _)) if !line.starts_with(' ') => {
                all.push((key.to_owned(), format!("{line}\n")));
            }
            _ => {
                if let Some((_, block)) = all.last_mut() {
                    block.push_str(line);
                    block.push('\n');
                }
            }
        }
    }
    all
}

#[test]
#[ignore = "slow"]
fn a_mission_is_judged_as_if_it_stated_what_its_orders_do() {
    for id in [TRANSECTS, "evening-lines", "a-day-too-late", "careless-end"] {
        let files = Files::demo(&[id]);
        let text = files.text(&mission(id)).to_owned();
        let named = if text.contains(&format!("orders: {SLIP}")) {
            SLIP
        } else {
            DAM
        };
        let own: BTreeSet<String> = blocks(&text).into_iter().map(|(key, _)| key).collect();
        let links = text.contains("\nlinks:");
        let theirs = blocks(files.text(&orders(named)));
        let mut alone = files.clone();
        alone.0.remove(&orders(named));
        let mut whole = text.replace(&format!("orders: {named}\n"), "");
        for (key, block) in theirs {
            if !own.contains(&key) {
                whole.push_str(&block);
            }
        }
        if links {
            // The one group that is stated in part.
            whole = whole.replace(
                "\nlinks:\n",
                "\nlinks:\n  control: needed\n  telemetry: logged aboard\n",
            );
        }
        alone.write(&mission(id), whole);
        let (with, without) = (files.check(), alone.check());
        assert!(!with.checked.is_empty(), "{}", told(&with));
        assert_eq!(found(&with), found(&without), "{id}");
    }
}

#[test]
fn what_differs_is_listed_with_both_lines() {
    let outcome = Files::demo(&[SLOW]).check();
    let laid = outcome.checked[0].orders.as_ref().unwrap();
    assert_eq!(laid.id, SLIP);
    let told: Vec<String> = laid
        .differs
        .iter()
        .map(|one| one.sentence("the orders have"))
        .collect();
    assert_eq!(
        told,
        [
            "`operator.reaction_time` is 15 s, where the orders have 10 s",
            "`links.sonar-data` is logged aboard, where the orders have not used",
            "`manual_override` is { over: control, within: 12 s }, where the orders have { over: control, \
             within: 2 s }",
        ]
    );
    for one in &laid.differs {
        let path = |span: offing::door::source::Span| outcome.sources.path(span.source).to_owned();
        assert_eq!(path(one.own.1), mission(SLOW));
        assert_eq!(path(one.other.1), orders(SLIP));
    }
    let repo = Repo::empty();
    for (path, text) in &Files::demo(&[SLOW]).0 {
        repo.write(path, std::str::from_utf8(text).unwrap());
    }
    let (_, report) = repo.json(&["check", "."]);
    let of_mission = &report["missions"][0]["orders"];
    assert_eq!(of_mission["id"], SLIP);
    let first = &of_mission["differs"][0];
    assert_eq!(first["field"], "operator.reaction_time");
    assert_eq!(first["location"]["path"], mission(SLOW));
    assert_eq!(first["other_location"]["path"], orders(SLIP));
    let (_, text) = repo.run(&["check", "."]);
    assert!(text.contains("other than the orders:"), "{text}");
    assert!(text.contains("where the orders have 10 s"), "{text}");
}

#[test]
fn a_review_of_a_new_mission_lists_what_it_states_otherwise_than_its_orders() {
    let repo = Repo::empty();
    let write = |id: &str| {
        for (path, text) in &Files::demo(&[id]).0 {
            repo.write(path, std::str::from_utf8(text).unwrap());
        }
    };
    write(TRANSECTS);
    repo.commit_as("without");
    write(SLOW);
    for form in ["terminal", "markdown"] {
        for command in [&["review", "HEAD"][..], &["check", &mission(SLOW)]] {
            let (_, text) = repo.run(&[command, &["--format", form]].concat());
            let told = text.split_whitespace().collect::<Vec<_>>().join(" ");
            for due in [
                "is 15 s, where the orders have 10 s",
                "is logged aboard, where the orders have not used",
            ] {
                assert_eq!(told.matches(due).count(), 1, "{form} {command:?}: {text}");
            }
            assert_eq!(told.matches("where the orders have").count(), 3, "{text}");
        }
    }
}

#[test]
fn a_finding_stands_on_the_line_of_the_orders() {
    let mut files = Files::demo(&[TRANSECTS]);
    files.edit(&orders(DAM), "overdue: 30 min", "overdue: 3 h");
    let outcome = files.check();
    let late = outcome
        .findings
        .iter()
        .find(|one| one.rule == "overdue-alarm");
    let late = late.unwrap_or_else(|| panic!("{:?}", found(&outcome)));
    assert_eq!(late.nature, Nature::Violation);
    let span = late.primary.span;
    assert_eq!(outcome.sources.path(span.source), orders(DAM));
    assert_eq!(outcome.sources.slice(span), "3 h");
}

#[test]
fn what_neither_states_is_missing() {
    let cases = [
        (
            "  person_in_charge: survey lead\n",
            "`person_in_charge` is missing in `team`",
        ),
        ("  control: needed\n", "`control` is missing in `links`"),
        (
            "  ready_within: 2 min\n",
            "`ready_within` is missing in `safety_boat`",
        ),
    ];
    for (line, says) in cases {
        let mut files = Files::demo(&[TRANSECTS]);
        files.edit(&orders(DAM), line, "");
        let outcome = files.check();
        let said: Vec<&str> = outcome
            .findings
            .iter()
            .map(|one| one.message.as_str())
            .collect();
        assert!(said.contains(&says), "{line}: {said:?}");
        assert!(outcome.checked.is_empty());
        assert_eq!(outcome.not_checked[0].why, "it does not fit its schema");
    }
    let mut files = Files::demo(&[TRANSECTS]);
    let text = files.text(&orders(DAM)).to_owned();
    let begin = text.find("links:\n").unwrap();
    let end = text.find("stations:\n").unwrap();
    files.write(&orders(DAM), format!("{}{}", &text[..begin], &text[end..]));
    let outcome = files.check();
    assert!(
        told(&outcome).contains("`links` is missing"),
        "{}",
        told(&outcome)
    );
}

#[test]
fn orders_that_cannot_be_had_are_told_on_the_missions_line() {
    let named = |to: &str| {
        let mut files = Files::demo(&[TRANSECTS]);
        files.edit(
            &mission(TRANSECTS),
            &format!("orders: {DAM}"),
            &format!("orders: §{to}"),
        );
        files
    };
    let files = named("from-the-dan");
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert!(
        told(&outcome).contains("No orders file has the id `from-the-dan`"),
        "{}",
        told(&outcome)
    );
    assert!(
        told(&outcome).contains("did you mean `from-the-dam`?"),
        "{}",
        told(&outcome)
    );
    assert_eq!(
        outcome.not_checked[0].why,
        "it names something that does not exist"
    );
    // Two of one id, and one that is wrong: neither is used.
    let mut files = named(DAM);
    files.write(
        "orders/again.yaml",
        files
            .text(&orders(DAM))
            .replace(&format!("id: {DAM}"), &format!("id: §{DAM}")),
    );
    let outcome = files.check();
    assert!(
        told(&outcome).contains("Two orders files have the id `from-the-dam`"),
        "{}",
        told(&outcome)
    );
    assert!(outcome.checked.is_empty());
    let mut files = named(DAM);
    files.edit(&orders(DAM), "reaction_time: 10 s", "reaction_time: §10");
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks());
    assert_eq!(
        outcome.not_checked[0].why,
        "its orders `from-the-dam` cannot be used"
    );
}

/// The demo as a repository.
fn demo() -> Repo {
    let repo = Repo::empty();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    for folder in ["missions", "orders", "policy", "rules", "site", "vessels"] {
        for file in std::fs::read_dir(root.join(folder)).unwrap() {
            let file = file.unwrap();
            let name = file.file_name().into_string().unwrap();
            let text = std::fs::read_to_string(file.path()).unwrap();
            repo.write(&format!("plans/{folder}/{name}"), &text);
        }
    }
    repo.commit();
    repo
}

fn of_the_dam() -> BTreeSet<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans/missions");
    let files = std::fs::read_dir(root).unwrap();
    let texts = files.map(|file| std::fs::read_to_string(file.unwrap().path()).unwrap());
    let named = texts.filter(|text| text.contains(&format!("\norders: {DAM}\n")));
    let id = |text: String| {
        let line = text.lines().find_map(|line| line.strip_prefix("id: "));
        line.unwrap().to_owned()
    };
    named.map(id).collect()
}

fn checked(report: &serde_json::Value) -> BTreeSet<String> {
    let all = report["missions"].as_array().unwrap();
    all.iter()
        .map(|one| one["mission"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn a_check_of_orders_is_one_of_every_mission_that_names_them() {
    let repo = demo();
    let (_, report) = repo.json(&["check", &format!("plans/{}", orders(DAM))]);
    assert!(of_the_dam().len() >= 4);
    assert_eq!(checked(&report), of_the_dam());
}

#[test]
#[ignore = "slow"]
fn a_change_of_orders_bears_on_every_mission_that_names_them() {
    let repo = demo();
    let path = format!("plans/{}", orders(DAM));
    repo.edit(&path, "below_charge: 45 %", "below_charge: 30 %");
    repo.commit_as("less");
    let (_, report) = repo.json(&["check", ".", "--changed-since", "HEAD~1"]);
    assert_eq!(checked(&report), of_the_dam());
    let (_, review) = repo.json(&["review", "HEAD~1"]);
    let text = review.to_string();
    for id in of_the_dam() {
        assert!(text.contains(&format!("\"{id}\"")), "{id}: {text}");
    }
    let output = repo.offing(&["review", "HEAD~1"]);
    let told = String::from_utf8(output.stdout).unwrap();
    let told: String = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("on low battery, below charge"), "{told}");
    assert!(!told.contains("north-bay-lines"), "{told}");
}

#[test]
fn the_digest_of_a_plan_has_its_orders() {
    let repo = demo();
    let lines = |repo: &Repo| {
        let output = repo.offing(&["digest", TRANSECTS, "--plans", "."]);
        assert!(output.status.success(), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let before = lines(&repo);
    assert!(before.contains(&format!("  orders {DAM}\n")), "{before}");
    let path = format!("plans/{}", orders(DAM));
    repo.append(&path, "# other words\n");
    assert_ne!(lines(&repo), before);
}
