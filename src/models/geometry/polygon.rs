//! Polygons with holes, by the even-odd rule over all their rings.

use super::super::plane::Point;
use super::segment::Segment;
use super::validity::{GeometryError, check};

/// A polygon with holes whose rings are sound: finite, of some area, and free of crossings.
#[derive(Clone, Debug, PartialEq)]
pub struct Polygon {
    rings: Vec<Vec<Point>>,
    /// The corners of the box around it.
    corners: (Point, Point),
}

impl Polygon {
    /// From an exterior ring and holes; the first point of a ring may be repeated at its end.
    ///
    /// # Errors
    /// A ring that is not finite, has fewer than three distinct points or no area, that meets
    /// itself or crosses another, or a hole outside the exterior.
    pub fn new(exterior: Vec<Point>, holes: Vec<Vec<Point>>) -> Result<Self, GeometryError> {
        let mut rings = vec![exterior];
        rings.extend(holes);
        for ring in &mut rings {
            ring.dedup();
            while ring.len() > 1 && ring.first() == ring.last() {
                ring.pop();
            }
        }
        check(&rings)?;
        let mut corners = (rings[0][0], rings[0][0]);
        for point in rings.iter().flatten() {
            let (low, high) = corners;
            corners = (
                Point::new(low.x.min(point.x), low.y.min(point.y)),
                Point::new(high.x.max(point.x), high.y.max(point.y)),
            );
        }
        Ok(Self { rings, corners })
    }

    /// The exterior ring, its first point not repeated.
    #[must_use]
    pub fn exterior(&self) -> &[Point] {
        &self.rings[0]
    }

    /// The holes, as the exterior.
    #[must_use]
    pub fn holes(&self) -> &[Vec<Point>] {
        &self.rings[1..]
    }

    /// All rings, the exterior first.
    #[must_use]
    pub fn rings(&self) -> &[Vec<Point>] {
        &self.rings
    }

    /// All edges.
    pub fn edges(&self) -> impl Iterator<Item = Segment> + '_ {
        self.rings.iter().flat_map(|ring| ring_edges(ring))
    }

    /// Whether a ray of a length, in the direction of a unit vector, may come to its box, or so near it that
    /// only rounding parts them.
    #[must_use]
    pub(crate) fn may_be_met(&self, from: Point, direction: Point, reach: f64) -> bool {
        /// What a box is widened by, m. Numerical: more than rounding parts them by.
        const NEAR: f64 = 1.0;
        let (low, high) = self.corners;
        let (half_x, half_y) = (0.5 * (high.x - low.x), 0.5 * (high.y - low.y));
        let to = low.lerp(high, 0.5) - from;
        let (x, y) = (direction.x.abs(), direction.y.abs());
        let beside = half_x * y + half_y * x + NEAR;
        let before = half_x * x + half_y * y + NEAR;
        let along = to.dot(direction);
        to.cross(direction).abs() <= beside && along >= -before && along <= reach + before
    }

    /// Area without the holes, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        let size = |ring: &Vec<Point>| ring_area(ring).abs();
        2.0 * size(&self.rings[0]) - self.rings.iter().map(size).sum::<f64>()
    }
}

/// The edges of a ring whose first point is not repeated.
pub(super) fn ring_edges(ring: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    (0..ring.len()).map(|i| Segment::new(ring[i], ring[(i + 1) % ring.len()]))
}

/// The area of a ring, m², positive where it runs anticlockwise.
#[must_use]
pub fn ring_area(ring: &[Point]) -> f64 {
    let Some(&origin) = ring.first() else {
        return 0.0;
    };
    let twice: f64 = ring_edges(ring)
        .map(|edge| (edge.a - origin).cross(edge.b - origin))
        .sum();
    twice / 2.0
}

/// Whether a point is inside rings by the even-odd rule.
#[must_use]
pub fn point_in_rings<R: AsRef<[Point]>>(point: Point, rings: &[R]) -> bool {
    let mut inside = false;
    for ring in rings {
        let ring = ring.as_ref();
        let Some(&(mut a)) = ring.last() else {
            continue;
        };
        for &b in ring {
            let edge = Segment::new(a, b);
            a = b;
            let crosses = (edge.a.y <= point.y) != (edge.b.y <= point.y);
            if crosses {
                // Upwards, a point before the edge lies to its left.
                let side = edge.side_of(point);
                inside ^= if edge.a.y < edge.b.y {
                    side > 0.0
                } else {
                    side < 0.0
                };
            }
        }
    }
    inside
}

/// Whether a point is inside a polygon and outside its holes.
#[must_use]
pub(crate) fn point_in_polygon(point: Point, polygon: &Polygon) -> bool {
    let (low, high) = polygon.corners;
    // Nearly all points lie outside the box of a polygon, and what lies outside that is not in it.
    let boxed = (low.x..=high.x).contains(&point.x) && (low.y..=high.y).contains(&point.y);
    boxed && point_in_rings(point, &polygon.rings)
}

/// The distance from a point to the edge of a polygon, negative inside.
#[must_use]
pub fn polygon_distance(point: Point, polygon: &Polygon) -> f64 {
    let distance = polygon
        .edges()
        .map(|edge| edge.distance_to(point))
        .fold(f64::INFINITY, f64::min);
    if point_in_polygon(point, polygon) {
        -distance
    } else {
        distance
    }
}

/// The distance from a segment to a polygon, zero where any of it is inside.
#[must_use]
pub(crate) fn polygon_segment_distance(segment: &Segment, polygon: &Polygon) -> f64 {
    if point_in_polygon(segment.a, polygon) {
        return 0.0;
    }
    polygon
        .edges()
        .map(|edge| edge.distance_to_segment(segment))
        .fold(f64::INFINITY, f64::min)
}

/// The segments of a line through points; of a single point, one without length.
fn line_segments(line: &[Point]) -> impl Iterator<Item = Segment> + '_ {
    let single = (line.len() == 1).then(|| Segment::new(line[0], line[0]));
    line.windows(2)
        .map(|pair| Segment::new(pair[0], pair[1]))
        .chain(single)
}

/// The distance from a segment to a line through points, or to a single point; infinite where
/// there is no point.
#[must_use]
pub(crate) fn polyline_segment_distance(segment: &Segment, line: &[Point]) -> f64 {
    line_segments(line)
        .map(|part| part.distance_to_segment(segment))
        .fold(f64::INFINITY, f64::min)
}
