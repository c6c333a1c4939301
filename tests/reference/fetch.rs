//! Straight-line fetches over a real lake against general-purpose libraries: recorded from shapely
//! (GEOS) and pyproj (PROJ), see tests/reference/ and tests/data/real/.

use std::path::Path;

use offing::door::models::fetch::{Fan, Radial};
use offing::door::models::geodesy::{Plane, Position, direct};
use offing::door::models::geometry::{Polygon, Shore};
use offing::door::units::{Angle, FromDirection, Towards};
use serde_json::Value as Json;

fn read(path: &str) -> Json {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(root.join(path)).unwrap()).unwrap()
}

/// The lake in the plane about the middle of its bounding box.
fn lake() -> (Plane, Shore) {
    let file = read("tests/data/real/lake.geojson");
    let rings: Vec<Vec<Position>> = file["features"][0]["geometry"]["coordinates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|ring| {
            let pairs = ring.as_array().unwrap().iter();
            pairs
                .map(|pair| {
                    Position::from_degrees(pair[1].as_f64().unwrap(), pair[0].as_f64().unwrap())
                })
                .collect()
        })
        .collect();
    let all = || rings.iter().flatten();
    let middle = |of: fn(&Position) -> f64| {
        let low = all().map(of).fold(f64::INFINITY, f64::min);
        let high = all().map(of).fold(f64::NEG_INFINITY, f64::max);
        f64::midpoint(low, high)
    };
    let plane = Plane::about(Position::from_degrees(
        middle(|p| p.latitude.to_degrees()),
        middle(|p| p.longitude.to_degrees()),
    ));
    let mut rings = rings
        .iter()
        .map(|ring| ring.iter().map(|p| plane.to_plane(*p)).collect());
    let polygon = Polygon::new(rings.next().unwrap(), rings.collect()).unwrap();
    (plane, Shore::new(vec![polygon]).unwrap())
}

#[test]
fn fetches_over_a_real_lake_are_those_of_geos() {
    let (plane, shore) = lake();
    let recorded = read("tests/reference/fetch.json");
    let rows = recorded["fetches"].as_array().unwrap();
    assert!(rows.len() >= 500, "only {} fetches", rows.len());
    let (mut short, mut long) = (0, 0);
    for row in rows {
        let at = &row["position"];
        let position = Position::from_degrees(at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
        let point = plane.to_plane(position);
        assert!(shore.is_water(point), "{row}");
        let from = FromDirection::new(Angle::degrees(row["from_deg"].as_f64().unwrap()));
        let ours = Radial::new(from).fetch(&shore, point).get();
        let theirs = row["fetch_m"].as_f64().unwrap();
        assert!((ours - theirs).abs() < 0.01, "{row}: {ours}");
        short += usize::from(theirs < 100.0);
        long += usize::from(theirs > 1500.0);
    }
    assert!(short >= 20 && long >= 20, "{short} short, {long} long");
}

/// The fetch stands for the earth's own: a geodesic (Karney 2013) of the same bearing and length ends
/// where the straight line does, but for the turn of north across the lake, 0.04° at most.
#[test]
fn a_fetch_in_the_plane_is_one_on_the_ellipsoid() {
    let (plane, shore) = lake();
    let recorded = read("tests/reference/fetch.json");
    for row in recorded["fetches"].as_array().unwrap() {
        let at = &row["position"];
        let position = Position::from_degrees(at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
        let bearing = Angle::degrees(row["from_deg"].as_f64().unwrap());
        let fetch =
            Radial::new(FromDirection::new(bearing)).fetch(&shore, plane.to_plane(position));
        let end = plane.to_plane(direct(position, Towards::new(bearing), fetch));
        let (east, north) = Towards::new(bearing).unit_vector();
        let start = plane.to_plane(position);
        let off =
            (end.x - start.x - east * fetch.get()).hypot(end.y - start.y - north * fetch.get());
        assert!(off < 0.001 * fetch.get() + 0.01, "{row}: {off} m");
    }
}

/// The longest edge of the lake as if water went on for 3 km past it.
#[test]
fn fetches_past_an_open_edge_are_those_of_geos() {
    let (plane, shore) = lake();
    let recorded = read("tests/reference/fetch.json");
    let number = recorded["open_edge"].as_u64().unwrap() as usize;
    let open = recorded["open_fetch_m"].as_f64().unwrap();
    let shore = shore.with_open([(number, open)]);
    let (mut over, mut not) = (0, 0);
    for row in recorded["past_open_edge"].as_array().unwrap() {
        let at = &row["position"];
        let position = Position::from_degrees(at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
        let from = FromDirection::new(Angle::degrees(row["from_deg"].as_f64().unwrap()));
        let ours = Radial::new(from)
            .fetch(&shore, plane.to_plane(position))
            .get();
        let theirs = row["fetch_m"].as_f64().unwrap();
        assert!((ours - theirs).abs() < 0.01, "{row}: {ours}");
        if row["over_open_edge"].as_bool().unwrap() {
            over += 1;
        } else {
            not += 1;
        }
    }
    assert!(over >= 20 && not >= 5, "{over} over it, {not} not");
}

/// Means over 15° and the fetch that raises the highest waves, over a real lake, by the recomputation in
/// Python on shapely's fetches.
#[test]
fn the_chief_fetch_over_a_real_lake_is_that_of_the_recomputation() {
    let (plane, shore) = lake();
    let recorded = read("tests/reference/fetch.json");
    let mut turned = 0;
    for row in recorded["chief"].as_array().unwrap() {
        let at = &row["position"];
        let position = Position::from_degrees(at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
        let base = FromDirection::new(Angle::degrees(row["base_deg"].as_f64().unwrap()));
        let off = Angle::degrees(row["off_base_deg"].as_f64().unwrap());
        let fan = Fan::new(base, &[base.veered(off)]);
        let found = fan
            .fetches(&shore, plane.to_plane(position))
            .next()
            .unwrap();
        for (ours, theirs) in [
            (found.along.get(), &row["along_m"]),
            (found.chief.get(), &row["chief_m"]),
        ] {
            let theirs = theirs.as_f64().unwrap();
            assert!((ours - theirs).abs() < 0.01, "{row}: {ours}");
        }
        let angle = row["off_wind_deg"].as_f64().unwrap();
        assert!((found.off_wind.to_degrees() - angle).abs() < 1e-6, "{row}");
        turned += usize::from(angle.abs() > 15.0);
    }
    assert!(turned >= 10, "only {turned} far off the wind");
}
