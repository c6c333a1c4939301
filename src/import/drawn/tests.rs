//! Drawings in each format, and what is off in them told with its place.

use ::shapefile::{Point, Polygon, PolygonRing, Polyline, ShapeWriter};

use super::*;
use crate::import::zip::tests::packed;

fn told(text: &str) -> String {
    read(text.as_bytes().to_vec(), None).unwrap_err().shown("f")
}

fn spots(drawing: &Drawing) -> Vec<(Role, usize)> {
    let shapes = drawing.shapes.iter();
    shapes
        .map(|shape| (shape.role, shape.points.len()))
        .collect()
}

/// The polygon with a hole of RFC 7946, appendix A.3.
const RFC: &str = r#"{
         "type": "Polygon",
         "coordinates": [
             [
                 [100.0, 0.0],
                 [101.0, 0.0],
                 [101.0, 1.0],
                 [100.0, 1.0],
                 [100.0, 0.0]
             ],
             [
                 [100.8, 0.8],
                 [100.8, 0.2],
                 [100.2, 0.2],
                 [100.2, 0.8],
                 [100.8, 0.8]
             ]
         ]
     }"#;

#[test]
fn the_polygon_with_a_hole_of_rfc_7946_is_read() {
    let drawing = read(RFC.into(), None).unwrap();
    assert_eq!(drawing.form, "GeoJSON");
    assert_eq!(spots(&drawing), [(Role::Outer, 5), (Role::Hole, 5)]);
    let second = drawing.shapes[1].points[1];
    assert_eq!((second.latitude, second.longitude), (0.2, 100.8));
    assert_eq!(drawing.place(&second), Place::Line(13, 18));
}

#[test]
fn lines_and_areas_of_kml_and_gpx_are_read_with_their_places() {
    let kml = "<kml><Document><Placemark><Polygon><outerBoundaryIs><LinearRing>\n\
        <coordinates>\n 1,2,0 3,2 3,4\n 1,2</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>\
        <Placemark><LineString><coordinates>1,2 3,4</coordinates></LineString></Placemark>\
        <Placemark><Point><coordinates>1,2</coordinates></Point></Placemark></Document></kml>";
    let drawing = read(kml.into(), None).unwrap();
    assert_eq!(spots(&drawing), [(Role::Outer, 4), (Role::Line, 2)]);
    assert_eq!(drawing.beside, 1);
    let last = drawing.shapes[0].points[3];
    assert_eq!(drawing.place(&last), Place::Line(4, 2));
    let gpx = "<gpx version='1.1'><wpt lat='1' lon='2'/><trk><trkseg><trkpt lat='1' lon='2'/>\n<trkpt lat='3' lon='4'/>\
        </trkseg><trkseg><trkpt lat='5' lon='6'/></trkseg></trk></gpx>";
    let drawing = read(gpx.into(), None).unwrap();
    assert_eq!(spots(&drawing), [(Role::Line, 2), (Role::Line, 1)]);
    assert_eq!(
        drawing.place(&drawing.shapes[0].points[1]),
        Place::Line(2, 1)
    );
}

/// Rings of a shapefile: the outer one runs clockwise, the hole the other way (shapefile technical description,
/// 1998, Polygon).
fn square_with_hole() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    {
        let ring = |half: f64, clockwise: bool| {
            let mut corners = vec![
                (-half, -half),
                (-half, half),
                (half, half),
                (half, -half),
                (-half, -half),
            ];
            if !clockwise {
                corners.reverse();
            }
            let at = |(x, y)| Point::new(500_000.0 + x, 5_800_000.0 + y);
            corners.into_iter().map(at).collect::<Vec<_>>()
        };
        let polygon = Polygon::with_rings(vec![
            PolygonRing::Outer(ring(100.0, true)),
            PolygonRing::Inner(ring(10.0, false)),
        ]);
        let writer = ShapeWriter::new(&mut bytes);
        writer.write_shapes(&[polygon]).unwrap();
    }
    bytes.into_inner()
}

const UTM: &str = "PROJCS[\"WGS_1984_UTM_Zone_32N\",GEOGCS[\"GCS_WGS_1984\"]]";

#[test]
fn a_shapefile_is_read_alone_and_zipped() {
    let bytes = square_with_hole();
    let utm = Crs::parse("EPSG:32632").unwrap();
    let drawing = read(bytes.clone(), Some(&utm)).unwrap();
    assert_eq!(spots(&drawing), [(Role::Outer, 5), (Role::Hole, 5)]);
    let first = drawing.shapes[0].points[0];
    // On the central meridian of zone 32, 9° E, some 100 m west of it.
    assert!((first.longitude - 8.9985).abs() < 1e-4, "{first:?}");
    assert_eq!(drawing.place(&first), Place::Record(1));
    let archive = packed(&[("a/lake.shp", &bytes), ("a/lake.prj", UTM.as_bytes())]);
    let zipped = read(archive.clone(), Some(&utm)).unwrap();
    assert_eq!(zipped.shapes, drawing.shapes);
    assert_eq!(
        zipped.notes,
        [
            "the archive itself states the system `WGS_1984_UTM_Zone_32N`; `--crs` counts in its place"
        ]
    );
    // No system is guessed.
    let told = read(archive, None).unwrap_err();
    assert!(
        told.message
            .contains("`WGS_1984_UTM_Zone_32N`; say which it is with `--crs`"),
        "{told:?}"
    );
    let told = read(bytes.clone(), None).unwrap_err();
    assert!(told.message.contains("add `--crs`"), "{told:?}");
    let two = packed(&[("a.shp", &bytes), ("b.shp", &bytes)]);
    assert!(
        read(two, Some(&utm))
            .unwrap_err()
            .message
            .contains("2 shapefiles")
    );
}

/// A shapefile of one ring on WGS 84.
pub(in crate::import) fn square_in_degrees() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let corners = [(1.0, 2.0), (1.0, 2.001), (1.001, 2.001), (1.0, 2.0)];
    let ring = corners.map(|(x, y)| Point::new(x, y)).to_vec();
    let polygon = Polygon::new(PolygonRing::Outer(ring));
    ShapeWriter::new(&mut bytes)
        .write_shapes(&[polygon])
        .unwrap();
    bytes.into_inner()
}

#[test]
fn an_archive_in_degrees_is_read_by_no_other_system() {
    let system = "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\"]]".as_bytes();
    let archive = packed(&[("a.shp", &square_in_degrees()), ("a.prj", system)]);
    let own = read(archive.clone(), None).unwrap();
    assert_eq!(read(archive.clone(), Some(&Crs::Wgs84)).unwrap(), own);
    assert!(own.notes.is_empty());
    let utm = Crs::parse("EPSG:32632").unwrap();
    let told = read(archive, Some(&utm)).unwrap_err();
    assert!(
        told.message
            .starts_with("the archive states degrees on WGS 84, and `--crs` another system"),
        "{told:?}"
    );
}

#[test]
fn lines_of_a_shapefile_are_lines() {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let line = Polyline::with_parts(vec![
        vec![Point::new(1.0, 2.0), Point::new(3.0, 4.0)],
        vec![Point::new(5.0, 6.0), Point::new(7.0, 8.0)],
    ]);
    ShapeWriter::new(&mut bytes).write_shapes(&[line]).unwrap();
    let drawing = read(bytes.into_inner(), Some(&Crs::Wgs84)).unwrap();
    assert_eq!(spots(&drawing), [(Role::Line, 2), (Role::Line, 2)]);
}

/// No byte of a shapefile, whatever it says, ends the program or asks for more than the file holds.
#[test]
fn a_damaged_shapefile_is_refused_or_read() {
    let whole = square_with_hole();
    let utm = Crs::parse("EPSG:32632").unwrap();
    for cut in 4..whole.len() {
        assert!(read(whole[..cut].to_vec(), Some(&utm)).is_err(), "{cut}");
    }
    for at in 4..whole.len() {
        for value in [0x00, 0x7f, 0x80, 0xff] {
            let mut bytes = whole.clone();
            bytes[at] = value;
            let _ = read(bytes, Some(&utm));
        }
    }
    // A record of a thousand million points.
    let mut bytes = whole;
    bytes[100 + 8 + 40..100 + 8 + 44].copy_from_slice(&1_000_000_000_i32.to_le_bytes());
    let told = read(bytes, Some(&utm)).unwrap_err();
    assert_eq!(told.place, Place::Record(1));
}

#[test]
fn what_is_off_is_told_with_its_place() {
    for (text, due) in [
        ("", "f: the file is empty"),
        ("hello", "f: this is neither GeoJSON"),
        (
            "{\n \"type\": \"Polygon\", \"coordinates\": [[[1,2],[3,4]]]}",
            "f:2:37: a ring has four positions",
        ),
        (
            "{\"type\": \"Blob\"}",
            "f:1:1: this `type` is none of GeoJSON's",
        ),
        (
            "{\"type\": \"LineString\", \"coordinates\": [[1,2],\n[500000,5800000]]}",
            "f:2:1: latitude 5800000, longitude 500000 is not on the earth; projected coordinates need `--crs`",
        ),
        (
            "{\"type\": \"FeatureCollection\", \"crs\": {}, \"features\": []}",
            "f:1:38: the file states a `crs` of its own",
        ),
        (
            "<kml>\n<Placemark><LineString><coordinates>1,2 x,3</coordinates></LineString></Placemark></kml>",
            "f:2:41: `x,3` is no position",
        ),
        (
            "<gpx version='1.1'><trk><trkseg>\n <trkpt lat='91' lon='2'/></trkseg></trk></gpx>",
            "f:2:2: latitude 91",
        ),
        ("<gpx version='1.1'>\n <trk>", "f:2:7: the file ends within"),
        ("<osm/>", "f: the root element is `osm`"),
    ] {
        assert!(told(text).starts_with(due), "{text}: {}", told(text));
    }
    let told = read(b"{\"type\": \"\xff\"}".to_vec(), None).unwrap_err();
    assert_eq!(told.place, Place::Line(1, 11));
    let utm = Crs::parse("EPSG:32632").unwrap();
    let told = read(b"<kml/>".to_vec(), Some(&utm)).unwrap_err();
    assert!(told.message.contains("leave `--crs` out"), "{told:?}");
}
