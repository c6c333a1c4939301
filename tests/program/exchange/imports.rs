//! Data of others brought into the files of a repository: what a check makes of them, and what is refused with the
//! status that the documents name.

use proj4rs::Proj;
use proj4rs::transform::transform;
use serde_json::Value as Json;
use shapefile::{Point, Polygon, PolygonRing, ShapeWriter};

use super::Folder;

const MISSION: &str = "missions/north-bay-lines.yaml";
const SHORELINE: &str = "site/quenderby-shoreline.geojson";
const SOUNDINGS: &str = "site/quenderby-soundings.geojson";
/// The zone of UTM that the demo's water lies in, from 30° to 24° west.
const ZONE: &str = "EPSG:32626";

/// Sentences of what a check of the mission finds, and its exit status.
fn checked(folder: &Folder) -> (i32, Vec<String>) {
    let (status, text, told) = folder.told(&["check", MISSION, "--format", "json"]);
    let report: Json = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{told}"));
    let all = report["findings"].as_array().unwrap();
    let said = all
        .iter()
        .map(|finding| format!("{}: {}", finding["rule"], finding["message"]));
    (status, said.collect())
}

/// Rings of the demo's shoreline, longitude first.
fn shoreline(folder: &Folder) -> Vec<Vec<(f64, f64)>> {
    let geojson: Json = serde_json::from_str(&folder.read(SHORELINE)).unwrap();
    let mut rings = Vec::new();
    for feature in geojson["features"].as_array().unwrap() {
        for ring in feature["geometry"]["coordinates"].as_array().unwrap() {
            let at = |one: &Json| (one[0].as_f64().unwrap(), one[1].as_f64().unwrap());
            rings.push(ring.as_array().unwrap().iter().map(at).collect());
        }
    }
    rings
}

/// Metres east and north in the zone of the demo's water.
fn in_zone((longitude, latitude): (f64, f64)) -> (f64, f64) {
    let degrees = Proj::from_proj_string("+proj=longlat +datum=WGS84").unwrap();
    let zone = Proj::from_proj_string("+proj=utm +zone=26 +datum=WGS84 +units=m").unwrap();
    let mut at = (longitude.to_radians(), latitude.to_radians(), 0.0);
    transform(&degrees, &zone, &mut at).unwrap();
    (at.0, at.1)
}

#[test]
fn a_shoreline_that_went_through_a_projected_shapefile_checks_as_before() {
    let folder = Folder::of(&["north-bay-lines"]);
    let before = checked(&folder);
    assert_eq!(before, (0, Vec::new()));
    let rings = shoreline(&folder);
    let mut records = Vec::new();
    // Islands as records of their own, and every ring clockwise, as outer rings run (shapefile technical
    // description, 1998).
    for ring in &rings {
        let mut points: Vec<Point> = ring
            .iter()
            .map(|at| in_zone(*at))
            .map(|(x, y)| Point::new(x, y))
            .collect();
        let twice: f64 = points
            .windows(2)
            .map(|pair| pair[0].x * pair[1].y - pair[1].x * pair[0].y)
            .sum();
        if twice > 0.0 {
            points.reverse();
        }
        records.push(Polygon::new(PolygonRing::Outer(points)));
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    ShapeWriter::new(&mut bytes).write_shapes(&records).unwrap();
    folder.write("water.shp", bytes.into_inner());
    let import = [
        "import",
        "shoreline",
        "water.shp",
        "-o",
        SHORELINE,
        "--replace",
    ];
    let (status, text, told) = folder.told(&import);
    assert_eq!((status, text.as_str()), (2, ""));
    assert!(
        told.contains("water.shp: a shapefile by itself does not say in which system"),
        "{told}"
    );
    let import = [&import[..], &["--crs", ZONE]].concat();
    let (status, text, told) = folder.told(&import);
    assert_eq!((status, told.as_str()), (0, ""), "{text}");
    assert!(
        text.contains("quenderby-shoreline.geojson: 1 area of water"),
        "{text}"
    );
    assert!(
        text.contains("\nshoreline:\n  file: quenderby-shoreline.geojson\n  error: # to be filled"),
        "{text}"
    );
    assert_eq!(checked(&folder), before);
    let after = shoreline(&folder);
    assert_eq!(after.len(), rings.len());
    // Each vertex is where it was, to a millimetre or so.
    for (x, y) in rings.iter().flatten() {
        let near = after
            .iter()
            .flatten()
            .any(|(a, b)| (a - x).abs() < 2e-8 && (b - y).abs() < 2e-8);
        assert!(near, "{x} {y}");
    }
}

#[test]
fn a_shoreline_is_simplified_into_the_water_and_checks() {
    let folder = Folder::of(&["north-bay-lines"]);
    let count = |folder: &Folder| shoreline(folder).iter().map(Vec::len).sum::<usize>();
    let before = count(&folder);
    // The ends of the dam, which the site marks.
    let import = [
        "import",
        "shoreline",
        SHORELINE,
        "-o",
        SHORELINE,
        "--replace",
        "--tolerance",
        "1 m",
        "--keep",
        "52.401111,-24.285339",
        "--keep",
        "52.404282,-24.286131",
    ];
    let (status, text, told) = folder.told(&import);
    assert_eq!((status, told.as_str()), (0, ""), "{text}");
    assert!(count(&folder) < before, "{before}: {text}");
    let (_, found) = checked(&folder);
    let of_input: Vec<&String> = found.iter().filter(|one| one.contains("input-")).collect();
    assert!(of_input.is_empty(), "{found:?}");
}

/// A quantity that begins with a minus is a value, and the answer says what is wrong with it.
#[test]
fn a_length_with_a_sign_is_refused_as_a_length() {
    let folder = Folder::of(&[]);
    for (option, value, says) in [
        ("--tolerance", "-3 m", "a distance is not negative"),
        ("--join", "-3 m", "a distance is not negative"),
        ("--tolerance", "-3", "unit"),
    ] {
        let import = ["import", "shoreline", SHORELINE, option, value];
        let (status, text, told) = folder.told(&import);
        assert_eq!((status, text.as_str()), (64, ""), "{told}");
        assert!(told.contains(option) && told.contains(says), "{told}");
    }
}

#[test]
fn lines_with_a_gap_write_nothing_and_an_existing_file_stays() {
    let folder = Folder::of(&[]);
    let line = "<kml><Placemark><LineString><coordinates>\n-24.3,52.4 -24.2,52.4\n-24.2,52.5 \
                -24.3,52.5</coordinates></LineString></Placemark></kml>";
    folder.write("lake.kml", line);
    folder.write("lake.geojson", "as it was");
    let (status, text, told) =
        folder.told(&["import", "shoreline", "lake.kml", "-o", "lake.geojson"]);
    assert_eq!((status, text.as_str()), (2, ""));
    assert!(
        told.contains(
            "lake.kml:2:1: the shoreline does not close: a line ends at [52.4000000, -24.3000000]"
        ),
        "{told}"
    );
    let wide = [
        "import",
        "shoreline",
        "lake.kml",
        "-o",
        "lake.geojson",
        "--join",
        "12 km",
    ];
    let (status, _, told) = folder.told(&wide);
    assert_eq!(status, 64);
    assert!(
        told.contains("exists already; `--replace` writes over it"),
        "{told}"
    );
    assert_eq!(folder.read("lake.geojson"), "as it was");
    let (status, text, told) = folder.told(&["import", "shoreline", "lake.kml", "--join", "12 km"]);
    assert_eq!(status, 0, "{told}");
    assert!(
        told.contains("a gap of 11127") && text.contains("\"Polygon\""),
        "{told}"
    );
    // An edge past which open water goes on, for the site.
    let open = [
        &wide[..],
        &["--replace", "--open", "52.4,-24.2", "52.5,-24.2", "3 km"],
    ]
    .concat();
    let (status, text, told) = folder.told(&open);
    assert_eq!(status, 0, "{told}");
    assert!(
        text.ends_with("open_edges:\n  - { from: [52.400000, -24.200000], to: [52.500000, -24.200000], fetch: 3000 m }\n"),
        "{text}"
    );
}

#[test]
fn soundings_that_went_through_columns_check_as_before() {
    let folder = Folder::of(&["north-bay-lines"]);
    let before = checked(&folder);
    let geojson: Json = serde_json::from_str(&folder.read(SOUNDINGS)).unwrap();
    let mut csv = String::from("east;north;height\n");
    for feature in geojson["features"].as_array().unwrap() {
        let at = &feature["geometry"]["coordinates"];
        let (x, y) = in_zone((at[0].as_f64().unwrap(), at[1].as_f64().unwrap()));
        let height = 100.0 - feature["properties"]["depth"].as_f64().unwrap();
        csv.push_str(&format!("{x:.4};{y:.4};{height:.2}\n"));
    }
    folder.write("bed.csv", csv);
    let whole = [
        "import",
        "soundings",
        "bed.csv",
        "-o",
        SOUNDINGS,
        "--replace",
        "--crs",
        ZONE,
        "--x",
        "east",
        "--y",
        "north",
        "--z",
        "height",
        "--unit",
        "m",
        "--depths",
        "elevations",
        "--datum-height",
        "100 m",
        "--datum",
        "the crest of the spillway",
    ];
    // Nothing that the file does not say is guessed.
    for (without, status, due) in [
        (
            &["--depths", "elevations"][..],
            64,
            "add `--depths positive-down`",
        ),
        (
            &["--datum", "the crest of the spillway"],
            64,
            "the datum is not stated; add `--datum`",
        ),
        (&["--datum-height", "100 m"], 64, "add `--datum-height`"),
        (
            &["--unit", "m"],
            2,
            "bed.csv: the file does not say in which unit its depths are; add `--unit`",
        ),
        (&["--crs", ZONE], 2, "add `--crs`"),
        (
            &["--x", "east", "--y", "north", "--z", "height"],
            2,
            "bed.csv:1:1: this line holds headings",
        ),
    ] {
        let at = whole
            .windows(without.len())
            .position(|some| some == without)
            .unwrap();
        let words = [&whole[..at], &whole[at + without.len()..]].concat();
        let (found, _, told) = folder.told(&words);
        assert_eq!(found, status, "{told}");
        assert!(told.contains(due), "{without:?}: {told}");
    }
    let (status, text, told) = folder.told(&whole);
    assert_eq!((status, told.as_str()), (0, ""), "{text}");
    assert!(text.contains("\nsoundings:\n  file: quenderby-soundings.geojson\n  datum: \"the crest of the spillway\"\n"), "{text}");
    assert_eq!(checked(&folder), before);
    // Thinned, they are fewer and still make a bed.
    let thinned = [&whole[..], &["--cell", "60 m"]].concat();
    let (status, text, told) = folder.told(&thinned);
    assert_eq!(status, 0, "{told}");
    assert!(
        text.contains("the shoalest of each cell of 60 m kept"),
        "{text}"
    );
    let (_, found) = checked(&folder);
    assert!(!found.iter().any(|one| one.contains("input-")), "{found:?}");
}

/// The columns of the boat's own recorder serve for its depths.
#[test]
fn a_record_with_a_file_of_columns_gives_soundings() {
    let folder = Folder::of(&[]);
    let plans = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans/tracks");
    folder.write(
        "columns.yaml",
        std::fs::read(plans.join("columns.yaml")).unwrap(),
    );
    folder.write(
        "run.csv",
        std::fs::read(plans.join("dam-to-bay-transects-20270622.csv")).unwrap(),
    );
    let import = [
        "import",
        "soundings",
        "run.csv",
        "--columns",
        "columns.yaml",
        "--depths",
        "positive-down",
        "--datum",
        "the level of the day",
        "--cell",
        "25 m",
        "-o",
        "bed.geojson",
    ];
    let (status, text, told) = folder.told(&import);
    assert_eq!(status, 0, "{told}");
    assert!(
        text.starts_with("bed.geojson: ")
            && text.contains("the shoalest of each cell of 25 m kept"),
        "{text}"
    );
    let (status, _, told) = folder.told(&[&import[..], &["--unit", "m", "--replace"]].concat());
    assert_eq!(status, 64, "{told}");
}

/// A mission with a part of it replaced: from a line that begins so up to one that begins otherwise.
fn with_part(folder: &Folder, from: &str, to: &str, part: &str) {
    let text = folder.read(MISSION);
    let begins = text.find(from).unwrap();
    let ends = begins + text[begins..].find(to).unwrap();
    folder.write(
        MISSION,
        format!("{}{part}{}", &text[..begins], &text[ends..]),
    );
}

#[test]
fn a_forecast_becomes_the_conditions_of_a_mission_that_checks() {
    let folder = Folder::of(&["north-bay-lines"]);
    let hours: Vec<String> = (10..16)
        .map(|hour| format!("{{ \"at\": \"2027-06-15T{hour}:00\", \"wind\": {{ \"deg\": 240, \"kmh\": 10.8, \"gust\": 18 }} }}"))
        .collect();
    folder.write(
        "wind.json",
        format!("{{ \"hours\": [{}] }}", hours.join(",\n")),
    );
    let import = [
        "import",
        "forecast",
        "wind.json",
        "--time",
        "hours[].at in UTC",
        "--from",
        "hours[].wind.deg in °",
        "--mean",
        "hours[].wind.kmh in km/h",
        "--gust",
        "hours[].wind.gust in km/h",
        "--source",
        "a model of the county's",
        "--issued",
        "2027-06-15T06:00Z",
        "--valid-until",
        "2027-06-15T14:30Z",
        "--height",
        "10 m",
        "--spread",
        "20°",
    ];
    let (status, text, told) = folder.told(&import);
    assert_eq!(status, 0, "{told}");
    assert_eq!(
        told,
        "offing: 1 hour before the issue of the forecast or after its end left out\n"
    );
    assert!(
        text.contains(
            "      - { time: 2027-06-15T10:00Z, from: 240°, mean: 3 m/s, gust: 5 m/s }\n"
        ),
        "{text}"
    );
    with_part(&folder, "conditions:\n", "  water_temperature", &text);
    assert_eq!(checked(&folder), (0, Vec::new()));
    let (status, _, told) = folder.told(
        &[
            &import[..9],
            &["hours[].wind.gust", "--source"],
            &import[11..],
        ]
        .concat(),
    );
    assert_eq!(status, 64, "{told}");
    folder.write("\u{1b}[2J.csv", "t,\u{1b}[2J\n1,2\n");
    let hostile = [&["import", "forecast", "\u{1b}[2J.csv"][..], &import[3..]].concat();
    let (status, _, told) = folder.told(&hostile);
    assert_eq!(status, 2);
    assert!(!told.contains('\u{1b}'), "{told}");
}

#[test]
fn an_area_becomes_a_block_of_a_route_that_checks() {
    let folder = Folder::of(&["north-bay-lines"]);
    let corners = "[-24.309213, 52.399192], [-24.305761, 52.399960], [-24.306968, 52.401987], [-24.310419, 52.401218]";
    let polygon = format!(
        "{{ \"type\": \"Polygon\", \"coordinates\": [[{corners}, [-24.309213, 52.399192]]] }}"
    );
    folder.write("bay.geojson", polygon);
    let import = [
        "import",
        "area",
        "bay.geojson",
        "--id",
        "bay-lines",
        "--site",
        "quenderby",
        "--depth",
        "10 m",
        "--beam",
        "120°",
        "--overlap",
        "13.3 %",
        "--direction",
        "070°",
        "--turn-room",
        "0 m",
        "--clear-of-land",
        "25 m",
    ];
    let (status, text, told) = folder.told(&import);
    assert_eq!((status, told.as_str()), (0, ""));
    // A beam of 120° lights up 2 d tan 60°, 34.6 m at 10 m.
    assert!(
        text.contains("      direction: 070°\n      spacing: 30 m\n      clear_of_land: 25 m\n"),
        "{text}"
    );
    let (_, block) = text.split_once("route:\n").unwrap();
    with_part(
        &folder,
        "  - id: bay-lines\n",
        "    speed: { over_ground: 1.1 m/s }\n  - { id: off-the-bay",
        block,
    );
    assert_eq!(checked(&folder), (0, Vec::new()));
    // What the site closes to the boat is cut out, and told.
    let reeds = "[-24.292970, 52.397000], [-24.290000, 52.398000], [-24.291715, 52.399500], [-24.294500, 52.398500]";
    folder.write(
        "reeds.geojson",
        format!(
            "{{ \"type\": \"Polygon\", \"coordinates\": [[{reeds}, [-24.292970, 52.397000]]] }}"
        ),
    );
    let around = [&["import", "area", "reeds.geojson"][..], &import[3..]].concat();
    let (status, text, told) = folder.told(&around);
    assert_eq!(status, 0, "{told}");
    assert!(
        told.contains("keep-out reed-bed cuts the area at [")
            || told.contains("keep-out reed-bed lies in the area"),
        "{told}"
    );
    assert!(text.contains("  - id: bay-lines-2\n"), "{text}");
    // 2 d tan 89.95° would be 23 km wide at 10 m.
    let mut wide = import.to_vec();
    wide[10] = "179.9°";
    let (status, _, told) = folder.told(&wide);
    assert_eq!(status, 64);
    assert!(told.contains("a beam is from 1° to 160° wide"), "{told}");
    let mut elsewhere = import.to_vec();
    elsewhere[6] = "nowhere";
    let (status, _, told) = folder.told(&elsewhere);
    assert_eq!(status, 64);
    assert!(told.contains("there is no site `nowhere` here"), "{told}");
}
