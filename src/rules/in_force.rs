//! A rule with what is in force of it: every limit with the line that set it.

use std::sync::Arc;

use super::bound::Bound;
use super::rule::Rule;
use crate::finding::{Severity, Side};
use crate::schema::Stated;
use crate::source::{Sources, Span};

/// A rule with what is in force of it.
#[derive(Clone, Debug)]
pub struct RuleInForce {
    /// The rule.
    pub rule: Arc<Rule>,
    /// The values that pass, each limit with the line that set it.
    pub bound: Bound,
    /// How much a failure weighs, with the line that set it.
    pub severity: Stated<Severity>,
    /// Whether it is judged, with the line that says so.
    pub enabled: Stated<bool>,
    /// In which ways it asks for less than its own file does.
    pub loosened: Vec<Loosened>,
}

/// One way in which a policy asks for less than a rule's own file does.
#[derive(Clone, PartialEq, Debug)]
pub struct Loosened {
    /// Id of the policy that does.
    pub policy: String,
    /// What it changes: `the limit is at least 25 % in place of at least 30 %`.
    pub what: String,
    /// Why, in the policy's words.
    pub reason: String,
    /// The line that does.
    pub span: Span,
    pub(super) part: Part,
}

/// What of a rule a policy sets.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Part {
    Limit(Side),
    Severity,
    Enabled,
}

impl RuleInForce {
    /// A rule as its own file has it.
    #[must_use]
    pub fn as_stated(rule: &Arc<Rule>) -> Self {
        Self {
            bound: rule.bound.clone(),
            severity: rule.severity.clone(),
            enabled: Stated::written(true, rule.id.span()),
            loosened: Vec::new(),
            rule: Arc::clone(rule),
        }
    }

    /// Path and line of what set the bound: `plans/policy/team.yaml:9`.
    #[must_use]
    pub fn set_by(&self, sources: &Sources) -> String {
        self.bound
            .span()
            .map_or_else(String::new, |span| path_and_line(span, sources))
    }

    /// Whether it asks for less than another in some part.
    pub(super) fn looser(&self, than: &Self, part: Part) -> bool {
        match part {
            Part::Limit(side) => match (self.bound.limit(side), than.bound.limit(side)) {
                (Some(own), Some(other)) => side.margin(other.value.value, own.value.value) > 0.0,
                (None, Some(_)) => true,
                (_, None) => false,
            },
            Part::Severity => self.severity.value < than.severity.value,
            Part::Enabled => !self.enabled.value && than.enabled.value,
        }
    }

    pub(super) fn describe(&self, part: Part) -> String {
        match part {
            Part::Limit(side) => match self.bound.limit(side) {
                Some(limit) => format!("{} {}", side.label(), limit.value),
                None => "no limit".to_owned(),
            },
            Part::Severity => self.severity.value.name().to_owned(),
            Part::Enabled if self.enabled.value => "on".to_owned(),
            Part::Enabled => "off".to_owned(),
        }
    }

    pub(super) fn span(&self, part: Part) -> Span {
        match part {
            Part::Limit(side) => self
                .bound
                .limit(side)
                .map_or(self.rule.id.span(), Stated::span),
            Part::Severity => self.severity.span(),
            Part::Enabled => self.enabled.span(),
        }
    }
}

/// Where a span starts, as people write it.
pub(super) fn path_and_line(span: Span, sources: &Sources) -> String {
    let line = sources.position(span).line;
    format!("{}:{line}", sources.path(span.source))
}
