//! Files that are no routes, and plans that do not go out: said in a sentence, with the status that
//! the documents name.

use std::time::{Duration, Instant};

use super::Folder;

fn gpx(inside: &str) -> String {
    format!("<gpx version=\"1.1\" creator=\"x\">{inside}</gpx>")
}

fn route(points: &[(&str, &str)]) -> String {
    let points = points
        .iter()
        .map(|(lat, lon)| format!("<rtept lat=\"{lat}\" lon=\"{lon}\"/>"));
    gpx(&format!("<rte>{}</rte>", points.collect::<String>()))
}

fn kml(inside: &str) -> String {
    format!("<kml xmlns=\"http://www.opengis.net/kml/2.2\">{inside}</kml>")
}

fn line(coordinates: &str) -> String {
    kml(&format!(
        "<Placemark><LineString><coordinates>{coordinates}</coordinates></LineString></Placemark>"
    ))
}

fn geojson(coordinates: &str) -> String {
    format!("{{\"type\": \"LineString\", \"coordinates\": {coordinates}}}")
}

#[test]
#[ignore = "slow"]
fn files_that_are_no_route_are_refused_with_the_reason() {
    let laughs = "<!DOCTYPE gpx [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">]>";
    let million = 1_000_000;
    let mut track = String::from("<trk><trkseg>");
    track.push_str(&"<trkpt lat=\"1\" lon=\"1\"/>".repeat(201));
    track.push_str("</trkseg></trk>");
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("empty", Vec::new(), "the file is empty"),
        ("blank", b" \n\n".to_vec(), "the file is empty"),
        ("not XML", b"hello".to_vec(), "this is neither GPX, nor KML, nor GeoJSON"),
        ("a mission", b"kind: mission".to_vec(), "this is neither GPX, nor KML, nor GeoJSON"),
        ("not text", vec![b'<', 0xff, 0xfe], "UTF-8"),
        ("cut off", b"<gpx version='1.1'>\n<rte>".to_vec(), "line 2: the file ends within `rte`"),
        ("not well formed", b"<gpx version='1.1'></kml>".to_vec(), "not well-formed XML"),
        ("wrong root", b"<osm/>".to_vec(), "the root element is `osm`"),
        ("another version", b"<gpx version='2.0'/>".to_vec(), "versions 1.1 and 1.0"),
        ("no version", b"<gpx/>".to_vec(), "versions 1.1 and 1.0"),
        ("nothing in it", gpx("").into(), "no route, no track and no waypoint"),
        ("one point", route(&[("1", "2")]).into(), "the route has one point"),
        ("one position", line("1,2").into(), "the line has one point"),
        ("not a number", route(&[("NaN", "2")]).into(), "latitude `NaN` is not a number"),
        ("without end", route(&[("inf", "2")]).into(), "latitude `inf` is not a number"),
        ("too large", route(&[("1", "1e999")]).into(), "is not on the earth"),
        ("off the earth", route(&[("91", "2")]).into(), "is not on the earth"),
        ("swapped", line("52.4,-124.3").into(), "latitude and longitude look swapped"),
        ("empty number", route(&[("", "2")]).into(), "latitude `` is not a number"),
        ("no longitude", gpx("<rte><rtept lat='1'/></rte>").into(), "a point has no `lon`"),
        (
            "two routes",
            gpx("<rte><rtept lat='1' lon='1'/></rte><rte><rtept lat='1' lon='1'/></rte>").into(),
            "the file has 2 routes",
        ),
        ("a long track", gpx(&track).into(), "its track has 201 points"),
        (
            "a track in pieces",
            gpx("<trk><trkseg><trkpt lat='1' lon='1'/></trkseg><trkseg><trkpt lat='1' lon='1'/></trkseg></trk>").into(),
            "its track is in 2 pieces",
        ),
        ("laughs", format!("{laughs}{}", gpx("<rte><name>&b;</name></rte>")).into(), "a document type is not read"),
        ("an entity", gpx("<rte><name>&b;</name></rte>").into(), "an entity is named"),
        ("a control character", gpx("<rte><name>&#27;[2J</name></rte>").into(), "the character U+001B"),
        ("a million points", route(&vec![("1", "1"); million]).into(), "at most 16777216 are allowed"),
        ("a million positions", line(&"1,2 ".repeat(million)).into(), "more than 10000 points"),
        (
            "a million numbers",
            geojson(&format!("[{}[1,2]]", "[1,2],".repeat(million))).into(),
            "more than 500000 keys and values",
        ),
        ("10001 points", geojson(&format!("[{}[1,2]]", "[1,2],".repeat(10_000))).into(), "more than 10000 points"),
        ("deep XML", kml(&"<Folder>".repeat(100_000)).into(), "more than 32 deep"),
        ("deep JSON", geojson(&"[".repeat(100_000)).into(), "line 1: "),
        (
            "deep geometries",
            "{\"type\":\"GeometryCollection\",\"geometries\":[".repeat(12).into(),
            "line 1: ",
        ),
        ("blanks in a position", line("1, 2 3, 4").into(), "with commas and no spaces"),
        ("one number", geojson("[[1],[2]]").into(), "a position is two numbers or three"),
        ("no numbers", geojson("[[],[]]").into(), "a position is two numbers or three"),
        ("words", geojson("[[\"1\",\"2\"]]").into(), "a position is two numbers or three"),
        ("no list", geojson("7").into(), "a list of positions is due here"),
        ("no type", b"{}".to_vec(), "this has no `type`"),
        ("another type", b"{\"type\": \"Topology\"}".to_vec(), "none of GeoJSON's"),
        (
            "only an area",
            b"{\"type\": \"Polygon\", \"coordinates\": []}".to_vec(),
            "no line in the file, and no point",
        ),
        (
            "two lines",
            b"{\"type\": \"MultiLineString\", \"coordinates\": [[[1,2],[3,4]],[[1,2],[3,4]]]}".to_vec(),
            "the file has 2 lines",
        ),
        ("twice the same key", b"{\"type\": \"Point\", \"type\": \"Point\"}".to_vec(), "line 1: "),
    ];
    let folder = Folder::of(&[]);
    for (what, bytes, due) in cases {
        folder.write("route", &bytes);
        let begun = Instant::now();
        let (status, text, told) =
            folder.told(&["import", "route", "route", "--vessel", "v", "--site", "s"]);
        assert_eq!((status, text.as_str()), (2, ""), "{what}: {told}");
        assert!(told.contains(due), "{what}: {told}");
        assert!(
            told.lines().count() < 4 && !told.contains('\u{1b}'),
            "{what}: {told}"
        );
        // A bound on hanging, not on speed.
        assert!(begun.elapsed() < Duration::from_secs(60), "{what}");
    }
}

#[test]
fn what_is_asked_for_wrongly_is_refused() {
    let folder = Folder::of(&["north-bay-lines"]);
    folder.write("ok.gpx", route(&[("52.4", "-24.3"), ("52.41", "-24.3")]));
    let v = ["--vessel", "v", "--site", "s"];
    let import = |more: &[&'static str]| [&["import", "route", "ok.gpx"][..], &v, more].concat();
    let export =
        |more: &[&'static str]| [&["export", "north-bay-lines", "--to", "gpx"][..], more].concat();
    for (arguments, due, words) in [
        (import(&[]), 0, ""),
        (import(&["--id", "a b"]), 64, "--id: `a b` is no id"),
        (import(&["--id", ""]), 64, "--id: `` is no id"),
        (import(&["-o", "ok.gpx"]), 64, "exists already"),
        (
            import(&["-o", "nowhere/begun.yaml"]),
            74,
            "nowhere/begun.yaml: its folder does not exist",
        ),
        (
            import(&["-o", "begun.txt"]),
            64,
            "no check would read `begun.txt`",
        ),
        (
            vec![
                "import", "route", "ok.gpx", "--vessel", "v\u{1b}", "--site", "s",
            ],
            64,
            "is no id",
        ),
        (
            vec!["import", "route", "ok.gpx", "-o", "nowhere/new.yaml"],
            64,
            "name it with `--vessel`",
        ),
        (
            vec!["import", "ok.gpx", "--vessel", "v", "--site", "s"],
            64,
            "`offing import FILE` is now `offing import route FILE`",
        ),
        (
            vec!["import", "--vessel", "v", "--site", "s", "ok.gpx"],
            64,
            "`offing import FILE` is now `offing import route FILE`",
        ),
        (
            vec!["import", "route", "nowhere", "--vessel", "v", "--site", "s"],
            2,
            "nowhere",
        ),
        (
            vec!["import", "route", ".", "--vessel", "v", "--site", "s"],
            2,
            "this is a folder",
        ),
        (
            export(&["-o", "nowhere/out.gpx"]),
            74,
            "could not be written",
        ),
        (export(&["--plans", "nowhere"]), 2, "nowhere"),
        (
            vec!["export", "north-bay-line", "--to", "gpx"],
            64,
            "did you mean `north-bay-lines`?",
        ),
        (vec!["export", "north-bay-lines", "--to", "csv"], 64, "csv"),
        (vec!["export", "north-bay-lines"], 64, "--to"),
    ] {
        let (status, _, told) = folder.told(&arguments);
        assert_eq!(status, due, "{arguments:?}: {told}");
        assert!(told.contains(words), "{arguments:?}: {told}");
    }
    // A link is not followed, and nothing is left of what was not written.
    std::os::unix::fs::symlink("ok.gpx", folder.path().join("link.gpx")).unwrap();
    let (status, _, told) = folder.told(&[
        "import", "route", "link.gpx", "--vessel", "v", "--site", "s",
    ]);
    assert_eq!(status, 2, "{told}");
    let left: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".tmp"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

/// A plan beside a file that cannot be read is not judged by what was meant to judge it.
#[test]
fn a_plan_in_doubt_does_not_go_out() {
    let folder = Folder::of(&["north-bay-lines"]);
    folder.write(
        "policy/team.yaml",
        "kind: policy\nformat: 1\nid: team\nrules: 7\n",
    );
    let (status, _, told) = folder.told(&["export", "north-bay-lines", "--to", "gpx"]);
    assert_eq!(status, 2, "{told}");
    let despite = [
        "export",
        "north-bay-lines",
        "--to",
        "gpx",
        "--despite-findings",
    ];
    assert_eq!(folder.told(&despite).0, 2);
}

/// Names that would act on a terminal, or end a comment, stay on their line.
#[test]
fn hostile_names_stay_names() {
    let folder = Folder::of(&[]);
    let names = [
        "a\u{202e}b",
        "x&#10;launch: { at: [1, 2] }",
        "}, { id: z",
        "\u{2028}q",
    ];
    let points: String = names
        .iter()
        .map(|name| format!("<rtept lat='1' lon='1'><name>{name}</name></rtept>"))
        .collect();
    folder.write(
        "n.gpx",
        gpx(&format!("<rte><name># -- '\"{{</name>{points}</rte>")),
    );
    let (status, text, told) =
        folder.told(&["import", "route", "n.gpx", "--vessel", "v", "--site", "s"]);
    assert_eq!(status, 0, "{told}");
    insta::assert_snapshot!(
        "hostile",
        text.lines()
            .filter(|l| l.contains("id:"))
            .collect::<Vec<_>>()
            .join("\n")
    );
}
