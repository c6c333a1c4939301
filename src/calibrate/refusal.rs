//! Why a fit of the power is not written.

use super::power::Powers;
use super::{Figure, GREATEST_ERROR, LEAST_DRAG, RunCut};
use crate::models::OutsideValidity;
use crate::models::wind::to_ten_metres;
use crate::plan::vessel::Vessel;

/// What to look at where a wind or a drag cannot be.
const LOOK: &str = "check the unit of the wind (m/s, km/h, kn) and its decimal point";

/// Why a fit of the power is not written.
///
/// # Errors
/// A wind or its height outside what the laws of the wind hold for.
pub(super) fn refusal(
    powers: &Powers,
    runs: &[RunCut],
    vessel: &Vessel,
) -> Result<Option<String>, OutsideValidity> {
    if powers.fit.is_none() && powers.turned.is_none() {
        return Ok(None);
    }
    if let Some(why) = too_windy(runs, vessel)? {
        return Ok(Some(why));
    }
    if let Some(turned) = &powers.turned {
        let files: Vec<&str> = turned
            .runs
            .iter()
            .filter_map(|run| runs.get(*run))
            .map(|run| run.file.as_str())
            .collect();
        return Ok(Some(format!(
            "the runs fit far better with the wind of {} reversed, {} left unexplained in place of \
             {}: check whether its direction is where it blows to, not where it comes from",
            files.join(" and "),
            turned.turned,
            turned.given
        )));
    }
    Ok(too_little_drag(powers).or_else(|| held_out(powers)))
}

/// A wind in which the boat is not to be out.
fn too_windy(runs: &[RunCut], vessel: &Vessel) -> Result<Option<String>, OutsideValidity> {
    let Some(limit) = &vessel.limits.wind else {
        return Ok(None);
    };
    for run in runs {
        let wind = to_ten_metres(run.wind.mean, run.wind.height)?;
        if wind > limit.value {
            return Ok(Some(format!(
                "the wind of {}, {}, is {wind} at 10 m, and the vessel's limit is {}: {LOOK}",
                run.file, run.wind, limit.value
            )));
        }
    }
    Ok(None)
}

/// A drag coefficient that no such boat has: the wind was then less than it was taken for.
fn too_little_drag(powers: &Powers) -> Option<String> {
    let mut estimates = powers.estimates.iter();
    let drag = estimates.find(|one| one.figure == Figure::Drag)?;
    let little = drag.value < LEAST_DRAG && drag.value < drag.stated;
    little.then(|| {
        format!(
            "the drag coefficient comes out at {}, and a boat with its fittings has {LEAST_DRAG} \
             or more: {LOOK}",
            Figure::Drag.text(drag.value)
        )
    })
}

fn held_out(powers: &Powers) -> Option<String> {
    match powers.held_out {
        None => Some(
            "it cannot be tested on legs left out, since the other legs do not show its figures"
                .to_owned(),
        ),
        Some(held) if held.share > GREATEST_ERROR => Some(format!(
            "its prediction for the legs left out is wrong by {:.0} % of the mean power (limit: at \
             most {:.0} %)",
            100.0 * held.share,
            100.0 * GREATEST_ERROR
        )),
        Some(_) => None,
    }
}
