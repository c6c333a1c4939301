//! The debrief for other programs.

mod ends;
mod found;
mod part;
mod recorded;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::{CAUTION, Told};
use crate::report::output::{self, Head, Output, PROGRAM, Program, Quantity};
use crate::source::{Sources, Span};
use ends::Ends;
use found::{Clearance, Finding, Threshold};
use part::Part;
use recorded::{Depths, Link, Unseen};

/// What `offing debrief --format json` writes. No field is ever left out; where something is not known, it is null and
/// another field says why.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Debrief")]
struct Debrief<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// What wrote it.
    program: Program,
    /// Id of the mission.
    mission: &'a str,
    /// Its file, from the root of the repository.
    path: &'a str,
    /// Id of the policy that judged.
    policy: &'a str,
    /// Digest of the plan and of what judged it, as `offing digest --whole` prints it.
    digest: &'a str,
    /// The track.
    track: Track<'a>,
    /// The wind that the planned figures are of.
    wind: Option<&'a str>,
    /// The record of a run that names the track; null where none does.
    record: Option<Record<'a>>,
    /// When and where the run began and ended.
    ends: Ends<'a>,
    /// The run as a whole, up to where it was left.
    whole: Part<'a>,
    /// The return leg: along the route from the turnaround, or from where the run was left.
    return_leg: Part<'a>,
    /// Every leg.
    legs: Vec<Part<'a>>,
    /// The vessel's own cross-track error.
    cross_track_error: Quantity,
    /// What was to be kept clear of.
    clearances: Vec<Clearance<'a>>,
    /// The longest time without a fix, of which no clearance is known.
    unseen: Option<Unseen>,
    /// Depths, where they were recorded.
    depths: Option<Depths<'a>>,
    /// The link, where it was recorded and the plan predicts it.
    link: Option<Link>,
    /// What did not hold, and what could not be judged.
    findings: Vec<Finding<'a>>,
    /// What the run is held against.
    thresholds: Vec<Threshold>,
    /// What was taken for granted.
    assumptions: &'a [String],
    /// Things to know.
    notes: Vec<String>,
    /// What a debrief does not say of itself.
    caution: &'static str,
}

impl Output for Debrief<'_> {
    const FORMAT: &'static str = "offing-debrief";
    const VERSION: u32 = 1;
}

/// A track.
#[derive(Serialize, JsonSchema)]
struct Track<'a> {
    /// Its file.
    path: &'a str,
    /// SHA-256 of its bytes.
    sha256: &'a str,
    /// Fixes that the figures are from.
    fixes: usize,
    /// What was found amiss in it.
    cleaned: &'a [String],
}

/// The record of a run.
#[derive(Serialize, JsonSchema)]
struct Record<'a> {
    /// Its id.
    id: &'a str,
    /// Its file.
    path: &'a str,
    /// How it says that the run ended.
    outcome: &'static str,
}

/// A place in a file.
#[derive(Serialize, JsonSchema)]
struct Place<'a> {
    /// The file.
    path: &'a str,
    /// Its line, from 1.
    #[schemars(range(min = 1))]
    line: u32,
    /// Its column in characters, from 1.
    #[schemars(range(min = 1))]
    column: u32,
}

impl<'a> Place<'a> {
    fn from_span(span: Span, sources: &'a Sources) -> Self {
        let at = sources.position(span);
        Self {
            path: sources.path(span.source),
            line: at.line,
            column: at.column,
        }
    }
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn schema() -> Value {
    output::schema::<Debrief<'_>>()
}

/// The debrief as JSON text, as its schema ([`schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no debrief is known to cause one.
pub(crate) fn json(told: &Told) -> Result<String, serde_json::Error> {
    let (found, sources) = (&told.found, &told.outcome.sources);
    let legs = found.legs.iter().map(|one| Part::from_part(one, sources));
    let clearances = found
        .kept
        .iter()
        .map(|one| Clearance::from_kept(one, sources));
    let findings = told.outcome.findings.iter();
    output::text(&Debrief {
        head: Head::NEW,
        program: PROGRAM,
        mission: &found.mission,
        path: &found.path,
        policy: &found.policy,
        digest: told.digest(),
        track: Track {
            path: &told.track,
            sha256: &told.sha256,
            fixes: found.fixes,
            cleaned: &found.cleaned,
        },
        wind: found.wind.as_deref(),
        record: found
            .record
            .as_ref()
            .map(|(id, path, outcome)| Record { id, path, outcome }),
        ends: Ends::from_ends(&found.ends),
        whole: Part::from_part(&found.whole, sources),
        return_leg: Part::from_part(&found.return_leg, sources),
        legs: legs.collect(),
        cross_track_error: Quantity::typed(found.cross_track_error),
        clearances: clearances.collect(),
        unseen: found.unseen.map(Unseen::from),
        depths: found.depths.as_ref().map(Depths::from_depths),
        link: found.link.as_ref().map(Link::from_link),
        findings: findings
            .map(|one| Finding::from_finding(one, sources))
            .collect(),
        thresholds: Threshold::all(),
        assumptions: &found.assumptions,
        notes: told.noted(),
        caution: CAUTION,
    })
}
