//! What is written, read by the readers of others: the crates `gpx`, `kml` and `geojson`.

use geojson::{GeoJson, GeometryValue};
use kml::Kml;
use kml::types::Geometry;

use super::Folder;

const NORTH: &str = "north-bay-lines";

/// A name with latitude and longitude.
type Point = (String, f64, f64);

/// The waypoints of the mission that are no sounding lines, and its two ends, as its file has them.
const STATED: &[(&str, f64, f64)] = &[
    ("launch", 52.395_812, -24.310_484),
    ("bay-mouth", 52.398_033, -24.308_835),
    ("off-the-bay", 52.398_271, -24.308_195),
    ("slow-down", 52.396_769, -24.309_569),
    ("line-up", 52.396_356, -24.309_792),
    ("recovery", 52.396_063, -24.310_462),
];

fn exported(mission: &str, form: &str, more: &[&str]) -> String {
    let folder = Folder::of(&[mission]);
    let (status, text, told) = folder.told(&[&["export", mission, "--to", form], more].concat());
    assert_eq!(status, 0, "{told}");
    text
}

/// The stated points at their places and in their order, and two points for each of eight lines
/// between the second and the third of them.
fn is_the_route(points: &[Point]) {
    assert_eq!(points.len(), STATED.len() + 16);
    let mut at = points.iter();
    for (name, latitude, longitude) in STATED {
        let found = at.find(|point| point.0 == *name).expect(name);
        assert!((found.1 - latitude).abs() < 1e-9, "{name}: {}", found.1);
        assert!((found.2 - longitude).abs() < 1e-9, "{name}: {}", found.2);
    }
    for (index, pair) in points[2..18].chunks(2).enumerate() {
        let line = index + 1;
        assert_eq!(pair[0].0, format!("bay-lines-{line}-start"));
        assert_eq!(pair[1].0, format!("bay-lines-{line}-end"));
    }
}

#[test]
fn gpx_is_read_by_another_reader() {
    let text = exported(NORTH, "gpx", &[]);
    let gpx = gpx::read(text.as_bytes()).expect("GPX");
    assert_eq!(gpx.version, gpx::GpxVersion::Gpx11);
    assert_eq!(gpx.routes.len(), 1);
    let point = |at: &gpx::Waypoint| {
        let (longitude, latitude) = at.point().x_y();
        (at.name.clone().unwrap(), latitude, longitude)
    };
    let points: Vec<Point> = gpx.routes[0].points.iter().map(point).collect();
    is_the_route(&points);
    let ends: Vec<Point> = gpx.waypoints.iter().map(point).collect();
    assert_eq!(ends, [points[0].clone(), points[21].clone()]);
    let metadata = gpx.metadata.unwrap();
    assert_eq!(metadata.name.as_deref(), Some(NORTH));
    assert_eq!(metadata.description, gpx.routes[0].description);
}

#[test]
fn kml_is_read_by_another_reader() {
    let text = exported(NORTH, "kml", &[]);
    let whole: Kml = text.parse().expect("KML");
    let Kml::KmlDocument(whole) = whole else {
        panic!("{whole:?}")
    };
    let [Kml::Document { elements, .. }] = &whole.elements[..] else {
        panic!("{whole:?}")
    };
    let mut line = Vec::new();
    let mut points = Vec::new();
    for element in elements {
        match element {
            Kml::Placemark(placemark) => {
                let Some(Geometry::LineString(found)) = &placemark.geometry else {
                    panic!("{placemark:?}")
                };
                line.extend(found.coords.iter().map(|at| (at.y, at.x)));
            }
            Kml::Folder(folder) => {
                for element in &folder.elements {
                    if let Kml::Placemark(placemark) = element {
                        let Some(Geometry::Point(at)) = &placemark.geometry else {
                            panic!("{placemark:?}")
                        };
                        let name = placemark.name.clone().unwrap();
                        points.push((name, at.coord.y, at.coord.x));
                    }
                }
            }
            _ => {}
        }
    }
    is_the_route(&points);
    let places: Vec<(f64, f64)> = points.iter().map(|point| (point.1, point.2)).collect();
    assert_eq!(line, places);
}

#[test]
fn geojson_is_read_by_another_reader() {
    let text = exported(NORTH, "geojson", &[]);
    let GeoJson::FeatureCollection(whole) = text.parse().expect("GeoJSON") else {
        panic!("{text}")
    };
    let mut line = Vec::new();
    let mut points = Vec::new();
    for feature in &whole.features {
        let name = feature.property("name").and_then(|name| name.as_str());
        match &feature.geometry.as_ref().unwrap().value {
            GeometryValue::LineString { coordinates } => {
                line.extend(coordinates.iter().map(|at| (at[1], at[0])));
                let not_kept = feature.property("not_kept").unwrap();
                assert_eq!(not_kept.as_array().unwrap().len(), 0);
            }
            GeometryValue::Point { coordinates } => {
                points.push((name.unwrap().to_owned(), coordinates[1], coordinates[0]));
            }
            other => panic!("{other:?}"),
        }
    }
    is_the_route(&points);
    let places: Vec<(f64, f64)> = points.iter().map(|point| (point.1, point.2)).collect();
    assert_eq!(line, places);
}

#[test]
fn what_is_written_says_what_it_rests_on() {
    let folder = Folder::of(&[NORTH]);
    let (_, digest, _) = folder.told(&["digest", NORTH, "--whole"]);
    for form in ["gpx", "kml", "geojson"] {
        let (_, text, _) = folder.told(&["export", NORTH, "--to", form]);
        let version = format!("offing {}", env!("CARGO_PKG_VERSION"));
        for due in [
            digest.trim(),
            &version,
            "no finding of severity error or warning stands",
            "no permission to launch",
            "approached at 1.1 m/s over ground",
            "launch planned for 2027-06-15 09:30",
        ] {
            assert!(text.contains(due), "{form}: {due}");
        }
        // The same on every run.
        assert_eq!(folder.told(&["export", NORTH, "--to", form]).1, text);
    }
}

#[test]
fn what_is_not_kept_keeps_a_route_at_home_or_is_stamped_on_it() {
    let upwind = "headwind-return";
    let folder = Folder::of(&[upwind]);
    for form in ["gpx", "kml", "geojson"] {
        let (status, text, told) = folder.told(&["export", upwind, "--to", form, "-o", "out"]);
        assert_eq!((status, text.as_str()), (1, ""));
        assert!(told.contains("upwind-run-length (error)"), "{told}");
        assert!(!folder.path().join("out").exists());
        let despite = ["export", upwind, "--to", form, "--despite-findings"];
        let (status, text, _) = folder.told(&despite);
        assert_eq!(status, 0);
        assert!(text.matches("RULES NOT MET").count() >= 2, "{form}: {text}");
        assert!(text.contains("upwind-run-length (error)"));
        assert!(!text.contains("stands"), "{form}: {text}");
    }
}

#[test]
fn what_is_waived_is_named_and_a_baseline_accepts_nothing() {
    let upwind = "headwind-return";
    let folder = Folder::of(&[upwind]);
    let baseline = [
        "baseline",
        "--review-by",
        "2028-03-01",
        "--by",
        "survey lead",
        "--reason",
        "as it was",
    ];
    let (status, _, told) = folder.told(&baseline);
    assert_eq!(status, 0, "{told}");
    assert_eq!(folder.told(&["check"]).0, 0);
    assert_eq!(folder.told(&["export", upwind, "--to", "gpx"]).0, 1);
    std::fs::remove_file(folder.path().join("baseline.yaml")).unwrap();
    let path = format!("missions/{upwind}.yaml");
    let waiver = "waivers:
  - rule: upwind-run-length
    for: the leg to profile-end
    no_worse_than: 1400 m
    reason: 'The crew lies off <b>the far end</b> & waits. ]]> \"'
    approved_by: survey lead
    approved: 2027-07-05
    expires: 2027-07-13
";
    folder.write(&path, format!("{}\n{waiver}", folder.read(&path)));
    let (status, text, told) = folder.told(&["export", upwind, "--to", "gpx"]);
    assert_eq!(status, 0, "{told}");
    let gpx = gpx::read(text.as_bytes()).expect("GPX");
    let description = gpx.routes[0].description.clone().unwrap();
    assert!(
        description.contains("Waived: upwind-run-length: "),
        "{description}"
    );
    assert!(
        description.contains("<b>the far end</b> & waits. ]]> \""),
        "{description}"
    );
    // A viewer would act on markup in a description of KML.
    let (_, text, _) = folder.told(&["export", upwind, "--to", "kml"]);
    assert!(text.contains("&amp;lt;b&amp;gt;the far end"), "{text}");
    let (_, text, _) = folder.told(&["export", upwind, "--to", "geojson"]);
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    let waived = &json["features"][0]["properties"]["waived"];
    assert_eq!(waived.as_array().unwrap().len(), 1, "{waived}");
}
