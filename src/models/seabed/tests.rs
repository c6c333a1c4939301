use super::*;
use crate::models::geometry::Segment;
use proptest::prelude::*;

fn m(value: f64) -> Length {
    Length::metres(value)
}
fn segment(a: (f64, f64), b: (f64, f64)) -> Segment {
    Segment::new(Point::new(a.0, a.1), Point::new(b.0, b.1))
}
fn soundings(points: &[(f64, f64, f64)]) -> Vec<Sounding> {
    points
        .iter()
        .map(|&(x, y, depth)| Sounding {
            at: Point::new(x, y),
            depth: m(depth),
        })
        .collect()
}
const ANY: Length = Length::metres(f64::INFINITY);

/// Eleven soundings of an invented bay.
const BAY: [(f64, f64, f64); 11] = [
    (0.0, 0.0, 1.2),
    (40.0, 5.0, 2.9),
    (85.0, -3.0, 3.4),
    (12.0, 38.0, 2.1),
    (50.0, 44.0, 5.6),
    (90.0, 41.0, 4.2),
    (-6.0, 81.0, 0.8),
    (37.0, 79.0, 3.3),
    (78.0, 88.0, 2.7),
    (61.0, 20.0, 0.9),
    (25.0, 22.0, 4.4),
];

fn bay() -> Triangles {
    Triangles::new(&soundings(&BAY), ANY).unwrap()
}

/// The open Python package scipy 1.17, `LinearNDInterpolator`.
#[test]
fn depths_between_soundings() {
    for (x, y, depth) in [
        (20.0, 10.0, 2.899_337_748),
        (45.0, 30.0, 3.869_833_729),
        (70.0, 60.0, 4.171_149_675),
        (58.0, 22.0, 1.476_247_031),
        (10.0, 70.0, 1.791_891_892),
        (80.0, 10.0, 2.926_131_512),
        (30.0, 50.0, 3.485_369_318),
    ] {
        let got = bay().depth_at(Point::new(x, y)).unwrap().get();
        assert!((got - depth).abs() < 1e-8, "{x} {y}: {got}");
    }
    for &(x, y, depth) in &BAY {
        let got = bay().depth_at(Point::new(x, y)).unwrap().get();
        assert!((got - depth).abs() < 1e-9);
    }
    for (x, y) in [(-20.0, 0.0), (95.0, 90.0), (f64::NAN, 0.0)] {
        assert_eq!(bay().depth_at(Point::new(x, y)), None);
    }
}

/// The open Python package scipy 1.17: the least of 200 001 depths along the line by
/// `LinearNDInterpolator`.
#[test]
fn the_least_depth_along_a_line() {
    for (a, b, depth) in [
        ((5.0, 3.0), (80.0, 80.0), 1.681_457),
        ((2.0, 60.0), (85.0, 25.0), 1.376_833),
        ((30.0, 10.0), (70.0, 15.0), 1.488_943),
    ] {
        let strip = bay().least_depth(segment(a, b), m(0.0));
        let least = strip.least_of_all().unwrap();
        // The strip is 2 cm wide, over a bed that rises by less than 1 in 5.
        assert!((least.depth.get() - depth).abs() < 4e-3, "{least:?}");
        assert!(least.depth.get() <= depth + 1e-6);
        let there = bay().depth_at(least.at).unwrap();
        assert!((there - least.depth).get().abs() < 1e-9);
    }
}

#[test]
fn a_shoal_within_the_strip_counts() {
    // The shoal of 0.9 m at (61, 20) lies 5 m off this line.
    let line = segment((30.0, 15.0), (75.0, 15.0));
    let narrow = bay().least_depth(line, m(4.0)).least_of_all().unwrap();
    let wide = bay().least_depth(line, m(5.0)).least_of_all().unwrap();
    assert!(narrow.depth.get() > 0.95, "{narrow:?}");
    assert!((wide.depth.get() - 0.9).abs() < 1e-9);
    assert!(wide.at.distance(Point::new(61.0, 20.0)) < 1e-9);
}

#[test]
fn what_lies_outside_is_unknown() {
    let out = bay().least_depth(segment((40.0, 40.0), (40.0, 140.0)), m(1.0));
    assert!(!out.is_known() && out.least_of_all().is_none());
    assert!(out.least.is_some());
    assert!((0.3..0.5).contains(&out.known.get()), "{out:?}");
    let far = bay().least_depth(segment((400.0, 400.0), (500.0, 400.0)), m(1.0));
    assert_eq!(far.least, None);
    assert_eq!(far.known, Ratio::ZERO);
    let bad = bay().least_depth(segment((f64::NAN, 0.0), (1.0, 1.0)), m(1.0));
    assert!(!bad.is_known());
    // A point: the strip about a segment without length.
    let point = bay().least_depth(segment((45.0, 30.0), (45.0, 30.0)), m(0.0));
    assert!((point.least_of_all().unwrap().depth.get() - 3.87).abs() < 0.01);
}

#[test]
fn long_triangles_are_no_bed_but_their_soundings_count() {
    let mut points = BAY.to_vec();
    // A lone rock 150 m off the others.
    points.push((240.0, 20.0, 0.2));
    let bed = Triangles::new(&soundings(&points), m(60.0)).unwrap();
    assert!(bed.depth_at(Point::new(45.0, 30.0)).is_some());
    assert_eq!(bed.depth_at(Point::new(150.0, 25.0)), None);
    let over = bed.least_depth(segment((80.0, 20.0), (250.0, 20.0)), m(2.0));
    assert!(!over.is_known());
    assert!((over.least.unwrap().depth.get() - 0.2).abs() < 1e-12);
    let bridged = Triangles::new(&soundings(&points), ANY).unwrap();
    assert!(bridged.depth_at(Point::new(150.0, 25.0)).is_some());
}

#[test]
fn the_shallowest_of_several_at_one_place_counts() {
    let mut points = BAY.to_vec();
    points.extend([(50.0, 44.0, 9.9), (50.0, 44.0, 0.5), (-0.0, 0.0, 5.0)]);
    let bed = Triangles::new(&soundings(&points), ANY).unwrap();
    let depth = |x, y| bed.depth_at(Point::new(x, y)).unwrap().get();
    assert!((depth(50.0, 44.0) - 0.5).abs() < 1e-9);
    assert!((depth(0.0, 0.0) - 1.2).abs() < 1e-9);
}

#[test]
fn what_makes_no_bed_is_refused() {
    let new = |points: &[(f64, f64, f64)], edge: f64| {
        Triangles::new(&soundings(points), m(edge)).unwrap_err()
    };
    let line = [
        (0.0, 0.0, 1.0),
        (1.0, 1.0, 1.0),
        (2.0, 2.0, 1.0),
        (3.0, 3.0, 1.0),
    ];
    for points in [&line[..], &line[..2], &[]] {
        assert!(matches!(new(points, 50.0), SeabedError::NoTriangle(_)));
    }
    assert!(matches!(new(&BAY, 1.0), SeabedError::NoTriangle(_)));
    for edge in [0.0, -1.0, f64::NAN] {
        assert!(matches!(new(&BAY, edge), SeabedError::Edge(_)));
    }
    for bad in [f64::NAN, f64::INFINITY, 1e9] {
        for i in 0..3 {
            let mut points = BAY;
            let point = &mut points[4];
            *[&mut point.0, &mut point.1, &mut point.2][i] = bad;
            assert_eq!(new(&points, 50.0), SeabedError::NotFinite(4));
        }
    }
    // Tiny coordinates are no reason to refuse.
    let mut points = BAY;
    points[0].0 = 1e-200;
    assert!(Triangles::new(&soundings(&points), ANY).is_ok());
    let many = vec![soundings(&BAY)[0]; MOST_SOUNDINGS + 1];
    assert_eq!(
        Triangles::new(&many, ANY).unwrap_err(),
        SeabedError::TooMany(MOST_SOUNDINGS + 1)
    );
}

/// Ten thousand soundings of a sloping bed, and as many questions: answered through an index.
#[test]
fn ten_thousand_questions_of_ten_thousand_soundings() {
    let bed = |x: f64, y: f64| 3.0 + 0.004 * x - 0.002 * y;
    let points: Vec<(f64, f64, f64)> = (0..10_000)
        .map(|i| {
            // Points spread evenly, by the two irrational steps of Roberts's sequence.
            let n = f64::from(i);
            let x = (n * 0.754_877_666_2).fract() * 1000.0;
            let y = (n * 0.569_840_290_9).fract() * 1000.0;
            (x, y, bed(x, y))
        })
        .collect();
    let surface = Triangles::new(&soundings(&points), m(60.0)).unwrap();
    for i in 0..10_000 {
        let n = f64::from(i);
        let (x, y) = (
            50.0 + (n * 0.618).fract() * 850.0,
            50.0 + (n * 0.414).fract() * 850.0,
        );
        let depth = surface.depth_at(Point::new(x, y)).unwrap().get();
        assert!((depth - bed(x, y)).abs() < 1e-6);
        let strip = surface.least_depth(segment((x, y), (x + 25.0, y + 20.0)), m(3.0));
        let least = strip.least_of_all().unwrap();
        // The bed is a plane: shallowest at the strip's corner up the slope.
        let slope = Point::new(0.004, -0.002);
        let along = Point::new(25.0, 20.0).unit().unwrap();
        let across = Point::new(-along.y, along.x);
        let rise = 3.0 * (slope.dot(along).abs() + slope.dot(across).abs());
        let expected = bed(x, y).min(bed(x + 25.0, y + 20.0)) - rise;
        assert!(
            (least.depth.get() - expected).abs() < 1e-6,
            "{least:?} {expected}"
        );
    }
}

fn scattered() -> impl Strategy<Value = Vec<Sounding>> {
    prop::collection::vec((-50.0..50.0f64, -50.0..50.0f64, -1.0..8.0f64), 8..60)
        .prop_map(|points| soundings(&points))
}

proptest! {
    #[test]
    fn no_point_of_a_strip_is_shallower_than_its_least(
        points in scattered(), a in (-40.0..40.0f64, -40.0..40.0f64),
        b in (-40.0..40.0f64, -40.0..40.0f64), half in 0.1..8.0f64,
        shares in prop::collection::vec((0.0..1.0f64, -1.0..1.0f64), 40),
    ) {
        let bed = Triangles::new(&points, ANY).unwrap();
        let line = segment(a, b);
        let strip = bed.least_depth(line, m(half));
        let across = (line.b - line.a).unit().unwrap().rotated(std::f64::consts::FRAC_PI_2);
        for (along, off) in shares {
            let point = line.at(along) + across.scale(off * half);
            match bed.depth_at(point) {
                Some(depth) => prop_assert!(strip.least.unwrap().depth.get() <= depth.get() + 1e-6),
                None => prop_assert!(!strip.is_known()),
            }
        }
        for sounding in &points {
            if line.distance_to(sounding.at) <= half {
                prop_assert!(strip.least.unwrap().depth <= sounding.depth);
            }
        }
    }

    #[test]
    fn depths_lie_between_those_of_the_soundings(points in scattered(), x in -50.0..50.0f64, y in -50.0..50.0f64) {
        let bed = Triangles::new(&points, ANY).unwrap();
        if let Some(depth) = bed.depth_at(Point::new(x, y)) {
            let low = points.iter().map(|s| s.depth.get()).fold(f64::INFINITY, f64::min);
            let high = points.iter().map(|s| s.depth.get()).fold(f64::NEG_INFINITY, f64::max);
            prop_assert!((low - 1e-9..=high + 1e-9).contains(&depth.get()));
        }
    }

}
