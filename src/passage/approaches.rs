//! Which straight approaches to the recovery point the shore leaves open, and how near to the wind they come.

use super::Passage;
use super::scenario::Scenarios;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::units::{Angle, Towards};

/// How far apart approaches are tried, degrees.
const APART: u32 = 5;

/// The approach nearest to the wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Nearest {
    /// Its greatest angle to the wind, over all winds; 180° where no approach is open.
    pub angle: Angle,
    /// Where it runs to; `None` where no approach is open.
    pub towards: Option<Towards>,
    /// Index of the scenario in which its angle is greatest.
    pub scenario: usize,
}

/// Courses of straight approaches as long as the last leg that the shore leaves open, whatever the wind; none of
/// a route without legs.
pub(super) fn open(passage: &Passage<'_>) -> Vec<Towards> {
    let Some(last) = passage.plan.mission.legs.last() else {
        return Vec::new();
    };
    let length = last.length();
    // Counted from the planned one, so that they do not hang on where north lies.
    let planned = last.from.bearing_to(last.to).angle();
    let turns = (0..360 / APART).map(|step| Angle::degrees(f64::from(step * APART)));
    let courses = turns.map(|turn| Towards::new(planned + turn));
    courses
        .filter(|towards| is_open(passage, *towards, length))
        .collect()
}

/// Of the approaches that are open the one whose greatest angle to the winds is least; `None` for a route
/// without legs.
#[must_use]
pub(crate) fn least_off_wind(passage: &Passage<'_>, scenarios: &Scenarios) -> Option<Nearest> {
    passage.plan.mission.legs.last()?;
    let open = passage.open_approaches().iter().copied();
    let nearest = open
        .filter_map(|towards| {
            let (angle, scenario) = greatest_off(towards, scenarios)?;
            Some(Nearest {
                angle,
                towards: Some(towards),
                scenario,
            })
        })
        .min_by(|a, b| a.angle.get().total_cmp(&b.angle.get()));
    Some(nearest.unwrap_or(Nearest {
        angle: Angle::degrees(180.0),
        towards: None,
        scenario: 0,
    }))
}

/// The greatest angle between a course and where the wind comes from, with the index of its scenario.
pub(super) fn greatest_off(course: Towards, scenarios: &Scenarios) -> Option<(Angle, usize)> {
    let all = scenarios.all.iter().enumerate();
    all.map(|(index, scenario)| {
        let from = Towards::new(scenario.from.angle());
        (course.turn_to(from).abs(), index)
    })
    .max_by(|(a, i), (b, j)| a.get().total_cmp(&b.get()).then(j.cmp(i)))
}

/// Whether an approach crosses no land, and is clear of it on its first half by the cross-track error.
fn is_open(passage: &Passage<'_>, towards: Towards, length: f64) -> bool {
    let plan = passage.plan;
    let end = plan.mission.recovery.at.value;
    let course = Point::towards(towards);
    let farthest = Point::new(end.x - course.x * length, end.y - course.y * length);
    let back = |share: f64| end.lerp(farthest, share);
    let shore = &plan.site.shore;
    let clear = plan.vessel.navigation.cross_track_error.value.get();
    let (start, middle) = (back(1.0), back(0.5));
    if !shore.is_water(start) || !shore.land_intervals(Segment::new(start, end)).is_empty() {
        return false;
    }
    let nearest = shore.segment_clearance(Segment::new(start, middle), f64::INFINITY);
    nearest.is_none_or(|nearest| nearest.distance >= clear)
}
