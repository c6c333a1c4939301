//! What was kept clear of, what did not hold, and what a run is held against.

use schemars::JsonSchema;
use serde::Serialize;

use super::Place;
use crate::debrief::{self, THRESHOLDS};
use crate::finding;
use crate::report::output::{Nature, Quantity, Remedy, Severity};
use crate::source::Sources;

/// What was to be kept clear of.
#[derive(Serialize, JsonSchema)]
pub(super) struct Clearance<'a> {
    /// Of what.
    of: &'a str,
    /// The line of the site.
    site: Place<'a>,
    /// The rule that asks for it.
    rule: &'a str,
    /// What the policy asks for; null where it asks for nothing.
    limit: Option<Quantity>,
    /// The plan's own clearance.
    planned: Option<Quantity>,
    /// Least distance from fix to fix; negative on land or inside.
    distance: Quantity,
    /// What is deducted.
    deducted: Quantity,
    /// What is left.
    clearance: Quantity,
    /// Whether the clearance is less than the policy asks for.
    too_near: bool,
}

impl<'a> Clearance<'a> {
    pub(super) fn from_kept(kept: &'a debrief::Kept, sources: &'a Sources) -> Self {
        Self {
            of: &kept.of,
            site: Place::from_span(kept.line, sources),
            rule: &kept.rule,
            limit: kept.asked.map(|(asked, _)| Quantity::typed(asked)),
            planned: kept.planned.map(Quantity::typed),
            distance: Quantity::typed(kept.distance),
            deducted: Quantity::typed(kept.deducted),
            clearance: Quantity::typed(kept.clearance()),
            too_near: kept.too_near(),
        }
    }
}

/// A place in a file, with what it contributes to a finding.
#[derive(Serialize, JsonSchema)]
struct Label<'a> {
    #[serde(flatten)]
    at: Place<'a>,
    /// What it contributes.
    text: &'a str,
}

impl<'a> Label<'a> {
    fn from_label(label: &'a finding::Label, sources: &'a Sources) -> Self {
        Self {
            at: Place::from_span(label.span, sources),
            text: &label.text,
        }
    }
}

/// Something that did not hold, or could not be judged.
#[derive(Serialize, JsonSchema)]
pub(super) struct Finding<'a> {
    /// What it is held against.
    id: &'a str,
    /// How much it weighs.
    severity: Severity,
    /// Whether it did not hold, or could not be judged.
    #[schemars(extend("enum" = [Nature::Violation, Nature::NotEvaluated]))]
    nature: Nature,
    /// The plan's own name of what it is about; empty for the run as a whole.
    subject: &'a str,
    /// One sentence with the figures.
    message: &'a str,
    /// The line to look at first.
    primary: Label<'a>,
    /// The other lines.
    related: Vec<Label<'a>>,
    /// What was found.
    measured: Option<Quantity>,
    /// What it is held against.
    limit: Option<Quantity>,
    /// The arithmetic.
    steps: &'a [String],
    /// What to do about it.
    remedies: Vec<Remedy<'a>>,
    /// Its name, which survives edits.
    fingerprint: &'a str,
}

impl<'a> Finding<'a> {
    pub(super) fn from_finding(finding: &'a finding::Finding, sources: &'a Sources) -> Self {
        let related = finding.related.iter();
        let comparison = finding.comparison.as_ref();
        Self {
            id: &finding.rule,
            severity: finding.severity.into(),
            nature: finding.nature.into(),
            subject: &finding.subject,
            message: &finding.message,
            primary: Label::from_label(&finding.primary, sources),
            related: related.map(|one| Label::from_label(one, sources)).collect(),
            measured: comparison.map(|one| one.measured.into()),
            limit: comparison.map(|one| one.limit.into()),
            steps: &finding.steps,
            remedies: Remedy::all(finding, sources),
            fingerprint: &finding.fingerprint,
        }
    }
}

/// What a run is held against.
#[derive(Serialize, JsonSchema)]
pub(super) struct Threshold {
    /// Id of what is found.
    id: &'static str,
    /// What is looked at.
    title: &'static str,
    /// The figure; null where it is the plan's own or the policy's.
    limit: Option<Quantity>,
    /// The figure in words.
    words: &'static str,
    /// Where it is from; P is our own proposal.
    from: &'static str,
}

impl Threshold {
    pub(super) fn all() -> Vec<Self> {
        let all = THRESHOLDS.iter().map(|one| Self {
            id: one.id,
            title: one.title,
            limit: one.limit.map(Quantity::from),
            words: one.words,
            from: one.from,
        });
        all.collect()
    }
}
