//! Distances, land crossings, plane coordinates and geodesics against general-purpose libraries:
//! recorded from shapely (GEOS) and pyproj (PROJ), see tests/reference/.

use std::path::Path;

use offing::door::check::{load, on_large_stacks};
use offing::door::models::geodesy::{Position, inverse};
use offing::door::models::geometry::Segment;
use offing::door::plan::Site;
use offing::door::source::WorkTree;
use serde_json::Value as Json;

fn position(pair: &Json) -> Position {
    Position::from_degrees(pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap())
}

/// The demo's site and what was recorded for it.
fn with_site(test: impl FnOnce(&Site, &Json) + Send) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let recorded = std::fs::read_to_string(root.join("tests/reference/geometry.json")).unwrap();
    let recorded: Json = serde_json::from_str(&recorded).unwrap();
    on_large_stacks(|| {
        let loaded = load(&WorkTree::open(&root.join("plans")).unwrap(), None).unwrap();
        let plan = &loaded.linked.plans[0];
        test(&plan.site, &recorded[plan.site.id.value.as_str()]);
    });
}

fn each<'a>(recorded: &'a Json, key: &str, least: usize) -> &'a [Json] {
    let list = recorded[key].as_array().unwrap();
    assert!(
        list.len() >= least,
        "only {} {key} are recorded",
        list.len()
    );
    list
}

#[test]
fn positions_lie_in_the_plane_where_proj_puts_them() {
    with_site(|site, recorded| {
        for row in each(recorded, "plane", 20) {
            let point = site.plane.to_plane(position(&row["position"]));
            let (x, y) = (row["x_m"].as_f64().unwrap(), row["y_m"].as_f64().unwrap());
            assert!((point.x - x).hypot(point.y - y) < 1e-3, "{row}: {point:?}");
        }
    });
}

#[test]
fn geodesics_are_those_of_proj() {
    with_site(|_, recorded| {
        for row in each(recorded, "geodesics", 20) {
            let ours = inverse(position(&row["from"]), position(&row["to"]));
            let distance = row["distance_m"].as_f64().unwrap();
            assert!(
                (ours.distance.get() - distance).abs() < 1e-8 * distance + 1e-4,
                "{row}"
            );
            let bearing = row["bearing_deg"].as_f64().unwrap();
            let turn = (ours.azimuth_start.angle().to_degrees() - bearing + 540.0) % 360.0 - 180.0;
            assert!(turn.abs() < 1e-4, "{row}: {turn}°");
        }
    });
}

#[test]
fn distances_of_points_are_those_of_geos() {
    with_site(|site, recorded| {
        let mut on_land = 0;
        for row in each(recorded, "points", 60) {
            let point = site.plane.to_plane(position(&row["position"]));
            let water = row["in_water"].as_bool().unwrap();
            on_land += usize::from(!water);
            assert_eq!(site.shore.is_water(point), water, "{row}");
            let ours = site.shore.signed_distance(point);
            assert!(
                (ours - row["signed_distance_m"].as_f64().unwrap()).abs() < 1e-2,
                "{row}: {ours}"
            );
        }
        assert!(on_land >= 5, "only {on_land} points lie on land");
    });
}

#[test]
fn clearances_and_land_crossings_of_lines_are_those_of_geos() {
    with_site(|site, recorded| {
        let mut crossing = 0;
        for row in each(recorded, "segments", 30) {
            let a = site.plane.to_plane(position(&row["from"]));
            let b = site.plane.to_plane(position(&row["to"]));
            let line = Segment { a, b };
            let clearance = site
                .shore
                .segment_clearance(line, f64::INFINITY)
                .unwrap()
                .distance;
            let theirs = row["clearance_m"].as_f64().unwrap();
            // Both sample the depth inland at steps of about a metre.
            let tolerance = if theirs < 0.0 { 0.1 } else { 0.01 };
            assert!((clearance - theirs).abs() < tolerance, "{row}: {clearance}");
            let land: f64 = site
                .shore
                .land_intervals(line)
                .iter()
                .map(|(from, to)| (to - from) * line.length())
                .sum();
            let theirs = row["land_m"].as_f64().unwrap();
            crossing += usize::from(theirs > 0.0);
            assert!((land - theirs).abs() < 0.05, "{row}: {land} m on land");
        }
        assert!(crossing >= 3, "only {crossing} lines cross land");
    });
}
