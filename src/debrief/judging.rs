//! A debrief while it is judged: what is held against what, and what was found so far.

use super::thresholds::Threshold;
use super::{Debrief, DebriefInput};
use crate::finding::{Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::source::Span;

/// What every judgement of a debrief has at hand.
pub(super) struct Judging<'a> {
    pub(super) asked: &'a DebriefInput<'a>,
    pub(super) found: &'a Debrief,
    /// The line of the track that a fix stands on.
    pub(super) fix: &'a dyn Fn(usize) -> Span,
    /// What was found so far.
    pub(super) all: Vec<FindingBuilder>,
}

impl Judging<'_> {
    /// Adds a finding under a threshold.
    pub(super) fn push(
        &mut self,
        threshold: &Threshold,
        severity: Severity,
        nature: Nature,
        (subject, message): (&str, String),
        finish: impl FnOnce(FindingBuilder<Nowhere>) -> FindingBuilder,
    ) {
        let builder = Finding::builder(threshold.id, severity, nature)
            .mission(&self.found.mission)
            .subject(subject)
            .message(message)
            .why(threshold.why)
            .remedy(threshold.remedy);
        self.all.push(finish(builder));
    }

    /// The last line of the track that is a fix.
    pub(super) fn end_line(&self) -> Span {
        (self.fix)(self.found.fixes.saturating_sub(1))
    }
}
