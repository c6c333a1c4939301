//! Findings: what is wrong with a plan, how much it weighs, where it stands in the sources, and
//! what would put it right.

mod acceptance;
mod builder;
mod explained;
mod severity;

pub use acceptance::{Acceptance, Accepted};
pub use builder::{FindingBuilder, NoPrimarySpan, fingerprint};
pub use explained::{EXPLAINED, Explained, explained};
pub use severity::{Nature, Severity};

use crate::source::Span;
use crate::units::{Length, Quantity};

/// A stretch of source with what it has to do with a finding.
#[derive(Clone, PartialEq, Debug)]
pub struct Label {
    /// Where it stands.
    pub span: Span,
    /// What it contributes.
    pub text: String,
}

/// Which side of a limit passes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Side {
    /// The limit is the least value that passes.
    AtLeast,
    /// The limit is the greatest value that passes.
    AtMost,
}

impl Side {
    /// The bound in words, as a rule file writes it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::AtLeast => "at least",
            Self::AtMost => "at most",
        }
    }

    /// How far a value is inside the limit; negative where it fails.
    #[must_use]
    pub fn margin(self, value: f64, limit: f64) -> f64 {
        match self {
            Self::AtLeast => value - limit,
            Self::AtMost => limit - value,
        }
    }
}

/// A measured value against its limit.
#[derive(Clone, PartialEq, Debug)]
pub struct Comparison {
    /// The value measured.
    pub measured: Quantity,
    /// The limit in force.
    pub limit: Quantity,
    /// Which side passes.
    pub side: Side,
}

impl Comparison {
    /// How far the value is past the limit, as a positive quantity where it fails.
    #[must_use]
    pub fn shortfall(&self) -> Quantity {
        let margin = self.side.margin(self.measured.value, self.limit.value);
        Quantity::new(-margin, self.limit.dimension)
    }
}

/// Where on the plan a value was measured.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Place {
    /// The leg, waypoint, link or hazard in the plan's own words.
    pub name: String,
    /// Distance along the route.
    pub along: Option<Length>,
    /// Latitude and longitude in degrees.
    pub position: Option<(f64, f64)>,
}

/// One finding.
#[derive(Clone, PartialEq, Debug)]
pub struct Finding {
    /// Id of the rule, or of the kind of input error (`input-…`).
    pub rule: String,
    /// How much it weighs.
    pub severity: Severity,
    /// Whether a limit is broken, a rule could not be judged, or the input cannot be read.
    pub nature: Nature,
    /// Id of the mission it is about, where it is about one.
    pub mission: Option<String>,
    /// The plan's own name of what it is about (waypoint, leg, link), empty for the mission as a
    /// whole.
    pub subject: String,
    /// One sentence with the figure and the limit.
    pub message: String,
    /// Why a rule could not be judged, as a clause; empty for any other finding.
    pub reason: String,
    /// The line to look at first.
    pub primary: Label,
    /// The other lines that contributed.
    pub related: Vec<Label>,
    /// Where on the plan.
    pub place: Option<Place>,
    /// The wind and current that it was worst in.
    pub scenario: Option<String>,
    /// Value, limit and side.
    pub comparison: Option<Comparison>,
    /// The arithmetic, in steps that can be redone by hand.
    pub steps: Vec<String>,
    /// What would make it pass, computed.
    pub remedies: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
    /// Why it matters.
    pub why: Option<String>,
    /// Who accepted it, where somebody did; it is shown all the same and fails nothing.
    pub accepted: Option<Acceptance>,
    /// Name of the finding that survives edits: rule, file and the plan's own names.
    pub fingerprint: String,
}

impl Finding {
    /// Begins a finding; [`FindingBuilder::build`] finishes it.
    #[must_use]
    pub fn of(rule: &str, severity: Severity, nature: Nature) -> FindingBuilder {
        FindingBuilder::new(rule, severity, nature)
    }

    /// Whether it counts against the plan: nobody accepted it.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.accepted.is_none()
    }
}

/// Brings findings into the one order in which they are shown, what must be mended first before the
/// rest: files that are wrong; then by severity, what is not kept before what could not be judged;
/// then by file, place in it, rule, message, mission.
pub fn sort(findings: &mut [Finding], sources: &crate::source::Sources) {
    findings.sort_by(|a, b| {
        let key = |f: &Finding| {
            (
                f.nature != Nature::Input,
                !f.stands(),
                std::cmp::Reverse(f.severity),
                f.nature,
                sources.path(f.primary.span.source).to_owned(),
                f.primary.span.start,
                f.rule.clone(),
                f.message.clone(),
                f.mission.clone(),
            )
        };
        key(a).cmp(&key(b))
    });
}
