//! Counting what a check came to, once for every report.

use std::collections::{BTreeSet, HashMap};

use crate::check::{MissionResult, Outcome, RuleResult, Verdict, nearest};
use crate::finding::{Finding, Nature, Severity};

/// Findings by severity.
#[derive(Clone, Copy, Default)]
pub(super) struct Counts {
    pub error: usize,
    pub warning: usize,
    pub advice: usize,
    /// How many of them say that a rule could not be judged.
    pub not_evaluated: usize,
    /// Findings that somebody accepted; none of them is in the other counts.
    pub accepted: usize,
}

impl Counts {
    fn add(&mut self, finding: &Finding) {
        if !finding.stands() {
            self.accepted += 1;
            return;
        }
        match finding.severity {
            Severity::Error => self.error += 1,
            Severity::Warning => self.warning += 1,
            Severity::Advice => self.advice += 1,
        }
        if finding.nature == Nature::NotEvaluated {
            self.not_evaluated += 1;
        }
    }

    pub(super) fn total(self) -> usize {
        self.error + self.warning + self.advice
    }

    /// The gravest severity that was counted.
    pub(super) fn gravest(self) -> Option<Severity> {
        match self {
            _ if self.error > 0 => Some(Severity::Error),
            _ if self.warning > 0 => Some(Severity::Warning),
            _ if self.advice > 0 => Some(Severity::Advice),
            _ => None,
        }
    }

    /// The counts that are not zero: `2 errors, 1 warning, 1 accepted`; empty where all are.
    pub(super) fn describe(self) -> String {
        let counts = [
            (self.error, "error", "errors"),
            (self.warning, "warning", "warnings"),
            (self.advice, "advisory", "advisories"),
            (self.accepted, "accepted", "accepted"),
        ];
        let parts: Vec<String> = counts
            .iter()
            .filter(|(count, ..)| *count > 0)
            .map(|&(count, one, many)| counted(count, one, many))
            .collect();
        parts.join(", ")
    }
}

/// A number with its noun.
#[must_use]
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// What came of one mission.
pub(super) struct MissionTally<'a> {
    pub checked: &'a MissionResult,
    pub findings: Counts,
    /// Judgements that hold.
    pub kept: usize,
    /// Judgements that could not be made.
    pub unknown: usize,
    /// Judgements that apply, met or not.
    pub judged: usize,
    /// The one with the least margin.
    pub nearest: Option<&'a RuleResult>,
}

impl MissionTally<'_> {
    /// Whether it was judged by what was meant to judge it and nothing at all is against it:
    /// neither a finding nor a rule that fails or could not be judged, be it waived or not.
    pub(super) fn is_clean(&self) -> bool {
        let all_kept = self.judged > 0 && self.kept == self.judged;
        all_kept
            && self.findings.total() + self.findings.accepted == 0
            && self.checked.in_doubt.is_empty()
    }
}

/// What came of everything.
pub(super) struct Tally<'a> {
    pub findings: Counts,
    pub missions: Vec<MissionTally<'a>>,
    /// Files that were read with errors.
    pub with_errors: usize,
}

impl<'a> Tally<'a> {
    pub(super) fn from_outcome(outcome: &'a Outcome) -> Self {
        let mut all = Counts::default();
        let mut by_mission: HashMap<&str, Counts> = HashMap::new();
        let mut by_path: HashMap<&str, Counts> = HashMap::new();
        let mut with_errors = BTreeSet::new();
        for finding in &outcome.findings {
            all.add(finding);
            if finding.nature == Nature::Input {
                with_errors.insert(finding.primary.span.source);
            }
            match &finding.mission {
                Some(mission) => by_mission.entry(mission).or_default().add(finding),
                // A finding about a mission's file counts against the mission.
                None => by_path
                    .entry(outcome.sources.path(finding.primary.span.source))
                    .or_default()
                    .add(finding),
            }
        }
        let missions = outcome.checked.iter().map(|checked| {
            let named = by_mission.get(checked.mission.as_str());
            let in_file = by_path.get(checked.path.as_str());
            mission(checked, [named, in_file])
        });
        Self {
            findings: all,
            missions: missions.collect(),
            with_errors: with_errors.len(),
        }
    }

    pub(super) fn clean(&self) -> usize {
        self.missions.iter().filter(|m| m.is_clean()).count()
    }
}

fn mission<'a>(checked: &'a MissionResult, counts: [Option<&Counts>; 2]) -> MissionTally<'a> {
    let mut findings = Counts::default();
    for one in counts.into_iter().flatten() {
        findings.error += one.error;
        findings.warning += one.warning;
        findings.advice += one.advice;
        findings.not_evaluated += one.not_evaluated;
        findings.accepted += one.accepted;
    }
    let with = |verdict| {
        checked
            .judged
            .iter()
            .filter(|judged| judged.verdict == verdict)
            .count()
    };
    MissionTally {
        checked,
        findings,
        kept: with(Verdict::Holds),
        unknown: with(Verdict::Unknown),
        judged: checked.judged.len() - with(Verdict::NotApplicable),
        nearest: nearest(&checked.judged),
    }
}
