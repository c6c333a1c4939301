//! A straight segment and its distances.

use robust::{Coord, orient2d};

use super::super::plane::Point;

/// A straight segment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Where it begins.
    pub a: Point,
    /// Where it ends.
    pub b: Point,
}

impl Segment {
    /// Between two points.
    #[must_use]
    pub const fn new(a: Point, b: Point) -> Self {
        Self { a, b }
    }

    /// Length.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.a.distance(self.b)
    }

    /// The point a share of the way along it.
    #[must_use]
    pub fn at(&self, share: f64) -> Point {
        self.a.lerp(self.b, share)
    }

    /// The point of it that is nearest to another point.
    #[must_use]
    pub fn nearest_to(&self, point: Point) -> Point {
        let along = self.b - self.a;
        let length2 = along.dot(along);
        if length2 > 0.0 {
            let share = (point - self.a).dot(along) / length2;
            if share <= 0.0 {
                self.a
            } else if share >= 1.0 {
                self.b
            } else {
                self.at(share)
            }
        } else {
            self.a
        }
    }

    /// Distance to a point.
    #[must_use]
    pub fn distance_to(&self, point: Point) -> f64 {
        self.nearest_to(point).distance(point)
    }

    /// On which side of it a point lies: positive to the left of its way, negative to the right, nil on
    /// the line, exactly (Shewchuk 1997, adaptive predicates).
    #[must_use]
    pub fn side_of(&self, point: Point) -> f64 {
        let (ahead, behind) = (self.a - point, self.b - point);
        let (left, right) = (ahead.x * behind.y, ahead.y * behind.x);
        let side = left - right;
        // Past this bound on its rounding the sign is certain (Shewchuk 1997, ccwerrboundA).
        if side.abs() > 3.330_669_073_875_471_6e-16 * (left.abs() + right.abs()) {
            return side;
        }
        let coord = |point: Point| Coord {
            x: point.x,
            y: point.y,
        };
        orient2d(coord(self.a), coord(self.b), coord(point))
    }

    /// Whether one coordinate alone keeps the two apart.
    fn lies_apart(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64, c: f64, d: f64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
        apart(self.a.x, self.b.x, other.a.x, other.b.x)
            || apart(self.a.y, self.b.y, other.a.y, other.b.y)
    }

    /// A point that both segments share, if there is one. Whether there is one is exact; where it is, is
    /// rounded.
    #[must_use]
    pub fn contact(&self, other: &Self) -> Option<Point> {
        // Most pairs lie apart in one coordinate, which is as exact and costs a tenth.
        if self.lies_apart(other) {
            return None;
        }
        let on_other = (self.side_of(other.a), self.side_of(other.b));
        let on_self = (other.side_of(self.a), other.side_of(self.b));
        let apart = |(p, q): (f64, f64)| (p > 0.0 && q > 0.0) || (p < 0.0 && q < 0.0);
        if apart(on_other) || apart(on_self) {
            return None;
        }
        let nil = |side: f64| side.abs() <= 0.0;
        let on_one_line = nil(on_other.0) && nil(on_other.1) || nil(on_self.0) && nil(on_self.1);
        if !on_one_line {
            let share = on_self.0 / (on_self.0 - on_self.1);
            return Some(self.at(share.clamp(0.0, 1.0)));
        }
        // On one line, or one of them is a point: they meet where an end lies within the other.
        let within = |segment: &Self, point: Point| {
            let (low_x, high_x) = (segment.a.x.min(segment.b.x), segment.a.x.max(segment.b.x));
            let (low_y, high_y) = (segment.a.y.min(segment.b.y), segment.a.y.max(segment.b.y));
            (low_x..=high_x).contains(&point.x)
                && (low_y..=high_y).contains(&point.y)
                && nil(segment.side_of(point))
        };
        let inside = |segment: &Self, ends: [Point; 2]| {
            let mut ends = ends.into_iter();
            ends.find(|&point| within(segment, point))
        };
        inside(self, [other.a, other.b]).or_else(|| inside(other, [self.a, self.b]))
    }

    /// Whether two segments run over one another for some length.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let along = self.b - self.a;
        let length2 = along.dot(along);
        let flat = |point: Point| along.cross(point - self.a).abs() <= 1e-12 * length2;
        if length2 <= 0.0 || !flat(other.a) || !flat(other.b) {
            return false;
        }
        let share = |point: Point| (point - self.a).dot(along) / length2;
        let (p, q) = (share(other.a), share(other.b));
        p.max(q).min(1.0) - p.min(q).max(0.0) > 1e-12
    }

    /// The distance to another segment, and the point of this one where it is least.
    #[must_use]
    pub fn nearest_to_segment(&self, other: &Self) -> (f64, Point) {
        if let Some(point) = self.contact(other) {
            return (0.0, point);
        }
        let mut best = (f64::INFINITY, self.a);
        let mut offer = |own: Point, theirs: Point| {
            let gap = own - theirs;
            let distance2 = gap.dot(gap);
            if distance2 < best.0 {
                best = (distance2, own);
            }
        };
        offer(self.a, other.nearest_to(self.a));
        offer(self.b, other.nearest_to(self.b));
        offer(self.nearest_to(other.a), other.a);
        offer(self.nearest_to(other.b), other.b);
        (best.0.sqrt(), best.1)
    }

    /// The distance to another segment.
    #[must_use]
    pub fn distance_to_segment(&self, other: &Self) -> f64 {
        self.nearest_to_segment(other).0
    }
}
