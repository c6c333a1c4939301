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
/// Height of the view over its width: a sheet of paper has so much room for it.
const SHAPE: f64 = 1.2;
/// How many times larger the map may become for what the verdict rests on: past that the route is no
/// longer legible, and an arrow at the edge shows where it is.
const LARGER: f64 = 1.7;

impl View {
    /// Whether a place is on it.
    #[must_use]
    pub(crate) fn holds(&self, at: At) -> bool {
        (self.low.east..=self.high.east).contains(&at.east)
            && (self.low.north..=self.high.north).contains(&at.north)
    }
}

/// The greater extent of a box, in widths of the view.
fn extent_of(low: Point, high: Point) -> f64 {
    (high.x - low.x).max((high.y - low.y) / SHAPE)
}

/// A box around what has to be on the map, with some room, around the ways of a boat adrift as far as
/// they are followed, and around what the verdict rests on as far as that leaves the route legible.
pub(super) fn view(
    points: &[Point],
    drifted: impl Iterator<Item = At>,
    rests_on: impl Iterator<Item = At>,
) -> View {
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
    // The nearest of it first, which asks for least.
    let most = LARGER * extent_of(low, high).max(LEAST);
    let middle = low.lerp(high, 0.5);
    let mut others: Vec<Point> = rests_on.map(|at| Point::new(at.east, at.north)).collect();
    others.sort_by(|a, b| middle.distance(*a).total_cmp(&middle.distance(*b)));
    for at in others {
        let least = Point::new(low.x.min(at.x), low.y.min(at.y));
        let greatest = Point::new(high.x.max(at.x), high.y.max(at.y));
        if extent_of(least, greatest) <= most {
            (low, high) = (least, greatest);
        }
    }
    let extent = (high.x - low.x).max(high.y - low.y);
    let room = (ROOM * extent).max(0.5 * (LEAST - extent)).max(20.0);
    let wide = (high.x - low.x + 2.0 * room).max((high.y - low.y + 2.0 * room) / SHAPE);
    let tall = wide * SHAPE;
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
        let none = std::iter::empty::<At>;
        let near = view(&route, [at(1200.0, 700.0)].into_iter(), none());
        assert!(near.holds(at(1200.0, 700.0)) && near.holds(at(0.0, 0.0)));
        let far = view(&route, [at(9000.0, 200.0)].into_iter(), none());
        assert!(far.holds(at(0.0, 0.0)) && far.holds(at(1400.0, 200.0)));
        assert!(far.high.east < 1700.0, "{far:?}");
        let alone = view(&route, none(), none());
        assert!(alone.high.east < 1100.0, "{alone:?}");
    }

    #[test]
    fn what_the_verdict_rests_on_is_held_where_the_route_stays_legible() {
        let route = [Point::new(0.0, 0.0), Point::new(1000.0, 400.0)];
        let at = |east: f64, north: f64| At { east, north };
        let (weir, far) = (at(1500.0, 300.0), at(4000.0, 300.0));
        let seen = view(&route, std::iter::empty(), [far, weir].into_iter());
        assert!(seen.holds(weir) && !seen.holds(far), "{seen:?}");
        assert!(seen.holds(at(0.0, 0.0)) && seen.holds(at(1000.0, 400.0)));
        let (wide, tall) = (
            seen.high.east - seen.low.east,
            seen.high.north - seen.low.north,
        );
        assert!((tall / wide - 1.2).abs() < 1e-9);
    }
}
