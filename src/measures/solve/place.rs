//! Changes to where the boat goes: turning back sooner, breaking a run, keeping farther off,
//! ending sooner.

use super::Wanted;
use crate::measures::clearance::nearest_closed;
use crate::measures::energy;
use crate::measures::reading::{Near, RunBy};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::passage::clearance::{ClosestApproach, Part, hazard_distance};
use crate::passage::{LongestRuns, Passage, UpwindRun, ending};
use crate::units::{Length, Towards};

/// Step in which a place is moved off, and a run ended sooner, m.
const MOVE: f64 = 0.5;
/// Farthest that a place is moved, m.
const FARTHEST: f64 = 200.0;
/// Half the distance over which the way off a danger is felt for, m.
const FEELER: f64 = 0.05;

fn passes(wanted: &Wanted<'_>, value: f64) -> bool {
    wanted.side.margin(value, wanted.limit.value) >= 0.0
}

/// The last sample before the first that is not good, in words.
fn before_first_bad(passage: &Passage<'_>, good: impl Fn(usize) -> bool) -> Option<String> {
    let first_bad = (0..passage.track.samples.len()).find(|sample| !good(*sample))?;
    let last_good = first_bad.checked_sub(1).filter(|sample| *sample > 0)?;
    let along = Length::metres(passage.track.along[last_good]);
    let leg = &passage.plan.mission.legs[passage.track.leg_of_sample(last_good)];
    Some(format!("{along} along the route, on {}", leg.name))
}

/// The farthest sample before which the reserve is kept in every scenario.
pub(super) fn turn_back(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<String> {
    let runs = energy::complete(passage).ok()?;
    let kept = |sample: usize| {
        runs.runs
            .iter()
            .all(|run| passes(wanted, energy::reserve_at(runs, run, sample)))
    };
    let spot = before_first_bad(passage, kept)?;
    Some(format!("Turn back no later than {spot}."))
}

/// Where the longest run against the wind has to be broken, or turned back from, so that no part
/// of it is too long.
pub(super) fn break_run(passage: &Passage<'_>, wanted: &Wanted<'_>, by: RunBy) -> Option<String> {
    type Pick = fn(&LongestRuns) -> Option<&UpwindRun>;
    let (pick, figure): (Pick, fn(&UpwindRun) -> f64) = match by {
        RunBy::Length => (|l| l.by_length.as_ref(), |run| run.length.get()),
        RunBy::Time => (|l| l.by_time.as_ref(), |run| run.time.get()),
        RunBy::Energy => (|l| l.by_energy.as_ref(), |run| run.energy.get()),
    };
    let runs = energy::complete(passage).ok()?;
    let longest = runs
        .upwind(passage)
        .iter()
        .filter_map(pick)
        .max_by(|a, b| figure(a).total_cmp(&figure(b)))?;
    let share = wanted.limit.value / figure(longest);
    if longest.home || share <= 0.0 {
        return None;
    }
    let (first, last) = longest.samples;
    let begins = passage.track.along[first];
    // Speed and power change along a run; half a part more keeps each below the limit.
    let parts = (1.0 / share).ceil().max(2.0);
    let part = (passage.track.along[last] - begins) / parts;
    Some(format!(
        "Break the run with a leg across the wind at least every {}, the first time {} along the route.",
        Length::metres(part.floor()),
        Length::metres((begins + part).floor())
    ))
}

/// How far, and which way, the place that comes too near has to be moved off.
pub(super) fn shift(passage: &Passage<'_>, wanted: &Wanted<'_>, near: Near) -> Option<String> {
    let all = passage.clearances();
    let site = &passage.plan.site;
    let land = |p: Point| site.shore.signed_distance(p);
    let at_point = |p: Point| Segment { a: p, b: p };
    match near {
        Near::Shore => off(passage, wanted, all.land.as_ref()?, all.half_width, land),
        Near::LaunchSite => off(passage, wanted, all.zone.as_ref()?, 0.0, land),
        Near::Hazard => {
            let (index, near) = all.hazard()?;
            let hazard = &site.hazards[index];
            off(passage, wanted, near, all.half_width, |p| {
                hazard_distance(hazard, &at_point(p))
            })
        }
        Near::KeepOut => {
            let (index, near) = nearest_closed(passage)?;
            let outline = &site.keep_out[index].outline;
            let distance = |p| crate::models::geometry::polygon_distance(p, outline);
            off(passage, wanted, near, all.half_width, distance)
        }
    }
}

fn off(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    near: &ClosestApproach,
    half_width: f64,
    distance: impl Fn(Point) -> f64,
) -> Option<String> {
    // No return leg is led off: it begins wherever something fails.
    let what = match near.part {
        Part::Leg(_) => "the leg",
        Part::Turn(_) => "the turn",
        Part::Home(_) | Part::Onward(_) | Part::TurnHome(_) => return None,
    };
    let deducted = half_width + near.deducted;
    let slope = |dx: f64, dy: f64| {
        distance(near.at + Point::new(dx, dy)) - distance(near.at - Point::new(dx, dy))
    };
    let away = Point::new(slope(FEELER, 0.0), slope(0.0, FEELER)).unit()?;
    let steps = (FARTHEST / MOVE) as usize;
    let needed = (1..=steps).map(|step| step as f64 * MOVE).find(|metres| {
        let there = near.at + away.scale(*metres);
        // Away from one shore must not be on to another.
        passes(wanted, distance(there) - deducted)
            && passage.plan.site.shore.signed_distance(there) - half_width > 0.0
    })?;
    Some(format!(
        "Lead {what} past this place {} farther towards {}.",
        Length::metres(needed),
        Towards::from_components(away.x, away.y)
    ))
}

/// How much sooner the run has to end on its last leg.
pub(super) fn end_sooner(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<String> {
    let last = passage.plan.mission.legs.last()?.length();
    let steps = (last.min(FARTHEST) / MOVE) as usize;
    let sooner = (1..steps).map(|step| step as f64 * MOVE).find(|metres| {
        ending::overrun(passage, Length::metres(*metres))
            .is_some_and(|overrun| passes(wanted, overrun.clearance.get()))
    })?;
    Some(format!(
        "End the run {} sooner, with the recovery point that far back along the last leg.",
        Length::metres(sooner)
    ))
}
