//! Taking any one input away never takes a finding away in silence. From the mission, its vessel
//! and its site, every field at every depth and every item of a list of mappings is cut out of
//! the text, one at a time. Each rule that had a finding before has one after, or the input is
//! refused, or the output lists an assumption that names the field; what is left is argued for in
//! `removal_reasons`, one by one.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use offing::check::{Verdict, load, on_large_stacks};
use offing::document::{Node, ParseLimits, Value, parse};
use offing::measures;
use offing::passage::Passage;
use offing::rules::{Judgement, judge};
use offing::source::{SourceId, WorkTree};

use super::removal_reasons::{KINDS, argued};
use super::tree::{Files, SITE, VESSEL, mission};

/// Something that can be cut out of a file.
struct Part {
    /// Its keys, items by their id or number: `radios/control/antenna/gain`.
    path: String,
    /// The last key; for an item of a list, the list's.
    field: String,
    start: usize,
    end: usize,
}

fn parts_of(text: &str) -> Vec<Part> {
    let document = parse(SourceId(0), text, &ParseLimits::YAML).expect("the demo parses");
    let mut parts = Vec::new();
    collect(text, &document.root, "", &mut parts);
    parts
}

fn collect(text: &str, node: &Node, prefix: &str, parts: &mut Vec<Part>) {
    let join = |name: &str| {
        if prefix.is_empty() {
            name.to_owned()
        } else {
            format!("{prefix}/{name}")
        }
    };
    match &node.value {
        Value::Map(entries) => {
            for entry in entries {
                let path = join(&entry.key);
                let span = (entry.key_span.start as usize, entry.value.span.end as usize);
                let (start, end) = widened(text, span);
                parts.push(Part {
                    path: path.clone(),
                    field: entry.key.clone(),
                    start,
                    end,
                });
                collect(text, &entry.value, &path, parts);
            }
        }
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                if item.as_map().is_none() {
                    continue;
                }
                let name = ["id", "link", "station", "time"]
                    .iter()
                    .find_map(|key| item.get(key).and_then(Node::as_text))
                    .map_or_else(|| index.to_string(), str::to_owned);
                let path = join(&name);
                let from = item.span.start as usize;
                let dash = text[..from].rfind('-').expect("an item begins with a dash");
                let (start, end) = widened(text, (dash, item.span.end as usize));
                parts.push(Part {
                    path: path.clone(),
                    field: prefix.rsplit('/').next().unwrap_or(prefix).to_owned(),
                    start,
                    end,
                });
                collect(text, item, &path, parts);
            }
        }
        _ => {}
    }
}

/// The bytes to cut so that what is left is still YAML: whole lines where nothing else stands on
/// them, else the comma too.
fn widened(text: &str, (start, end): (usize, usize)) -> (usize, usize) {
    let before = text[..start].trim_end_matches(' ');
    let after = text[end..].trim_start_matches(' ');
    if before.ends_with(['{', ',']) {
        return if after.starts_with(',') {
            (start, text.len() - after.len() + 1)
        } else if before.ends_with(',') {
            (before.len() - 1, end)
        } else {
            (start, end)
        };
    }
    let line_end = text[end..].find('\n').map_or(text.len(), |at| end + at);
    if before.is_empty() || before.ends_with('\n') {
        (before.len(), (line_end + 1).min(text.len()))
    } else {
        (start, line_end)
    }
}

/// What comes of checking one mission, without solving for what would make it pass, which takes
/// most of the time of a check and adds no finding.
enum Came {
    /// The input was refused, or something was not checked.
    Refused,
    Judged {
        judgements: Vec<(String, Judgement)>,
        assumptions: Vec<String>,
    },
}

fn judged(files: &Files) -> Came {
    let folder = files.lay_out();
    let tree = WorkTree::open(folder.path()).expect("a folder");
    let loaded = on_large_stacks(|| load(&tree, None)).expect("it can be listed");
    if !loaded.problems.is_empty() || !loaded.linked.not_checked.is_empty() {
        return Came::Refused;
    }
    // A mission that is gone without a word has no findings either.
    let [plan] = loaded.linked.plans.as_slice() else {
        return Came::Judged {
            judgements: Vec::new(),
            assumptions: Vec::new(),
        };
    };
    let named = plan.policy.as_ref();
    let Ok((policy, _)) = loaded.policies.choose(named, plan.mission.id.span()) else {
        return Came::Refused;
    };
    let passage = Passage::of(plan);
    let lookup = |name: &str| measures::read(name, &passage);
    let judgements = policy.rules.iter().flat_map(|rule| {
        let of_rule = judge(rule, &lookup).into_iter();
        of_rule.map(|judgement| (rule.rule.id.value.clone(), judgement))
    });
    Came::Judged {
        judgements: judgements.collect(),
        assumptions: measures::assumptions(plan),
    }
}

/// The rules with a finding: what fails and what could not be evaluated.
fn found(judgements: &[(String, Judgement)]) -> BTreeSet<&str> {
    let finds = |verdict| matches!(verdict, Verdict::Fails | Verdict::Unknown);
    let found = judgements.iter().filter(|(_, one)| finds(one.verdict));
    found.map(|(rule, _)| rule.as_str()).collect()
}

/// Whether anything that was measured before and after came out otherwise. What can no longer be
/// measured is a finding of its own.
fn differs(before: &[(String, Judgement)], after: &[(String, Judgement)]) -> bool {
    let measured = |one: &Judgement| {
        let comparison = one.comparison.as_ref();
        comparison.map(|comparison| format!("{:.9e}", comparison.measured.value))
    };
    after.iter().any(|(rule, one)| {
        let same = |(id, other): &&(String, Judgement)| id == rule && other.subject == one.subject;
        one.verdict != Verdict::Unknown
            && before.iter().find(same).is_none_or(|(_, earlier)| {
                measured(earlier) != measured(one) || earlier.verdict != one.verdict
            })
    })
}

/// Whether a removal brought in an assumption that names the field.
fn told(before: &[String], after: &[String], field: &str) -> bool {
    let mut new = after.iter().filter(|text| !before.contains(text));
    new.any(|text| text.contains(&format!("`{field}`")) || text.contains(&format!(": {field}`")))
}

fn every_removal(id: &str) {
    let base = Files::demo(&[id]);
    let Came::Judged {
        judgements: old,
        assumptions: assumed,
    } = judged(&base)
    else {
        panic!("the demo itself is sound");
    };
    let failing = found(&old);
    let outcome = base.check();
    let shown: BTreeSet<&str> = outcome.findings.iter().map(|f| f.rule.as_str()).collect();
    assert!(
        !failing.is_empty(),
        "{id} is one of the demo's failing missions"
    );
    assert_eq!(failing, shown, "the check shows each of them");
    let mut wrong = String::new();
    let mut cut = 0;
    let files = [mission(id), VESSEL.to_owned(), SITE.to_owned()];
    for (file, kind) in files.iter().zip(KINDS) {
        let text = base.text(file);
        for part in parts_of(text) {
            cut += 1;
            let mut files = base.clone();
            files.write(
                file,
                format!("{}{}", &text[..part.start], &text[part.end..]),
            );
            let Came::Judged {
                judgements: new,
                assumptions,
            } = judged(&files)
            else {
                continue;
            };
            let still = found(&new);
            let lost: Vec<&&str> = failing.difference(&still).collect();
            let same = lost.is_empty() && !differs(&old, &new);
            let excused = || {
                told(&assumed, &assumptions, &part.field)
                    || argued(kind, &part.path, &lost).is_some()
            };
            if !same && !excused() {
                let _ = writeln!(wrong, "{kind} {}: lost {lost:?}", part.path);
            }
        }
    }
    assert!(cut > 150, "only {cut} parts were found");
    assert!(wrong.is_empty(), "taken away from {id}:\n{wrong}");
}

#[test]
fn from_an_antenna_off_its_bearing() {
    every_removal("antenna-off-bearing");
}

#[test]
fn from_a_careless_end() {
    every_removal("careless-end");
}

#[test]
fn from_a_headwind_return() {
    every_removal("headwind-return");
}

#[test]
fn from_a_long_run_downwind() {
    every_removal("long-run-downwind");
}

#[test]
fn from_a_run_past_the_island() {
    every_removal("past-the-island");
}
