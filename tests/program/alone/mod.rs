//! Each built-in rule by itself: one edit of a mission of the demo that passes, after which that
//! rule fails and no other. The snapshots show what it then says.

use crate::shared::demo_tree as tree;

/// The vertices of 227 m of the demo's north shore, without the first and the last.
macro_rules! north_shore {
    () => {
        concat!(
            "            [-24.301869, 52.401891],\n",
            "            [-24.302034, 52.401842],\n",
            "            [-24.302305, 52.401797],\n",
            "            [-24.302557, 52.401727],\n",
            "            [-24.302861, 52.401709],\n",
            "            [-24.303138, 52.401749],\n",
            "            [-24.303438, 52.401778],\n",
            "            [-24.303652, 52.401833],\n",
            "            [-24.303973, 52.401833],\n",
            "            [-24.304219, 52.401834],\n",
            "            [-24.304381, 52.401836],\n",
            "            [-24.304568, 52.401842],\n",
            "            [-24.304843, 52.401848],\n",
        )
    };
}

mod core;
mod depth;
mod drift;
mod figures;
mod people;
mod position;
mod sea;
mod sounding;
mod time;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use offing::door::check::Outcome;
use offing::door::finding::{Finding, Nature};
use rayon::prelude::*;
use tree::Files;

/// An edit of the demo by which one rule fails.
pub struct Case {
    /// The rule.
    pub rule: &'static str,
    /// The mission of the demo that is edited.
    pub mission: &'static str,
    /// Path below `plans/` (`mission` is the mission's own), a text that stands there once, and
    /// what is put in its place.
    pub edits: &'static [(&'static str, &'static str, &'static str)],
    /// Rules that cannot but fail with it, each with why.
    pub also: &'static [(&'static str, &'static str)],
}

/// A case in which the rule fails and no other.
const fn one(
    rule: &'static str,
    mission: &'static str,
    edits: &'static [(&'static str, &'static str, &'static str)],
) -> Case {
    Case {
        rule,
        mission,
        edits,
        also: &[],
    }
}

impl Case {
    /// The case with other rules that fail too, each with why.
    const fn along(self, also: &'static [(&'static str, &'static str)]) -> Self {
        Self { also, ..self }
    }

    /// The files of the demo with the edit.
    pub fn files(&self) -> Files {
        let own = tree::mission(self.mission);
        let mut files = Files::demo(&[self.mission]);
        for (path, from, to) in self.edits {
            let path = if *path == "mission" { &own } else { *path };
            files.edit(path, from, to);
        }
        files
    }

    fn check(&self) -> Outcome {
        self.files().check()
    }
}

/// The cases by subject, a file each.
const SUBJECTS: &[(&str, &[Case])] = &[
    ("core", core::CASES),
    ("sounding", sounding::CASES),
    ("sea", sea::CASES),
    ("people", people::CASES),
    ("position", position::CASES),
    ("depth", depth::CASES),
    ("drift", drift::CASES),
    ("figures", figures::CASES),
    ("time", time::CASES),
];

/// All cases.
pub fn cases() -> impl Iterator<Item = &'static Case> {
    SUBJECTS.iter().flat_map(|(_, cases)| cases.iter())
}

#[test]
fn every_built_in_rule_has_a_case() {
    let tree = offing::door::source::MemoryTree::default();
    let loaded = offing::door::check::load(&tree, None).expect("the built-in rules");
    let rules: BTreeSet<&str> = loaded
        .policies
        .builtin()
        .rules
        .iter()
        .map(|rule| &*rule.rule.id.value)
        .collect();
    let shown: BTreeSet<&str> = cases().map(|case| case.rule).collect();
    assert_eq!(shown, rules);
}

#[test]
#[ignore = "slow"]
fn each_rule_fails_alone() {
    let mut wrong = String::new();
    for (subject, cases) in SUBJECTS {
        let outcomes: Vec<Outcome> = cases.par_iter().map(Case::check).collect();
        let mut shown = String::new();
        for (case, outcome) in cases.iter().zip(&outcomes) {
            let failed: BTreeSet<&str> = outcome
                .findings
                .iter()
                .map(|finding| finding.rule.as_str())
                .collect();
            let also = case.also.iter().map(|(rule, why)| {
                assert!(!why.is_empty());
                *rule
            });
            let meant: BTreeSet<&str> = also.chain([case.rule]).collect();
            let own = outcome.findings.iter().find(|f| f.rule == case.rule);
            if failed != meant || own.is_none_or(|f| f.nature != Nature::Violation) {
                let _ = writeln!(wrong, "## {} brings\n{}", case.rule, told(outcome, None));
            }
            shown += &told(outcome, Some(case.rule));
        }
        if wrong.is_empty() {
            insta::assert_snapshot!(*subject, shown);
        }
    }
    assert!(wrong.is_empty(), "not alone:\n{wrong}");
}

/// What an outcome says, of one rule or of all.
fn told(outcome: &Outcome, rule: Option<&str>) -> String {
    let findings = outcome.findings.iter();
    findings
        .filter(|finding| rule.is_none_or(|rule| finding.rule == rule))
        .map(|finding| tell(outcome, finding))
        .collect()
}

fn tell(outcome: &Outcome, finding: &Finding) -> String {
    let mut text = format!(
        "{}[{}] {}\n",
        finding.severity.name(),
        finding.rule,
        finding.message
    );
    for label in std::iter::once(&finding.primary).chain(&finding.related) {
        let path = outcome.sources.path(label.span.source);
        let at = outcome.sources.position(label.span).line;
        let _ = writeln!(text, "  {path}:{}: {}", at, label.text);
    }
    if let Some(scenario) = &finding.scenario {
        let _ = writeln!(text, "  worst case: {scenario}");
    }
    for step in &finding.steps {
        let _ = writeln!(text, "  step: {step}");
    }
    for remedy in finding.remedies_told() {
        let _ = writeln!(text, "  remedy: {remedy}");
    }
    text.push('\n');
    text
}
