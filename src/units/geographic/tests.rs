use proptest::prelude::*;

use super::*;

fn read(text: &str) -> (f64, f64) {
    let at = position(text).unwrap_or_else(|error| panic!("{text}: {error}"));
    (at.latitude, at.longitude)
}

fn near(text: &str, (latitude, longitude): (f64, f64)) {
    let at = read(text);
    // A millionth of an arc second is 0.03 mm.
    let close = |a: f64, b: f64| (a - b).abs() < 1e-6 / 3600.0;
    assert!(
        close(at.0, latitude) && close(at.1, longitude),
        "{text}: {at:?}"
    );
}

/// The forms for people of ISO 6709:2008, Annex D, with its two positions (from memory), worked by hand:
/// 50 + 40/60 + 46.461/3600 = 50.6795725.
#[test]
fn the_forms_for_people_of_iso_6709_are_read() {
    let due = (50.679_572_5, -(95.0 + 48.0 / 60.0 + 26.533 / 3600.0));
    near("50°40′46.461″N 95°48′26.533″W", due);
    near("50°40'46.461\"N 95°48'26.533\"W", due);
    near("50° 40′ 46.461″ N, 95° 48′ 26.533″ W", due);
    near("N50°40′46.461″ W95°48′26.533″", due);
    near("N 50° 40' 46.461'' W 095° 48' 26.533''", due);
    let due = (
        -(50.0 + 3.0 / 60.0 + 46.461 / 3600.0),
        125.0 + 48.0 / 60.0 + 26.533 / 3600.0,
    );
    near("50°03′46.461″S 125°48′26.533″E", due);
}

/// The string of ISO 6709:2008, Annex H, in its three ways of writing degrees, with places that the annex
/// names (from memory): a tower in Paris, a mountain, the southern pole, a city across a continent.
#[test]
fn the_string_of_iso_6709_is_read() {
    near("+48.8577+002.295/", (48.8577, 2.295));
    near("+27.5916+086.5640/", (27.5916, 86.564));
    near("-90+000/", (-90.0, 0.0));
    near("+00-160/", (0.0, -160.0));
    near(
        "+401213.1-0750015.1/",
        (40.0 + 12.0 / 60.0 + 13.1 / 3600.0, -(75.0 + 15.1 / 3600.0)),
    );
    near(
        "+4012.22-07500.25/",
        (40.0 + 12.22 / 60.0, -(75.0 + 0.25 / 60.0)),
    );
    for wrong in [
        "+27.5916+086.5640+8850/",
        "+27.5916+086.5640+8850CRSWGS_84/",
        "+27.5916+86.5640/",
        "+91+000/",
        "+4060+07500/",
        "27.5916+086.5640/",
        "/",
        "+/",
    ] {
        assert!(position(wrong).is_err(), "{wrong}");
    }
}

/// One place in degrees, in minutes and in seconds, as an encyclopaedia's article on the conversion of
/// coordinates has it: 40.446°N 79.982°W, 40°26.767′N 79°58.933′W, 40°26′46″N 79°58′56″W. They are rounded to
/// some 50 m.
#[test]
fn the_three_forms_of_one_place_agree() {
    let degrees = read("40.446°N 79.982°W");
    for other in ["40°26.767′N 79°58.933′W", "40°26′46″N 79°58′56″W"] {
        let at = read(other);
        assert!(
            (at.0 - degrees.0).abs() < 5e-4 && (at.1 - degrees.1).abs() < 5e-4,
            "{other}"
        );
    }
}

#[test]
fn what_contradicts_itself_is_refused_with_what_to_write() {
    for (text, says) in [
        ("52°23.764′N -24°18.630′W", "has a sign and a letter"),
        ("-24° W", "has a sign and a letter"),
        (
            "52°60′N 24°18.630′W",
            "has 60 minutes; they go from 0 to less than 60",
        ),
        (
            "52°23′60″N 24°18.630′W",
            "has 60 seconds; they go from 0 to less than 60",
        ),
        (
            "24°18.630′W 52°23.764′N",
            "latitude comes first: `52°23.764′N 24°18.630′W`",
        ),
        ("52°23.764′N 53°18.630′N", "has two latitudes"),
        ("52°23.764′N", "has no longitude"),
        ("52°23.764′ 24°18.630′", "does not say which side"),
        (
            "52.396067N 24.3105W",
            "no degree sign after `52.396067`; write `52.396067°N`",
        ),
        ("52 23.764 N 24 18.630 W", "no degree sign after `52`"),
        ("52°23.764N 24°18.630′W", "no minute mark after `23.764`"),
        ("52°23′45.8N 24°18′W", "no second mark after `45.8`"),
        ("52.5°23′N 24°18′W", "a fraction of a degree and minutes"),
        ("52°23.5′10″N 24°18′W", "a fraction of a minute and seconds"),
        ("52°23,764′N 24°18,630′W", "use a decimal point"),
        ("90°00.001′N 24°18.630′W", "latitude goes to 90°"),
        ("52°N 180.1°W", "longitude goes to 180°"),
        ("52°N 24°W 3 m", "goes on with `3 m`"),
        ("N 52° S 24° W", "goes on with `W`"),
        ("nowhere", "is no position"),
        ("", "is no position"),
    ] {
        let error = position(text).expect_err(text);
        assert!(error.contains(says), "{text}: {error}");
    }
    let long = "5".repeat(300);
    assert!(position(&long).is_err() && ordinate(&long).is_err());
    assert!(
        ordinate_of("24°W", Axis::Latitude).is_err_and(|why| why.contains("latitude comes first"))
    );
}

/// Tenths of a millimetre to a degree of latitude, about 111 km.
const FINEST: f64 = 1e9;

proptest! {
    /// A place written in any form is read within 1 mm, and its spelling is the same value and stays as it is.
    #[test]
    fn any_form_of_a_place_reads_to_the_same_place(
        latitude in -90_000_000_000_i64..=90_000_000_000,
        longitude in -180_000_000_000_i64..=180_000_000_000,
        marks in 0..3_usize,
        blank in 0..2_usize,
        before in any::<bool>(),
        zeros in any::<bool>(),
        comma in any::<bool>(),
    ) {
        let due = (latitude as f64 / FINEST, longitude as f64 / FINEST);
        let marks = [("′", "″"), ("'", "\""), ("\u{2019}", "''")][marks];
        let blank = ["", " "][blank];
        let one = |value: f64, axis: Axis, form: usize| {
            let (plus, minus) = axis.letters();
            let letter = if value < 0.0 { minus } else { plus };
            let size = value.abs();
            let width = match (zeros, axis) {
                (false, _) => 1,
                (_, Axis::Latitude) => 2,
                (_, Axis::Longitude) => 3,
            };
            let number = match form {
                0 => format!("{size:.10}°"),
                1 => {
                    // Whole hundred-millionths of a minute, so that nothing rounds up to 60.
                    let parts = (size * 60.0 * 1e8).floor() as u64;
                    let (degrees, parts) = (parts / 6_000_000_000, parts % 6_000_000_000);
                    let (whole, rest) = (parts / 100_000_000, parts % 100_000_000);
                    format!("{degrees:0width$}°{blank}{whole}.{rest:08}{}", marks.0)
                }
                _ => {
                    let parts = (size * 3600.0 * 1e6).floor() as u64;
                    let (degrees, parts) = (parts / 3_600_000_000, parts % 3_600_000_000);
                    let (minutes, parts) = (parts / 60_000_000, parts % 60_000_000);
                    let (whole, rest) = (parts / 1_000_000, parts % 1_000_000);
                    format!(
                        "{degrees:0width$}°{blank}{minutes:02}{}{blank}{whole}.{rest:06}{}",
                        marks.0, marks.1
                    )
                }
            };
            match before {
                true => format!("{letter}{blank}{number}"),
                false => format!("{number}{blank}{letter}"),
            }
        };
        for form in 0..3 {
            let (first, second) = (one(due.0, Axis::Latitude, form), one(due.1, Axis::Longitude, form));
            let text = format!("{first}{} {second}", if comma { "," } else { "" });
            let at = position(&text).map_err(TestCaseError::fail)?;
            // 1 mm is 9e-9 of a degree of latitude, and no more of a longitude's.
            let off = (at.latitude - due.0).abs().max((at.longitude - due.1).abs());
            prop_assert!(off < 9e-9, "{text}: {at:?}");
            let again = position(&at.spelled).map_err(TestCaseError::fail)?;
            prop_assert_eq!(&again, &at);
            let apart = ordinate_of(&first, Axis::Latitude).map_err(TestCaseError::fail)?;
            prop_assert!((apart.degrees - at.latitude).abs() <= 0.0);
        }
    }

    /// No text makes it panic.
    #[test]
    fn no_text_is_too_much(text in "[NSEW0-9.,°′″'\" +/-]{0,24}|\\PC{0,12}") {
        let _ = (position(&text), ordinate(&text));
    }
}

#[test]
fn degrees_keep_a_tenth_of_a_millimetre() {
    assert_eq!(decimal_degrees(52.396_063), "52.396063");
    assert_eq!(decimal_degrees(-24.310_461_234_567), "-24.310461235");
    assert_eq!(decimal_degrees(10.0), "10.000000");
    assert_eq!(decimal_degrees(-1e-10), "0.000000");
    assert_eq!(decimal_degrees(-0.000_000_002), "-0.000000002");
}
