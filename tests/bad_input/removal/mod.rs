//! Leaving any one statement out never gains a plan anything. From the mission, its vessel, its site and
//! its policy, every field at every depth and every item of a list is cut out of the text, one at a
//! time; and so it is where another figure or word stands there, so that a default is held against
//! worse than what the demo states. No error is gone then, unless the input is refused, there is an
//! error that was not there before, or a rule could not be evaluated. What is left is argued for in
//! `reasons`, one by one.

mod parts;
mod reasons;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use offing::check::{Loaded, Verdict, load, on_large_stacks};
use offing::finding::Severity;
use offing::measures;
use offing::passage::Passage;
use offing::plan::people::Demanded;
use offing::rules::judge;
use rayon::prelude::*;

use super::tree::Files;
use parts::{Part, parts_of};
use reasons::argued;

/// The rules that fail as errors, and those that could not be evaluated, by id; `None` where the input
/// was refused, or something was not checked.
type Found = Option<BTreeMap<String, Verdict>>;

/// What comes of checking the one mission of some files, without solving for what would make it pass,
/// which takes most of the time of a check and adds no finding. Only the rules that are asked for are
/// judged, where any are.
fn found(files: &Files, only: Option<&BTreeSet<&str>>) -> Found {
    let loaded = load(&files.in_memory(), None).expect("it can be listed");
    if !loaded.problems.is_empty() || !loaded.linked.not_checked.is_empty() {
        return None;
    }
    // A mission that is gone without a word has no findings either.
    if loaded.linked.plans.is_empty() {
        return Some(BTreeMap::new());
    }
    judged(&loaded, only)
}

fn judged(loaded: &Loaded, only: Option<&BTreeSet<&str>>) -> Found {
    let [plan] = loaded.linked.plans.as_slice() else {
        panic!("one mission");
    };
    let named = plan.policy.as_ref();
    let (policy, _) = loaded.policies.choose(named, plan.mission.id.span()).ok()?;
    let passage = Passage::of(plan).demanding(Demanded(policy.checklist.clone()));
    let lookup = |name: &str| measures::read(name, &passage);
    let mut found = BTreeMap::new();
    for rule in &policy.rules {
        let id = &rule.rule.id.value;
        if only.is_some_and(|only| !only.contains(id.as_str())) {
            continue;
        }
        let verdicts = judge(rule, &lookup).into_iter().map(|one| one.verdict);
        let error = rule.severity.value == Severity::Error;
        match verdicts.max() {
            Some(Verdict::Fails) if error => found.insert(id.clone(), Verdict::Fails),
            Some(Verdict::Unknown) => found.insert(id.clone(), Verdict::Unknown),
            _ => None,
        };
    }
    Some(found)
}

/// One part of one file.
struct Cut<'a> {
    base: &'a Files,
    file: &'a str,
    kind: &'a str,
    part: Part,
    /// All that is found without it.
    without: OnceLock<Found>,
}

impl<'a> Cut<'a> {
    fn with(&self, text: String, only: Option<&BTreeSet<&str>>) -> Found {
        let mut files = self.base.clone();
        files.write(self.file, text);
        found(&files, only)
    }

    fn text(&self) -> &'a str {
        self.base.text(self.file)
    }

    fn without(&self) -> &Found {
        let all = || self.with(self.part.cut(self.text()), None);
        self.without.get_or_init(all)
    }

    /// The rules whose finding goes with the part, where nothing comes in its place.
    fn gains(&self, with: &BTreeMap<String, Verdict>) -> BTreeSet<String> {
        let Some(without) = self.without() else {
            return BTreeSet::new();
        };
        let new = without.keys().any(|rule| !with.contains_key(rule));
        let doubtful = with.iter().any(|(rule, verdict)| {
            *verdict == Verdict::Fails && without.get(rule) == Some(&Verdict::Unknown)
        });
        if new || doubtful {
            return BTreeSet::new();
        }
        let gone = with.keys().filter(|rule| !without.contains_key(*rule));
        gone.cloned().collect()
    }

    /// The same in words, where it is not argued for.
    fn wrong(&self, with: &Found, value: &str) -> Option<String> {
        let lost = self.gains(with.as_ref()?);
        let wrong = !lost.is_empty() && argued(self.kind, &self.part.path, &lost).is_none();
        wrong.then(|| {
            let (file, path) = (self.file, &self.part.path);
            format!("{file}: without {path}, {value}, there is no more of {lost:?}")
        })
    }

    /// Whether this takes out the other, or something that holds it.
    fn holds(&self, other: &Self) -> bool {
        let under = other.part.path.strip_prefix(&self.part.path);
        let under = under.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
        self.file == other.file && under
    }
}

fn cuts_of(base: &Files) -> Vec<Cut<'_>> {
    let texts = base.0.keys().filter(|path| path.ends_with(".yaml"));
    let cuts: Vec<Cut<'_>> = texts
        .flat_map(|file| {
            let text = base.text(file);
            let kind = text.lines().find_map(|line| line.strip_prefix("kind: "));
            let kind = kind.expect("a kind");
            parts_of(text).into_iter().map(move |part| Cut {
                base,
                file,
                kind,
                part,
                without: OnceLock::new(),
            })
        })
        .collect();
    assert!(cuts.len() > 100, "only {} parts were found", cuts.len());
    cuts
}

/// Takes every part out of the files as they are.
fn as_they_are(base: &Files) -> Vec<String> {
    let as_is = found(base, None);
    let failing = as_is.as_ref().expect("the demo is sound");
    let fails: BTreeSet<&str> = failing.keys().map(String::as_str).collect();
    let cuts = cuts_of(base);
    let wrong = |cut: &Cut<'_>| {
        // Most parts take no finding with them, which is seen by the rules that have one.
        let still = cut.with(cut.part.cut(cut.text()), Some(&fails));
        if still.is_none_or(|still| still == *failing) {
            return None;
        }
        cut.wrong(&as_is, "as it is")
    };
    cuts.par_iter().filter_map(wrong).collect()
}

/// Takes every part out of files in which one figure or word was changed before.
fn whatever_stands_there(base: &Files) -> Vec<String> {
    assert_eq!(found(base, None), Some(BTreeMap::new()), "it passes");
    let cuts = cuts_of(base);
    let wrong = |cut: &Cut<'_>| {
        let mut wrong = Vec::new();
        for (value, text) in cut.part.changed(cut.text()) {
            let value = format!("where {} is {value}", cut.part.path);
            let with = cut.with(text, None);
            if with.as_ref().is_none_or(BTreeMap::is_empty) {
                continue;
            }
            let outer = cuts.iter().filter(|outer| outer.holds(cut));
            wrong.extend(outer.filter_map(|outer| outer.wrong(&with, &value)));
        }
        wrong
    };
    cuts.par_iter().flat_map_iter(wrong).collect()
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The missions of the demo, by whether they pass.
fn missions() -> (Vec<String>, Vec<String>) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans/missions");
    let names = std::fs::read_dir(folder).expect("the demo").map(|file| {
        let name = file.expect("a file").file_name();
        let name = name.to_str().expect("text");
        name.strip_suffix(".yaml").expect("a mission").to_owned()
    });
    names.partition(|id| found(&Files::demo(&[id]), None).is_some_and(|found| found.is_empty()))
}

#[test]
fn from_every_plan_that_fails() {
    on_large_stacks(|| {
        let (passing, failing) = missions();
        assert!(passing.len() >= 2, "{passing:?}");
        assert!(failing.len() > 10, "{failing:?}");
        let wrong: Vec<String> = failing
            .par_iter()
            .flat_map(|id| as_they_are(&Files::demo(&[id])))
            .collect();
        none(&wrong);
    });
}

#[test]
fn from_a_plan_of_the_demo_whatever_stands_there() {
    none(&on_large_stacks(|| {
        whatever_stands_there(&Files::demo(&["north-bay-lines"]))
    }));
}

#[test]
fn from_the_least_plan_whatever_stands_there() {
    none(&on_large_stacks(|| whatever_stands_there(&Files::start())));
}
