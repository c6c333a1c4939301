//! The boat among the waves, and its own limits.
//!
//! What is told of rolling, of waves from astern and on the beam screens for trouble; none of it
//! shows that a hull is stable.

mod astern;
mod beam;
mod height;
mod roll;
mod weather;

pub(super) use astern::{SURF_RIDING, WAVE_GROUPS};
pub(super) use beam::ON_THE_BEAM;
pub(super) use height::{HIGHEST_WAVE, STEEPNESS, WAVE_HEIGHT};
pub(super) use roll::SYNCHRONOUS_ROLL;
pub(super) use weather::{GUST, WIND};

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Lack, Measured, Measurement, NotMeasured, Type, Value};
use super::unmeasured;
use crate::finding::{Label, Place};
use crate::models::stability::{RIPPLE_SHARE, counts, untried_height};
use crate::models::waves::validity::cautions;
use crate::passage::seaway::{Met, Seaway, Worst};
use crate::passage::{Passage, Runs};
use crate::units::{Dimension, Ratio};

/// A share of the mission as a whole that the wind may be solved for.
const fn share(
    name: &'static str,
    title: &'static str,
    meaning: &'static str,
    needs: &'static [&'static str],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
) -> Entry {
    let of = Type::Quantity(Dimension::RATIO);
    entry(name, of, title, meaning, needs, read).solved_by(&[Change::Wind])
}

/// What the boat meets, with the runs that it meets it on.
fn met<'p>(passage: &'p Passage<'_>) -> Result<(&'p Runs, &'p Seaway), NotMeasured> {
    let plan = passage.plan;
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let seaway = passage
        .seaway()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    match seaway {
        Some(seaway) => Ok((runs, seaway)),
        None => Err(NotMeasured {
            lack: Lack::Statement,
            reason: "the route covers more water than the sea can be calculated for".to_owned(),
            remedy: "split the mission".to_owned(),
            primary: evidence::label(plan.mission.route_span, "too wide"),
            because: Vec::new(),
            assumptions: Vec::new(),
        }),
    }
}

/// Where something is met, in the plan's own words.
struct Spot {
    place: Place,
    /// `at …` or `on the return leg from …`.
    words: String,
}

fn spot(passage: &Passage<'_>, met: &Met) -> Spot {
    let mut place = evidence::at_sample(passage, met.sample + usize::from(!met.home));
    place.position = Some(evidence::degrees(passage.plan, met.at));
    let words = if met.home {
        format!("on the return leg from {}", evidence::spot(&place))
    } else {
        format!("at {}", evidence::spot(&place))
    };
    Spot { place, words }
}

/// The reading of a worst place, without its sentence and the steps of its own.
fn measured_at_worst(
    passage: &Passage<'_>,
    runs: &Runs,
    worst: &Worst,
    value: Value,
    sentence: impl FnOnce(&str) -> String,
) -> Measured {
    let plan = passage.plan;
    let met = &worst.met;
    let spot = spot(passage, met);
    let mut because = evidence::wind_lines(plan);
    let wind = plan.mission.wind.as_ref();
    if let Some((stated, duration)) = wind.and_then(|w| Some((&w.duration, w.duration.value?))) {
        because.push(evidence::label(
            stated.span(),
            format!("it has blown for {duration}"),
        ));
    }
    if let Some(depth) = &plan.site.mean_depth {
        because.push(evidence::label(
            depth.span(),
            format!("mean depth {}", depth.value),
        ));
    }
    let (step, mut cautions) = sea(passage, runs, worst);
    let mut assumptions = assumed::of_plan(plan);
    assumptions.append(&mut cautions);
    Measured {
        value,
        sentence: sentence(&spot.words),
        primary: evidence::label(
            evidence::leg_span(passage, met.sample + usize::from(!met.home)),
            "worst here",
        ),
        because,
        place: Some(spot.place),
        scenario: Some(runs.scenarios.describe(worst.scenario, false)),
        steps: vec![step],
        assumptions,
    }
}

/// How the sea at a place comes about, as a step, and where the models of it were not measured.
fn sea(passage: &Passage<'_>, runs: &Runs, worst: &Worst) -> (String, Vec<String>) {
    let u10 = runs.scenarios.sustained_u10;
    let depth = passage.plan.site.mean_depth.as_ref().map(|d| d.value);
    let sea = worst.met.sea;
    let water = depth.map_or_else(
        || "in deep water".to_owned(),
        |depth| format!("in water of {depth}"),
    );
    let waves = format!(
        "waves of {} from {}, {} to {} apart",
        sea.height, worst.met.from, sea.shortest, sea.longest
    );
    let Some(raised) = runs.raised(worst.scenario, worst.met.at) else {
        return (waves, Vec::new());
    };
    let step = format!(
        "wind of {u10} at 10 m, of it {} along an effective fetch of {} from {} {water}: {waves}",
        raised.wind, raised.fetch, raised.from
    );
    let cautions = cautions(raised.wind, raised.fetch, depth).into_iter();
    let told = cautions.map(|outside| {
        format!(
            "{} is used outside the range that it was measured in: {}",
            outside.model, outside.detail
        )
    });
    (step, told.collect())
}

/// The reading where no wave counts.
fn calm(passage: &Passage<'_>, value: Value, sentence: &str, why: &str) -> Measured {
    let plan = passage.plan;
    if let Some(alone) = evidence::value_alone(passage, value) {
        return alone;
    }
    Measured {
        value,
        sentence: sentence.to_owned(),
        primary: evidence::label(plan.mission.route_span, "nothing here counts"),
        because: evidence::wind_lines(plan),
        place: None,
        scenario: None,
        steps: vec![why.to_owned()],
        assumptions: assumed::of_plan(plan),
    }
}

fn ratio(value: f64) -> Value {
    evidence::value(Ratio::fraction(value))
}

/// Why waves too low to count are left out.
fn too_low(passage: &Passage<'_>, which: &str) -> String {
    let length = passage.plan.vessel.hull.length_overall.value;
    format!(
        "no waves {which} are as high as {}, a twentieth of the length",
        length * RIPPLE_SHARE
    )
}

/// How far the waves of a place count by their height, as a step.
fn counted(passage: &Passage<'_>, met: &Met) -> String {
    let length = passage.plan.vessel.hull.length_overall.value;
    format!(
        "waves count from {} (a twentieth of the length), in full from {} (a tenth): weight {} by \
         height",
        length * RIPPLE_SHARE,
        untried_height(length),
        evidence::share(counts(met.sea.height, length))
    )
}

fn length_line(passage: &Passage<'_>) -> Label {
    let length = &passage.plan.vessel.hull.length_overall;
    evidence::label(length.span(), format!("length overall {}", length.value))
}

/// Heading, speed and where the waves come from.
fn course(met: &Met) -> String {
    format!(
        "heading {} at {} through the water, waves from {} off the bow",
        met.heading,
        met.speed,
        met.encounter.angle()
    )
}
