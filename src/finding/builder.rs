//! The one way to make a finding; one that points nowhere cannot be finished.

use std::marker::PhantomData;

use sha2::{Digest, Sha256};

use super::{Comparison, Finding, Label, Nature, Place, Remedy, Severity, capitalised};
use crate::source::{SourceId, Sources, Span};

/// A finding that points at no line yet, and so cannot be finished.
#[derive(Clone, Copy, Debug)]
pub struct Nowhere;

/// A finding that has the line to look at first.
#[derive(Clone, Copy, Debug)]
pub struct Placed;

/// A finding in the making; it is finished once it points at a line, and then nothing can keep it back.
#[derive(Clone, Debug)]
pub struct FindingBuilder<State = Placed> {
    finding: Finding,
    state: PhantomData<State>,
}

impl FindingBuilder<Nowhere> {
    pub(super) fn new(rule: &str, severity: Severity, nature: Nature) -> Self {
        let nowhere = Label {
            span: Span::new(SourceId(u32::MAX), 0, 0),
            text: String::new(),
        };
        Self {
            finding: Finding {
                rule: rule.to_owned(),
                severity,
                nature,
                mission: None,
                message: String::new(),
                reason: String::new(),
                primary: nowhere,
                related: Vec::new(),
                place: None,
                scenario: None,
                comparison: None,
                steps: Vec::new(),
                remedies: Vec::new(),
                assumptions: Vec::new(),
                why: None,
                subject: String::new(),
                accepted: None,
                fingerprint: String::new(),
            },
            state: PhantomData,
        }
    }

    /// The line to look at first.
    #[must_use]
    pub fn primary(self, span: Span, text: impl Into<String>) -> FindingBuilder {
        let Self { mut finding, .. } = self;
        // A line that was named before is not named twice.
        finding.related.retain(|label| label.span != span);
        finding.primary = Label {
            span,
            text: text.into(),
        };
        FindingBuilder {
            finding,
            state: PhantomData,
        }
    }
}

impl<State> FindingBuilder<State> {
    /// Another severity than it was begun with.
    #[must_use]
    pub fn severity(mut self, severity: Severity) -> Self {
        self.finding.severity = severity;
        self
    }

    /// The sentence that says it.
    #[must_use]
    pub fn message(mut self, text: impl Into<String>) -> Self {
        self.finding.message = text.into();
        self
    }

    /// Why a rule could not be judged, as a clause.
    #[must_use]
    pub fn reason(mut self, text: &str) -> Self {
        text.clone_into(&mut self.finding.reason);
        self
    }

    /// A line that contributed; one that is already named is not named twice.
    #[must_use]
    pub fn related(mut self, span: Span, text: impl Into<String>) -> Self {
        // One that points nowhere yet has a primary label in no file.
        let known = std::iter::once(&self.finding.primary)
            .chain(&self.finding.related)
            .any(|l| l.span == span);
        if !known {
            self.finding.related.push(Label {
                span,
                text: text.into(),
            });
        }
        self
    }

    /// The mission that it is about.
    #[must_use]
    pub fn mission(mut self, id: &str) -> Self {
        self.finding.mission = Some(id.to_owned());
        self
    }

    /// The plan's own name of what it is about (waypoint, leg, link), for the fingerprint.
    #[must_use]
    pub fn subject(mut self, name: &str) -> Self {
        name.clone_into(&mut self.finding.subject);
        self
    }

    /// Where on the plan.
    #[must_use]
    pub fn place(mut self, place: Option<Place>) -> Self {
        self.finding.place = place;
        self
    }

    /// The wind and current of its worst case.
    #[must_use]
    pub fn scenario(mut self, scenario: Option<String>) -> Self {
        self.finding.scenario = scenario;
        self
    }

    /// Value, limit and side.
    #[must_use]
    pub fn comparison(mut self, comparison: Option<Comparison>) -> Self {
        self.finding.comparison = comparison;
        self
    }

    /// The arithmetic.
    #[must_use]
    pub fn steps(mut self, steps: Vec<String>) -> Self {
        self.finding.steps = steps;
        self
    }

    /// How to fix it.
    #[must_use]
    pub fn remedies(mut self, remedies: Vec<Remedy>) -> Self {
        self.finding.remedies = remedies;
        self
    }

    /// One thing that would make it pass.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<Remedy>) -> Self {
        self.finding.remedies.push(remedy.into());
        self
    }

    /// What was assumed.
    #[must_use]
    pub fn assumptions(mut self, assumptions: Vec<String>) -> Self {
        self.finding.assumptions = assumptions;
        self
    }

    /// Why it matters.
    #[must_use]
    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.finding.why = Some(why.into());
        self
    }
}

impl FindingBuilder {
    /// Finishes the finding and gives it its fingerprint.
    #[must_use]
    pub fn build(self, sources: &Sources) -> Finding {
        let Self { mut finding, .. } = self;
        // An input error has no name of the plan's own; its text tells it from its neighbours.
        let told_apart_by = match finding.nature {
            Nature::Input if finding.subject.is_empty() => &finding.message,
            _ => &finding.subject,
        };
        finding.fingerprint = fingerprint(&[
            &finding.rule,
            finding.nature.name(),
            sources.path(finding.primary.span.source),
            finding.mission.as_deref().unwrap_or(""),
            told_apart_by,
        ]);
        finding.message = capitalised(&finding.message);
        finding
    }
}

/// A name made of parts, SHA-256 whole in 64 hexadecimal digits: the same for the same parts only.
#[must_use]
pub(crate) fn fingerprint(parts: &[&str]) -> String {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update(part.as_bytes());
        hash.update([0]);
    }
    format!("{:x}", hash.finalize())
}
