//! Columns of soundings without headings, and those that are named the other way round.

use super::SoundingColumns;
use super::tests::{DUE, import, options, points, told};
use super::*;

fn columns([x, y, z]: [&str; 3]) -> SoundingsOptions {
    SoundingsOptions {
        columns: Some(SoundingColumns {
            delimiter: None,
            x: x.to_owned(),
            y: y.to_owned(),
            z: z.to_owned(),
            unit: None,
            degrees: false,
        }),
        ..options()
    }
}

#[test]
fn columns_without_headings_are_named_by_their_numbers() {
    let by_number = columns(["2", "3", "4"]);
    for text in [
        "1,-24.25,52.5,3.25\n2,-24.2499,52.5001,1\n",
        "1 -24.25 52.5 3.25 0.1\n2 -24.2499 52.5001 1 0.1\n",
    ] {
        assert_eq!(points(&import(text, &by_number).unwrap()), DUE, "{text}");
        // The first would be a place of its own, and the third a depth.
        let told = told(text, &options());
        assert!(told.starts_with("f:1:1: the line has "), "{told}");
        assert!(told.contains("no headings; say which of them"), "{told}");
        assert!(!told.contains("--no-data"), "{told}");
    }
    let text = "7,-24.25,52.5\n";
    for same in [["2", "2", "3"], ["0", "2", "3"], ["2", "3", "9"]] {
        let told = told(text, &columns(same));
        assert!(told.contains("no column is headed"), "{told}");
    }
    // Three cells in another order.
    let told = told("3.25,677400,5797510\n", &options());
    assert!(
        told.contains(
            "a line without headings is x, y and the depth, in that order; where the number stands"
        ),
        "{told}"
    );
}

#[test]
fn columns_that_are_named_the_other_way_round_are_refused() {
    for (x, y, wrong) in [
        ("lat", "lon", "lat"),
        ("Latitude (deg)", "b", "Latitude (deg)"),
        ("northing", "easting", "northing"),
        ("a", "LON_WGS84", "LON_WGS84"),
    ] {
        let text = format!("{x},{y},d\n52.5,-24.25,3.25\n");
        let told = told(&text, &columns([x, y, "d"]));
        assert!(
            told.contains(&format!("`{wrong}` says the other")),
            "{told}"
        );
    }
    let text = "lateral,longitudinal,d\n-24.25,52.5,3.25\n";
    assert!(import(text, &columns(["lateral", "longitudinal", "d"])).is_ok());
}
