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

use offing::door::check::{Loaded, Verdict, load, on_large_stacks};
use offing::door::finding::Severity;
use offing::door::measures;
use offing::door::passage::Passage;
use offing::door::rules::judge;
use rayon::prelude::*;

use super::tree::{Files, SITE, VESSEL};
use crate::shared::cases::cases;
use parts::{Part, parts_of};
use reasons::argued;

/// The rules that fail as errors, and those that could not be evaluated, by id; `None` where the input
/// was refused, or something was not checked.
type Found = Option<BTreeMap<String, Verdict>>;

/// What comes of checking the one mission of some files, without solving for how to fix it,
/// which takes most of the time of a check and adds no finding. Only the rules that are requested are
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
    let passage = Passage::from_plan(plan);
    let lookup = |name: &str| measures::evaluate(name, &passage);
    let mut found = BTreeMap::new();
    for rule in &policy.rules {
        let id = rule.rule.id.value.to_string();
        if only.is_some_and(|only| !only.contains(id.as_str())) {
            continue;
        }
        let verdicts = judge(rule, &lookup).into_iter().map(|one| one.verdict);
        let error = rule.severity.value == Severity::Error;
        match verdicts.max() {
            Some(Verdict::Fails) if error => found.insert(id, Verdict::Fails),
            Some(Verdict::Unknown) => found.insert(id, Verdict::Unknown),
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
        let wrong = !lost.is_empty()
            && !self.is_left_to_orders()
            && argued(self.kind, &self.part.path, &lost).is_none();
        wrong.then(|| {
            let (file, path) = (self.file, &self.part.path);
            format!("{file}: without {path}, {value}, there is no more of {lost:?}")
        })
    }

    /// Whether the orders that the mission names state the part as well. Theirs then stands, which was reviewed
    /// for every mission, and a review of the change tells of it.
    fn is_left_to_orders(&self) -> bool {
        let field = self.part.path.split('/').next().unwrap_or_default();
        let key = format!("\n{field}:");
        let mut orders = self
            .base
            .0
            .keys()
            .filter(|path| path.starts_with("orders/"));
        self.kind == "mission" && orders.any(|path| self.base.text(path).contains(&key))
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

/// Takes every part out of the files as they are, where all cases are wanted, else every fifth from some part on.
fn as_they_are(base: &Files, from: usize) -> Vec<String> {
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
    let every = cases(5, 1);
    cuts.par_iter()
        .skip(from % every)
        .step_by(every)
        .filter_map(wrong)
        .collect()
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
    cuts.par_iter()
        .step_by(cases(5, 1))
        .flat_map_iter(wrong)
        .collect()
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
#[ignore = "slow"]
fn from_every_plan_that_fails() {
    on_large_stacks(|| {
        let (passing, failing) = missions();
        assert!(passing.len() >= 2, "{passing:?}");
        assert!(failing.len() > 10, "{failing:?}");
        let wrong: Vec<String> = failing
            .par_iter()
            .enumerate()
            .flat_map(|(from, id)| as_they_are(&Files::demo(&[id]), from))
            .collect();
        none(&wrong);
    });
}

#[test]
#[ignore = "slow"]
fn from_a_plan_of_the_demo_whatever_stands_there() {
    none(&on_large_stacks(|| {
        whatever_stands_there(&Files::demo(&["north-bay-lines"]))
    }));
}

#[test]
fn from_the_least_plan_whatever_stands_there() {
    none(&on_large_stacks(|| whatever_stands_there(&Files::start())));
}

/// A figure of the vessel or the site at the end of what is taken at all, with the rest of the plan such that
/// the figure can make it fail: kind of file, path of the part, edits of the demo's `long-run-downwind`.
type AtItsEnd<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str, &'a str)]);

const AT_THEIR_ENDS: &[AtItsEnd<'_>] = &[
    (
        "vessel",
        "hull/bow_length",
        &[(VESSEL, "bow_length: 0.45 m", "bow_length: 0.11 m")],
    ),
    (
        "vessel",
        "windage/drag_coefficient",
        &[(VESSEL, "drag_coefficient: 0.9", "drag_coefficient: 2")],
    ),
    (
        "vessel",
        "windage/height",
        &[(VESSEL, "  height: 0.3 m", "  height: 1.2 m")],
    ),
    (
        "vessel",
        "windage/leeway",
        &[(VESSEL, "leeway: 4 %", "leeway: 15 %")],
    ),
    (
        "vessel",
        "propulsion/propulsive_efficiency",
        &[(
            VESSEL,
            "propulsive_efficiency: 45 %",
            "propulsive_efficiency: 25 %",
        )],
    ),
    (
        "vessel",
        "propulsion/motor_efficiency",
        &[(VESSEL, "motor_efficiency: 70 %", "motor_efficiency: 50 %")],
    ),
    (
        "vessel",
        "propulsion/stopping_distance",
        &[(VESSEL, "stopping_distance: 3 m", "stopping_distance: 120 m")],
    ),
    (
        "vessel",
        "propulsion/trial/points/0",
        &[
            (VESSEL, "      - { speed: 0.4 m/s, power: 2.1 W }\n", ""),
            (
                VESSEL,
                "speed: 0.6 m/s, power: 6.6 W",
                "speed: 0.6 m/s, power: 11.2 W",
            ),
        ],
    ),
    (
        "site",
        "stations/slip-mast/radios/control/losses",
        &[
            (
                SITE,
                "losses: 1 dB\n        antenna: { gain: 12 dBi",
                "losses: 5.9 dB\n        antenna: { gain: 12 dBi",
            ),
            (VESSEL, "sensitivity: -103 dBm", "sensitivity: -100 dBm"),
        ],
    ),
    ("site", "water", &[(SITE, "water: fresh", "water: salt")]),
];

/// A plan that fails for a figure of the vessel or the site is not made clean by leaving the figure out, in
/// whatever wind.
#[test]
#[ignore = "slow"]
fn from_plans_that_fail_by_a_figure() {
    let winds: Vec<u32> = (4..=18).collect();
    let none_fails: Vec<&str> = on_large_stacks(|| {
        let fails = |(kind, path, edits): &AtItsEnd<'_>| -> bool {
            let failing = winds.par_iter().filter(|half| {
                let mean = f64::from(**half) / 2.0;
                let mut files = Files::demo(&["long-run-downwind"]);
                let own = super::tree::mission("long-run-downwind");
                let wind = format!("mean: {mean} m/s, gust: {} m/s", mean * 1.66);
                files.edit(&own, "mean: 4.5 m/s, gust: 7.5 m/s", &wind);
                files.edit(&own, "charge_at_launch: 64 %", "charge_at_launch: 100 %");
                let plain = found(&files, None).expect("the demo is sound");
                for (file, from, to) in *edits {
                    files.edit(file, from, to);
                }
                let with = found(&files, None);
                let by_it = with
                    .as_ref()
                    .is_some_and(|with| with.keys().any(|rule| !plain.contains_key(rule)));
                let cuts = cuts_of(&files);
                let path_of = |cut: &&Cut<'_>| cut.kind == *kind && cut.part.path == *path;
                let cut = cuts.iter().find(path_of);
                let cut = cut.unwrap_or_else(|| panic!("no {path}"));
                let lost = cut.gains(with.as_ref().expect("it is sound"));
                assert!(
                    lost.is_empty(),
                    "{mean} m/s: without {path}, {lost:?} is gone"
                );
                by_it
            });
            failing.count() > 0
        };
        let idle = AT_THEIR_ENDS.iter().filter(|one| !fails(one));
        idle.map(|one| one.1).collect()
    });
    // Neither moves a rule by itself in winds so far apart: each is held by its model's own test.
    assert!(
        none_fails
            .iter()
            .all(|path| ["water", "propulsion/trial/points/0", "windage/height"].contains(path)),
        "{none_fails:?}"
    );
}
