//! Telling where an outline is not sound: which of its positions to look at, and in words.

use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{GeometryError, Segment};
use crate::models::plane::Point;
use crate::source::Span;

/// How far off its edges a meeting point may be computed, m.
const ROUNDING: f64 = 1e-3;

/// A position where a file writes it.
pub(super) type Placed = (Position, Span);

/// The position to show for what is wrong with rings, and what is wrong in words. Rings are those
/// that the error counts, with or without the closing position.
pub(super) fn fault(
    plane: &Plane,
    rings: &[Vec<Placed>],
    error: &GeometryError,
) -> (Option<Span>, String) {
    let first_of = |ring: usize| rings.get(ring)?.first().map(|(_, span)| *span);
    match error {
        GeometryError::Crosses { first, second, at } => {
            let span = rings
                .get(first.0)
                .and_then(|ring| edge_at(plane, ring, *at));
            let met = plane.to_position(*at);
            let what = if first.0 == second.0 {
                "the outline meets itself"
            } else {
                "two outlines meet"
            };
            let (latitude, longitude) = (met.latitude.to_degrees(), met.longitude.to_degrees());
            let text = format!("{what} at latitude {latitude:.6}, longitude {longitude:.6}");
            (span, text)
        }
        GeometryError::Crowded => (first_of(0), error.to_string()),
        GeometryError::NotFinite { ring }
        | GeometryError::TooFewPoints { ring }
        | GeometryError::NoArea { ring }
        | GeometryError::Nested { ring }
        | GeometryError::HoleOutside { ring } => (first_of(*ring), error.to_string()),
    }
}

/// The position that the first edge through a point begins at. The point is computed from the
/// edges, so that it lies on them but for rounding.
fn edge_at(plane: &Plane, ring: &[Placed], at: Point) -> Option<Span> {
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .find(|((from, _), (to, _))| {
            let edge = Segment::new(plane.to_plane(*from), plane.to_plane(*to));
            edge.distance_to(at) < ROUNDING
        })
        .map(|((_, span), _)| *span)
}
