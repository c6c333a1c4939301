//! Shorelines out of outlines and lines, and what no shoreline comes of.

use proptest::prelude::*;

use super::*;
use crate::models::geometry::point_in_rings;

fn options() -> ShorelineOptions {
    ShorelineOptions {
        crs: None,
        tolerance: None,
        join: Length::ZERO,
        open: Vec::new(),
        keep: Vec::new(),
    }
}

/// Positions about a place, in steps of a ten-thousandth of a degree: 11 m to the north, 7 m to the east.
fn row(steps: &[(i32, i32)]) -> String {
    let all: Vec<String> = steps
        .iter()
        .map(|(x, y)| {
            format!(
                "[{:.4}, {:.4}]",
                -24.0 + f64::from(*x) * 1e-4,
                52.0 + f64::from(*y) * 1e-4
            )
        })
        .collect();
    all.join(",\n")
}

fn feature(kind: &str, coordinates: &str) -> String {
    format!(
        "{{ \"type\": \"Feature\", \"properties\": {{}}, \"geometry\": {{ \"type\": \"{kind}\", \"coordinates\": \
         {coordinates} }} }}"
    )
}

fn collection(features: &[String]) -> String {
    format!(
        "{{ \"type\": \"FeatureCollection\", \"features\": [\n{}\n] }}",
        features.join(",\n")
    )
}

fn square(half: i32) -> Vec<(i32, i32)> {
    vec![
        (-half, -half),
        (half, -half),
        (half, half),
        (-half, half),
        (-half, -half),
    ]
}

fn import(text: &str, options: &ShorelineOptions) -> Result<ShorelineImport, Vec<Fault>> {
    import_shoreline(text.as_bytes().to_vec(), "lake.geojson", options)
}

fn told(text: &str, options: &ShorelineOptions) -> Vec<String> {
    let faults = import(text, options).unwrap_err();
    faults.iter().map(|fault| fault.shown("f")).collect()
}

#[test]
fn islands_of_their_own_become_holes_and_a_pond_on_one_is_water() {
    let ring = |half| feature("Polygon", &format!("[[{}]]", row(&square(half))));
    // Out of order, as they come.
    let text = collection(&[ring(40), ring(100), ring(20)]);
    let came = import(&text, &options()).unwrap();
    assert!(
        came.summary.starts_with("2 areas of water, 1 island"),
        "{}",
        came.summary
    );
    assert!(came.notes.is_empty(), "{:?}", came.notes);
    assert_eq!(came.text.matches("\"Polygon\"").count(), 2);
}

#[test]
fn lines_are_put_together_whichever_way_they_run() {
    let (a, b) = (
        row(&[(-9, -9), (9, -9), (9, 0)]),
        row(&[(-9, -9), (-9, 9), (9, 9), (9, 0)]),
    );
    let text = collection(&[
        feature("LineString", &format!("[{a}]")),
        feature("LineString", &format!("[{b}]")),
    ]);
    let came = import(&text, &options()).unwrap();
    assert!(
        came.summary.starts_with("1 area of water, 0 islands"),
        "{}",
        came.summary
    );
    // Two points stand in both lines.
    assert!(
        came.summary.ends_with("5 of 5 points kept"),
        "{}",
        came.summary
    );
}

#[test]
fn a_gap_is_told_with_its_ends_and_closed_only_where_that_is_asked_for() {
    let text = feature(
        "LineString",
        &format!("[{}]", row(&[(-9, -9), (9, -9), (9, 9), (-9, 9), (-9, -8)])),
    );
    let all = told(&text, &options());
    assert_eq!(all.len(), 2, "{all:?}");
    assert!(
        all[0].starts_with(
            "f:1:92: the shoreline does not close: a line ends at [51.9991000, -24.0009000], 11.13 m from the nearest \
             other end at [51.9992000, -24.0009000] (line 5, column 1); `--join \"12 m\"`"
        ),
        "{}",
        all[0]
    );
    let wide = ShorelineOptions {
        join: Length::metres(12.0),
        ..options()
    };
    let came = import(&text, &wide).unwrap();
    assert_eq!(came.notes.len(), 1);
    assert!(
        came.notes[0].starts_with("a gap of 11.13 m is closed by a straight line, from ["),
        "{:?}",
        came.notes
    );
}

#[test]
fn three_lines_that_meet_are_no_shoreline() {
    let line = |steps: &[(i32, i32)]| feature("LineString", &format!("[{}]", row(steps)));
    let text = collection(&[
        line(&[(0, 0), (9, 0), (9, 9)]),
        line(&[(9, 9), (0, 9), (0, 0)]),
        line(&[(9, 9), (5, 5)]),
    ]);
    let all = told(&text, &options());
    assert!(
        all[0].contains("more than two lines end at [52.0009000, -23.9991000]"),
        "{all:?}"
    );
}

#[test]
fn an_outline_that_crosses_itself_is_told_where() {
    let eight = row(&[(0, 0), (10, 10), (10, 0), (0, 10), (0, 0)]);
    let all = told(&feature("Polygon", &format!("[[{eight}]]")), &options());
    assert_eq!(all.len(), 1);
    assert!(
        all[0].starts_with("f:1:90: the outline meets itself at [52.0005000, -23.9995000]: the edge that begins here and \
                            another one (line 3, column 1)"),
        "{}",
        all[0]
    );
    let other = feature(
        "Polygon",
        &format!(
            "[[{}]]",
            row(&[(-5, -5), (5, -5), (5, 5), (-5, 5), (-5, -5)])
        ),
    );
    let one = feature(
        "Polygon",
        &format!("[[{}]]", row(&[(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)])),
    );
    let all = told(&collection(&[one, other]), &options());
    assert!(all[0].contains("two outlines meet at"), "{all:?}");
}

#[test]
fn rings_that_run_the_other_way_round_are_turned_and_told() {
    let mut back = square(9);
    back.reverse();
    let came = import(
        &feature("Polygon", &format!("[[{}]]", row(&back))),
        &options(),
    )
    .unwrap();
    assert_eq!(came.notes.len(), 1);
    assert!(
        came.notes[0].starts_with(
            "1 ring runs the wrong way round for a GeoJSON, and counts by what it lies in: at ["
        ),
        "{:?}",
        came.notes
    );
    let due = import(
        &feature("Polygon", &format!("[[{}]]", row(&square(9)))),
        &options(),
    )
    .unwrap();
    assert!(due.notes.is_empty());
    // The same water, from the same corner on or another.
    assert_eq!(due.text.len(), came.text.len());
    let hole = format!(
        "[[{}], [{}]]",
        row(&square(9)),
        row(&[(20, 20), (20, 30), (30, 30), (20, 20)])
    );
    let all = told(&feature("Polygon", &hole), &options());
    assert!(
        all[0].contains("this ring is written as a hole, but lies in no outline"),
        "{all:?}"
    );
}

#[test]
fn an_open_edge_is_marked_by_its_vertices_which_stay() {
    let mark = |fetch| OpenMark {
        from: Position::from_degrees(51.9991, -24.0009),
        to: Position::from_degrees(51.9991, -23.9991),
        fetch,
    };
    let text = feature("Polygon", &format!("[[{}]]", row(&square(9))));
    let with = |open| ShorelineOptions {
        tolerance: Some(Length::metres(200.0)),
        open,
        ..options()
    };
    let came = import(&text, &with(vec![mark(Some(Length::metres(3000.0)))])).unwrap();
    assert!(
        came.site.contains(
            "- { from: [51.999100, -24.000900], to: [51.999100, -23.999100], fetch: 3000 m }"
        ),
        "{}",
        came.site
    );
    assert!(
        came.text.contains("[-24.000900, 51.999100]")
            && came.text.contains("[-23.999100, 51.999100]")
    );
    // A shorter fetch raises lower waves, so that it is written as it was given.
    for (metres, due) in [
        (1000.4, "fetch: 1000.4 m }"),
        (12_340.0, "fetch: 12.34 km }"),
    ] {
        let came = import(&text, &with(vec![mark(Some(Length::metres(metres)))])).unwrap();
        assert!(came.site.contains(due), "{}", came.site);
    }
    let unlimited = import(&text, &with(vec![mark(None)])).unwrap();
    assert!(unlimited.site.contains("fetch: unlimited"));
    let off = OpenMark {
        to: Position::from_degrees(51.9991, -23.9981),
        ..mark(None)
    };
    let all = told(&text, &with(vec![off]));
    assert!(
        all[0].contains("the nearest is at [51.9991000, -23.9991000], 68."),
        "{all:?}"
    );
    let across = OpenMark {
        to: Position::from_degrees(52.0009, -23.9991),
        ..mark(None)
    };
    assert!(told(&text, &with(vec![across]))[0].contains("no straight row of edges"));
}

/// What the importer wrote, as rings in the plane: read with the crate `geojson`, which is not this project's.
fn rings_of(text: &str, plane: &Plane) -> Vec<Vec<Point>> {
    let geojson: geojson::FeatureCollection = text
        .parse::<geojson::GeoJson>()
        .unwrap()
        .try_into()
        .unwrap();
    let mut rings = Vec::new();
    for feature in geojson.features {
        let geojson::GeometryValue::Polygon { coordinates } = feature.geometry.unwrap().value
        else {
            panic!("a polygon is due");
        };
        for ring in coordinates {
            let mut points: Vec<Point> = ring
                .iter()
                .map(|at| plane.to_plane(Position::from_degrees(at[1], at[0])))
                .collect();
            points.pop();
            rings.push(points);
        }
    }
    rings
}

/// A ring about the middle with as many corners as radii.
fn star(radii: &[i32], scale: f64) -> Vec<(i32, i32)> {
    let count = radii.len();
    let mut ring: Vec<(i32, i32)> = radii
        .iter()
        .enumerate()
        .map(|(index, radius)| {
            let angle = index as f64 / count as f64 * std::f64::consts::TAU;
            let (sin, cos) = angle.sin_cos();
            let reach = f64::from(*radius) * scale;
            ((cos * reach).round() as i32, (sin * reach).round() as i32)
        })
        .collect();
    ring.dedup();
    ring.push(ring[0]);
    ring
}

proptest! {
    /// Every land point stays land, however far the shoreline may move, and the shoreline moves no farther.
    #[test]
    fn simplifying_turns_no_land_into_water(
        lake in prop::collection::vec(500..1000_i32, 8..60),
        island in prop::collection::vec(50..400_i32, 5..30),
        tolerance in 0.5..300.0_f64,
        at in prop::collection::vec((-1100..1100_i32, -1100..1100_i32), 200),
    ) {
        let text = collection(&[
            feature("Polygon", &format!("[[{}]]", row(&star(&lake, 1.0)))),
            feature("Polygon", &format!("[[{}]]", row(&star(&island, 1.0)))),
        ]);
        let plane = Plane::about(Position::from_degrees(52.0, -24.0));
        // Stars on a lattice may touch themselves; those are refused, which other tests hold.
        let Ok(whole) = import(&text, &options()) else { return Ok(()); };
        let with = ShorelineOptions { tolerance: Some(Length::metres(tolerance)), ..options() };
        let simple = import(&text, &with).unwrap();
        let (before, after) = (rings_of(&whole.text, &plane), rings_of(&simple.text, &plane));
        for (x, y) in at {
            let point = plane.to_plane(Position::from_degrees(52.0 + f64::from(y) * 1e-4 + 3e-6, -24.0 + f64::from(x) * 1e-4 + 4e-6));
            if !point_in_rings(point, &before) {
                prop_assert!(!point_in_rings(point, &after), "land at {x}, {y} became water");
            }
        }
        // Every point that was taken off lies near the new shoreline.
        let edges: Vec<_> = after.iter().flat_map(|ring| {
            (0..ring.len()).map(|i| crate::models::geometry::Segment::new(ring[i], ring[(i + 1) % ring.len()]))
        }).collect();
        for point in before.iter().flatten() {
            let near = edges.iter().map(|edge| edge.distance_to(*point)).fold(f64::INFINITY, f64::min);
            prop_assert!(near <= tolerance + 1e-6, "{near} of {tolerance}");
        }
        prop_assert!(simple.text.len() <= whole.text.len() + 100);
    }
}

#[test]
fn simplifying_takes_points_off_a_wavy_shore() {
    // A round of 400 corners, each second one pressed in by a metre or two.
    let radii: Vec<i32> = (0..400)
        .map(|k| if k % 2 == 0 { 3000 } else { 2985 })
        .collect();
    let text = feature("Polygon", &format!("[[{}]]", row(&star(&radii, 0.1))));
    let with = ShorelineOptions {
        tolerance: Some(Length::metres(25.0)),
        ..options()
    };
    let came = import(&text, &with).unwrap();
    let kept: usize = came
        .summary
        .split("; ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert!(kept < 100, "{}", came.summary);
    let pressed = star(&radii, 0.1)[1];
    let pressed = (
        52.0 + f64::from(pressed.1) * 1e-4,
        -24.0 + f64::from(pressed.0) * 1e-4,
    );
    let line = format!("[{:.6}, {:.6}]", pressed.1, pressed.0);
    let with = ShorelineOptions {
        keep: vec![Position::from_degrees(pressed.0, pressed.1)],
        ..with
    };
    let came = import(&text, &with).unwrap();
    assert!(came.text.contains(&line), "{line}");
}
