//! The part of the plane that a map shows.

use crate::models::plane::Point;

/// A place on the plane of the site.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct At {
    /// Metres east.
    pub east: f64,
    /// Metres north.
    pub north: f64,
}

impl From<Point> for At {
    fn from(point: Point) -> Self {
        Self {
            east: point.x,
            north: point.y,
        }
    }
}

/// The part of the plane that matters, as two corners.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct View {
    /// South-west corner.
    pub low: At,
    /// North-east corner.
    pub high: At,
}

/// Room around what matters, as a share of its greater extent, and the least extent, m.
const ROOM: f64 = 0.06;
const LEAST: f64 = 120.0;
/// How far past the route the map follows a boat adrift on each side, as a share of the route's
/// greater extent, and at least, m: the route has to stay legible.
const FOLLOWED: f64 = 0.45;
const AT_LEAST: f64 = 100.0;
/// Height of the view over its width, at its least and greatest.
const FLATTEST: f64 = 0.6;
const TALLEST: f64 = 1.05;

/// A box around what has to be on the map, with some room, and around the ways of a boat adrift as
/// far as they are followed.
pub(super) fn view(points: &[Point], drifted: impl Iterator<Item = At>) -> View {
    let (mut low, mut high) = (points[0], points[0]);
    for point in points {
        low = Point::new(low.x.min(point.x), low.y.min(point.y));
        high = Point::new(high.x.max(point.x), high.y.max(point.y));
    }
    let extent = (high.x - low.x).max(high.y - low.y);
    let past = (FOLLOWED * extent).max(AT_LEAST);
    let (least, most) = (
        Point::new(low.x - past, low.y - past),
        Point::new(high.x + past, high.y + past),
    );
    for at in drifted {
        low = Point::new(
            low.x.min(at.east.max(least.x)),
            low.y.min(at.north.max(least.y)),
        );
        high = Point::new(
            high.x.max(at.east.min(most.x)),
            high.y.max(at.north.min(most.y)),
        );
    }
    let extent = (high.x - low.x).max(high.y - low.y);
    let room = (ROOM * extent).max(0.5 * (LEAST - extent)).max(20.0);
    let (mut wide, mut tall) = (high.x - low.x + 2.0 * room, high.y - low.y + 2.0 * room);
    tall = tall.max(wide * FLATTEST);
    wide = wide.max(tall / TALLEST);
    let middle = low.lerp(high, 0.5);
    View {
        low: At {
            east: middle.x - 0.5 * wide,
            north: middle.y - 0.5 * tall,
        },
        high: At {
            east: middle.x + 0.5 * wide,
            north: middle.y + 0.5 * tall,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_boat_adrift_is_followed_so_far_that_the_route_stays_legible() {
        let route = [Point::new(0.0, 0.0), Point::new(1000.0, 400.0)];
        let at = |east: f64, north: f64| At { east, north };
        let holds = |view: View, at: At| {
            (view.low.east..=view.high.east).contains(&at.east)
                && (view.low.north..=view.high.north).contains(&at.north)
        };
        let near = view(&route, [at(1200.0, 700.0)].into_iter());
        assert!(holds(near, at(1200.0, 700.0)) && holds(near, at(0.0, 0.0)));
        let far = view(&route, [at(9000.0, 200.0)].into_iter());
        assert!(holds(far, at(0.0, 0.0)) && holds(far, at(1400.0, 200.0)));
        assert!(far.high.east < 1700.0, "{far:?}");
        let none = view(&route, std::iter::empty());
        assert!(none.high.east < 1100.0, "{none:?}");
    }
}
