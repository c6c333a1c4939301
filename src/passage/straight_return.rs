//! The straight return leg from a point, in steps.

use super::track::{HOME_STEP, cut};
use crate::models::plane::Point;

/// Nearer than this a place is the recovery point, m: legs shorter than it are left out as well.
const NO_WAY: f64 = 1e-3;

/// Middle, track and length of a step.
type StraightStep = (Point, (f64, f64), f64);

/// Whether a place is the recovery point itself.
pub(super) fn is_home(at: Point, recovery: Point) -> bool {
    at.distance(recovery) < NO_WAY
}

/// The steps of a straight way: middle, track, length; none where it is already there.
pub(super) fn straight(from: Point, to: Point) -> impl Iterator<Item = StraightStep> {
    track_of(from, to).into_iter().flat_map(move |track| {
        cut(from, to, HOME_STEP).map(move |(a, b, length)| (a.lerp(b, 0.5), track, length))
    })
}

/// The middle of one of so many steps of a straight way.
pub(super) fn straight_step(from: Point, to: Point, (index, count): (usize, usize)) -> Point {
    let share = |index: usize| index as f64 / count as f64;
    let (a, b) = (from.lerp(to, share(index)), from.lerp(to, share(index + 1)));
    a.lerp(b, 0.5)
}

/// Unit vector (east, north) of the track between two points; none where they are one.
fn track_of(from: Point, to: Point) -> Option<(f64, f64)> {
    (to - from).unit().map(Point::components)
}
