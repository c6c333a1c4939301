//! Synchronous roll.

use super::{calm, counted, course, length_line, measured_at_worst, met, ratio, share, too_low};
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::models::stability::encounter_period;
use crate::passage::Passage;
use crate::passage::seaway::roll_period;
use crate::plan::vessel::Roll;
use crate::units::{Length, Time};

pub(in crate::measures) const SYNCHRONOUS_ROLL: Entry = share(
    "mission.synchronous_roll",
    "How nearly the encounter period matches the boat's roll period; a screening",
    "The encounter period of the waves and the natural roll period, the lesser over the greater: \
     100 % where any wave between the shortest and the longest published period matches. Over the \
     route and the return legs. Waves count in full from a tenth of the boat's length in height \
     and more than 30° from ahead or astern. They do not count below a twentieth or within 20°; \
     between these they count in part. The greatest over all winds.",
    &[
        "wind",
        "route",
        "return leg",
        "hull with its roll_period or metacentric_height",
    ],
    |passage| evidence::of_mission(synchronous(passage)),
);

fn synchronous(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let plan = passage.plan;
    let hull = &plan.vessel.hull;
    let Some(worst) = &seaway.roll else {
        return Ok(calm(
            passage,
            ratio(0.0),
            "how nearly the encounter period matches the boat's roll period",
            &too_low(passage, "that heel the boat"),
        ));
    };
    let alone = evidence::value_alone(passage, ratio(worst.value));
    let sentence = |spot: &str| {
        format!(
            "how nearly the encounter period {spot} matches the boat's \
                                         roll period"
        )
    };
    if hull.roll.is_none() && !seaway.heels {
        if let Some(alone) = alone {
            return Ok(alone);
        }
        let mut known = measured_at_worst(passage, runs, worst, ratio(worst.value), sentence);
        known.because.push(length_line(passage));
        known.steps.push(counted(passage, &worst.met));
        known.steps.push(
            "the vessel's file states no roll period: full match, weighted by the waves".to_owned(),
        );
        return Ok(known);
    }
    let Some(roll) = &hull.roll else {
        return Err(unmeasured::lacking(
            plan,
            hull.beam.span(),
            "the vessel's file states no roll period, and waves high enough to matter heel the \
             boat",
            "time the roll at the pontoon and state it as `roll_period` under `hull`, or state \
             `metacentric_height`",
        ));
    };
    let Some(period) = roll_period(passage) else {
        return Err(unmeasured::lacking(
            plan,
            roll.span(),
            "the period of roll cannot be calculated from this metacentric height",
            "time the roll at the pontoon and state it as `roll_period`",
        ));
    };
    if let Some(alone) = alone {
        return Ok(alone);
    }
    let mut known = measured_at_worst(passage, runs, worst, ratio(worst.value), sentence);
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
    known
        .steps
        .push(format!("match {}, weighted", evidence::share(worst.value)));
    Ok(known)
}
