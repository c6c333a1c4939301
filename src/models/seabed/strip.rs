//! A straight strip and what is cut out of it.

use rstar::{AABB, Envelope};

use super::super::geometry::{Frame, Segment};
use super::super::plane::Point;
use super::LEAST_HALF_WIDTH;
use crate::units::Length;

/// A corner of a shape in the strip's frame, with a depth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) u: f64,
    pub(super) v: f64,
    pub(super) depth: f64,
}

/// A rectangle about a segment that reaches its half width past the segment's sides and ends.
///
/// It holds every point within the half width of the segment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Strip {
    frame: Frame,
    along: Point,
    low: (f64, f64),
    high: (f64, f64),
}

impl Strip {
    pub(super) fn new(segment: Segment, half_width: Length) -> Self {
        let half = half_width.max(LEAST_HALF_WIDTH).get();
        let along = (segment.b - segment.a)
            .unit()
            .unwrap_or(Point::new(0.0, 1.0));
        let frame = Frame::along(along);
        let ((u, v1), (_, v2)) = (frame.coordinates(segment.a), frame.coordinates(segment.b));
        Self {
            frame,
            along,
            low: (u - half, v1.min(v2) - half),
            high: (u + half, v1.max(v2) + half),
        }
    }

    pub(super) fn area(&self) -> f64 {
        (self.high.0 - self.low.0) * (self.high.1 - self.low.1)
    }

    pub(super) fn corner(&self, at: Point, depth: f64) -> Corner {
        let (u, v) = self.frame.coordinates(at);
        Corner { u, v, depth }
    }

    pub(super) fn point(&self, corner: &Corner) -> Point {
        self.frame.point(corner.u, corner.v)
    }

    pub(super) fn holds(&self, at: Point) -> bool {
        let (u, v) = self.frame.coordinates(at);
        (self.low.0..=self.high.0).contains(&u) && (self.low.1..=self.high.1).contains(&v)
    }

    /// The least box along the axes of the plane that holds the strip.
    pub(super) fn envelope(&self) -> AABB<[f64; 2]> {
        let corners = [
            (self.low.0, self.low.1),
            (self.low.0, self.high.1),
            (self.high.0, self.low.1),
            (self.high.0, self.high.1),
        ]
        .map(|(u, v)| {
            let point = self.frame.point(u, v);
            [point.x, point.y]
        });
        AABB::from_points(corners.iter())
    }

    /// Whether a box may share a point with the strip: its extents along and across overlap.
    pub(super) fn may_meet(&self, envelope: &AABB<[f64; 2]>) -> bool {
        if !self.envelope().intersects(envelope) {
            return false;
        }
        let (low, high) = (envelope.lower(), envelope.upper());
        let centre = Point::new(0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]));
        let (x, y) = (0.5 * (high[0] - low[0]), 0.5 * (high[1] - low[1]));
        let (u, v) = self.frame.coordinates(centre);
        let across = x * self.along.y.abs() + y * self.along.x.abs();
        let along = x * self.along.x.abs() + y * self.along.y.abs();
        u + across >= self.low.0
            && u - across <= self.high.0
            && v + along >= self.low.1
            && v - along <= self.high.1
    }

    /// What of a convex shape lies in the strip, depths in straight lines along its edges; empty
    /// where nothing does.
    pub(super) fn cut(&self, shape: &mut Vec<Corner>, spare: &mut Vec<Corner>) {
        for side in [
            |s: &Self, c: &Corner| c.u - s.low.0,
            |s: &Self, c: &Corner| s.high.0 - c.u,
            |s: &Self, c: &Corner| c.v - s.low.1,
            |s: &Self, c: &Corner| s.high.1 - c.v,
        ] {
            spare.clear();
            for (i, here) in shape.iter().enumerate() {
                let next = &shape[(i + 1) % shape.len()];
                let (a, b) = (side(self, here), side(self, next));
                if a >= 0.0 {
                    spare.push(*here);
                }
                if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
                    let share = a / (a - b);
                    let between = |p: f64, q: f64| p + share * (q - p);
                    spare.push(Corner {
                        u: between(here.u, next.u),
                        v: between(here.v, next.v),
                        depth: between(here.depth, next.depth),
                    });
                }
            }
            std::mem::swap(shape, spare);
        }
    }
}

/// The area of a shape, whichever way it turns.
pub(super) fn area(shape: &[Corner]) -> f64 {
    let Some(first) = shape.first() else {
        return 0.0;
    };
    // About its first corner, so that a place far from the origin does not cost figures.
    let twice: f64 = shape
        .windows(2)
        .map(|pair| {
            (pair[0].u - first.u) * (pair[1].v - first.v)
                - (pair[1].u - first.u) * (pair[0].v - first.v)
        })
        .sum();
    0.5 * twice.abs()
}
