//! How high and how steep the waves are.

use super::{calm, counted, length_line, measured_at_worst, met, ratio, share, too_low};
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::models::stability::{breaking_wave_limit, steepness};
use crate::models::waves::wavelength;
use crate::passage::Passage;
use crate::units::{Length, Ratio};

/// Height of the highest of 1000 waves over the significant height, which one run in ten exceeds (§14 of
/// the models). Arithmetic.
const HIGHEST_OVER_SIGNIFICANT: f64 = 2.14;

const NEEDS: &[&str] = &[
    "wind",
    "route",
    "return leg",
    "hull",
    "shoreline",
    "mean depth",
];

pub(in crate::measures) const WAVE_HEIGHT: Entry = share(
    "mission.wave_height_share",
    "Greatest significant wave height over the boat's limit",
    "At every step of the route and of the return legs: the significant height of the waves that \
     the sustained wind raises over the fetch, as a share of the vessel's `wave_height` limit \
     (default: a tenth of its length). The limit counts as at most the height of a breaking wave \
     that may capsize the hull, over 2.14. The greatest over all winds.",
    &[
        "wind",
        "route",
        "return leg",
        "the vessel's limits",
        "shoreline",
        "mean depth",
    ],
    |passage| evidence::of_mission(significant(passage)),
);

pub(in crate::measures) const HIGHEST_WAVE: Entry = share(
    "mission.highest_wave_share",
    "Height of the highest wave (exceeded in one run in ten) over that of a breaking wave that may \
     capsize the hull; a screening",
    "The height that the highest wave exceeds in one run out of ten, as a share of 30 % of the \
     length overall or of the beam, whichever is lower. The waves are as many as meet the boat in \
     the longest time that it may be out, all spent in each sea at its shortest published period. \
     The height is capped at that of a wave of the longest period that can stand in that water. \
     The greatest over the route, the return legs and all winds.",
    NEEDS,
    |passage| evidence::of_mission(highest(passage)),
);

pub(in crate::measures) const STEEPNESS: Entry = share(
    "mission.wave_steepness",
    "Greatest steepness of the waves, height over length; a screening",
    "Significant height over the length of waves of the shortest published peak period, capped at \
     the steepness of a breaking wave. Waves count in full from a tenth of the boat's length in \
     height, not at all below a twentieth, and in part between. The greatest over the route, the \
     return legs and all winds.",
    NEEDS,
    |passage| evidence::of_mission(steepest(passage)),
);

fn significant(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let hull = &passage.plan.vessel.hull;
    let limit = &passage.plan.vessel.limits.wave_height;
    let breaking = breaking_wave_limit(hull.length_overall.value, hull.beam.value);
    let calculated = limit.value.min(breaking / HIGHEST_OVER_SIGNIFICANT);
    if passage.is_of_values()
        && !limit.is_missing()
        && let Some(highest) = passage.highest_waves()
    {
        let share = |height: f64| Length::metres(height) / calculated;
        let share = ratio(highest.map_or(0.0, share));
        return Ok(evidence::alone(passage, share));
    }
    let (runs, seaway) = met(passage)?;
    if limit.is_missing() {
        return Err(unmeasured::lacking(
            passage.plan,
            limit.span(),
            "the vessel states no wave height limit",
            "add `wave_height` to the vessel's `limits`; a tenth of its length until a trial",
        ));
    }
    let whose = if calculated < limit.value {
        "the hull may take"
    } else {
        "the boat may take, as stated"
    };
    let Some(worst) = &seaway.significant else {
        return Ok(calm(
            passage,
            ratio(0.0),
            "the significant wave height, as a share of the boat's limit,",
            "no waves are met",
        ));
    };
    let height = Length::metres(worst.value);
    let value = height / calculated;
    let mut known = measured_at_worst(passage, runs, worst, ratio(value), |spot| {
        format!(
            "the significant wave height {spot}, {height}, as a share of the {calculated} that {whose},"
        )
    });
    known.because.push(evidence::label(
        limit.span(),
        format!("{} stated", limit.value),
    ));
    if calculated < limit.value {
        let (length, beam) = (hull.length_overall.value, hull.beam.value);
        known.because.push(evidence::label(
            hull.beam.span(),
            format!("counts as at most {calculated}, for its beam and length"),
        ));
        known.steps.push(format!(
            "a breaking wave of {breaking} may capsize the hull, the lower of 30 % of its length {length} \
             and its beam {beam}; the highest of 1000 waves is {HIGHEST_OVER_SIGNIFICANT} times the \
             significant height: {breaking} / {HIGHEST_OVER_SIGNIFICANT} = {calculated} counts in place of \
             the {} stated",
            limit.value
        ));
    }
    known.steps.push(format!(
        "{height} / {calculated} = {}",
        evidence::share(value)
    ));
    Ok(known)
}

fn highest(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let hull = &passage.plan.vessel.hull;
    let limit = breaking_wave_limit(hull.length_overall.value, hull.beam.value);
    let Some(worst) = &seaway.highest else {
        return Ok(calm(
            passage,
            ratio(0.0),
            "the height of the highest wave, as a share of a breaking wave that may capsize the boat,",
            "no waves are met",
        ));
    };
    let height = Length::metres(worst.value);
    let value = height / limit;
    if let Some(alone) = evidence::value_alone(passage, ratio(value)) {
        return Ok(alone);
    }
    let mut known = measured_at_worst(passage, runs, worst, ratio(value), |spot| {
        format!(
            "the height of the highest wave {spot}, {height}, as a share of the {limit} of a breaking wave \
             that may capsize the boat,"
        )
    });
    known.because.push(length_line(passage));
    known.because.push(evidence::label(
        hull.beam.span(),
        format!("beam {}", hull.beam.value),
    ));
    let period = worst.met.sea.shortest;
    let waves = (seaway.time / period).max(1.0);
    known.steps.push(format!(
        "out for {}, {waves:.0} waves: one run in ten meets one above √(−½ ln(1 − \
         0.9^(1/{waves:.0}))) times the significant height, capped at breaking: {height}",
        seaway.time
    ));
    known.steps.push(format!(
        "30 % of the length overall is {}, the beam {}: the lower is {limit}",
        hull.length_overall.value * 0.3,
        hull.beam.value
    ));
    Ok(known)
}

fn steepest(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let Some(worst) = &seaway.steepest else {
        return Ok(calm(
            passage,
            ratio(0.0),
            "the steepness of waves",
            &too_low(passage, "on the way"),
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, ratio(worst.value)) {
        return Ok(alone);
    }
    let mut known = measured_at_worst(passage, runs, worst, ratio(worst.value), |spot| {
        format!("the steepness of the waves {spot}, their height over their length,")
    });
    known.because.push(length_line(passage));
    let height = worst.met.sea.height;
    let depth = passage.plan.site.mean_depth.as_ref();
    let depth = depth.map_or(Length::metres(f64::INFINITY), |depth| depth.value);
    known.steps.push(format!(
        "{height} over a length of {}, capped at breaking: {}",
        wavelength(worst.met.sea.shortest, depth),
        steepness(worst.met.sea, depth)
    ));
    known.steps.push(counted(passage, &worst.met));
    known
        .steps
        .push(format!("weighted {}", Ratio::fraction(worst.value)));
    Ok(known)
}
