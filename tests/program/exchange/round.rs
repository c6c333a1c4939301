//! What goes out comes in again: places, order and names.

use offing::door::document::{Node, ParseLimits, parse};
use offing::door::exchange::{
    Course, CoursePoint, Form, MOST_WAYPOINTS, Named, Role, Skeleton, parse_route, skeleton, write,
};
use offing::door::models::geodesy::Position;
use offing::door::source::Sources;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, RngSeed, TestRunner};

use super::Folder;

const FORMS: [Form; 3] = [Form::Gpx, Form::GeoJson, Form::Kml];

/// Names as ids, as free text and as none, at places anywhere, some of them twice.
fn course() -> impl Strategy<Value = Course> {
    let place = prop_oneof![
        (-90.0..=90.0, -180.0..180.0),
        Just((52.396_063, -24.310_462)),
        Just((-90.0, -180.0)),
        Just((0.0, -1e-10)),
    ];
    let name = prop_oneof![
        "[A-Za-z0-9][A-Za-z0-9._-]{0,20}",
        "[ -~]{0,80}",
        any::<String>()
    ];
    let points = prop::collection::vec((name, place, any::<String>()), 2..40);
    (points, any::<String>()).prop_map(|(points, remark)| Course {
        name: "a route".to_owned(),
        mission: "m".to_owned(),
        vessel: "v".to_owned(),
        site: "s".to_owned(),
        policy: "p".to_owned(),
        not_kept: Vec::new(),
        waived: vec![remark.clone()],
        digest: "0".repeat(64),
        remarks: vec![remark],
        points: points
            .into_iter()
            .map(|(name, (latitude, longitude), remark)| CoursePoint {
                name,
                role: Role::Waypoint,
                position: Position::from_degrees(latitude, longitude),
                remark,
            })
            .collect(),
    })
}

fn hold(property: impl Fn(Course) -> Result<(), TestCaseError> + Send + Sync) {
    let config = Config {
        cases: 200,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(0x0ff1),
        failure_persistence: None,
        ..Config::default()
    };
    let outcome = offing::door::check::on_large_stacks(|| {
        TestRunner::new(config)
            .run(&course(), &property)
            .map_err(|error| error.to_string())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

fn near(point: (f64, f64), due: (f64, f64)) -> bool {
    // Half of the last digit, and what calculating in radians costs.
    (point.0 - due.0).abs() < 1e-9 && (point.1 - due.1).abs() < 1e-9
}

#[test]
#[ignore = "slow"]
fn places_and_order_come_back_within_a_billionth_of_a_degree() {
    hold(|course| {
        for form in FORMS {
            let text = write(&course, form).unwrap();
            let found =
                parse_route(&text).map_err(|why| TestCaseError::fail(format!("{why}: {text}")))?;
            prop_assert_eq!(found.form, form);
            prop_assert_eq!(found.points.len(), course.points.len());
            for (point, due) in found.points.iter().zip(&course.points) {
                let due = due.position;
                let due = (due.latitude.to_degrees(), due.longitude.to_degrees());
                let point = (point.latitude, point.longitude);
                prop_assert!(near(point, due), "{:?}: {:?} {:?}", form, point, due);
            }
        }
        Ok(())
    });
}

/// The positions of a mission file in order, and its waypoints' ids.
fn of_mission(text: &str) -> (Vec<(f64, f64)>, Vec<String>) {
    let source = Sources::new().add("mission", text);
    let document = parse(source, text, &ParseLimits::YAML).expect(text);
    let root = &document.root;
    let at = |node: &Node| {
        let items = node.as_list().expect("a position");
        (items[0].as_number().unwrap(), items[1].as_number().unwrap())
    };
    // An end that is left open has no place.
    let end = |key: &str| {
        let end = root.get(key).and_then(|end| end.get("at"));
        end.filter(|end| !end.is_null()).map(at)
    };
    let route = root.get("route").and_then(Node::as_list).unwrap_or(&[]);
    let ids = route
        .iter()
        .map(|item| item.get("id").unwrap().as_text().unwrap().to_owned());
    let mut places: Vec<(f64, f64)> = end("launch").into_iter().collect();
    places.extend(route.iter().map(|item| at(item.get("to").unwrap())));
    places.extend(end("recovery"));
    (places, ids.collect())
}

#[test]
#[ignore = "slow"]
fn a_mission_is_begun_with_the_same_places_and_with_ids_of_their_own() {
    let begun = Skeleton {
        id: "m",
        vessel: "v",
        site: "s",
        file: "a\u{202e}b\n.gpx",
    };
    let pattern = |id: &str| {
        let mut bytes = id.bytes();
        bytes.next().is_some_and(|b| b.is_ascii_alphanumeric())
            && id.len() <= 64
            && bytes.all(|b| b.is_ascii_alphanumeric() || b"._-".contains(&b))
    };
    hold(|course| {
        for form in FORMS {
            let found = parse_route(&write(&course, form).unwrap()).unwrap();
            let (text, _) = skeleton(&begun, &found).unwrap();
            let turned = text.contains('\u{202e}');
            prop_assert!(!turned);
            let (places, ids) = of_mission(&text);
            prop_assert_eq!(places.len(), course.points.len());
            for (place, due) in places.iter().zip(&found.points) {
                prop_assert!(near(*place, (due.latitude, due.longitude)));
            }
            prop_assert!(ids.iter().all(|id| pattern(id)), "{:?}", ids);
            let distinct: std::collections::BTreeSet<&String> = ids.iter().collect();
            prop_assert_eq!(distinct.len(), ids.len());
        }
        Ok(())
    });
}

#[test]
fn a_mission_of_the_demo_comes_back() {
    let folder = Folder::of(&["north-bay-lines"]);
    let mut all = Vec::new();
    for form in ["gpx", "geojson", "kml"] {
        let out = format!("out.{form}");
        let (status, _, told) =
            folder.told(&["export", "north-bay-lines", "--to", form, "--output", &out]);
        assert_eq!(status, 0, "{told}");
        let (status, text, told) = folder.told(&[
            "import",
            "route",
            &out,
            "--vessel",
            "goosander",
            "--site",
            "quenderby",
        ]);
        assert_eq!(status, 0, "{told}");
        // It is there already, and that is all that is reported.
        assert_eq!(told.lines().count(), 1, "{told}");
        assert!(
            told.contains("has the id `north-bay-lines` already"),
            "{told}"
        );
        // The launch and the recovery point stand in the route, and nothing was left out of it.
        assert!(!text.contains("Left out"), "{text}");
        all.push(of_mission(&text));
    }
    assert!(all.windows(2).all(|pair| pair[0] == pair[1]), "{all:?}");
    let (places, ids) = &all[0];
    assert_eq!((places.len(), ids.len()), (22, 20));
    assert!(near(places[0], (52.395_812, -24.310_484)));
    assert!(near(places[21], (52.396_063, -24.310_462)));
    assert_eq!(ids.first().unwrap(), "bay-mouth");
    assert_eq!(ids.last().unwrap(), "line-up");
}

/// A slip of the pen is reported, and a mission that is begun before its vessel is begun.
#[test]
fn a_vessel_that_is_not_there_is_told_and_a_dash_is_the_standard_output() {
    let folder = Folder::of(&["north-bay-lines"]);
    let export = ["export", "north-bay-lines", "--to", "gpx", "-o", "-"];
    let (status, route, told) = folder.told(&export);
    assert_eq!(status, 0, "{told}");
    folder.write("out.gpx", &route);
    for (vessel, site, says) in [
        (
            "gosander",
            "quenderby",
            "there is no vessel `gosander` here; did you mean `goosander`?",
        ),
        (
            "goosander",
            "zzz",
            "there is no site `zzz` here; a check refuses the mission until there is one",
        ),
    ] {
        let import = [
            "import", "route", "out.gpx", "--vessel", vessel, "--site", site, "-o", "-",
        ];
        let (status, text, told) = folder.told(&import);
        assert_eq!(status, 0, "{told}");
        assert!(told.contains(says), "{told}");
        assert!(text.contains(&format!("vessel: {vessel}")), "{text}");
    }
    assert!(!folder.path().join("-").exists());
}

#[test]
fn more_waypoints_than_a_mission_may_have_are_refused() {
    let schema: serde_json::Value =
        serde_json::from_str(offing::door::schema::Kind::Mission.schema_text()).unwrap();
    let most = schema["properties"]["route"]["maxItems"].as_u64().unwrap();
    assert_eq!(usize::try_from(most).unwrap(), MOST_WAYPOINTS);
    let line = |count: usize| {
        let points: Vec<String> = (0..count)
            .map(|n| format!("[{}, 1.5]", n as f64 / 1e4))
            .collect();
        format!(
            "{{\"type\": \"LineString\", \"coordinates\": [{}]}}",
            points.join(",")
        )
    };
    let begun = Skeleton {
        id: "m",
        vessel: "v",
        site: "s",
        file: "f",
    };
    let of = |count: usize| skeleton(&begun, &parse_route(&line(count)).unwrap());
    assert!(of(500).is_ok());
    let why = of(501).unwrap_err();
    assert!(
        why.contains("501 points") && why.contains("at most 500 waypoints"),
        "{why}"
    );
}

/// Points of the same place keep their own names, in order; a name of no letter gets a number.
#[test]
fn names_go_with_their_points() {
    let text = r#"{"type":"FeatureCollection","features":[
        {"type":"Feature","properties":{"name":"way"},"geometry":
          {"type":"LineString","coordinates":[[1,2],[1.5,2],[1,2],[3,4,7.5]]}},
        {"type":"Feature","properties":{"name":"second"},"geometry":{"type":"Point","coordinates":[1,2]}},
        {"type":"Feature","properties":{"name":"second again"},"geometry":{"type":"Point","coordinates":[1,2]}},
        {"type":"Feature","properties":null,"geometry":null},
        {"type":"Feature","properties":{"name":"elsewhere"},"geometry":{"type":"Point","coordinates":[9,9]}}]}"#;
    let found = parse_route(text).unwrap();
    let names: Vec<Option<&str>> = found.points.iter().map(|p| p.name.as_deref()).collect();
    assert_eq!(names, [Some("second"), None, Some("second again"), None]);
    assert_eq!(found.left_out, ["1 point besides the line"]);
    let last = Named {
        name: None,
        latitude: 4.0,
        longitude: 3.0,
    };
    assert_eq!(found.points[3], last);
    let begun = Skeleton {
        id: "m",
        vessel: "v",
        site: "s",
        file: "f",
    };
    let (text, _) = skeleton(&begun, &found).unwrap();
    assert_eq!(of_mission(&text).1, ["second", "W2", "second-again", "W4"]);
    assert!(text.contains(
        "id: second-again, to: [2.000000, 1.000000] } # named \"second again\" in the file"
    ));
}

/// A file that was cut, or a piece of it put elsewhere, is refused with a reason or read as
/// something on the earth; nothing ends the process.
#[test]
#[ignore = "slow"]
fn broken_files_are_refused_or_read_as_what_they_are() {
    let cuts = (
        course(),
        any::<prop::sample::Index>(),
        any::<prop::sample::Index>(),
    );
    let config = Config {
        cases: 300,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(0x0ff1),
        failure_persistence: None,
        ..Config::default()
    };
    let outcome = offing::door::check::on_large_stacks(|| {
        TestRunner::new(config)
            .run(&cuts, |(course, one, other)| {
                for form in FORMS {
                    let text: Vec<char> = write(&course, form).unwrap().chars().collect();
                    let (one, other) = (one.index(text.len()), other.index(text.len()));
                    let (from, to) = (one.min(other), one.max(other));
                    let cut: String = text[..from].iter().chain(&text[to..]).collect();
                    let moved: String = text[from..to].iter().chain(&text[..from]).collect();
                    for broken in [cut, moved] {
                        match parse_route(&broken) {
                            Ok(found) => {
                                let on_earth = found.points.iter().all(|point| {
                                    point.latitude.abs() <= 90.0 && point.longitude.abs() <= 180.0
                                });
                                prop_assert!(on_earth);
                            }
                            Err(why) => prop_assert!(!why.is_empty()),
                        }
                    }
                }
                Ok(())
            })
            .map_err(|error| error.to_string())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}
