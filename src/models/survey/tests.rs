use super::*;
use crate::models::geometry::{Polygon, point_in_rings};
use crate::units::Angle;
use proptest::prelude::*;

fn ring(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

fn plan(
    area: &[Vec<Point>],
    degrees: f64,
    spacing: f64,
    land: Option<(&Shore, f64)>,
    start: Point,
) -> Vec<Segment> {
    sounding_lines(
        area,
        Towards::new(Angle::degrees(degrees)),
        Length::metres(spacing),
        land.map(|(shore, distance)| (shore, Length::metres(distance))),
        start,
    )
    .unwrap()
}

fn rectangle() -> Vec<Vec<Point>> {
    vec![ring(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 60.0),
        (0.0, 60.0),
    ])]
}

fn near(a: Point, x: f64, y: f64) -> bool {
    a.distance(Point::new(x, y)) < 1e-9
}

#[test]
fn a_rectangle_is_run_in_turning_rows_from_the_nearest_corner() {
    let lines = plan(&rectangle(), 0.0, 20.0, None, Point::new(101.0, 70.0));
    assert_eq!(lines.len(), 5);
    assert!(near(lines[0].a, 90.0, 60.0) && near(lines[0].b, 90.0, 0.0));
    assert!(near(lines[1].a, 70.0, 0.0) && near(lines[1].b, 70.0, 60.0));
    assert!(near(lines[4].b, 10.0, 0.0));
}

#[test]
fn ties_go_to_the_lower_line_and_then_to_the_lower_end() {
    let lines = plan(&rectangle(), 0.0, 20.0, None, Point::new(50.0, 30.0));
    assert!(near(lines[0].a, 10.0, 0.0), "{:?}", lines[0]);
    let turned = plan(&rectangle(), 180.0, 20.0, None, Point::new(50.0, 30.0));
    assert!(near(turned[0].a, 90.0, 60.0), "{:?}", turned[0]);
}

#[test]
fn a_concave_area_is_run_one_arm_after_the_other() {
    // A U open to the north, lines from west to east.
    let u = vec![ring(&[
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 100.0),
        (60.0, 100.0),
        (60.0, 40.0),
        (30.0, 40.0),
        (30.0, 100.0),
        (0.0, 100.0),
    ])];
    let lines = plan(&u, 90.0, 10.0, None, Point::new(0.0, 120.0));
    // Four lines in the foot, six in each arm.
    assert_eq!(lines.len(), 16);
    let arm = |line: &Segment| match (line.a.y > 40.0, line.a.x < 45.0) {
        (false, _) => 'f',
        (true, true) => 'w',
        (true, false) => 'e',
    };
    let order: String = lines.iter().map(arm).collect();
    assert_eq!(order, "wwwwwwffffeeeeee");
    for line in &lines {
        assert!(point_in_rings(line.at(0.5), &u));
        assert!((line.a.y - line.b.y).abs() < 1e-9);
    }
}

#[test]
fn an_island_splits_the_lines_and_is_kept_clear_of() {
    let outer = ring(&[
        (-10.0, -10.0),
        (210.0, -10.0),
        (210.0, 110.0),
        (-10.0, 110.0),
    ]);
    let island = ring(&[(90.0, 40.0), (110.0, 40.0), (110.0, 60.0), (90.0, 60.0)]);
    let shore = Shore::new(vec![Polygon::new(outer, vec![island]).unwrap()]).unwrap();
    let area = vec![ring(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (0.0, 100.0),
    ])];
    let lines = plan(&area, 90.0, 5.0, Some((&shore, 8.0)), Point::ZERO);
    let mut split = 0;
    for line in &lines {
        let clearance = shore.segment_clearance(*line, f64::INFINITY).unwrap();
        assert!(clearance.distance >= 8.0 - 1e-9, "{clearance:?}");
        if line.length() < 150.0 {
            split += 1;
        }
    }
    // Lines at 2.5 + 5 k between 32 m and 68 m are in two.
    assert_eq!(split, 2 * 8);
    assert_eq!(lines.len(), 20 + 8);
    // The rounded corner of the strip: at 2.5 m past the island's edge, 8 m off its corner.
    let corner = lines
        .iter()
        .find(|line| (line.a.y - 62.5).abs() < 1e-9 && line.a.x.max(line.b.x) < 100.0)
        .unwrap();
    let expected = 90.0 - (64.0_f64 - 6.25).sqrt();
    assert!((corner.a.x.max(corner.b.x) - expected).abs() < 1e-9);
}

#[test]
fn an_area_on_land_has_no_lines_where_land_is_kept_off() {
    let lake = ring(&[(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)]);
    let shore = Shore::new(vec![Polygon::new(lake, vec![]).unwrap()]).unwrap();
    let area = [ring(&[
        (100.0, 0.0),
        (150.0, 0.0),
        (150.0, 50.0),
        (100.0, 50.0),
    ])];
    let lines = sounding_lines(
        &area,
        Towards::default(),
        Length::metres(5.0),
        Some((&shore, Length::metres(3.0))),
        Point::ZERO,
    );
    assert_eq!(lines, Err(SurveyError::None));
}

#[test]
fn what_cannot_be_filled_is_refused() {
    let fill = |area: &[Vec<Point>], spacing: f64| {
        sounding_lines(
            area,
            Towards::default(),
            Length::metres(spacing),
            None,
            Point::ZERO,
        )
    };
    assert_eq!(fill(&rectangle(), 0.009), Err(SurveyError::TooMany));
    assert_eq!(fill(&rectangle(), 1e-300), Err(SurveyError::TooMany));
    assert_eq!(fill(&rectangle(), 500.0), Err(SurveyError::None));
    assert_eq!(fill(&[], 5.0), Err(SurveyError::Outline));
    assert_eq!(
        fill(&[ring(&[(0.0, f64::NAN), (1.0, 0.0), (1.0, 1.0)])], 5.0),
        Err(SurveyError::Outline)
    );
    for spacing in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            fill(&rectangle(), spacing),
            Err(SurveyError::Spacing(_))
        ));
    }
}

/// A star-shaped ring about the origin.
fn star() -> impl Strategy<Value = Vec<Point>> {
    prop::collection::vec(20.0..200.0f64, 5..14).prop_map(|radii| {
        let n = radii.len() as f64;
        radii
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let angle = std::f64::consts::TAU * i as f64 / n;
                Point::new(r * angle.cos(), r * angle.sin())
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn lines_lie_in_the_area_and_a_spacing_apart(
        outline in star(), degrees in 0.0..360.0f64, spacing in 3.0..30.0f64,
    ) {
        let area = vec![outline];
        let lines = plan(&area, degrees, spacing, None, Point::new(300.0, 0.0));
        let direction = Point::towards(Towards::new(Angle::degrees(degrees)));
        let frame = Frame::along(direction);
        let (u0, _) = frame.coordinates(lines[0].a);
        for line in &lines {
            prop_assert!(line.length() >= LEAST_PART - 1e-9);
            for share in [0.001, 0.25, 0.5, 0.75, 0.999] {
                prop_assert!(point_in_rings(line.at(share), &area));
            }
            let (u, v) = frame.coordinates(line.a);
            let (u_end, v_end) = frame.coordinates(line.b);
            prop_assert!((u - u_end).abs() < 1e-9);
            let steps = (u - u0) / spacing;
            prop_assert!((steps - steps.round()).abs() < 1e-6);
            // A line runs along or against the direction, never across.
            prop_assert!((v_end - v).abs() > 0.9);
        }
        // Together they are as long as the area over the spacing, as far as the outline's
        // corners allow.
        let total: f64 = lines.iter().map(Segment::length).sum();
        let whole = crate::models::geometry::ring_area(&area[0]).abs() / spacing;
        prop_assert!((total - whole).abs() < 0.2 * whole + 200.0);
    }

    #[test]
    fn turning_everything_turns_the_lines(
        outline in star(), degrees in 0.0..360.0f64, turn in 0.0..6.0f64,
    ) {
        let start = Point::new(311.0, -57.0);
        let lines = plan(std::slice::from_ref(&outline), degrees, 11.0, None, start);
        let turned: Vec<Point> = outline.iter().map(|p| p.rotated(turn)).collect();
        let again = plan(
            &[turned], degrees + turn.to_degrees(), 11.0, None, start.rotated(turn),
        );
        prop_assert_eq!(lines.len(), again.len());
        for (a, b) in lines.iter().zip(&again) {
            prop_assert!(a.a.rotated(turn).distance(b.a) < 1e-6);
            prop_assert!(a.b.rotated(turn).distance(b.b) < 1e-6);
        }
    }
}
