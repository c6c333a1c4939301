//! How near the route, and the return legs off it that a contingency would take, come to land, hazards and
//! keep-outs.

use super::Passage;
use super::return_lines::{Begin, homes, returns_from, returns_off_route};
use crate::models::geometry::{
    Polygon, Segment, polygon_distance, polygon_segment_distance, polyline_segment_distance,
};
use crate::models::plane::Point;
use crate::models::track::{corridor_half_width, turn_overrun};
use crate::plan::Plan;
use crate::plan::site::{Form, Hazard};
use crate::units::{Speed, Towards};

/// What part of the plan comes near.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Part {
    /// A leg of the route.
    Leg(usize),
    /// The turn at the end of a leg.
    Turn(usize),
    /// The return leg from a sample, straight to the recovery point or to its first waypoint.
    Home(usize),
    /// The return leg from a waypoint of its own on, by index.
    Onward(usize),
    /// The turn at a waypoint of the return leg, by index.
    TurnHome(usize),
}

/// One place where the plan comes nearest to something.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosestApproach {
    /// Distance less the corridor and whatever else is to be taken off, m.
    pub clearance: f64,
    /// Distance as measured, m; negative on land or inside an area.
    pub distance: f64,
    /// What is taken off beside the half width: the overrun of a turn, or a hazard's stand-off, m.
    pub deducted: f64,
    /// Where.
    pub at: Point,
    /// Which part of the plan.
    pub part: Part,
}

/// Clearances of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearances {
    /// Half width of the corridor, m.
    pub half_width: f64,
    /// Whether a contingency sends the boat home off its route.
    pub off_route: bool,
    /// From land, outside the launch sites.
    pub land: Option<ClosestApproach>,
    /// From land, inside the launch sites, nothing taken off.
    pub zone: Option<ClosestApproach>,
    /// From each hazard, in the order of the site.
    pub hazards: Vec<Option<ClosestApproach>>,
    /// From each keep-out area, in the order of the site.
    pub keep_out: Vec<Option<ClosestApproach>>,
}

impl Clearances {
    /// From the hazard that is nearest its stand-off, by index.
    #[must_use]
    pub fn hazard(&self) -> Option<(usize, &ClosestApproach)> {
        let hazards = self.hazards.iter().enumerate();
        let near = hazards.filter_map(|(index, near)| Some((index, near.as_ref()?)));
        near.min_by(|(_, one), (_, other)| one.clearance.total_cmp(&other.clearance))
    }
}

/// Half width of the corridor of a plan, m.
#[must_use]
pub(crate) fn half_width(plan: &Plan) -> f64 {
    let navigation = &plan.vessel.navigation;
    corridor_half_width(
        navigation.position_error.value,
        navigation.cross_track_error.value,
        plan.site.shore_error.value,
        plan.vessel.hull.beam.value,
    )
    .get()
}

/// Signed distance from a segment to a hazard, m.
#[must_use]
pub(crate) fn hazard_distance(hazard: &Hazard, segment: &Segment) -> f64 {
    match &hazard.form {
        Form::Point(point) => segment.distance_to(*point),
        Form::Line(line) => polyline_segment_distance(segment, line),
        Form::Area(area) => area_distance(area, segment),
    }
}

/// Signed distance from a segment to an area, m.
#[must_use]
pub(crate) fn area_distance(area: &Polygon, segment: &Segment) -> f64 {
    if segment.length() > 0.0 {
        polygon_segment_distance(segment, area)
    } else {
        polygon_distance(segment.a, area)
    }
}

impl Part {
    /// Whether it is a part of a return leg.
    #[must_use]
    pub fn is_return(self) -> bool {
        match self {
            Self::Home(_) | Self::Onward(_) | Self::TurnHome(_) => true,
            Self::Leg(_) | Self::Turn(_) => false,
        }
    }
}

/// The lines of a plan, each with the part it is.
fn lines(passage: &Passage<'_>, off_route: bool) -> Vec<(Segment, Part)> {
    let mission = &passage.plan.mission;
    let mut lines: Vec<(Segment, Part)> = mission
        .legs
        .iter()
        .enumerate()
        .map(|(index, leg)| {
            (
                Segment {
                    a: leg.from,
                    b: leg.to,
                },
                Part::Leg(index),
            )
        })
        .collect();
    let homes = homes(passage, off_route).into_iter();
    lines.extend(homes.map(|(line, from)| {
        let part = match from {
            Begin::Sample(sample) => Part::Home(sample),
            Begin::Waypoint(index) => Part::Onward(index),
        };
        (line, part)
    }));
    lines
}

/// A place where the boat turns, and how far it runs on past it.
struct Turn {
    part: Part,
    at: Point,
    overrun: f64,
}

/// The turns of a plan: at each joint of two legs, and where a contingency turns the boat for home.
fn turns(passage: &Passage<'_>, off_route: bool) -> Vec<Turn> {
    let plan = passage.plan;
    let navigation = &plan.vessel.navigation;
    let overrun = |speed: Speed, before: Towards, after: Towards| {
        let turn = before.turn_to(after).abs();
        turn_overrun(
            speed,
            navigation.delay.value,
            navigation.turning_radius.value,
            turn,
        )
        .get()
    };
    let legs = &plan.mission.legs;
    let joints = legs.windows(2).enumerate().map(|(index, pair)| {
        let before = pair[0].from.bearing_to(pair[0].to);
        let after = pair[1].from.bearing_to(pair[1].to);
        let overrun = overrun(pair[0].speed(), before, after);
        Turn {
            part: Part::Turn(index),
            at: pair[0].to,
            overrun,
        }
    });
    let return_points = plan.mission.return_points();
    let next = return_points[0];
    let steps = if off_route {
        passage.track.steps.as_slice()
    } else {
        &[]
    };
    let returning = steps
        .iter()
        .enumerate()
        .filter(|(_, step)| step.to.distance(next) > 0.0 && returns_from(&plan.mission, step.to));
    let returning = returning.map(|(index, step)| {
        let before = Towards::from_components(step.track.0, step.track.1);
        let overrun = overrun(legs[step.leg].speed(), before, step.to.bearing_to(next));
        Turn {
            part: Part::Home(index + 1),
            at: step.to,
            overrun,
        }
    });
    let speed = plan.mission.return_leg.speed.value;
    let on_return = return_points.windows(2).enumerate().filter(|_| off_route);
    let on_return = on_return.map(|(index, pair)| {
        let before: Vec<Point> = match index.checked_sub(1) {
            Some(before) => vec![return_points[before]],
            None => passage.track.samples.clone(),
        };
        let after = pair[0].bearing_to(pair[1]);
        let before = before.iter().filter(|at| at.distance(pair[0]) > 0.0);
        let overruns = before.map(|at| overrun(speed, at.bearing_to(pair[0]), after));
        Turn {
            part: Part::TurnHome(index),
            at: pair[0],
            overrun: overruns.fold(0.0, f64::max),
        }
    });
    joints.chain(returning).chain(on_return).collect()
}

/// Every clearance of a plan.
#[must_use]
pub(crate) fn all(passage: &Passage<'_>) -> Clearances {
    let plan = passage.plan;
    let half_width = half_width(plan);
    let off_route = returns_off_route(plan);
    let zones = [
        (
            plan.mission.launch.zone.centre,
            plan.mission.launch.zone.radius.value.get(),
        ),
        (
            plan.mission.recovery.zone.centre,
            plan.mission.recovery.zone.radius.value.get(),
        ),
    ];
    let mut result = Clearances {
        half_width,
        off_route,
        land: None,
        zone: None,
        hazards: vec![None; plan.site.hazards.len()],
        keep_out: vec![None; plan.site.keep_out.len()],
    };
    let lines = lines(passage, off_route);
    for (line, part) in &lines {
        let (inside, outside) = split(line, &zones);
        for piece in outside {
            nearer_land(plan, &mut result.land, piece, half_width, 0.0, *part);
        }
        for piece in inside {
            nearer_land(plan, &mut result.zone, piece, 0.0, 0.0, *part);
        }
        others(plan, &mut result, line, 0.0, *part);
    }
    for Turn { part, at, overrun } in turns(passage, off_route) {
        let point = Segment { a: at, b: at };
        let in_zone = zones
            .iter()
            .any(|(centre, radius)| at.distance(*centre) <= *radius);
        // Inside a launch site only water is asked for, where the boat runs onto as well.
        let (slot, half_width) = if in_zone {
            (&mut result.zone, 0.0)
        } else {
            (&mut result.land, half_width)
        };
        nearer_land(plan, slot, point, half_width, overrun, part);
        others(plan, &mut result, &point, overrun, part);
    }
    result
}

fn nearer_land(
    plan: &Plan,
    slot: &mut Option<ClosestApproach>,
    piece: Segment,
    half_width: f64,
    deducted: f64,
    part: Part,
) {
    let off = half_width + deducted;
    let best = slot.as_ref().map_or(f64::INFINITY, |near| near.clearance);
    if let Some(found) = plan.site.shore.segment_clearance(piece, best + off) {
        *slot = Some(ClosestApproach {
            clearance: found.distance - off,
            distance: found.distance,
            deducted,
            at: found.at,
            part,
        });
    }
}

/// Keeps what is nearest of hazards and keep-outs.
fn others(plan: &Plan, result: &mut Clearances, line: &Segment, overrun: f64, part: Part) {
    let off = result.half_width + overrun;
    for (index, hazard) in plan.site.hazards.iter().enumerate() {
        let stand_off = hazard.clearance.value.get();
        let distance = hazard_distance(hazard, line);
        keep(
            &mut result.hazards[index],
            distance,
            off + stand_off,
            overrun + stand_off,
            || at_hazard(hazard, line),
            part,
        );
    }
    for (index, area) in plan.site.keep_out.iter().enumerate() {
        let distance = area_distance(&area.outline, line);
        keep(
            &mut result.keep_out[index],
            distance,
            off,
            overrun,
            || nearest_to(line, area.outline.exterior()),
            part,
        );
    }
}

fn keep(
    slot: &mut Option<ClosestApproach>,
    distance: f64,
    off: f64,
    deducted: f64,
    at: impl FnOnce() -> Point,
    part: Part,
) {
    let clearance = distance - off;
    if slot.as_ref().is_none_or(|near| clearance < near.clearance) {
        *slot = Some(ClosestApproach {
            clearance,
            distance,
            deducted,
            at: at(),
            part,
        });
    }
}

fn at_hazard(hazard: &Hazard, line: &Segment) -> Point {
    match &hazard.form {
        Form::Point(point) => line.nearest_to(*point),
        Form::Line(points) => nearest_to(line, points),
        Form::Area(area) => nearest_to(line, area.exterior()),
    }
}

/// The point of a segment that is nearest to the vertices of a shape; good enough to point at.
fn nearest_to(line: &Segment, points: &[Point]) -> Point {
    points
        .iter()
        .map(|point| line.nearest_to(*point).to_owned())
        .zip(points)
        .min_by(|(a, p), (b, q)| a.distance(**p).total_cmp(&b.distance(**q)))
        .map_or(line.a, |(at, _)| at)
}

/// The parts of a segment inside any of the circles, and those outside all of them.
#[must_use]
pub(crate) fn split(line: &Segment, circles: &[(Point, f64)]) -> (Vec<Segment>, Vec<Segment>) {
    let mut covered: Vec<(f64, f64)> = circles
        .iter()
        .filter_map(|(centre, radius)| within(line, *centre, *radius))
        .collect();
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let piece = |from: f64, to: f64| Segment {
        a: line.at(from),
        b: line.at(to),
    };
    let (mut inside, mut outside) = (Vec::new(), Vec::new());
    let mut reached = 0.0;
    for (from, to) in covered {
        if to <= reached {
            continue;
        }
        if from > reached {
            outside.push(piece(reached, from));
        }
        inside.push(piece(from.max(reached), to));
        reached = to;
    }
    if reached < 1.0 {
        outside.push(piece(reached, 1.0));
    }
    (inside, outside)
}

/// The part of a segment inside a circle, as shares of its length.
fn within(line: &Segment, centre: Point, radius: f64) -> Option<(f64, f64)> {
    let along = line.b - line.a;
    let length2 = along.dot(along);
    if length2 <= 0.0 {
        return (line.a.distance(centre) <= radius).then_some((0.0, 1.0));
    }
    let to_centre = centre - line.a;
    let foot = to_centre.dot(along) / length2;
    let off2 = to_centre.dot(to_centre) - foot * foot * length2;
    let half2 = (radius * radius - off2) / length2;
    if half2 <= 0.0 {
        return None;
    }
    let half = half2.sqrt();
    let (from, to) = ((foot - half).max(0.0), (foot + half).min(1.0));
    (from < to).then_some((from, to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_split_where_it_enters_and_leaves_a_circle() {
        let line = Segment {
            a: Point::new(-10.0, 0.0),
            b: Point::new(10.0, 0.0),
        };
        let (inside, outside) = split(&line, &[(Point::new(0.0, 3.0), 5.0)]);
        assert_eq!((inside.len(), outside.len()), (1, 2));
        assert!((inside[0].a.x + 4.0).abs() < 1e-9 && (inside[0].b.x - 4.0).abs() < 1e-9);
        let (inside, outside) = split(&line, &[(Point::new(0.0, 30.0), 5.0)]);
        assert_eq!((inside.len(), outside.len()), (0, 1));
    }
}
