//! Rolling in step with the waves.

use super::{calm, course, length_line, met, ratio, share, told, too_low};
use crate::measures::catalogue::Entry;
use crate::measures::reading::{Known, Unknown};
use crate::measures::tell;
use crate::models::stability::encounter_period;
use crate::passage::Passage;
use crate::passage::seaway::roll_period;
use crate::plan::vessel::Roll;
use crate::units::Length;

pub(in crate::measures) const ROLL_IN_STEP: Entry = share(
    "mission.roll_in_step",
    "How near the waves come to the boat's own roll, at its nearest; a screening",
    "The period in which the boat meets the waves and its natural period of roll, the lesser over the \
     greater: 100 % is in step. Over the route and the ways home, wherever the waves are as high as a \
     tenth of the boat's length and not within 30° of ahead or astern; nought where they are nowhere. \
     The greatest over all winds.",
    "wind, route, way home, hull with its `roll_period` or `metacentric_height`",
    |passage| tell::of_mission(in_step(passage)),
);

fn in_step(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let (runs, seaway) = met(passage)?;
    let plan = passage.plan;
    let hull = &plan.vessel.hull;
    if !seaway.heels {
        return Ok(calm(
            passage,
            ratio(0.0),
            "how near the waves come to the boat's own roll",
            &too_low(passage, "that heel the boat"),
        ));
    }
    let Some(roll) = &hull.roll else {
        return Err(tell::lacking(
            plan,
            hull.beam.span(),
            "the vessel's file does not say how the boat rolls, and waves high enough to matter heel it",
            "time the roll at the pontoon and state it as `roll_period` under `hull`, or state \
             `metacentric_height`",
        ));
    };
    let (Some(period), Some(worst)) = (roll_period(passage), &seaway.roll) else {
        return Err(tell::lacking(
            plan,
            roll.span(),
            "the period of roll cannot be reckoned from this metacentric height",
            "time the roll at the pontoon and state it as `roll_period`",
        ));
    };
    let mut known = told(passage, runs, worst, ratio(worst.value), |spot| {
        format!("how near the waves {spot} come to the boat's own roll")
    });
    known.because.push(length_line(passage));
    known.because.push(tell::label(
        roll.span(),
        match roll.value {
            Roll::Period(period) => format!("rolls in {period}"),
            Roll::MetacentricHeight(height) => {
                format!("metacentric height {height}: rolls in {period}")
            }
        },
    ));
    let met = &worst.met;
    let depth = plan.site.mean_depth.as_ref();
    let depth = depth.map_or(Length::metres(f64::INFINITY), |depth| depth.value);
    let meets = encounter_period(met.sea.period, depth, met.speed, met.encounter);
    known
        .steps
        .push(format!("{}: it meets one every {meets}", course(met)));
    known.steps.push(format!(
        "{} / {} = {}",
        meets.min(period),
        meets.max(period),
        tell::share(worst.value)
    ));
    Ok(known)
}
