//! What a check comes to.

use std::sync::Arc;

use super::accept::{Approval, signed_by};
use super::digest::Digests;
use super::interned::Interned;
use super::outline::Waypoint;
use super::partition::PartOf;
use super::spread::Spread;
use crate::finding::{Finding, Severity, Side};
use crate::picture::Picture;
use crate::plan::NotChecked;
use crate::plan::laid::Laid;
use crate::rules::{Judgement, RuleInForce, Verdict};
use crate::source::{Sources, Span};
use crate::units::Quantity;

/// One rule judged on one mission, whether it holds or not; for reports that show margins.
#[derive(Clone, PartialEq, Debug)]
pub struct RuleResult {
    /// Id of the rule.
    pub rule: Arc<str>,
    /// The subject within the mission, empty for the mission as a whole.
    pub subject: Arc<str>,
    /// What came of it.
    pub verdict: Verdict,
    /// The value, for a rule that bounds a quantity.
    pub measured: Option<Quantity>,
    /// The limit in force, for a rule that bounds a quantity.
    pub limit: Option<Quantity>,
    /// Which side of the limit passes, for a rule that bounds a quantity.
    pub side: Option<Side>,
    /// The scenario of its worst case.
    pub scenario: Option<Arc<str>>,
}

impl RuleResult {
    /// What came of judging a rule. A mission's results repeat their subjects and scenarios.
    pub(super) fn from_judgement(
        rule: &RuleInForce,
        judgement: &Judgement,
        interned: &mut Interned,
    ) -> Self {
        let mut readings = judgement.readings.iter();
        let known = readings.find_map(|(_, reading)| reading.outcome.as_ref().ok());
        let comparison = judgement.comparison.as_ref();
        Self {
            rule: Arc::clone(&rule.rule.id.value),
            verdict: judgement.verdict,
            measured: comparison.map(|one| one.measured),
            limit: comparison.map(|one| one.limit),
            side: comparison.map(|one| one.side),
            scenario: known
                .and_then(|known| known.scenario.as_ref())
                .map(|text| interned.text(text)),
            subject: interned.text(&judgement.subject),
        }
    }
}

/// What an assumption keeps from the tightest limit.
#[derive(Clone, PartialEq, Debug)]
pub struct Weight {
    /// The assumption.
    pub assumption: String,
    /// The best figure that could stand in its place.
    pub with: String,
    /// Id of the rule.
    pub rule: String,
    /// What the rule is about, empty for the mission as a whole.
    pub subject: String,
    /// The value with the assumption.
    pub measured: Quantity,
    /// The value with the other figure; `None` where the rule would not apply.
    pub would_be: Option<Quantity>,
}

impl Weight {
    /// The assumption, with what it could move.
    #[must_use]
    pub fn sentence(&self) -> String {
        let (assumption, with, rule) = (&self.assumption, &self.with, &self.rule);
        match self.would_be {
            Some(then) => {
                let (now, then) = self.measured.beside(then);
                format!(
                    "{assumption}; with {with} in its place `{rule}` would be {then}, not {now}"
                )
            }
            None => format!("{assumption}; with {with} stated `{rule}` would not apply"),
        }
    }
}

/// A mission that was checked.
#[derive(Clone, PartialEq, Debug)]
pub struct MissionResult {
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy in force.
    pub policy: String,
    /// The orders that are laid under it, with what it states otherwise.
    pub orders: Option<Laid>,
    /// The mission that it repeats on another day, with what it states otherwise.
    pub repeats: Option<Laid>,
    /// Every rule judged, by id and subject.
    pub judged: Vec<RuleResult>,
    /// Why it was not judged by what was meant to judge it: a policy or rule file with errors.
    /// Empty where nothing of the kind is known.
    pub in_doubt: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
    /// Which of it weighs on the tightest limit, the weightiest first, where one mission was asked for.
    pub weights: Vec<Weight>,
    /// Figures of the passage for reports: name and value, in a fixed order.
    pub figures: Vec<(&'static str, Quantity)>,
    /// The plan's waypoints in order.
    pub outline: Vec<Waypoint>,
    /// What it is made of and judged by, byte for byte.
    pub digests: Digests,
    /// Signatures on it, good or not.
    pub approvals: Vec<Approval>,
    /// Roles whose signature its policy asks for at a launch.
    pub approvals_needed: Vec<String>,
    /// How often each rule fails in sampled variations, where that was requested.
    pub spread: Option<Spread>,
    /// What figures and pages show of it, where that was requested.
    pub picture: Option<Box<Picture>>,
}

impl MissionResult {
    /// Each role whose signature a launch needs, and whether it has signed the plan as it is.
    pub fn signatures_needed(&self) -> impl Iterator<Item = (&str, bool)> {
        let needed = self.approvals_needed.iter();
        needed.map(|role| (role.as_str(), signed_by(&self.approvals, role)))
    }
}

/// Where a limit in force comes from.
#[derive(Clone, PartialEq, Debug)]
pub struct EffectiveLimit {
    /// Id of the policy.
    pub policy: String,
    /// Id of the rule.
    pub rule: String,
    /// The bound in words, `at least 30 %`.
    pub bound: String,
    /// Severity in force.
    pub severity: Severity,
    /// Whether it is judged.
    pub enabled: bool,
    /// Path and line that set the bound.
    pub set_by: String,
    /// The rule's title.
    pub title: String,
    /// Why it matters.
    pub why: String,
    /// What to change.
    pub remedy: String,
}

/// One way in which a policy in use asks for less than the built-in one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Looser {
    /// In a sentence without its full stop, with the policy's reason.
    pub says: String,
    /// The line that does.
    pub span: Span,
}

/// What a check comes to.
#[derive(Debug)]
pub struct Outcome {
    /// How many errors of files are not among the findings, as there are too many.
    pub untold: usize,
    /// Everything that was read.
    pub sources: Sources,
    /// Findings in their fixed order.
    pub findings: Vec<Finding>,
    /// Missions that were checked, in order of path.
    pub checked: Vec<MissionResult>,
    /// Files that were not checked, and why.
    pub not_checked: Vec<NotChecked>,
    /// Things to know that are no findings: the built-in policy in force, files passed over.
    pub notes: Vec<String>,
    /// What the policies in use ask for less than the built-in one; each is among the notes too.
    pub looser: Vec<Looser>,
    /// The limits in force.
    pub in_force: Vec<EffectiveLimit>,
    /// Which part of a whole this is, where missions were dealt out.
    pub part_of: Option<PartOf>,
}

impl Outcome {
    /// How many findings have this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }
}
