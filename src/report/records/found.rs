//! A finding as a type of the JSON of a check.

use schemars::JsonSchema;
use serde::Serialize;

use crate::check::Outcome;
use crate::finding;
use crate::report::output::{
    Comparison, Label, Location, Nature, Quantity, Remedy, SHA256, Severity,
};
use crate::source::Sources;

/// One finding.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Finding<'a> {
    /// Id of the rule, or of the kind of input error.
    #[schemars(length(min = 1))]
    rule: &'a str,
    /// How much it weighs.
    severity: Severity,
    /// Whether a limit is not met, a rule could not be judged, or a file could not be read or understood.
    nature: Nature,
    /// Id of the mission that it is about.
    mission: Option<&'a str>,
    /// One sentence with the figure and the limit.
    message: &'a str,
    /// Name of the finding that survives edits of the file.
    #[schemars(regex(pattern = SHA256))]
    fingerprint: &'a str,
    /// Who accepted it, by a waiver of the mission or in the baseline; null where nobody did, and it counts.
    accepted: Option<Acceptance<'a>>,
    /// The line to look at first.
    primary: Label<'a>,
    /// The other lines that contributed.
    related: Vec<Label<'a>>,
    /// Where on the plan.
    place: Option<Place<'a>>,
    /// The wind and current of its worst case.
    scenario: Option<&'a str>,
    /// Value, limit and side.
    comparison: Option<Comparison>,
    /// The arithmetic, in steps that can be redone by hand.
    steps: &'a [String],
    /// How to fix it, or what input is missing.
    remedies: Vec<Remedy<'a>>,
    /// What was assumed for want of a stated figure.
    assumptions: &'a [String],
    /// Why it matters.
    why: Option<&'a str>,
}

/// Who accepted a finding.
#[derive(Serialize, JsonSchema)]
struct Acceptance<'a> {
    /// In which way.
    how: Accepted,
    /// By which role; for an example by which rule.
    by: &'a str,
    /// Last day on which it holds; null for an example, which stays one.
    until: Option<&'a str>,
    /// Why.
    reason: &'a str,
    /// Where it stands.
    location: Location<'a>,
}

/// In which way a finding is accepted.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Accepted {
    Waiver,
    Baseline,
    Example,
}

/// A place on the plan.
#[derive(Serialize, JsonSchema)]
struct Place<'a> {
    /// The leg, waypoint, link or hazard in the plan's own words; empty where it has none.
    name: &'a str,
    /// Distance along the route.
    along: Option<Quantity>,
    /// Position in WGS 84.
    position: Option<Position>,
}

/// A position.
#[derive(Serialize, JsonSchema)]
struct Position {
    /// Degrees, north positive.
    latitude: f64,
    /// Degrees, east positive.
    longitude: f64,
}

impl<'a> Finding<'a> {
    /// All findings of an outcome.
    pub(crate) fn all(outcome: &'a Outcome) -> Vec<Self> {
        let all = outcome.findings.iter();
        all.map(|one| Self::from_finding(one, &outcome.sources))
            .collect()
    }

    fn from_finding(finding: &'a finding::Finding, sources: &'a Sources) -> Self {
        let related = finding.related.iter();
        let accepted = finding.accepted.as_ref();
        Self {
            rule: &finding.rule,
            severity: finding.severity.into(),
            nature: finding.nature.into(),
            mission: finding.mission.as_deref(),
            message: &finding.message,
            fingerprint: &finding.fingerprint,
            accepted: accepted.map(|one| Acceptance::from_acceptance(one, sources)),
            primary: Label::from_label(&finding.primary, sources),
            related: related.map(|one| Label::from_label(one, sources)).collect(),
            place: finding.place.as_ref().map(Place::from_place),
            scenario: finding.scenario.as_deref(),
            comparison: finding.comparison.as_ref().map(Comparison::from),
            steps: &finding.steps,
            remedies: Remedy::all(finding, sources),
            assumptions: &finding.assumptions,
            why: finding.why.as_deref(),
        }
    }
}

impl<'a> Place<'a> {
    fn from_place(place: &'a finding::Place) -> Self {
        // JSON has no way to write what is not finite.
        let position = place
            .position
            .filter(|(latitude, longitude)| latitude.is_finite() && longitude.is_finite());
        Self {
            name: &place.name,
            along: place.along.map(Quantity::typed),
            position: position.map(|(latitude, longitude)| Position {
                latitude,
                longitude,
            }),
        }
    }
}

impl<'a> Acceptance<'a> {
    fn from_acceptance(accepted: &'a finding::Acceptance, sources: &'a Sources) -> Self {
        Self {
            how: match accepted.how {
                finding::Accepted::Waiver => Accepted::Waiver,
                finding::Accepted::Baseline => Accepted::Baseline,
                finding::Accepted::Example => Accepted::Example,
            },
            by: &accepted.by,
            until: accepted.until.as_deref(),
            reason: &accepted.reason,
            location: Location::from_span(accepted.line, sources),
        }
    }
}
