//! Wind limits for other programs.

mod changed;
mod shapes;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::output::{self, Binding, Head, Output, PROGRAM, Program, Quantity};
use super::{CAUTION, limits};
use crate::envelope;
use changed::{Alternative, Moved};
use shapes::{Sector, Wind};

/// What `offing limits --format json` writes: from each direction the strongest wind in which every rule of severity
/// error holds, and what the plan's alternatives come to in one wind. No field is ever left out.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Wind limits")]
struct Limits<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// What wrote it.
    program: Program,
    /// Id of the mission.
    mission: &'a str,
    /// Its file, from the root of the repository.
    path: &'a str,
    /// Id of the policy in force.
    policy: &'a str,
    /// Between two directions.
    step: Quantity,
    /// How far either side of each direction the wind may come from.
    spread: Quantity,
    /// The height that winds are stated for.
    height: Quantity,
    /// The height of the anemometer that the limits are stated for as well.
    read_at: Quantity,
    /// How long each wind has blown; null where waves are taken as limited by the fetch alone.
    duration: Option<Quantity>,
    /// Gust over mean wind, before gusts are rounded up.
    #[schemars(range(min = 1))]
    gust_factor: f64,
    /// Between two winds that are tried from every direction, before edges are narrowed down.
    grid: Quantity,
    /// The strongest mean wind that is tried.
    cap: Quantity,
    /// Whether any wind passes with every rule counted.
    any_wind_passes: bool,
    /// Rules that are not met whatever the wind. Where there are any no wind passes, and `sectors` holds the
    /// limits of the other rules alone.
    regardless: Vec<Binding<'a>>,
    /// Rules about what the plan states of its wind, judged on that alone.
    as_stated: &'a [String],
    /// Every direction, from north clockwise.
    #[schemars(length(min = 12))]
    sectors: Vec<Sector<'a>>,
    /// The wind planned for; null where the plan states none.
    planned: Option<Wind<'a>>,
    /// Sensitivity: how the limits change when the plan is changed.
    sensitivity: Vec<Moved<'a>>,
    /// The wind that alternatives are judged in; null where there is none.
    today: Option<Wind<'a>>,
    /// Ways to sail the plan in that wind, as planned first.
    alternatives: Vec<Alternative<'a>>,
    /// Index in `alternatives` of the one that meets every rule with the greatest `least_room`; null where none
    /// meets every rule.
    best: Option<usize>,
    /// Things to know, such as a loosened rule.
    notes: &'a [String],
    /// How the limits are meant, in sentences.
    meant: Vec<String>,
    /// What was assumed for want of a stated figure.
    assumptions: &'a [String],
    /// What limits do not say.
    caution: String,
}

impl Output for Limits<'_> {
    const FORMAT: &'static str = "offing-limits";
    const VERSION: u32 = 1;
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn limits_schema() -> Value {
    output::schema::<Limits<'_>>()
}

/// The wind limits as JSON text, as its schema ([`limits_schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no limits are known to cause one.
pub(crate) fn limits_json(found: &envelope::Limits) -> Result<String, serde_json::Error> {
    output::text(&Limits {
        head: Head::NEW,
        program: PROGRAM,
        mission: &found.mission,
        path: &found.path,
        policy: &found.policy,
        step: Quantity::typed(found.step),
        spread: Quantity::typed(found.spread),
        height: Quantity::typed(found.height),
        read_at: Quantity::typed(found.read_at),
        duration: found.duration.map(Quantity::typed),
        gust_factor: found.gust_factor.get(),
        grid: Quantity::typed(found.grid),
        cap: Quantity::typed(found.cap),
        any_wind_passes: found.any_wind_passes(),
        regardless: Binding::all(&found.regardless),
        as_stated: &found.as_stated,
        sectors: found.sectors.iter().map(Sector::from_sector).collect(),
        planned: found.planned.as_ref().map(Wind::from_band_wind),
        sensitivity: found.moved.iter().map(Moved::from_moved).collect(),
        today: found.today.as_ref().map(Wind::from_band_wind),
        alternatives: found
            .alternatives
            .iter()
            .map(Alternative::from_alternative)
            .collect(),
        best: found.best,
        notes: &found.notes,
        meant: limits::assumed(found),
        assumptions: &found.assumptions,
        caution: format!("{} {CAUTION}", limits::CAREFUL),
    })
}
