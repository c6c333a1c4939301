//! Findings: what is wrong with a plan, how much it weighs, where it stands in the sources, and
//! the fix.

mod acceptance;
mod builder;
mod capitalised;
mod cautions;
mod explained;
mod remedy;
mod severity;

pub(crate) use acceptance::{Acceptance, Accepted};
pub(crate) use builder::{FindingBuilder, Nowhere, fingerprint};
pub(crate) use capitalised::capitalised;
pub(crate) use cautions::PHYSICAL;
pub(crate) use explained::{Concern, concern};
pub use explained::{EXPLAINED, explained};
pub use remedy::{Edit, Remedy, Who};
pub use severity::{Nature, Severity};

use crate::source::Span;
use crate::units::{Length, Quantity};

/// The name of a finding about a field that is still to be filled in.
pub(crate) const INPUT_GAP: &str = "input-gap";

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
    pub fn label(self) -> &'static str {
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
    /// Id of the hazard or area that the value is about, where it is about one.
    pub danger: Option<String>,
    /// What the same measure is at other places of the plan, as far as it tells them apart.
    pub others: Vec<Other>,
}

/// A value of the same measure at another place, or of another danger, than the worst.
#[derive(Clone, PartialEq, Debug)]
pub struct Other {
    /// The place in the plan's own words.
    pub name: String,
    /// Id of the hazard or area, where it is about one.
    pub danger: Option<String>,
    /// The value.
    pub value: Quantity,
}

impl Other {
    /// What it is called where it is told by itself: the place, and the danger.
    #[must_use]
    pub fn subject(&self) -> String {
        match &self.danger {
            Some(danger) => format!("{}, {danger}", self.name),
            None => self.name.clone(),
        }
    }
}

/// Two places nearer to one another than this are one, m: about a boat's error of position and a step of
/// the route. Our own proposal.
pub(crate) const ONE_PLACE: f64 = 25.0;

impl Place {
    /// Whether it is the same as another: of the same danger, and on the same leg or no farther off than
    /// what is one place.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        let near = self.position.zip(other.position);
        let near = near.is_some_and(|(one, other)| apart(one, other) <= ONE_PLACE);
        self.danger == other.danger && (self.name == other.name || near)
    }

    /// Those of the other places that are past a limit.
    pub fn others_past(&self, comparison: &Comparison) -> impl Iterator<Item = &Other> {
        let (side, limit) = (comparison.side, comparison.limit);
        let all = self.others.iter();
        let all = all.filter(move |other| other.value.dimension == limit.dimension);
        all.filter(move |other| side.margin(other.value.value, limit.value) < 0.0)
    }
}

/// Distance of two positions in degrees that are near to one another, m, on a sphere of 6371 km.
fn apart(one: (f64, f64), other: (f64, f64)) -> f64 {
    const DEGREE: f64 = 6_371_000.0 * std::f64::consts::PI / 180.0;
    let north = (one.0 - other.0) * DEGREE;
    let east = (one.1 - other.1) * DEGREE * one.0.to_radians().cos();
    north.hypot(east)
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
    /// The wind and current of its worst case.
    pub scenario: Option<String>,
    /// Value, limit and side.
    pub comparison: Option<Comparison>,
    /// The arithmetic, in steps that can be redone by hand.
    pub steps: Vec<String>,
    /// How to fix it, each way by itself; computed where it can be.
    pub remedies: Vec<Remedy>,
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
    pub fn builder(rule: &str, severity: Severity, nature: Nature) -> FindingBuilder<Nowhere> {
        FindingBuilder::new(rule, severity, nature)
    }

    /// How to fix it, in sentences: who does what where it takes a deed.
    #[must_use]
    pub fn remedies_told(&self) -> Vec<String> {
        let of_violation = self.nature == Nature::Violation;
        let all = self.remedies.iter();
        all.map(|remedy| {
            if of_violation {
                capitalised(&remedy.sentence())
            } else {
                remedy.text.clone()
            }
        })
        .collect()
    }

    /// Whether it counts against the plan: nobody accepted it.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.accepted.is_none()
    }
}

/// Brings findings into the one order in which they are shown, what must be mended first before the
/// rest: files that are wrong; then by severity, what is not met before what could not be judged;
/// then by file, place in it, rule, message, mission, and the other places.
pub(crate) fn sort(findings: &mut [Finding], sources: &crate::source::Sources) {
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
        let related = |f: &Finding| -> Vec<(String, u32)> {
            let labels = f.related.iter();
            let places = labels.map(|one| (sources.path(one.span.source), one.span.start));
            places
                .map(|(path, start)| (path.to_owned(), start))
                .collect()
        };
        key(a)
            .cmp(&key(b))
            .then_with(|| related(a).cmp(&related(b)))
    });
}
