//! Changes to where the boat goes: turning back sooner, breaking a run, keeping farther off,
//! ending sooner.

use super::fix::{At, Fix, written};
use super::{Wanted, altered, passes_as, passes_in};
use crate::finding::Who;
use crate::measures::clearance::nearest_closed;
use crate::measures::energy;
use crate::measures::reading::{Near, RunBy};
use crate::models::geometry::{Segment, polygon_distance};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::passage::clearance::{ClosestApproach, Part, hazard_distance};
use crate::passage::{LongestRuns, Passage, UpwindRun, ending};
use crate::plan::Plan;
use crate::plan::mission::Mission;
use crate::plan::route::Leg;
use crate::plan::site::Form;
use crate::units::{Length, Towards};

/// Samples times corners of dangers of a plan that is led off. Numerical: bounds the work.
const MOST_WORK: usize = 100_000;
/// Step in which a place is moved off, and a run ended sooner, m. Numerical.
const MOVE: f64 = 0.5;
/// Most distances that a waypoint is tried at. Numerical: bounds the work.
const MOST_TRIES: usize = 12;
/// The shortest leg that a waypoint may leave, m. Our own choice.
const LEAST_LEG: f64 = 1.0;
/// Farthest that a place is moved, m. Our own choice.
const FARTHEST: f64 = 200.0;
/// In that many steps. Arithmetic: the farthest over the step.
const MOST_STEPS: u32 = 400;
/// Legs on either side of one that are bent where its end is moved, or a waypoint put into it. Our own
/// choice.
const BENT: usize = 2;
/// Half the distance over which the way off a danger is felt for, m. Numerical.
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

/// The farthest sample before which the reserve meets its limit in every scenario.
pub(super) fn turn_back(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let runs = energy::complete(passage).ok()?;
    let kept = |sample: usize| {
        runs.runs
            .iter()
            .all(|run| passes(wanted, energy::reserve_at(runs, run, sample)))
    };
    let spot = before_first_bad(passage, kept)?;
    let says = format!("Turn back no later than {spot}.");
    Some(Fix::deed(Who::Planner, says))
}

/// Where the longest run against the wind has to be broken, or turned back from, so that no part
/// of it is too long.
pub(super) fn break_run(passage: &Passage<'_>, wanted: &Wanted<'_>, by: RunBy) -> Option<Fix> {
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
    // Speed and power change along a run: equal parts of its length with half a part to spare.
    let spare = if by == RunBy::Length { 0.0 } else { 0.5 };
    let parts = (1.0 / share + spare).ceil().max(2.0);
    let part = (passage.track.along[last] - begins) / parts;
    let says = format!(
        "Break the run with a leg across the wind at least every {}, the first time {} along the route.",
        Length::metres(part.floor()),
        Length::metres((begins + part).floor())
    );
    Some(Fix::deed(Who::Planner, says))
}

/// Whether clearances of a plan may be calculated over and over: a few milliseconds each time.
pub(super) fn may_be_led(passage: &Passage<'_>) -> bool {
    let site = &passage.plan.site;
    let hazards = site.hazards.iter().map(|hazard| match &hazard.form {
        Form::Point(_) => 1,
        Form::Line(line) => line.len(),
        Form::Area(area) => area.exterior().len(),
    });
    let keep_out = site.keep_out.iter();
    let keep_out = keep_out.map(|area| area.outline.exterior().len());
    let corners: usize = hazards.chain(keep_out).sum();
    passage.track.samples.len().saturating_mul(corners + 1) <= MOST_WORK
}

/// The danger that a plan comes nearest to.
pub(super) struct Danger<'a> {
    /// Where, and by which part of the plan.
    pub near: &'a ClosestApproach,
    /// Half the width of the corridor, where it counts, m.
    pub half_width: f64,
    distance: Box<dyn Fn(Point) -> f64 + 'a>,
}

impl<'a> Danger<'a> {
    /// The nearest of its kind.
    pub(super) fn nearest(passage: &'a Passage<'_>, kind: Near) -> Option<Self> {
        let all = passage.clearances();
        let site = &passage.plan.site;
        let land = move |p: Point| site.shore.signed_distance(p);
        let (near, half_width, distance): (_, _, Box<dyn Fn(Point) -> f64>) = match kind {
            Near::Shore => (all.land.as_ref()?, all.half_width, Box::new(land)),
            Near::LaunchSite => (all.zone.as_ref()?, 0.0, Box::new(land)),
            Near::Hazard => {
                let (index, near) = all.hazard()?;
                let hazard = &site.hazards[index];
                let distance = move |p| hazard_distance(hazard, &Segment { a: p, b: p });
                (near, all.half_width, Box::new(distance))
            }
            Near::KeepOut => {
                let (index, near) = nearest_closed(passage)?;
                let outline = &site.keep_out[index].outline;
                let distance = move |p| polygon_distance(p, outline);
                (near, all.half_width, Box::new(distance))
            }
        };
        Some(Self {
            near,
            half_width,
            distance,
        })
    }

    /// Whether a place would be far enough from it, and on the water.
    pub(super) fn is_clear(&self, passage: &Passage<'_>, wanted: &Wanted<'_>, at: Point) -> bool {
        let deducted = self.half_width + self.near.deducted;
        passes(wanted, (self.distance)(at) - deducted)
            && passage.plan.site.shore.signed_distance(at) - self.half_width > 0.0
    }

    /// The direction that leads away from it soonest.
    fn away(&self) -> Option<Point> {
        let (at, distance) = (self.near.at, &self.distance);
        let slope = |dx: f64, dy: f64| {
            distance(at + Point::new(dx, dy)) - distance(at - Point::new(dx, dy))
        };
        Point::new(slope(FEELER, 0.0), slope(0.0, FEELER)).unit()
    }
}

/// How far, and which way, the place that comes too near has to be moved off.
pub(super) fn shift(passage: &Passage<'_>, wanted: &Wanted<'_>, kind: Near) -> Option<Fix> {
    if let Some((plan, fix)) = led_off(passage, wanted, kind)
        && passes_as(wanted, passage, &plan)
    {
        return Some(fix);
    }
    let danger = Danger::nearest(passage, kind)?;
    let (steps, away) = steps_off(passage, wanted, &danger)?;
    let says = led(&danger, away, f64::from(steps) * MOVE)?;
    Some(Fix::deed(Who::Planner, format!("{says}.")))
}

/// A plan with the place of its route that comes too near moved off, so far that it is another place that comes
/// nearest, and what is set for it.
pub(super) fn led_off(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    kind: Near,
) -> Option<(Plan, Fix)> {
    if !may_be_led(passage) {
        return None;
    }
    let danger = Danger::nearest(passage, kind)?;
    let (needed, away) = steps_off(passage, wanted, &danger)?;
    let leg = leg_of(danger.near.part)?;
    // What is moved bends the legs on both sides, which may have to go somewhat farther.
    let tries = (needed..=MOST_STEPS).step_by(2).take(MOST_TRIES);
    tries.map(|step| f64::from(step) * MOVE).find_map(|metres| {
        let (text, there) = written(passage.plan, danger.near.at + away.scale(metres));
        let (plan, fix) = led_by(passage, danger.near.part, (&text, there))?;
        let moved = Passage::varied(&plan, passage.variation.clone());
        let elsewhere = Danger::nearest(&moved, kind)
            .and_then(|next| leg_of(next.near.part))
            .is_none_or(|next| next.abs_diff(leg) > BENT);
        (passes_in(wanted, &moved) || elsewhere).then_some(())?;
        let fix = fix.saying(led(&danger, away, metres)?);
        Some((plan.clone(), fix))
    })
}

/// The leg that a part of the route is, or ends with a turn; `None` for a return leg.
fn leg_of(part: Part) -> Option<usize> {
    match part {
        Part::Leg(leg) | Part::Turn(leg) => Some(leg),
        // No return leg is led off: it begins wherever something fails.
        Part::Home(_) | Part::Onward(_) | Part::TurnHome(_) => None,
    }
}

/// How many steps a place has to be moved off, and whereto.
fn steps_off(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    danger: &Danger<'_>,
) -> Option<(u32, Point)> {
    leg_of(danger.near.part)?;
    let away = danger.away()?;
    let there = |step: u32| danger.near.at + away.scale(f64::from(step) * MOVE);
    // Away from one shore must not be on to another.
    let needed = (1..=MOST_STEPS).find(|step| danger.is_clear(passage, wanted, there(*step)))?;
    Some((needed, away))
}

fn led(danger: &Danger<'_>, away: Point, metres: f64) -> Option<String> {
    let what = match danger.near.part {
        Part::Leg(_) => "the leg",
        Part::Turn(_) => "the turn",
        Part::Home(_) | Part::Onward(_) | Part::TurnHome(_) => return None,
    };
    Some(format!(
        "Lead {what} past this place {} farther towards {}",
        Length::metres(metres),
        Towards::from_components(away.x, away.y)
    ))
}

/// A plan with the end of a leg moved to a place, or with a waypoint more there; `None` where it belongs to a
/// survey, which is not led but laid out.
fn led_by(passage: &Passage<'_>, part: Part, (text, at): (&str, Point)) -> Option<(Plan, Fix)> {
    let mission = &passage.plan.mission;
    let survey = |leg: &Leg| mission.blocks.iter().any(|block| block.id.value == leg.id);
    match part {
        Part::Turn(index) => {
            let leg = mission.legs.get(index).filter(|leg| !survey(leg))?;
            let plan = altered(passage, |plan| {
                let legs = &mut plan.mission.legs;
                legs[index].to = at;
                if let Some(next) = legs.get_mut(index + 1) {
                    next.from = at;
                }
            });
            Some((plan, Fix::set_one(At::Stated(leg.span), text)))
        }
        Part::Leg(index) => {
            let leg = mission.legs.get(index).filter(|leg| !survey(leg))?;
            let id = free_id(mission, &leg.id);
            let (before, after) = (leg.from.distance(at), at.distance(leg.to));
            if before < LEAST_LEG || after < LEAST_LEG {
                return None;
            }
            let speed = match leg.command.value {
                Command::OverGround(speed) => format!("over_ground: {speed}"),
                Command::ThroughWater(speed) => format!("through_water: {speed}"),
            };
            let item = format!("{{ id: {id}, to: {text}, speed: {{ {speed} }} }}");
            let first = Leg {
                to: at,
                pause: None,
                ..leg.clone()
            };
            let plan = altered(passage, |plan| {
                plan.mission.legs[index].from = at;
                plan.mission.legs.insert(index, first);
            });
            let ahead = (index + 1 < mission.legs.len()).then(|| leg.id.clone());
            Some((plan, Fix::set_one(At::Item("/route", ahead), item)))
        }
        Part::Home(_) | Part::Onward(_) | Part::TurnHome(_) => None,
    }
}

/// An id that no waypoint of the route has.
fn free_id(mission: &Mission, near: &str) -> String {
    let stem: String = near.chars().take(50).collect();
    let taken = |id: &String| mission.legs.iter().any(|leg| leg.id == *id);
    let mut all = (1..).map(|number: u32| format!("clear-of-{stem}-{number}"));
    all.find(|id| !taken(id)).unwrap_or_default()
}

/// The recovery point back along the last leg, as far as it takes.
pub(super) fn end_sooner(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let mission = &passage.plan.mission;
    let last = mission.legs.last()?;
    let steps = (last.length().min(FARTHEST) / MOVE) as usize;
    let (metres, text) = (1..steps)
        .map(|step| step as f64 * MOVE)
        .find_map(|metres| {
            let far = ending::overrun(passage, Length::metres(metres))?;
            passes(wanted, far.clearance.get()).then_some(())?;
            let (text, at) = written(
                passage.plan,
                last.to.lerp(last.from, metres / last.length()),
            );
            let zone = &mission.recovery.zone;
            let plan = altered(passage, |plan| {
                plan.mission.recovery.at.value = at;
                if let Some(leg) = plan.mission.legs.last_mut() {
                    leg.to = at;
                }
            });
            let in_zone = at.distance(zone.centre) <= zone.radius.value.get();
            (in_zone && passes_as(wanted, passage, &plan)).then_some((metres, text))
        })?;
    let says = format!("End the run {} sooner", Length::metres(metres));
    Some(Fix::set_one(At::Stated(mission.recovery.at.span()), text).saying(says))
}
