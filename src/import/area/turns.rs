//! Room beyond an area for the boat to turn in, so that its lines are straight wherever the area is.

use crate::models::geometry::{Frame, Polygon, ring_area};
use crate::models::plane::Point;
use crate::units::Length;

/// Edges that reach less than this across the lines run along them, m: positions are rounded.
const ACROSS: f64 = 0.05;

/// The area made longer along its lines, at both ends of each. A notch that faces along the lines gets narrower.
///
/// # Errors
/// A notch that the turns of its two sides would fill.
pub(super) fn widen(ring: &[Point], frame: Frame, room: Length) -> Result<Vec<Point>, String> {
    let room = room.get();
    if room <= 0.0 {
        return Ok(ring.to_vec());
    }
    // In the frame of the lines u runs across them and v along; the ring stays anticlockwise.
    let points: Vec<Point> = ring
        .iter()
        .map(|point| {
            let (u, v) = frame.coordinates(*point);
            Point::new(u, v)
        })
        .collect();
    let count = points.len();
    let shift = |index: usize| {
        let across = points[(index + 1) % count].x - points[index].x;
        if across < -ACROSS {
            Some(room)
        } else if across > ACROSS {
            Some(-room)
        } else {
            None
        }
    };
    // A side along the lines goes where its neighbours go.
    let sides: Vec<usize> = (0..count).filter(|index| shift(*index).is_some()).collect();
    let too_narrow = || {
        format!(
            "the outline has a notch along the lines that the turns of both its sides would fill, with {room} m of \
             room each; draw it simpler, turn the lines, or state less room"
        )
    };
    let mut wide: Vec<Point> = Vec::new();
    for (number, side) in sides.iter().enumerate() {
        let next = sides[(number + 1) % sides.len()];
        let (own, other) = (shift(*side).unwrap_or(0.0), shift(next).unwrap_or(0.0));
        let end = points[(side + 1) % count];
        let begin = points[next];
        if (own - other).abs() < room {
            wide.push(Point::new(end.x, end.y + own));
            if end.distance(begin) > 0.0 {
                wide.push(Point::new(begin.x, begin.y + other));
            }
            continue;
        }
        let (from, to) = (points[*side], points[(next + 1) % count]);
        let turns_left = (end - from).cross(to - begin) >= 0.0;
        // Outwards the two copies of the corner are joined along the lines; inwards the moved sides meet.
        if turns_left || (begin.y - end.y).abs() > 2.0 * room {
            wide.push(Point::new(end.x, end.y + own));
            wide.push(Point::new(begin.x, begin.y + other));
            continue;
        }
        let (a, b) = (from.y + own, end.y + own);
        let (c, d) = (begin.y + other, to.y + other);
        let rise = (b - a) / (end.x - from.x);
        let fall = (d - c) / (to.x - begin.x);
        let x = (c - a + rise * from.x - fall * begin.x) / (rise - fall);
        let inside = |one: f64, two: f64| x.is_finite() && x >= one.min(two) && x <= one.max(two);
        if !inside(from.x, end.x) || !inside(begin.x, to.x) {
            return Err(too_narrow());
        }
        wide.push(Point::new(x, a + rise * (x - from.x)));
    }
    let sound =
        Polygon::new(wide.clone(), Vec::new()).is_ok() && ring_area(&wide) >= ring_area(&points);
    if !sound {
        return Err(too_narrow());
    }
    Ok(wide
        .into_iter()
        .map(|point| frame.point(point.x, point.y))
        .collect())
}
