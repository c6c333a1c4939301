//! The end of the run: how the boat comes to rest, and what it would run or drift onto.

use super::approaches::greatest_off;
use super::clearance::{half_width, hazard_distance};
use super::current::current_at;
use super::scenario::Scenarios;
use super::{NoPassage, Passage};
use crate::models::drift::{DIVERGING, coasting_distance, leeway, scaled_stop};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::units::{Angle, Length, Speed, Time, Towards};

/// How far a disabled boat is followed, m.
pub(super) const DRIFT_REACH: f64 = 50_000.0;
/// Nothing is drifted onto within this time that anyone would wait for.
pub(super) const LONGEST_DRIFT: f64 = 86_400.0;

/// The places of two of the winds of [`drift`].
const SUSTAINED: usize = 1;
const GUST: usize = 2;

/// What the boat would run or drift onto.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Danger {
    /// The shore.
    Land,
    /// A hazard, by index.
    Hazard(usize),
    /// Open water, by the mark of the edge that it drifts over.
    Open(usize),
}

/// The boat running on past the recovery point.
#[derive(Clone, Debug, PartialEq)]
pub struct Overrun {
    /// Approach speed over ground, the greatest over the scenarios.
    pub speed: Speed,
    /// Way made during the operator's reaction.
    pub reaction: Length,
    /// Stopping distance.
    pub stopping: Stopping,
    /// Least clearance, less the corridor.
    pub clearance: Length,
    /// What it is from.
    pub from: Danger,
    /// Where the overrun ends.
    pub end: Point,
}

/// The approach speed.
#[derive(Clone, Debug, PartialEq)]
pub struct Approach {
    /// Speed over ground.
    pub over_ground: Speed,
    /// Speed through the water.
    pub through_water: Speed,
}

/// A disabled boat drifting onto something.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drift {
    /// Time that it takes; a day where it meets nothing.
    pub time: Time,
    /// Where it begins.
    pub start: Point,
    /// How far it drifts.
    pub distance: Length,
    /// Its speed over ground.
    pub speed: Speed,
    /// What it meets, where it meets anything.
    pub on_to: Option<Danger>,
    /// Index of the scenario.
    pub scenario: usize,
    /// Wind at 10 m that drives it.
    pub wind: Speed,
}

/// The approach at its fastest over ground and, by itself, through the water, with the current and
/// without it.
#[must_use]
pub fn approach(passage: &Passage<'_>) -> Option<Approach> {
    let leg = passage.plan.mission.legs.last()?;
    let step = passage.track.steps.last()?;
    let with_current = passage
        .plan
        .site
        .currents
        .iter()
        .any(|c| c.drift.value.get() > 0.0);
    let cases: &[bool] = if with_current {
        &[false, true]
    } else {
        &[false]
    };
    let mut fastest: Option<Approach> = None;
    for case in cases {
        let current = if *case {
            current_at(passage, step.middle())
        } else {
            (0.0, 0.0)
        };
        let along = current.0 * step.track.0 + current.1 * step.track.1;
        let across2 = (current.0 * current.0 + current.1 * current.1 - along * along).max(0.0);
        let factor = passage.variation.speed;
        let (over_ground, through_water) = match leg.command.value {
            Command::OverGround(speed) => {
                let v = speed.get() * factor;
                (v, ((v - along).powi(2) + across2).sqrt())
            }
            Command::ThroughWater(speed) => {
                let v = speed.get() * factor;
                ((v * v - across2).max(0.0).sqrt() + along, v)
            }
        };
        // With a commanded speed over ground the current changes the other of the two.
        let held = fastest.take();
        let greater = |now: f64, held: Option<Speed>| {
            Speed::metres_per_second(now).max(held.unwrap_or(Speed::ZERO))
        };
        fastest = Some(Approach {
            over_ground: greater(over_ground, held.as_ref().map(|held| held.over_ground)),
            through_water: greater(through_water, held.as_ref().map(|held| held.through_water)),
        });
    }
    fastest
}

/// The distance to a stop, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stopping {
    /// How far.
    pub distance: Length,
    /// How it is known.
    pub known: Known,
    /// The speed that it is for, the greater of those over ground and through the water.
    pub speed: Speed,
}

/// How a distance to a stop is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// As tried, at this speed or a greater one.
    Tried,
    /// As tried at a lesser speed, and scaled up.
    Scaled,
    /// Calculated by coasting.
    Coasted,
}

/// The distance to a stop: as tried, scaled up where the boat is faster than it was tried from;
/// calculated by coasting where it was not tried. `None` where it was tried from a speed that is not
/// stated: from a slow enough one any distance is short.
#[must_use]
pub fn stopping(passage: &Passage<'_>, approach: &Approach) -> Option<Stopping> {
    let propulsion = &passage.plan.vessel.propulsion;
    let speed = approach.over_ground.max(approach.through_water);
    let of = |distance, known| Stopping {
        distance,
        known,
        speed,
    };
    let Some(tried) = &propulsion.stopping_distance else {
        return Some(of(coasting(passage, approach)?, Known::Coasted));
    };
    let tried = tried.value;
    let from = propulsion.stopping_speed.as_ref()?;
    let scaled = scaled_stop(tried, from.value, speed);
    let known = if scaled > tried {
        Known::Scaled
    } else {
        Known::Tried
    };
    Some(of(scaled, known))
}

/// The distance in which the boat coasts to a stop.
fn coasting(passage: &Passage<'_>, approach: &Approach) -> Option<Length> {
    let vessel = &passage.plan.vessel;
    let calm = vessel.calm_water(passage.plan.site.water.value);
    let resistance = calm
        .resistance(approach.through_water, vessel.efficiency())
        .ok()?;
    Some(coasting_distance(
        approach.through_water,
        resistance,
        vessel.hull.displacement.value,
    ))
}

/// The overrun past the recovery point, or past a point that lies `sooner` on the last leg; `None`
/// where its length cannot be determined.
#[must_use]
pub fn overrun(passage: &Passage<'_>, sooner: Length) -> Option<Overrun> {
    let mission = &passage.plan.mission;
    let approach = approach(passage)?;
    let stopping = stopping(passage, &approach)?;
    let reaction_time = mission.reaction_time();
    let reaction = approach.over_ground.max(Speed::ZERO) * reaction_time;
    let (east, north) = passage.track.steps.last()?.track;
    let track = Point::new(east, north);
    let start = mission.recovery.at.value - track.scale(sooner.get());
    let end = start + track.scale((reaction + stopping.distance).get());
    if !end.is_finite() {
        return None;
    }
    let line = Segment { a: start, b: end };
    let (clearance, from) = nearest_danger(passage, &line)?;
    Some(Overrun {
        speed: approach.over_ground,
        reaction,
        stopping,
        clearance: Length::metres(clearance - half_width(passage.plan)),
        from,
        end,
    })
}

/// Signed distance of a line to the nearest of land and hazards, a hazard's less its stand-off.
fn nearest_danger(passage: &Passage<'_>, line: &Segment) -> Option<(f64, Danger)> {
    let site = &passage.plan.site;
    let land = site.shore.segment_clearance(*line, f64::INFINITY)?;
    let mut nearest = (land.distance, Danger::Land);
    for (index, hazard) in site.hazards.iter().enumerate() {
        let distance = hazard_distance(hazard, line) - hazard.clearance.value.get();
        if distance < nearest.0 {
            nearest = (distance, Danger::Hazard(index));
        }
    }
    Some(nearest)
}

/// Signed distance of the recovery point to the nearest of land and hazards, and which it is.
#[must_use]
pub(crate) fn stand_off(passage: &Passage<'_>) -> (Length, Danger) {
    let at = passage.plan.mission.recovery.at.value;
    let site = &passage.plan.site;
    let point = Segment { a: at, b: at };
    let mut nearest = (site.shore.signed_distance(at), Danger::Land);
    for (index, hazard) in site.hazards.iter().enumerate() {
        let distance = hazard_distance(hazard, &point);
        if distance < nearest.0 {
            nearest = (distance, Danger::Hazard(index));
        }
    }
    (Length::metres(nearest.0), nearest.1)
}

/// The greatest angle between the last leg's track and where the wind comes from, with the index
/// of its scenario.
#[must_use]
pub(crate) fn off_wind(passage: &Passage<'_>, scenarios: &Scenarios) -> Option<(Angle, usize)> {
    let (east, north) = passage.track.steps.last()?.track;
    greatest_off(Towards::from_components(east, north), scenarios)
}

/// Whether no land lies between the operator and the recovery point, but for the ground that the
/// operator stands on.
#[must_use]
pub(crate) fn in_sight(passage: &Passage<'_>, operator: Point) -> bool {
    super::sight::sees(passage, operator, passage.plan.mission.recovery.at.value)
}

/// The soonest that a disabled boat drifts onto land or a hazard, from the recovery point or any
/// sample of the last leg.
///
/// # Errors
/// [`NoPassage`] where there is no wind to take.
pub(crate) fn drift<'a>(passage: &'a Passage<'_>) -> Result<Option<Drift>, &'a NoPassage> {
    let runs = passage.runs()?;
    let plan = passage.plan;
    let rate = plan.vessel.windage.leeway.value;
    // A weaker wind may hold the boat less against the current than a strong one does.
    let winds = [
        Speed::ZERO,
        runs.scenarios.sustained_u10,
        runs.scenarios.gust_u10,
    ];
    let speeds = winds.map(|wind| leeway(wind, rate, Speed::ZERO).get());
    let last_leg = passage.track.steps.last().map(|step| step.leg);
    let mut starts: Vec<Point> = passage
        .track
        .steps
        .iter()
        .filter(|step| Some(step.leg) == last_leg)
        .map(|step| step.from)
        .collect();
    starts.push(plan.mission.recovery.at.value);
    let mut soonest: Option<Drift> = None;
    for (index, scenario) in runs.scenarios.all.iter().enumerate() {
        for start in &starts {
            let current = if scenario.current {
                current_at(passage, *start)
            } else {
                (0.0, 0.0)
            };
            let still = current.0.abs() + current.1.abs() <= 0.0;
            // Where no current runs, the same direction without current has had it already.
            if scenario.current && still {
                continue;
            }
            // Nor is a weaker wind sooner than the gust there.
            let gust_alone = still
                && speeds[GUST] > speeds[SUSTAINED] * (1.0 + 1e-9)
                && plan.site.shore.is_water(*start);
            for (off, (_, (wind, speed))) in DIVERGING
                .iter()
                .flat_map(|off| {
                    let pairs = winds.iter().zip(speeds).enumerate();
                    pairs.map(move |pair| (*off, pair))
                })
                .filter(|(_, (number, _))| !(gust_alone && *number == SUSTAINED))
            {
                let (east, north) = scenario
                    .from
                    .veered(Angle::degrees(off))
                    .towards()
                    .unit_vector();
                let movement = Point::new(east * speed + current.0, north * speed + current.1);
                let one = follow(passage, *start, movement, (index, *wind));
                if soonest.as_ref().is_none_or(|held| one.time < held.time) {
                    soonest = Some(one);
                }
            }
        }
    }
    Ok(soonest)
}

/// Follows a disabled boat until it meets something.
fn follow(
    passage: &Passage<'_>,
    start: Point,
    movement: Point,
    (scenario, wind): (usize, Speed),
) -> Drift {
    let site = &passage.plan.site;
    let speed = movement.length();
    let mut drift = Drift {
        time: Time::seconds(LONGEST_DRIFT),
        start,
        distance: Length::ZERO,
        speed: Speed::metres_per_second(speed),
        on_to: None,
        scenario,
        wind,
    };
    let Some(direction) = movement.unit() else {
        return drift;
    };
    let reach = DRIFT_REACH.min(speed * LONGEST_DRIFT);
    let towards = Towards::from_components(direction.x, direction.y);
    let mut meet = |distance: f64, danger: Danger| {
        let time = Time::seconds(distance / speed);
        if time < drift.time {
            drift.time = time;
            drift.distance = Length::metres(distance);
            drift.on_to = Some(danger);
        }
    };
    if !site.shore.is_water(start) {
        meet(0.0, Danger::Land);
    }
    let zone = &passage.plan.mission.recovery.zone;
    let landfall = site.shore.first_edge(start, towards, reach);
    if let Some((distance, edge)) = landfall {
        let at = start + direction.scale(distance);
        if let Some(mark) = site.edges.open_at(edge) {
            meet(distance, Danger::Open(mark));
        } else if at.distance(zone.centre) > zone.radius.value.get() {
            // The launch site is where one wants it to come ashore.
            meet(distance, Danger::Land);
        }
    }
    let reach = landfall.map_or(reach, |(distance, _)| distance);
    for (index, hazard) in site.hazards.iter().enumerate() {
        let stand_off = hazard.clearance.value.get();
        if let Some(distance) = first_within(start, direction, reach, |line| {
            hazard_distance(hazard, line) - stand_off
        }) {
            meet(distance, Danger::Hazard(index));
        }
    }
    drift
}

/// The distance along a ray at which a signed distance falls to zero: the distance itself says
/// how far one may go on without meeting it.
pub(super) fn first_within(
    start: Point,
    direction: Point,
    reach: f64,
    distance: impl Fn(&Segment) -> f64,
) -> Option<f64> {
    let whole = Segment {
        a: start,
        b: start + direction.scale(reach),
    };
    if distance(&whole) > 0.0 {
        return None;
    }
    let mut along = 0.0;
    while along <= reach {
        let here = start + direction.scale(along);
        let left = distance(&Segment { a: here, b: here });
        if left <= 0.01 {
            return Some(along);
        }
        along += left;
    }
    None
}
