//! Held against the library `geo`, which shares no line with this but the predicates, and against whole
//! numbers.

use geo::{Area as _, Contains as _, Distance as _, Euclidean, Validation as _};
use proptest::prelude::*;

use super::super::plane::Point;
use super::*;

fn theirs(rings: &[Vec<Point>]) -> geo::Polygon {
    let line = |ring: &Vec<Point>| -> geo::LineString {
        let closed = ring.iter().chain(ring.first());
        let coords = closed.map(|point| geo::Coord::from((point.x, point.y)));
        coords.collect()
    };
    let holes = rings[1..].iter().map(line).collect();
    geo::Polygon::new(line(&rings[0]), holes)
}

fn their_point(point: Point) -> geo::Point {
    geo::Point::new(point.x, point.y)
}

/// 2⁻⁴¹ m, the step that coordinates of the tests below stand on: within some 2 km every difference of
/// two is then exact.
const STEP: f64 = 1.0 / (1_u64 << 41) as f64;

fn on_steps(point: Point) -> Point {
    Point::new(
        (point.x / STEP).round() * STEP,
        (point.y / STEP).round() * STEP,
    )
}

/// On which side of a segment a point lies, in whole steps.
fn side_in_whole_numbers(segment: &Segment, point: Point) -> i128 {
    let whole = |from: Point, to: Point| {
        let steps = |difference: f64| (difference / STEP) as i128;
        (steps(to.x - from.x), steps(to.y - from.y))
    };
    let (along, across) = (whole(segment.a, segment.b), whole(segment.a, point));
    (along.0 * across.1 - along.1 * across.0).signum()
}

fn place() -> impl Strategy<Value = Point> {
    (-1000.0..1000.0f64, -1000.0..1000.0f64).prop_map(|(x, y)| on_steps(Point::new(x, y)))
}

proptest! {
    /// A point on an edge, but for the rounding of its coordinates, is what a sum of rounded products is
    /// wrong about in one case of seven.
    #[test]
    fn whether_edges_meet_is_decided_exactly(
        (a, b, c) in (place(), place(), place()),
        share in 0.0..1.0f64,
    ) {
        let edge = Segment::new(a, b);
        let near = on_steps(edge.at(share));
        let other = Segment::new(near, c);
        let of = |segment: &Segment, point: Point| {
            let side = segment.side_of(point);
            i128::from(side > 0.0) - i128::from(side < 0.0)
        };
        for (segment, point) in [(&edge, near), (&edge, c), (&other, a), (&other, b)] {
            prop_assert_eq!(of(segment, point), side_in_whole_numbers(segment, point));
        }
        let apart = |segment: &Segment, one, two| {
            let sides = side_in_whole_numbers(segment, one) * side_in_whole_numbers(segment, two);
            sides > 0
        };
        let meet = !apart(&edge, near, c) && !apart(&other, a, b);
        let at = edge.contact(&other);
        prop_assert_eq!(at.is_some(), meet);
        if let Some(at) = at {
            prop_assert!(edge.distance_to(at) < 1e-9 && other.distance_to(at) < 1e-9);
        }
    }

    /// Corners of a small lattice, so that rings touch, cross and run over themselves. What encloses no area
    /// is valid there and refused here.
    #[test]
    fn a_ring_is_sound_where_geo_calls_it_valid_and_it_encloses_something(
        corners in prop::collection::vec((0..6u8, 0..6u8), 3..9),
        (x, y) in (0.0..6.0f64, 0.0..6.0f64),
    ) {
        let corners = corners.iter();
        let ring: Vec<Point> = corners.map(|&(x, y)| Point::new(x.into(), y.into())).collect();
        let theirs = theirs(std::slice::from_ref(&ring));
        let sound = Polygon::new(ring.clone(), Vec::new()).is_ok();
        prop_assert_eq!(sound, theirs.is_valid() && theirs.unsigned_area() > 1e-9);
        prop_assert!((ring_area(&ring) - theirs.signed_area()).abs() < 1e-9);
        if sound {
            let point = Point::new(x, y);
            let inside = theirs.contains(&their_point(point));
            prop_assert_eq!(point_in_rings(point, &[ring]), inside);
        }
    }

    #[test]
    fn a_shore_has_the_distances_of_geo(
        reaches in prop::collection::vec(200.0..900.0f64, 6..60),
        island in 20.0..120.0f64,
        (from, to) in (place(), place()),
    ) {
        let round = |count: usize, reach: &dyn Fn(usize) -> f64| -> Vec<Point> {
            let each = |number: usize| {
                let angle = std::f64::consts::TAU * number as f64 / count as f64;
                Point::new(angle.cos() * reach(number), angle.sin() * reach(number))
            };
            (0..count).map(each).collect()
        };
        let rings = [
            round(reaches.len(), &|number| reaches[number]),
            round(7, &|_| island / 2.0),
        ];
        let theirs = theirs(&rings);
        let ours = Polygon::new(rings[0].clone(), vec![rings[1].clone()]);
        prop_assert_eq!(ours.is_ok(), theirs.is_valid());
        let Ok(ours) = ours else { return Ok(()) };
        prop_assert!((ours.area() - theirs.unsigned_area()).abs() < 1e-6);
        let shore = Shore::new(vec![ours.clone()]).unwrap();
        let leg = Segment::new(from, to);
        let line = geo::Line::new((from.x, from.y), (to.x, to.y));
        let rings = || std::iter::once(theirs.exterior()).chain(theirs.interiors());
        let least = |distances: &mut dyn Iterator<Item = f64>| distances.fold(f64::INFINITY, f64::min);
        let land = least(&mut rings().map(|ring| Euclidean.distance(&their_point(from), ring)));
        let in_water = theirs.contains(&their_point(from));
        let signed = if in_water { land } else { -land };
        prop_assert!((shore.signed_distance(from) - signed).abs() < 1e-6);
        prop_assert!((polygon_distance(from, &ours) + signed).abs() < 1e-6);
        let apart = least(&mut rings().map(|ring| Euclidean.distance(&line, ring)));
        if in_water && apart > 0.0 {
            let clearance = shore.segment_clearance(leg, f64::INFINITY).unwrap();
            prop_assert!((clearance.distance - apart).abs() < 1e-6);
        }
    }
}
