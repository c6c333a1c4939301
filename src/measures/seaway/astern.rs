//! Waves from astern: carried along by them, or keeping pace with a group of them.

use super::{calm, counted, course, length_line, measured_at_worst, met, ratio, share};
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::models::stability::{RIPPLE_SHARE, group_speed, surf_riding_speed};
use crate::passage::Passage;
use crate::units::{Length, Speed};

const NEEDS: &[&str] = &[
    "wind",
    "route",
    "return leg",
    "speeds",
    "the vessel's length",
];

pub(in crate::measures) const SURF_RIDING: Entry = share(
    "mission.surf_riding_share",
    "Speed over the threshold above which waves from astern may carry the boat along \
     (surf-riding); a screening",
    "On the route and the return legs, wherever waves come from within 45° of astern: the speed \
     through the water over 1.8 √L knots, L in metres, more where they come from the quarter. \
     Waves count in full from a tenth of the boat's length in height, 0.8 of it in length (at the \
     longest published period), and within 45° of astern. They do not count below a twentieth in \
     height, below 0.6 in length, or past 55° from astern; between these they count in part. The \
     greatest over all winds.",
    NEEDS,
    |passage| evidence::of_mission(surf_riding(passage)),
);

pub(in crate::measures) const WAVE_GROUPS: Entry = share(
    "mission.wave_group_pace",
    "How nearly the boat keeps pace with groups of waves from astern; a screening",
    "In the same waves as `mission.surf_riding_share`: the speed at which the boat follows the \
     waves and that of their groups, the lesser over the greater. 100 % where it is among the \
     group speeds from the shortest to the longest published period, as far as the waves count. \
     The greatest over all winds.",
    NEEDS,
    |passage| evidence::of_mission(groups(passage)),
);

fn none(passage: &Passage<'_>, sentence: &str) -> Measured {
    let length = passage.plan.vessel.hull.length_overall.value;
    let why = format!(
        "no waves from within 55° of astern are as high as {}, a twentieth of the length, and longer than {}",
        length * RIPPLE_SHARE,
        length * 0.6
    );
    calm(passage, ratio(0.0), sentence, &why)
}

fn surf_riding(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let Some(worst) = &seaway.surfing else {
        return Ok(none(
            passage,
            "the speed, as a share of the surf-riding threshold,",
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, ratio(worst.value)) {
        return Ok(alone);
    }
    let mut known = measured_at_worst(passage, runs, worst, ratio(worst.value), |spot| {
        format!("the speed {spot}, as a share of the surf-riding threshold,")
    });
    known.because.push(length_line(passage));
    let met = &worst.met;
    let length = passage.plan.vessel.hull.length_overall.value;
    let limit = surf_riding_speed(length, met.encounter).unwrap_or(Speed::ZERO);
    known.steps.push(course(met));
    known.steps.push(counted(passage, met));
    known.steps.push(format!(
        "a hull of {length} may surf-ride from {limit}: {} / {limit} = {}; weighted {}",
        met.speed,
        evidence::share(met.speed / limit),
        evidence::share(worst.value)
    ));
    Ok(known)
}

fn groups(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let Some(worst) = &seaway.groups else {
        return Ok(none(
            passage,
            "how nearly the boat keeps pace with groups of waves",
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, ratio(worst.value)) {
        return Ok(alone);
    }
    let mut known = measured_at_worst(passage, runs, worst, ratio(worst.value), |spot| {
        format!("how nearly the boat keeps pace with groups of waves, {spot},")
    });
    known.because.push(length_line(passage));
    let met = &worst.met;
    let depth = passage.plan.site.mean_depth.as_ref();
    let depth = depth.map_or(Length::metres(f64::INFINITY), |depth| depth.value);
    let following = met.speed * -met.encounter.angle().get().cos();
    known.steps.push(course(met));
    known.steps.push(counted(passage, met));
    known.steps.push(format!(
        "it follows the waves at {following}, and their groups run at {} to {}; weighted {}",
        group_speed(met.sea.shortest, depth),
        group_speed(met.sea.longest, depth),
        evidence::share(worst.value)
    ));
    Ok(known)
}
