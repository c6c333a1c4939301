//! A boat that goes straight on where it should have turned, until somebody or something stops it.

use std::sync::{Mutex, MutexGuard, PoisonError};

use super::Passage;
use super::clearance::{area_distance, half_width, hazard_distance, split};
use super::ending::{Approach, Stopping, stopping};
use super::track::Step;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::plan::currents::Current;
use crate::units::{Length, Speed, Time};

/// What a boat comes near that goes straight on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Near {
    /// The shore, outside the launch sites.
    Land,
    /// The shore inside a launch site, where only water is asked for.
    LaunchSite,
    /// A hazard, by index.
    Hazard(usize),
    /// A keep-out area, by index.
    KeepOut(usize),
}

/// The boat going straight on past the end of a leg, at its worst.
#[derive(Clone, Debug, PartialEq)]
pub struct StraightOn {
    /// The leg, by index.
    pub leg: usize,
    /// Greatest speed over ground.
    pub speed: Speed,
    /// Way made until it is told to stop.
    pub way: Length,
    /// Stopping distance.
    pub stopping: Stopping,
    /// Least clearance: the distance less what is taken off.
    pub clearance: Length,
    /// What is taken off: half the corridor, and a hazard's own stand-off; nothing from the shore
    /// inside a launch site.
    pub deducted: Length,
    /// What it is from.
    pub from: Near,
    /// Where the stretch ends.
    pub end: Point,
}

/// The stopping distance of the boat cannot be determined.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NoStoppingDistance;

/// What was found of going straight on, by the time and the areas closed: no wind changes it.
#[derive(Debug, Default)]
pub(super) struct Kept(Mutex<Vec<(Time, Vec<bool>, Found)>>);

type Found = Result<Option<StraightOn>, NoStoppingDistance>;

impl Kept {
    fn all(&self) -> MutexGuard<'_, Vec<(Time, Vec<bool>, Found)>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How often it was worked out.
    #[cfg(test)]
    pub(super) fn count(&self) -> usize {
        self.all().len()
    }
}

/// The worst leg to go straight on from for a time before the boat begins to stop. Along a leg
/// straight on is the leg itself, so only its end has to be looked at; the end of the last leg, which
/// is no turn, is looked at as the end of the run. `None` where there is no turn.
///
/// Of the keep-out areas those count that are `closed`, by index.
///
/// A current sets along the track at the greatest of the areas that the boat may come to while it goes
/// straight on, their own borders not being exact.
///
/// # Errors
/// [`NoStoppingDistance`] where none was tried and the calm-water model does not cover the speed.
pub fn straight_on(
    passage: &Passage<'_>,
    time: Time,
    closed: &dyn Fn(usize) -> bool,
) -> Result<Option<StraightOn>, NoStoppingDistance> {
    let shut: Vec<bool> = (0..passage.plan.site.keep_out.len()).map(closed).collect();
    let same = |kept: &&(Time, Vec<bool>, Found)| {
        kept.0.get().to_bits() == time.get().to_bits() && kept.1 == shut
    };
    let kept = passage.missed_turn.all().iter().find(same).cloned();
    if let Some((_, _, found)) = kept {
        return found;
    }
    let found = worst(passage, time, closed);
    passage.missed_turn.all().push((time, shut, found.clone()));
    found
}

fn worst(passage: &Passage<'_>, time: Time, closed: &dyn Fn(usize) -> bool) -> Found {
    let plan = passage.plan;
    let last = passage.track.steps.last().map(|step| step.leg);
    let greatest = |on: &dyn Fn(&Current) -> bool| {
        let currents = plan.site.currents.iter();
        let drifts = currents.filter(|current| on(current));
        drifts.fold(Speed::ZERO, |most, current| most.max(current.drift.value))
    };
    let steps = passage.track.steps.iter();
    let ends = steps.filter(|step| step.ends_leg && Some(step.leg) != last);
    let mut worst: Option<StraightOn> = None;
    for step in ends {
        // As far as the greatest current of the site would bring it; those on that way count.
        let farthest = stretch(passage, step, time, greatest(&|_| true))?;
        let off = half_width(plan);
        let near = greatest(&|current| area_distance(&current.outline, &farthest.line) <= off);
        let Stretch {
            line,
            over_ground,
            way,
            stopping,
        } = stretch(passage, step, time, near)?;
        let Some((clearance, deducted, from)) = nearest(passage, &line, closed) else {
            continue;
        };
        if worst
            .as_ref()
            .is_none_or(|held| clearance < held.clearance.get())
        {
            worst = Some(StraightOn {
                leg: step.leg,
                speed: over_ground,
                way,
                stopping,
                clearance: Length::metres(clearance),
                deducted: Length::metres(deducted),
                from,
                end: line.b,
            });
        }
    }
    Ok(worst)
}

/// The way from the end of a leg straight on to a stop.
struct Stretch {
    line: Segment,
    over_ground: Speed,
    way: Length,
    stopping: Stopping,
}

/// That way with a current along the track.
fn stretch(
    passage: &Passage<'_>,
    step: &Step,
    time: Time,
    current: Speed,
) -> Result<Stretch, NoStoppingDistance> {
    let command = passage.plan.mission.legs[step.leg].command.value;
    let (over_ground, through_water) = match command {
        Command::OverGround(speed) => {
            let speed = speed * passage.variation.speed;
            (speed, speed + current)
        }
        Command::ThroughWater(speed) => {
            let speed = speed * passage.variation.speed;
            (speed + current, speed)
        }
    };
    let approach = Approach {
        over_ground,
        through_water,
    };
    let stopping = stopping(passage, &approach).ok_or(NoStoppingDistance)?;
    let way = over_ground * time;
    let (east, north) = step.track;
    let end = step.to + Point::new(east, north).scale((way + stopping.distance).get());
    if !end.is_finite() {
        return Err(NoStoppingDistance);
    }
    Ok(Stretch {
        line: Segment { a: step.to, b: end },
        over_ground,
        way,
        stopping,
    })
}

/// The least clearance of a line, what was taken off for it, and what it is from.
fn nearest(
    passage: &Passage<'_>,
    line: &Segment,
    closed: &dyn Fn(usize) -> bool,
) -> Option<(f64, f64, Near)> {
    let plan = passage.plan;
    let site = &plan.site;
    let half_width = half_width(plan);
    let zones = [&plan.mission.launch.zone, &plan.mission.recovery.zone]
        .map(|zone| (zone.centre, zone.radius.value.get()));
    let (inside, outside) = split(line, &zones);
    let land = |pieces: &[Segment], off: f64, near: Near| {
        pieces
            .iter()
            .filter_map(|piece| site.shore.segment_clearance(*piece, f64::INFINITY))
            .map(move |found| (found.distance - off, off, near))
            .collect::<Vec<_>>()
    };
    let mut all = land(&outside, half_width, Near::Land);
    all.extend(land(&inside, 0.0, Near::LaunchSite));
    all.extend(site.hazards.iter().enumerate().map(|(index, hazard)| {
        let off = half_width + hazard.clearance.value.get();
        (
            hazard_distance(hazard, line) - off,
            off,
            Near::Hazard(index),
        )
    }));
    let shut = site.keep_out.iter().enumerate();
    all.extend(
        shut.filter(|(index, _)| closed(*index))
            .map(|(index, area)| {
                let distance = area_distance(&area.outline, line);
                (distance - half_width, half_width, Near::KeepOut(index))
            }),
    );
    all.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))
}
