//! How long questions of geometry take here, and how long in the library `geo`: what is kept of our own
//! lines is kept for this.

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use geo::coordinate_position::{CoordPos, coord_pos_relative_to_ring};
use geo::line_intersection::line_intersection;
use geo::{Area as _, Contains as _, Distance as _, Euclidean, Validation as _};
use offing::door::models::geometry::{
    Polygon, Segment, Shore, point_in_rings, polygon_distance, ring_area,
};
use offing::door::models::plane::Point;

/// A ragged outline about a point, of so many vertices; a function of the bearing, so that it cannot cross
/// itself.
fn outline(about: Point, radius: f64, vertices: u32) -> Vec<Point> {
    (0..vertices)
        .map(|number| {
            let angle = TAU * f64::from(number) / f64::from(vertices);
            let reach = 1.0 + 0.12 * (17.0 * angle).sin() + 0.03 * (101.0 * angle + 1.0).sin();
            about + Point::new(angle.cos() * radius * reach, angle.sin() * radius * reach)
        })
        .collect()
}

fn line_string(ring: &[Point]) -> geo::LineString {
    let closed = ring.iter().chain(ring.first());
    closed
        .map(|point| geo::Coord::from((point.x, point.y)))
        .collect()
}

/// The same lake twice: 3 km about, an island of a tenth of its vertices in it.
fn lake(vertices: u32) -> (Vec<Vec<Point>>, geo::Polygon) {
    let rings = vec![
        outline(Point::ZERO, 3000.0, vertices),
        outline(Point::new(700.0, -300.0), 200.0, vertices / 10),
    ];
    let theirs = geo::Polygon::new(line_string(&rings[0]), vec![line_string(&rings[1])]);
    (rings, theirs)
}

/// Points over the lake and beyond it, the same on every run.
fn points() -> Vec<Point> {
    (0..256)
        .map(|number| {
            let angle = 2.399_963 * f64::from(number);
            let reach = 3600.0 * (f64::from(number) / 256.0).sqrt();
            Point::new(angle.cos() * reach, angle.sin() * reach)
        })
        .collect()
}

fn their_point(point: Point) -> geo::Point {
    geo::Point::new(point.x, point.y)
}

fn their_line(segment: Segment) -> geo::Line {
    geo::Line::new((segment.a.x, segment.a.y), (segment.b.x, segment.b.y))
}

/// Questions asked of a shoreline for every sample of a route and every way of a boat adrift.
fn shore(c: &mut Criterion) {
    for vertices in [1_000, 20_000] {
        let (rings, theirs) = lake(vertices);
        let ours = Polygon::new(rings[0].clone(), vec![rings[1].clone()]).expect("sound");
        let ours = Shore::new(vec![ours]).expect("sound");
        let points = points();
        let legs: Vec<Segment> = points
            .iter()
            .map(|&a| Segment::new(a, a + Point::new(60.0, 45.0)))
            .collect();
        // The two say the same of every one.
        for (&point, &leg) in points.iter().zip(&legs) {
            assert_eq!(ours.is_water(point), theirs.contains(&their_point(point)));
            let distance = ours.signed_distance(point).abs();
            assert!((distance - land(&theirs, their_point(point))).abs() < 1e-6);
            let clearance = ours.segment_clearance(leg, f64::INFINITY).expect("a shore");
            let apart = apart(&theirs, their_line(leg));
            assert!(clearance.distance < 0.0 || (clearance.distance - apart).abs() < 1e-6);
        }
        let mut group = c.benchmark_group(format!("shore of {vertices}"));
        let mut next = points.iter().copied().cycle();
        let mut point = || next.next().unwrap_or_default();
        group.bench_function("in water, ours", |b| {
            b.iter(|| ours.is_water(black_box(point())));
        });
        group.bench_function("in water, geo", |b| {
            b.iter(|| theirs.contains(&their_point(black_box(point()))));
        });
        group.bench_function("distance to land, ours", |b| {
            b.iter(|| ours.signed_distance(black_box(point())));
        });
        group.bench_function("distance to land, geo", |b| {
            b.iter(|| land(&theirs, their_point(black_box(point()))));
        });
        let mut next = legs.iter().copied().cycle();
        let mut leg = || next.next().expect("some");
        group.bench_function("clearance of a leg, ours", |b| {
            b.iter(|| ours.segment_clearance(black_box(leg()), f64::INFINITY));
        });
        group.bench_function("clearance of a leg, geo", |b| {
            b.iter(|| apart(&theirs, their_line(black_box(leg()))));
        });
        group.finish();
    }
}

/// Distance from a point to the nearest ring; that to the polygon is nil inside it.
fn land(lake: &geo::Polygon, point: geo::Point) -> f64 {
    let rings = std::iter::once(lake.exterior()).chain(lake.interiors());
    let distances = rings.map(|ring| Euclidean.distance(&point, ring));
    distances.fold(f64::INFINITY, f64::min)
}

fn apart(lake: &geo::Polygon, line: geo::Line) -> f64 {
    let rings = std::iter::once(lake.exterior()).chain(lake.interiors());
    let distances = rings.map(|ring| Euclidean.distance(&line, ring));
    distances.fold(f64::INFINITY, f64::min)
}

/// Questions asked of keep-out areas, currents and single edges.
fn shapes(c: &mut Criterion) {
    let ring = outline(Point::ZERO, 2500.0, 8);
    let ours = Polygon::new(ring.clone(), Vec::new()).expect("sound");
    let theirs = geo::Polygon::new(line_string(&ring), Vec::new());
    let points = points();
    let mut next = points.iter().copied().cycle();
    let mut point = || next.next().unwrap_or_default();
    let mut group = c.benchmark_group("shapes");
    group.bench_function("distance to an area of 8 corners, ours", |b| {
        b.iter(|| polygon_distance(black_box(point()), &ours));
    });
    group.bench_function("distance to an area of 8 corners, geo", |b| {
        b.iter(|| {
            let point = their_point(black_box(point()));
            let distance = land(&theirs, point);
            if theirs.contains(&point) {
                -distance
            } else {
                distance
            }
        });
    });
    let rings = [ring];
    group.bench_function("in an area of 8 corners, ours", |b| {
        b.iter(|| point_in_rings(black_box(point()), &rings));
    });
    group.bench_function("in an area of 8 corners, geo", |b| {
        b.iter(|| {
            let point = their_point(black_box(point()));
            coord_pos_relative_to_ring(point.into(), theirs.exterior()) == CoordPos::Inside
        });
    });
    let edges: Vec<Segment> = points
        .windows(2)
        .map(|pair| Segment::new(pair[0], pair[1]))
        .collect();
    let mut pairs = edges.iter().zip(edges.iter().skip(7)).cycle();
    let mut pair = || pairs.next().expect("some");
    group.bench_function("where two edges meet, ours", |b| {
        b.iter(|| {
            let (one, other) = black_box(pair());
            one.contact(other)
        });
    });
    group.bench_function("where two edges meet, geo", |b| {
        b.iter(|| {
            let (one, other) = black_box(pair());
            line_intersection(their_line(*one), their_line(*other))
        });
    });
    group.finish();
}

/// What is asked of each outline once, as it is read.
fn outlines(c: &mut Criterion) {
    let mut group = c.benchmark_group("outlines");
    group.sample_size(10);
    for vertices in [1_000, 20_000] {
        let (rings, theirs) = lake(vertices);
        assert!(theirs.is_valid());
        group.bench_function(format!("soundness of {vertices}, ours"), |b| {
            b.iter(|| Polygon::new(rings[0].clone(), vec![rings[1].clone()]).is_ok());
        });
        group.bench_function(format!("soundness of {vertices}, geo"), |b| {
            b.iter(|| black_box(&theirs).is_valid());
        });
        assert!((ring_area(&rings[0]) - ring_area_of(&line_string(&rings[0]))).abs() < 1e-3);
        group.bench_function(format!("area of {vertices}, ours"), |b| {
            b.iter(|| ring_area(black_box(&rings[0])));
        });
        group.bench_function(format!("area of {vertices}, geo"), |b| {
            b.iter(|| ring_area_of(&line_string(black_box(&rings[0]))));
        });
    }
    group.finish();
}

fn ring_area_of(ring: &geo::LineString) -> f64 {
    geo::Polygon::new(ring.clone(), Vec::new()).signed_area()
}

criterion_group!(benches, shore, shapes, outlines);
criterion_main!(benches);
