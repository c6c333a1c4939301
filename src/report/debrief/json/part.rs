//! A part of a run beside the plan.

use schemars::JsonSchema;
use serde::Serialize;

use super::Place;
use crate::debrief::{self, Lack};
use crate::report::output::Quantity;
use crate::source::Sources;
use crate::units::{Ratio, Typed};

/// A part of the run beside the plan.
#[derive(Serialize, JsonSchema)]
pub(super) struct Part<'a> {
    /// What it is.
    what: What,
    /// In the plan's own words.
    name: &'a str,
    /// The line of the plan.
    plan: Place<'a>,
    /// The line of the track where it begins.
    track: Option<Place<'a>>,
    /// Its length in the plan.
    length: Quantity,
    /// Way made from fix to fix.
    path: Option<Quantity>,
    /// Time.
    time: Beside,
    /// Speed over ground, pauses included.
    speed: Beside,
    /// Stored energy.
    energy: Beside,
    /// Stored energy at most: the greatest power of the run for as long as none was logged.
    energy_at_most: Option<Quantity>,
    /// Time without voltage and current.
    unlogged: Option<Quantity>,
    /// Energy that the pack gave at its terminals.
    given: Option<Quantity>,
    /// Cross-track distances.
    cross_track: Option<CrossTrack>,
    /// Why it is not judged, where it is not.
    not_judged: Option<&'a str>,
    /// Why its energy is not known, where it is not.
    no_energy: Option<&'a str>,
}

/// What a part is.
#[derive(Serialize, JsonSchema)]
enum What {
    #[serde(rename = "leg")]
    Leg,
    #[serde(rename = "whole")]
    Whole,
    #[serde(rename = "return leg")]
    ReturnLeg,
    #[serde(rename = "broken off")]
    BrokenOff,
}

/// A figure of the plan and of the run.
#[derive(Serialize, JsonSchema)]
struct Beside {
    /// In the wind planned for.
    planned: Option<Quantity>,
    /// The least in any wind of the plan.
    planned_least: Option<Quantity>,
    /// The most in any; null where the boat does not get so far in some.
    planned_most: Option<Quantity>,
    /// As it was; null where it is not known.
    actual: Option<Quantity>,
    /// By which share the run differs from `planned`.
    off: Option<f64>,
}

/// Cross-track distances.
#[derive(Serialize, JsonSchema)]
struct CrossTrack {
    /// 95 % of the fixes are no farther off.
    most: Quantity,
    /// The greatest.
    greatest: Quantity,
    /// Fixes away from turns.
    fixes: usize,
}

impl<'a> Part<'a> {
    pub(super) fn from_part(part: &'a debrief::Part, sources: &'a Sources) -> Self {
        Self {
            what: match part.what {
                debrief::What::Leg(_) => What::Leg,
                debrief::What::Whole => What::Whole,
                debrief::What::ReturnLeg => What::ReturnLeg,
                debrief::What::BrokenOff => What::BrokenOff,
            },
            name: &part.name,
            plan: Place::from_span(part.line, sources),
            track: part.fix.map(|span| Place::from_span(span, sources)),
            length: Quantity::typed(part.length),
            path: part.path.map(Quantity::typed),
            time: Beside::from_beside(&part.time),
            speed: Beside::from_beside(&part.speed),
            energy: Beside::from_beside(&part.energy),
            energy_at_most: part.energy_at_most.map(Quantity::typed),
            unlogged: part.unlogged.map(Quantity::typed),
            given: part.given.map(Quantity::typed),
            cross_track: part.cross.map(|cross| CrossTrack {
                most: Quantity::typed(cross.most),
                greatest: Quantity::typed(cross.greatest),
                fixes: cross.count,
            }),
            not_judged: part.not_judged.as_ref().map(Lack::why),
            no_energy: part.no_energy.as_deref(),
        }
    }
}

impl Beside {
    fn from_beside<T: Typed>(of: &debrief::Beside<T>) -> Self {
        Self {
            planned: of.planned.map(|band| Quantity::typed(band.planned)),
            planned_least: of.planned.map(|band| Quantity::typed(band.least)),
            planned_most: of.planned.and_then(|band| band.most).map(Quantity::typed),
            actual: of.actual.map(Quantity::typed),
            off: of.off().map(Ratio::get),
        }
    }
}
