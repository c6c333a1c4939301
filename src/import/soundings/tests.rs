//! Soundings of each form, their signs and units, what thinning keeps, and what is refused.

use std::io::Cursor;

use proptest::prelude::*;
use tiff::encoder::{TiffEncoder, colortype};
use tiff::tags::Tag;

use super::*;

pub(super) fn options() -> SoundingsOptions {
    SoundingsOptions {
        crs: Some(Crs::Wgs84),
        sign: Sign::PositiveDown,
        unit: Some(1.0),
        datum: "the crest".to_owned(),
        cell: None,
        no_data: None,
        columns: None,
        property: None,
    }
}

pub(super) fn file(bytes: &[u8]) -> Cursor<&[u8]> {
    Cursor::new(bytes)
}

pub(super) fn import(text: &str, options: &SoundingsOptions) -> Result<SoundingsImport, Fault> {
    import_soundings(file(text.as_bytes()), "s.xyz", options)
}

pub(super) fn told(text: &str, options: &SoundingsOptions) -> String {
    import(text, options).unwrap_err().shown("f")
}

/// Longitude, latitude and depth of each point that was written, read with the crate `geojson`.
pub(super) fn points(import: &SoundingsImport) -> Vec<(f64, f64, f64)> {
    let geojson: geojson::FeatureCollection = import
        .text
        .parse::<geojson::GeoJson>()
        .unwrap()
        .try_into()
        .unwrap();
    let point = |feature: geojson::Feature| {
        let depth = feature.property("depth").unwrap().as_f64().unwrap();
        let geojson::GeometryValue::Point { coordinates } = feature.geometry.unwrap().value else {
            panic!("a point is due");
        };
        (coordinates[0], coordinates[1], depth)
    };
    geojson.features.into_iter().map(point).collect()
}

pub(super) const DUE: [(f64, f64, f64); 2] = [(-24.25, 52.5, 3.25), (-24.2499, 52.5001, 1.0)];

#[test]
fn three_numbers_a_line_are_read_whatever_parts_them() {
    for text in [
        "-24.25 52.5 3.25\n-24.2499 52.5001 1\n",
        "# x y z\n-24.25,52.5,3.25\n\n-24.2499,52.5001,1.00",
        "-24.25;52.5;3.25\r\n-24.2499;52.5001;1\r\n",
        "\u{feff}-24.25\t52.5\t3.25\n-24.2499\t52.5001\t1\n",
    ] {
        assert_eq!(points(&import(text, &options()).unwrap()), DUE, "{text}");
    }
}

#[test]
fn columns_with_headings_are_found_by_name() {
    let with = |degrees: bool, unit| SoundingsOptions {
        crs: (!degrees).then_some(Crs::Wgs84),
        unit: None,
        columns: Some(SoundingColumns {
            delimiter: None,
            x: "lon".to_owned(),
            y: "lat".to_owned(),
            z: "d".to_owned(),
            unit,
            degrees,
        }),
        ..options()
    };
    let text = "t;lat;\"d\";lon\n1;52.5;325;-24.25\n2;52.6;;-24.25\n3;52.5001;\"100\";-24.2499\n";
    let came = import(text, &with(true, Some(0.01))).unwrap();
    assert_eq!(points(&came), DUE);
    assert_eq!(came.notes, ["1 place without a depth left out"]);
    // Without a unit of its own it has to be stated.
    assert!(told(text, &with(true, None)).contains("add `--unit`"));
    assert!(
        told("lat;lon\n", &with(true, Some(1.0))).starts_with("f:1:1: no column is headed `d`")
    );
    assert!(told("d,lat,lon,d\n", &with(true, Some(1.0))).contains("two columns are headed `d`"));
    assert!(
        told("d,lat,lon\n1,2\n", &with(true, Some(1.0)))
            .starts_with("f:2:1: the line has 2 cells, and 3 are due")
    );
}

#[test]
fn heights_become_depths_below_their_datum() {
    let with = |datum| SoundingsOptions {
        sign: Sign::Elevations {
            datum: Length::metres(datum),
        },
        ..options()
    };
    let text = "-24.25 52.5 38.1\n-24.2499 52.5001 40.35\n-24.2499 52.5002 41.55\n";
    let depths = |datum| -> Vec<f64> {
        let came = import(text, &with(datum)).unwrap();
        points(&came).iter().map(|point| point.2).collect()
    };
    assert_eq!(depths(41.35), [3.25, 1.0, -0.2]);
    assert!(told(text, &with(30.0)).contains("3 of 3 soundings lie above the datum"));
}

/// The grid of four rows and six columns that the format's own description shows, with its lower left corner at
/// nought and cells of 50 (from memory), numbers from 1 on.
const GRID: &str = "ncols         4\nnrows         6\nxllcorner     0.0\nyllcorner     0.0\ncellsize      50.0\n\
    NODATA_value  -9999\n-9999 -9999 5 2\n-9999 20 100 36\n3 8 35 10\n32 42 50 6\n88 75 27 9\n13 5 1 -9999\n";

#[test]
fn an_ascii_grid_runs_from_north_to_south() {
    let utm = || SoundingsOptions {
        crs: Some(Crs::parse("EPSG:32628").unwrap()),
        ..options()
    };
    let text = GRID
        .replace("xllcorner     0.0", "xllcorner 500000")
        .replace("yllcorner     0.0", "yllcorner 5800000");
    let came = import(&text, &utm()).unwrap();
    let all = points(&came);
    assert_eq!(all.len(), 20);
    assert_eq!(came.notes, ["4 places without a depth left out"]);
    // The first number that counts is the third of the northernmost row: 125 m east, 275 m north.
    let (longitude, latitude) = (all[0].0, all[0].1);
    let crs = Crs::parse("EPSG:32628").unwrap();
    assert_eq!(
        crs.to_degrees(500_125.0, 5_800_275.0).unwrap(),
        (latitude, longitude)
    );
    assert_eq!((all[0].2, all[19].2), (5.0, 1.0));
    // By the centres of the cells it lies half a cell farther north-east.
    let centres = text
        .replace("xllcorner 500000", "xllcenter 500025")
        .replace("yllcorner 5800000", "yllcenter 5800025");
    assert_eq!(points(&import(&centres, &utm()).unwrap()), all);
    for (from, to, due) in [
        (
            "13 5 1 -9999",
            "13 5 1",
            "the grid is cut off: it has 23 cells, and 24 are due",
        ),
        (
            "13 5 1 -9999",
            "13 5 1 -9999 7",
            "f:12:14: the grid has more cells",
        ),
        ("88 75", "88 7x", "f:11:4: `7x` is not a number"),
        ("cellsize      50.0", "cellsize 0", "`cellsize` is above 0"),
        ("nrows         6", "nrows 1.5", "`nrows` is a whole number"),
        ("nrows         6", "nrows 1e9", "more than 200000000 cells"),
        ("cellsize      50.0\n", "", "lacks `cellsize`"),
        ("cellsize", "cellwidth", "f:5:1: `cellwidth` is not known"),
    ] {
        assert!(text.contains(from));
        let told = told(&text.replace(from, to), &utm());
        assert!(told.contains(due), "{to}: {told}");
    }
    let none = SoundingsOptions {
        crs: None,
        ..options()
    };
    assert!(told(&text, &none).contains("add `--crs`"));
}

/// A GeoTIFF of three columns and two rows at 500 000 m east, 5 800 000 m north of zone 28, pixels of 10 m.
fn image(points: bool, keys: bool) -> Vec<u8> {
    image_with(points, keys, 9001, None)
}

/// One whose keys state a unit of heights, by its code, and that has metadata.
fn image_with(points: bool, keys: bool, unit: u16, metadata: Option<&str>) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut bytes).unwrap();
    let mut image = encoder.new_image::<colortype::Gray32Float>(3, 2).unwrap();
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, &[10.0, 10.0, 0.0][..])
        .unwrap();
    tags.write_tag(
        Tag::ModelTiepointTag,
        &[0.0, 0.0, 0.0, 500_000.0, 5_800_000.0, 0.0][..],
    )
    .unwrap();
    if keys {
        let raster = if points { 2 } else { 1 };
        let keys: [u16; 20] = [
            1, 1, 0, 4, 1024, 0, 1, 1, 1025, 0, 1, raster, 3072, 0, 1, 32628, 4099, 0, 1, unit,
        ];
        tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..]).unwrap();
    }
    if let Some(text) = metadata {
        tags.write_tag(Tag::Unknown(42112), text).unwrap();
    }
    tags.write_tag(Tag::GdalNodata, "-9999").unwrap();
    image
        .write_data(&[1.5_f32, 2.5, -9999.0, 4.0, f32::NAN, 6.0])
        .unwrap();
    bytes.into_inner()
}

#[test]
fn a_geotiff_says_itself_where_it_lies() {
    let none = SoundingsOptions {
        crs: None,
        ..options()
    };
    let crs = Crs::parse("EPSG:32628").unwrap();
    for (is_points, shift) in [(false, 5.0), (true, 0.0)] {
        let came = import_soundings(file(&image(is_points, true)), "s.tif", &none).unwrap();
        let all = points(&came);
        let depths: Vec<f64> = all.iter().map(|point| point.2).collect();
        assert_eq!(depths, [1.5, 2.5, 4.0, 6.0]);
        let due = crs
            .to_degrees(500_020.0 + shift, 5_799_990.0 - shift)
            .unwrap();
        assert_eq!((all[3].1, all[3].0), due);
        assert_eq!(came.notes, ["2 places without a depth left out"]);
    }
    let told = import_soundings(file(&image(false, false)), "s.tif", &none).unwrap_err();
    assert!(told.message.contains("add `--crs`"), "{told:?}");
    let whole = image(false, true);
    for cut in 4..whole.len() {
        // It may still hold all that counts, and never ends the program.
        let _ = import_soundings(file(&whole[..cut]), "s.tif", &none);
    }
    for at in 4..whole.len() {
        let mut bytes = whole.clone();
        bytes[at] ^= 0xff;
        let _ = import_soundings(file(&bytes), "s.tif", &none);
    }
}

#[test]
fn a_geotiff_whose_numbers_are_no_metres_as_they_stand_does_not_pass_for_one() {
    let none = SoundingsOptions {
        crs: None,
        ..options()
    };
    let feet = image_with(false, true, 9002, None);
    let came = import_soundings(file(&feet), "s.tif", &none).unwrap();
    assert_eq!(
        came.notes[0],
        "the file itself states its numbers in feet; `--unit` counts in its place"
    );
    let stated = SoundingsOptions {
        crs: None,
        unit: Some(0.3048),
        ..options()
    };
    let notes = import_soundings(file(&feet), "s.tif", &stated)
        .unwrap()
        .notes;
    assert!(notes.iter().all(|note| !note.contains("feet")), "{notes:?}");
    let scaled = "<M><Item role=\"offset\">0</Item><Item role=\"scale\">0.01</Item></M>";
    let scaled = image_with(false, true, 9001, Some(scaled));
    let told = import_soundings(file(&scaled), "s.tif", &none).unwrap_err();
    assert!(
        told.message
            .starts_with("the image states the scale `0.01`"),
        "{told:?}"
    );
    let told = import_soundings(file(&feet[..feet.len() - 10]), "s.tif", &none).unwrap_err();
    assert_eq!(told.message, "the image is cut off");
}

/// The square root of two, twice: cells of a kilometre are no grid of a bed that a site may state.
#[test]
fn a_longest_edge_that_no_site_takes_is_not_proposed() {
    let with = SoundingsOptions {
        cell: Some(Length::metres(1000.0)),
        ..options()
    };
    let came = import("-24.25 52.5 3.25\n", &with).unwrap();
    assert!(
        came.site.contains("\n  longest_edge: # to be filled: "),
        "{}",
        came.site
    );
    assert!(
        came.summary.starts_with("1 sounding between"),
        "{}",
        came.summary
    );
}

#[test]
fn the_shoalest_of_each_cell_is_kept_where_it_was_sounded() {
    let with = SoundingsOptions {
        cell: Some(Length::metres(100.0)),
        ..options()
    };
    let text = "-24.25 52.5 3.25\n-24.24999 52.50001 1\n-24.24998 52.50002 2\n-24.2 52.5 9\n";
    let came = import(text, &with).unwrap();
    assert_eq!(
        points(&came),
        [(-24.24999, 52.50001, 1.0), (-24.2, 52.5, 9.0)]
    );
    assert!(
        came.summary
            .ends_with("the shoalest of each cell of 100 m kept, 2 in all"),
        "{}",
        came.summary
    );
    // The diagonal of two cells by two; without cells nothing is known of how far apart soundings lie.
    assert!(
        came.site.contains("\n  longest_edge: 282.9 m # proposed: "),
        "{}",
        came.site
    );
    let all = import(text, &options()).unwrap();
    assert!(
        all.site.contains("\n  longest_edge: # to be filled: "),
        "{}",
        all.site
    );
}

proptest! {
    /// No sounding is shoaler than everything that is kept within a cell's diagonal of it.
    #[test]
    fn thinning_never_loses_a_shoal(
        all in prop::collection::vec((0..400_u32, 0..400_u32, 0..2000_u32), 1..300),
        cell in 1.0..40.0_f64,
    ) {
        let mut thinner = Thinner::new(Some(Length::metres(cell)));
        let place = |x: u32, y: u32| (52.0 + f64::from(y) * 1e-6, -24.0 + f64::from(x) * 1e-6);
        for (x, y, depth) in &all {
            let (latitude, longitude) = place(*x, *y);
            thinner.take(latitude, longitude, f64::from(*depth) / 100.0).unwrap();
        }
        let kept = thinner.into_kept();
        for (x, y, depth) in &all {
            let (latitude, longitude) = place(*x, *y);
            let near = kept.iter().any(|one| {
                let north = (one.latitude - latitude) * 111_300.0;
                let east = (one.longitude - longitude) * 111_300.0 * latitude.to_radians().cos();
                north.hypot(east) <= cell * 1.415 && one.depth <= f64::from(*depth) / 100.0
            });
            prop_assert!(near, "{x} {y} {depth}");
        }
    }
}

#[test]
fn what_is_no_depth_is_refused_on_its_line() {
    for (text, due) in [
        ("", "f: the file holds no sounding"),
        ("1 2\n", "f:1:1: three numbers are due here"),
        (
            "-24.25 52.5 3\r-24.2 52.5 1\r",
            "f:1:14: a line ends here in a carriage return alone",
        ),
        (
            "x,y,z\n1,2,3\n",
            "f:1:1: this line holds headings; say which columns",
        ),
        (
            "1 2 3\n1 2 3,5\n",
            "f:2:5: `3,5` is not a number; write decimals with a point",
        ),
        (
            "1 2 3\n1 2 -9999\n",
            "f:2:1: -9999 is 9999 m above the datum, which no depth is; a line without headings is x, y \
             and the depth, in that order; where the number stands for no depth, `--no-data -9999`",
        ),
        ("1 2 3\n1 2 9999\n", "f:2:1: 9999 is 9999 m below the datum"),
        (
            "1 2 3\n500000 5800000 3\n",
            "f:2:1: latitude 5800000, longitude 500000 is not on the earth",
        ),
        (
            "1 2 3\n3 2 3\n",
            "f:2:1: the sounding at [2.000000, 3.000000] lies more than 40 km",
        ),
        (
            "1 2 3\n\u{7f}\u{1b}[2J 2 3\n",
            "f:2:1: `\\u{7f}\\u{1b}[2J` is not a number",
        ),
        ("1 2 inf\n", "f:1:1: three numbers are due here"),
        (
            "1 2 -3\n1 2 -4\n",
            "f: 2 of 2 soundings lie above the datum",
        ),
    ] {
        assert!(
            told(text, &options()).starts_with(due),
            "{text}: {}",
            told(text, &options())
        );
    }
    let nodata = SoundingsOptions {
        no_data: Some(-9999.0),
        ..options()
    };
    assert_eq!(
        points(&import("1 2 3\n1 2 -9999\n", &nodata).unwrap()).len(),
        1
    );
    let long = format!("1 2 {}", "3".repeat(2 << 20));
    assert!(told(&long, &options()).starts_with("f:1:1: the line has more than 1048576 bytes"));
    let told = import_soundings(file(b"1 2 3\n1 \xff 3\n"), "f", &options()).unwrap_err();
    assert_eq!(told.place, Place::Line(2, 3));
    let many = "1 2 3\n".repeat(250_001);
    let told = import(&many, &options()).unwrap_err();
    assert!(told.message.contains("`--cell \"2 m\"`"), "{told:?}");
}

/// More lines than soundings may be held come in where they are thinned to fewer.
#[test]
fn lines_without_number_are_thinned_as_they_come() {
    let mut text = String::new();
    for row in 0..300_u32 {
        for column in 0..1000_u32 {
            use std::fmt::Write as _;
            writeln!(
                text,
                "{} {} {}",
                500_000 + column,
                5_800_000 + row,
                1 + (row + column) % 7
            )
            .unwrap();
        }
    }
    let with = SoundingsOptions {
        crs: Some(Crs::parse("EPSG:32628").unwrap()),
        cell: Some(Length::metres(10.0)),
        ..options()
    };
    let came = import(&text, &with).unwrap();
    assert!(
        came.summary
            .starts_with("300000 soundings between 1.00 m and 7.00 m"),
        "{}",
        came.summary
    );
}
