//! Soundings of points in GeoJSON, and files of no form.

use super::tests::{DUE, file, import, options, points, told};
use super::*;

/// A collection of points, each with its properties and its coordinates as JSON.
fn collection(points: &[(&str, &str)]) -> String {
    let features: Vec<String> = points
        .iter()
        .map(|(properties, coordinates)| {
            format!(
                "{{\"type\":\"Feature\",\"properties\":{properties},\"geometry\":{{\"type\":\"Point\",\
                 \"coordinates\":{coordinates}}}}}"
            )
        })
        .collect();
    format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{}]}}",
        features.join(",")
    )
}

#[test]
fn points_of_geojson_are_read_by_a_property_or_by_their_third_number() {
    let plain = SoundingsOptions {
        crs: None,
        ..options()
    };
    let third = collection(&[
        ("{}", "[-24.25,52.5,3.25]"),
        ("null", "[-24.2499,52.5001,1]"),
    ]);
    assert_eq!(points(&import(&third, &plain).unwrap()), DUE);
    let named = SoundingsOptions {
        property: Some("z".to_owned()),
        ..plain
    };
    let by_name = collection(&[
        ("{\"z\":3.25,\"n\":7}", "[-24.25,52.5]"),
        ("{\"z\":1}", "[-24.2499,52.5001,44]"),
    ]);
    assert_eq!(points(&import(&by_name, &named).unwrap()), DUE);
    // What was not measured is null, as in an empty cell.
    let blank = by_name.replace("\"z\":1}", "\"z\":null}");
    let read = import(&blank, &named).unwrap();
    assert_eq!(points(&read).len(), 1);
    assert!(
        read.notes
            .iter()
            .any(|note| note.contains("1 place without a depth"))
    );
}

#[test]
fn what_is_no_point_with_a_depth_is_refused_by_its_number() {
    let plain = || SoundingsOptions {
        crs: None,
        ..options()
    };
    let named = SoundingsOptions {
        property: Some("z".to_owned()),
        ..plain()
    };
    let flat = collection(&[("{\"depth\":3,\"what\":\"mud\"}", "[-24.25,52.5]")]);
    for (text, options, says) in [
        (
            flat.clone(),
            &plain(),
            "f: record 1: say with `--z` which property is the depth: `depth`",
        ),
        (
            flat.clone(),
            &named,
            "f: record 1: the point has no property `z`; it has `depth`",
        ),
        (
            flat.replace("\"depth\":3", "\"z\":\"3\""),
            &named,
            "the property `z` is not a number",
        ),
        (
            flat.replace("Point", "Polygon"),
            &named,
            "a sounding is a point, and this feature is a Polygon",
        ),
        (
            flat.replace("[-24.25,52.5]", "[-24.25]"),
            &named,
            "a position is two numbers or three",
        ),
        (
            flat.replace("FeatureCollection", "Feature"),
            &named,
            "a GeoJSON FeatureCollection of points",
        ),
        (
            "{\"type\": 1}".to_owned(),
            &named,
            "a GeoJSON FeatureCollection of points",
        ),
        ("{\"type\": ".to_owned(), &named, "f:1:"),
        (
            flat.replace("\"features\"", "\"crs\":{\"type\":\"name\"},\"features\""),
            &plain(),
            "the file states a `crs` of its own",
        ),
        (collection(&[]), &named, "the file holds no sounding"),
        (
            "1 2 3\n".to_owned(),
            &named,
            "a file of columns needs `--x` and `--y` too",
        ),
    ] {
        let said = told(&text, options);
        assert!(said.contains(says), "{says}: {said}");
    }
}

#[test]
fn what_is_of_no_form_is_told_before_anything_is_asked() {
    let says = |bytes: &[u8]| is_of_a_form(&mut file(bytes)).map_err(|fault| fault.message);
    assert!(
        says(b"PK\x03\x04\0\0")
            .unwrap_err()
            .contains("this is none of them")
    );
    for sound in [&b"1 2 3"[..], b"ncols 4", b" {\"type\":", b"II*\0"] {
        assert_eq!(says(sound), Ok(()));
    }
}
