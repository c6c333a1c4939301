use proptest::prelude::*;

use super::super::fetch::Radial;
use super::super::plane::Point;
use super::*;
use crate::units::{Angle, FromDirection, Towards};

fn ring(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

fn square(x: f64, y: f64, side: f64) -> Vec<Point> {
    ring(&[(x, y), (x + side, y), (x + side, y + side), (x, y + side)])
}

fn segment(ax: f64, ay: f64, bx: f64, by: f64) -> Segment {
    Segment::new(Point::new(ax, ay), Point::new(bx, by))
}

/// A lake of 100 m by 100 m with an island of 20 m by 20 m in its middle.
fn lake() -> Shore {
    let polygon = Polygon::new(square(0.0, 0.0, 100.0), vec![square(40.0, 40.0, 20.0)]);
    Shore::new(vec![polygon.unwrap()]).unwrap()
}

#[test]
fn segments_meet_where_they_should() {
    let s = segment(0.0, 0.0, 10.0, 0.0);
    assert!(s.contact(&segment(5.0, -1.0, 5.0, 1.0)).is_some());
    assert!(s.contact(&segment(5.0, 0.0, 5.0, 1.0)).is_some());
    assert!(s.contact(&segment(10.0, 0.0, 20.0, 5.0)).is_some());
    assert!(s.contact(&segment(10.001, 0.0, 20.0, 0.0)).is_none());
    assert!(s.contact(&segment(4.0, 0.0, 20.0, 0.0)).is_some());
    assert!(s.contact(&segment(4.0, 0.0, 4.0, 0.0)).is_some());
    assert!(s.contact(&segment(4.0, 0.1, 4.0, 0.1)).is_none());
    assert!(segment(4.0, 0.0, 4.0, 0.0).contact(&s).is_some());
    assert!(s.contact(&segment(-1.0, 1.0, 11.0, 1.0)).is_none());
    assert!(s.overlaps(&segment(4.0, 0.0, 20.0, 0.0)));
    assert!(!s.overlaps(&segment(10.0, 0.0, 20.0, 0.0)));
    assert!((s.distance_to_segment(&segment(12.0, 3.0, 20.0, 3.0)) - 13f64.sqrt()).abs() < 1e-12);
    assert!((s.distance_to(Point::new(-3.0, 4.0)) - 5.0).abs() < 1e-12);
}

#[test]
fn rings_that_cannot_tell_inside_from_outside_are_refused() {
    let new = |exterior: Vec<Point>, holes: Vec<Vec<Point>>| Polygon::new(exterior, holes);
    // A repeated first point is left out, and so are points in a row.
    let closed = ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 0.0), (0.0, 4.0), (0.0, 0.0)]);
    let polygon = new(closed, vec![]).unwrap();
    assert_eq!(polygon.exterior().len(), 3);
    assert!((polygon.area() - 8.0).abs() < 1e-12);
    assert!(ring_area(polygon.exterior()) > 0.0);

    let bow_tie = ring(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]);
    let Err(GeometryError::Crosses { first, second, at }) = new(bow_tie, vec![]) else {
        panic!("a bow tie crosses itself");
    };
    assert_eq!((first, second), ((0, 0), (0, 2)));
    assert!(at.distance(Point::new(2.0, 2.0)) < 1e-9);

    let spike = ring(&[(0.0, 0.0), (4.0, 0.0), (8.0, 0.0), (4.0, 0.0), (4.0, 4.0)]);
    assert!(matches!(
        new(spike, vec![]),
        Err(GeometryError::Crosses { .. })
    ));
    assert_eq!(
        new(ring(&[(0.0, 0.0), (1.0, 1.0), (0.0, 0.0)]), vec![]),
        Err(GeometryError::TooFewPoints { ring: 0 })
    );
    assert_eq!(
        new(vec![], vec![]),
        Err(GeometryError::TooFewPoints { ring: 0 })
    );
    assert_eq!(
        new(
            ring(&[(0.0, 0.0), (f64::INFINITY, 1.0), (0.0, 1.0)]),
            vec![]
        ),
        Err(GeometryError::NotFinite { ring: 0 })
    );
    assert!(new(ring(&[(0.0, 0.0), (2.0, 0.0), (1.0, 0.0)]), vec![]).is_err());
    let outside = new(square(0.0, 0.0, 10.0), vec![square(20.0, 0.0, 5.0)]);
    assert_eq!(outside, Err(GeometryError::HoleOutside { ring: 1 }));
    let across = new(square(0.0, 0.0, 10.0), vec![square(8.0, 3.0, 5.0)]);
    assert!(matches!(across, Err(GeometryError::Crosses { .. })));
    // An island that touches the shore in a point is sound.
    let touching = ring(&[(0.0, 5.0), (3.0, 4.0), (3.0, 6.0)]);
    assert!(new(square(0.0, 0.0, 10.0), vec![touching]).is_ok());
    let (a, b) = (square(0.0, 0.0, 10.0), square(5.0, 5.0, 10.0));
    let two = [a, b].map(|ring| Polygon::new(ring, vec![]).unwrap());
    assert!(Shore::new(two.to_vec()).is_err());
}

#[test]
fn a_hundred_thousand_vertices_are_checked_and_indexed() {
    let n = 100_000;
    let outline: Vec<Point> = (0..n)
        .map(|i| {
            let angle = std::f64::consts::TAU * f64::from(i) / f64::from(n);
            let radius = 3000.0 + 400.0 * (17.0 * angle).sin() + 2.0 * (9000.0 * angle).sin();
            Point::new(radius * angle.cos(), radius * angle.sin())
        })
        .collect();
    let shore = Shore::new(vec![Polygon::new(outline, vec![]).unwrap()]).unwrap();
    assert!(shore.is_water(Point::ZERO));
    assert!(!shore.is_water(Point::new(3500.0, 3500.0)));
    let leg = segment(-2000.0, 0.0, 2000.0, 100.0);
    assert!(
        shore
            .segment_clearance(leg, f64::INFINITY)
            .unwrap()
            .distance
            > 500.0
    );
}

#[test]
fn water_land_and_the_way_between() {
    let shore = lake();
    let at = Point::new;
    assert!(shore.is_water(at(10.0, 50.0)));
    assert!(!shore.is_water(at(50.0, 50.0)));
    assert!(!shore.is_water(at(-1.0, 50.0)));
    assert!(!shore.is_water(at(50.0, 1e6)));
    assert!((shore.signed_distance(at(30.0, 50.0)) - 10.0).abs() < 1e-12);
    assert!((shore.signed_distance(at(50.0, 53.0)) + 7.0).abs() < 1e-12);
    assert!((shore.signed_distance(at(103.0, 104.0)) + 5.0).abs() < 1e-12);
    let nearest = shore.nearest(at(30.0, 50.0)).unwrap();
    assert!(nearest.at.distance(at(40.0, 50.0)) < 1e-12);
    assert_eq!(shore.edges()[nearest.edge], segment(40.0, 60.0, 40.0, 40.0));
    let parts = shore.land_intervals(segment(-10.0, 50.0, 90.0, 50.0));
    assert_eq!(parts.len(), 2);
    for (part, expected) in parts.iter().zip([(0.0, 0.1), (0.5, 0.7)]) {
        assert!((part.0 - expected.0).abs() < 1e-12 && (part.1 - expected.1).abs() < 1e-12);
    }
    // Along the island's edge, over its corners.
    let along = shore.land_intervals(segment(20.0, 40.0, 80.0, 40.0));
    assert!(along.len() <= 1, "{along:?}");
    let east = Towards::new(Angle::degrees(90.0));
    let first = |x: f64, reach: f64| shore.first_edge(at(x, 50.0), east, reach).map(|(d, _)| d);
    assert!((first(10.0, 1e3).unwrap() - 30.0).abs() < 1e-9);
    assert!((first(70.0, 1e3).unwrap() - 30.0).abs() < 1e-9);
    assert!(first(70.0, 29.0).is_none());
    assert!(first(101.0, 1e3).is_none());
}

#[test]
fn clearances_of_lines() {
    let shore = lake();
    let clear = |s: Segment| shore.segment_clearance(s, f64::INFINITY).unwrap();
    let past = clear(segment(30.0, 10.0, 30.0, 90.0));
    assert!((past.distance - 10.0).abs() < 1e-12, "{past:?}");
    let corner = clear(segment(20.0, 60.0, 40.0, 80.0));
    assert!((corner.distance - 10.0 * 2f64.sqrt()).abs() < 1e-9);
    assert!(corner.at.distance(Point::new(30.0, 70.0)) < 1e-9);
    // Through the middle of the island, 10 m inland at the most.
    let through = clear(segment(20.0, 50.0, 80.0, 50.0));
    assert!((through.distance + 10.0).abs() < 1e-9, "{through:?}");
    // Off the lake altogether, with the deepest point at the end.
    let ashore = clear(segment(-5.0, 50.0, -25.0, 50.0));
    assert!((ashore.distance + 25.0).abs() < 1e-9, "{ashore:?}");
    let point = clear(segment(50.0, 52.0, 50.0, 52.0));
    assert!((point.distance + 8.0).abs() < 1e-12);
    // A better one is not looked for.
    let s = segment(30.0, 10.0, 30.0, 90.0);
    assert!(shore.segment_clearance(s, 9.9).is_none());
    assert!(shore.segment_clearance(s, 10.1).is_some());
    let s = segment(20.0, 50.0, 80.0, 50.0);
    assert!(shore.segment_clearance(s, -10.5).is_none());
    assert!(shore.segment_clearance(s, -9.5).is_some());
    assert!(Shore::new(vec![]).unwrap().nearest(Point::ZERO).is_none());
}

#[test]
fn distances_to_other_shapes() {
    let polygon = Polygon::new(square(0.0, 0.0, 10.0), vec![square(4.0, 4.0, 2.0)]).unwrap();
    assert!((polygon.area() - 96.0).abs() < 1e-12);
    assert!((polygon_distance(Point::new(13.0, 5.0), &polygon) - 3.0).abs() < 1e-12);
    assert!((polygon_distance(Point::new(3.0, 5.0), &polygon) + 1.0).abs() < 1e-12);
    assert!((polygon_distance(Point::new(5.0, 5.0), &polygon) - 1.0).abs() < 1e-12);
    let outside = segment(-5.0, 12.0, 15.0, 12.0);
    assert!((polygon_segment_distance(&outside, &polygon) - 2.0).abs() < 1e-12);
    let inside = segment(1.0, 1.0, 2.0, 1.0);
    assert!(polygon_segment_distance(&inside, &polygon).abs() < 1e-12);
    let line = ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)]);
    assert!((polyline_segment_distance(&outside, &line) - 2.0).abs() < 1e-12);
    assert!(polyline_segment_distance(&outside, &[]).is_infinite());
}

/// A ragged lake about the origin with an island, turned by an angle.
fn ragged() -> impl Strategy<Value = (Vec<Point>, Vec<Point>)> {
    (
        prop::collection::vec(200.0..900.0f64, 6..60),
        prop::collection::vec(20.0..90.0f64, 3..12),
        (-80.0..80.0f64, -80.0..80.0f64),
    )
        .prop_map(|(outer, inner, (x, y))| {
            let star = |radii: &[f64], x: f64, y: f64| -> Vec<Point> {
                let n = radii.len() as f64;
                radii
                    .iter()
                    .enumerate()
                    .map(|(i, r)| {
                        let angle = std::f64::consts::TAU * i as f64 / n;
                        Point::new(x + r * angle.cos(), y + r * angle.sin())
                    })
                    .collect()
            };
            (star(&outer, 0.0, 0.0), star(&inner, x, y))
        })
}

/// The shore, or none where outline and island happen to cross.
fn shore_of(outer: &[Point], island: &[Point]) -> Option<Shore> {
    let polygon = Polygon::new(outer.to_vec(), vec![island.to_vec()]).ok()?;
    Shore::new(vec![polygon]).ok()
}

fn place() -> impl Strategy<Value = Point> {
    (-1000.0..1000.0f64, -1000.0..1000.0f64).prop_map(|(x, y)| Point::new(x, y))
}

/// A comb of long thin teeth puts so many edges into one place that cells are no help.
#[test]
fn a_comb_is_seen_through_too() {
    let mut outline = Vec::new();
    for tooth in 0..600_u32 {
        let x = f64::from(tooth) * 0.1;
        outline.extend([Point::new(x, 0.0), Point::new(x + 0.05, 900.0)]);
    }
    outline.extend([Point::new(60.0, 0.0), Point::new(60.0, 1000.0)]);
    outline.push(Point::new(0.0, 1000.0));
    let shore = Shore::new(vec![Polygon::new(outline, Vec::new()).unwrap()]).unwrap();
    let south = Towards::new(Angle::degrees(180.0));
    let from = Point::new(30.05, 950.0);
    let (onto_a_tip, _) = shore.first_edge(from, south, 1000.0).unwrap();
    assert!((onto_a_tip - 50.0).abs() < 1e-9, "{onto_a_tip}");
    let between = shore.first_edge(Point::new(30.1, 950.0), south, 1000.0);
    assert!((between.unwrap().0 - 950.0).abs() < 1e-6, "{between:?}");
}

proptest! {
    #[test]
    fn the_index_and_the_plain_loop_agree(
        (outer, island) in ragged(), points in prop::collection::vec(place(), 20),
    ) {
        let Some(shore) = shore_of(&outer, &island) else { return Ok(()); };
        for point in points {
            prop_assert_eq!(shore.is_water(point), point_in_rings(point, &[&outer, &island]));
            let plain = shore
                .edges()
                .iter()
                .map(|edge| edge.distance_to(point))
                .fold(f64::INFINITY, f64::min);
            prop_assert!((shore.distance(point) - plain).abs() < 1e-9);
        }
    }

    #[test]
    fn fetch_is_the_way_to_the_first_land(
        (outer, island) in ragged(),
        points in prop::collection::vec(place(), 20),
        degrees in prop_oneof![0.0..360.0f64, Just(0.0), Just(90.0), Just(180.0), Just(270.0)],
    ) {
        let Some(shore) = shore_of(&outer, &island) else { return Ok(()); };
        let radial = Radial::new(FromDirection::new(Angle::degrees(degrees)));
        let upwind = Towards::new(Angle::degrees(degrees));
        for point in points {
            let frame = Frame::along(Point::towards(upwind));
            let land = shore.first_by_tree(&frame, point, 50_000.0);
            let fetch = radial.fetch(&shore, point).get();
            prop_assert_eq!(fetch.to_bits(), land.map_or(50_000.0, |(distance, _)| distance).to_bits());
            let plain = shore
                .edges()
                .iter()
                .filter_map(|edge| {
                    let far = point + Point::towards(upwind).scale(50_000.0);
                    edge.contact(&Segment::new(point, far))
                })
                .map(|at| at.distance(point))
                .fold(50_000.0, f64::min);
            prop_assert!((fetch - plain).abs() < 1e-6, "{} {}", fetch, plain);
        }
    }

    #[test]
    fn lines_find_the_first_land_however_fine_the_shore(
        (outer, island) in ragged(), pieces in 1..60_u32,
        points in prop::collection::vec(place(), 20), radians in 0.0..6.3f64,
    ) {
        let cut = |ring: &[Point]| -> Vec<Point> {
            (0..ring.len())
                .flat_map(|i| {
                    let edge = Segment::new(ring[i], ring[(i + 1) % ring.len()]);
                    (0..pieces).map(move |k| edge.at(f64::from(k) / f64::from(pieces)))
                })
                .collect()
        };
        let Some(shore) = shore_of(&cut(&outer), &cut(&island)) else { return Ok(()); };
        let towards = Towards::new(Angle::radians(radians));
        let frame = Frame::along(Point::towards(towards));
        for point in points {
            for reach in [10.0, 400.0, 50_000.0] {
                // Where two edges meet, either of them may be named.
                let distance = |found: Option<(f64, usize)>| found.map(|(distance, _)| distance);
                prop_assert_eq!(
                    distance(shore.first_along(&frame, point, reach)),
                    distance(shore.first_by_tree(&frame, point, reach))
                );
            }
        }
    }

    #[test]
    fn a_clearance_is_the_least_of_dense_samples(
        (outer, island) in ragged(), a in place(), b in place(), best in -200.0..400.0f64,
    ) {
        let Some(shore) = shore_of(&outer, &island) else { return Ok(()); };
        let leg = Segment::new(a, b);
        let clearance = shore.segment_clearance(leg, f64::INFINITY).unwrap().distance;
        let count = (leg.length() / 0.25).ceil().max(1.0) as u32;
        let least = (0..=count)
            .map(|i| shore.signed_distance(leg.at(f64::from(i) / f64::from(count))))
            .fold(f64::INFINITY, f64::min);
        if least > 0.0 || clearance > 0.0 {
            // Samples 0.25 m apart are at most 0.125 m from the point that is nearest to land.
            prop_assert!(clearance <= least + 1e-9 && least - clearance <= 0.126);
        } else {
            // Both are sampled here, at 0.25 m and at 1 m.
            prop_assert!((clearance - least).abs() <= 0.63, "{clearance} {least}");
        }
        match shore.segment_clearance(leg, best) {
            Some(found) => {
                prop_assert!(found.distance < best);
                prop_assert!((found.distance - clearance).abs() < 1e-12);
                let there = shore.signed_distance(found.at);
                prop_assert!((there - found.distance).abs() < 1e-6);
            }
            None => prop_assert!(clearance >= best - 1e-9),
        }
    }

    #[test]
    fn land_and_water_alternate_along_a_line(
        (outer, island) in ragged(), a in place(), b in place(),
    ) {
        let Some(shore) = shore_of(&outer, &island) else { return Ok(()); };
        let leg = Segment::new(a, b);
        let land = shore.land_intervals(leg);
        for i in 0..=500 {
            let share = f64::from(i) / 500.0;
            let point = leg.at(share);
            if shore.distance(point) > 1e-6 {
                let inside = land.iter().any(|&(from, to)| from <= share && share <= to);
                prop_assert_eq!(inside, !shore.is_water(point));
            }
        }
    }

    #[test]
    fn turning_everything_changes_nothing_but_rounding(
        (outer, island) in ragged(), a in place(), b in place(), turn in 0.0..6.2f64,
    ) {
        let turned = |ring: &[Point]| -> Vec<Point> {
            ring.iter().map(|point| point.rotated(turn)).collect()
        };
        let (Some(shore), Some(other)) =
            (shore_of(&outer, &island), shore_of(&turned(&outer), &turned(&island)))
        else {
            return Ok(());
        };
        let clearance = |shore: &Shore, a: Point, b: Point| {
            shore.segment_clearance(Segment::new(a, b), f64::INFINITY).unwrap().distance
        };
        let here = clearance(&shore, a, b);
        let there = clearance(&other, a.rotated(turn), b.rotated(turn));
        prop_assert!((here - there).abs() < 1e-6, "{here} {there}");
    }
}

/// Teeth that lean over one another without meeting: each one's box meets every other's, so that
/// the pairs grow with the square of the teeth (counted here: n²/2 and more).
#[test]
fn teeth_without_number_are_not_compared_without_end() {
    let teeth = 1_000_u32;
    let mut ring: Vec<Point> = Vec::new();
    for tooth in 0..teeth {
        let at = f64::from(tooth) * 0.1;
        ring.push(Point::new(at, 0.0));
        ring.push(Point::new(at + 1e5, 1e5));
        ring.push(Point::new(at + 1e5 + 0.04, 1e5));
        ring.push(Point::new(at + 0.04, 0.0));
    }
    ring.push(Point::new(f64::from(teeth) * 0.1, -1.0));
    ring.push(Point::new(0.0, -1.0));
    let within = |most| super::validity::check_crossings_within(&[ring.clone()], most);
    assert_eq!(within(300_000), Err(GeometryError::Crowded));
    assert_eq!(within(100_000_000), Ok(()));
}
