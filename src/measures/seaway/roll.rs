//! Synchronous roll.

use super::{calm, counted, course, length_line, met, ratio, share, told, too_low};
use crate::measures::catalogue::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::models::stability::encounter_period;
use crate::passage::Passage;
use crate::passage::seaway::roll_period;
use crate::plan::vessel::Roll;
use crate::units::{Length, Time};

pub(in crate::measures) const SYNCHRONOUS_ROLL: Entry = share(
    "mission.synchronous_roll",
    "How near the waves come to the boat's own roll, at its nearest; a screening",
    "The period in which the boat meets the waves and its natural period of roll, the lesser over the \
     greater: 100 % where a wave between the shortest and the longest period that is published is met in \
     step. Over the route and the return legs. Waves as high as a tenth of the boat's length count in full, \
     those below a twentieth not at all; so do those not within 30° of ahead or astern, and those within \
     20°; and in part between. The greatest over all winds.",
    "wind, route, return leg, hull with its `roll_period` or `metacentric_height`",
    |passage| evidence::of_mission(in_step(passage)),
);

fn in_step(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let plan = passage.plan;
    let hull = &plan.vessel.hull;
    let Some(worst) = &seaway.roll else {
        return Ok(calm(
            passage,
            ratio(0.0),
            "how near the waves come to the boat's own roll",
            &too_low(passage, "that heel the boat"),
        ));
    };
    let sentence = |spot: &str| format!("how near the waves {spot} come to the boat's own roll");
    if hull.roll.is_none() && !seaway.heels {
        let mut known = told(passage, runs, worst, ratio(worst.value), sentence);
        known.because.push(length_line(passage));
        known.steps.push(counted(passage, &worst.met));
        known.steps.push(
            "the vessel's file does not say how the boat rolls: as if in step, as far as the waves count"
                .to_owned(),
        );
        return Ok(known);
    }
    let Some(roll) = &hull.roll else {
        return Err(evidence::lacking(
            plan,
            hull.beam.span(),
            "the vessel's file does not say how the boat rolls, and waves high enough to matter heel it",
            "time the roll at the pontoon and state it as `roll_period` under `hull`, or state \
             `metacentric_height`",
        ));
    };
    let Some(period) = roll_period(passage) else {
        return Err(evidence::lacking(
            plan,
            roll.span(),
            "the period of roll cannot be calculated from this metacentric height",
            "time the roll at the pontoon and state it as `roll_period`",
        ));
    };
    let mut known = told(passage, runs, worst, ratio(worst.value), sentence);
    known.because.push(length_line(passage));
    known.because.push(evidence::label(
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
    let meets = |waves: Time| encounter_period(waves, depth, met.speed, met.encounter);
    known.steps.push(format!(
        "{}: it meets the shortest every {}, the longest every {}, and rolls in {period}",
        course(met),
        meets(met.sea.shortest),
        meets(met.sea.longest)
    ));
    known.steps.push(counted(passage, met));
    known.steps.push(format!(
        "as near as {}, as far as the waves count",
        evidence::share(worst.value)
    ));
    Ok(known)
}
