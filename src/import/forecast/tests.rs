//! Forecasts by columns and by paths, and what is refused of them.

use super::*;
use crate::units::Dimension;

fn options(places: [&str; 4]) -> ForecastOptions {
    let wanted = |text: &str, dimension| Wanted::parse(text, dimension).unwrap();
    ForecastOptions {
        time: Times::parse(places[0]).unwrap(),
        from: wanted(places[1], Dimension::ANGLE),
        mean: wanted(places[2], Dimension::SPEED),
        gust: wanted(places[3], Dimension::SPEED),
        source: "a \"model\"".to_owned(),
        issued: "2027-06-15T06:00Z".parse().unwrap(),
        valid_until: "2027-06-15T12:00Z".parse().unwrap(),
        height: Length::metres(10.0),
        spread: Angle::degrees(30.0),
        visibility: None,
    }
}

const COLUMNS: [&str; 4] = ["t in UTC", "dir in °", "wind in km/h", "gust in kn"];
const CSV: &str = "t;\"dir\";wind;gust\n2027-06-15T09:00;240;18;14\n2027-06-15T10:00;359.7;20;15\n";

fn import(text: &str, options: &ForecastOptions) -> Result<ForecastImport, Fault> {
    import_forecast(text.as_bytes().to_vec(), "f.csv", options)
}

fn told(text: &str, options: &ForecastOptions) -> String {
    import(text, options).unwrap_err().shown("f")
}

/// 18 km/h is 5 m/s; a knot is 1852 m an hour (the International Hydrographic Conference of 1929), so that 14 kn are
/// 7.2 m/s.
#[test]
fn columns_in_any_unit_become_a_block_of_conditions() {
    let came = import(CSV, &options(COLUMNS)).unwrap();
    let due = "# 2 hours imported from f.csv (CSV); speeds rounded up
conditions:
  forecast:
    source: \"a \\\"model\\\"\"
    issued: 2027-06-15T06:00Z
    valid_until: 2027-06-15T12:00Z
    height: 10 m
    spread: 30°
    hours:
      - { time: 2027-06-15T09:00Z, from: 240°, mean: 5 m/s, gust: 7.3 m/s }
      - { time: 2027-06-15T10:00Z, from: 359.7°, mean: 5.6 m/s, gust: 7.8 m/s }
";
    assert_eq!(came.text, due);
    assert!(came.notes.is_empty());
    assert_eq!(
        came.summary,
        "2 hours from 2027-06-15T09:00Z to 2027-06-15T10:00Z, gusts to 7.8 m/s"
    );
}

/// Height and spread to three figures would be 10.2 m and 12.3°: less wind at the hull, from fewer directions.
#[test]
fn no_figure_of_a_forecast_is_rounded_to_the_kind_side() {
    let options = ForecastOptions {
        height: Length::metres(10.16),
        spread: Angle::degrees(12.34),
        ..options(COLUMNS)
    };
    for (degrees, due) in [
        ("359.7", "359.7°"),
        ("359.96", "000°"),
        ("7.04", "007°"),
        ("8.26", "008.3°"),
    ] {
        let csv = CSV.replace("359.7", degrees);
        let came = import(&csv, &options).unwrap().text;
        for line in ["    height: 10.16 m\n", "    spread: 12.34°\n"] {
            assert!(came.contains(line), "{came}");
        }
        assert!(came.contains(&format!("T10:00Z, from: {due}, ")), "{came}");
    }
}

#[test]
fn paths_lead_through_lists_of_hours_and_hours_of_lists() {
    let block = |came: ForecastImport| came.text.lines().skip(1).collect::<Vec<_>>().join("\n");
    let due = block(import(CSV, &options(COLUMNS)).unwrap());
    let lists = r#"{ "hourly": { "time": [1813050000, 1813053600], "dir": [240, 359.7], "w": [18, 20], "g": ["14", 15] } }"#;
    let by_lists = [
        "hourly.time in seconds",
        "hourly.dir in °",
        "hourly.w in km/h",
        "hourly.g in kn",
    ];
    assert_eq!(block(import(lists, &options(by_lists)).unwrap()), due);
    let hours = r#"[ { "at": "2027-06-15T11:00:00+02:00", "wind": [ { "dir": 240, "w": 18, "g": 14 } ] },
                     { "at": "2027-06-15T12:00:00+02:00", "wind": [ { "dir": 359.7, "w": 20, "g": 15 } ] } ]"#;
    let by_hours = [
        "[].at in ISO 8601",
        "[].wind[0].dir in °",
        "[].wind[0].w in km/h",
        "[].wind[].g in kn",
    ];
    assert_eq!(block(import(hours, &options(by_hours)).unwrap()), due);
}

#[test]
fn hours_outside_of_the_forecast_are_left_out_and_told() {
    let mut text = String::from("t,dir,wind,gust\n");
    for hour in 0..24 {
        text.push_str(&format!("2027-06-15T{hour:02}:00,240,18,14\n"));
    }
    let came = import(&text, &options(COLUMNS)).unwrap();
    assert_eq!(came.text.matches("time:").count(), 7);
    assert_eq!(
        came.notes,
        ["17 hours before the issue of the forecast or after its end left out"]
    );
}

#[test]
fn what_is_off_is_told_with_its_place() {
    for (from, to, due) in [
        (
            "T10:00",
            "T11:00",
            "f:3:1: 2.0 h lie between this time and the one before it",
        ),
        (
            "T10:00",
            "T09:00",
            "f:3:1: this time is no later than the one before it",
        ),
        (
            "T10:00",
            "T25:00",
            "f:3:1: `2027-06-15T25:00` is not a point in time",
        ),
        (
            ";20;15",
            ";20;",
            "f:3:27: the cell is empty; every hour needs",
        ),
        (
            ";20;15",
            ";20;9",
            "f:3:27: the gust, 4.63 m/s, is less than the mean wind, 5.56 m/s",
        ),
        (
            ";20;15",
            ";20",
            "f:3:1: the row has 3 cells, and there are 4 headings",
        ),
        (";20;15", ";20;1500", "is no wind; check the unit"),
        ("359.7", "361", "f:3:18: 361° is no direction"),
        ("359.7", "-120", "f:3:18: -120° is no direction"),
        (";20;15", ";20;1e300", "e299 m/s is no wind"),
        ("wind;", "wnd;", "f:1:1: no column is headed `wind`"),
        ("wind;", "gust;", "two columns are headed `gust`"),
    ] {
        assert!(CSV.contains(from), "{from}");
        let told = told(&CSV.replacen(from, to, 1), &options(COLUMNS));
        assert!(told.contains(due), "{to}: {told}");
    }
    // Seconds taken for milliseconds: all hours lie in January of 1970.
    let seconds =
        "{ \"t\": [1813050000, 1813053600], \"d\": [1, 2], \"w\": [1, 2], \"g\": [2, 3] }";
    let of = |unit: &str| {
        let places = [&format!("t in {unit}"), "d in °", "w in m/s", "g in m/s"];
        import(seconds, &options(places))
    };
    assert!(of("seconds").is_ok());
    let told_of = of("milliseconds").unwrap_err().message;
    assert!(
        told_of.starts_with("no hour of the file lies between"),
        "{told_of}"
    );
    let json = "{ \"h\": {\n \"t\": [1, 2], \"d\": [1, null], \"w\": [1], \"g\": [1, 2] } }";
    for (places, due) in [
        (
            ["h.t in seconds", "h.d in °", "h.t in m/s", "h.t in m/s"],
            "f:2:24: a number or a text is due here",
        ),
        (
            ["h.t in seconds", "h.g in °", "h.w in m/s", "h.t in m/s"],
            "f: `h.w` leads to 1 value, and `h.t` to 2",
        ),
        (
            ["h.x in seconds", "h.g in °", "h.w in m/s", "h.t in m/s"],
            "f:1:8: there is no `x` here, which the path `h.x`",
        ),
        (
            ["h[].t in seconds", "h.g in °", "h.w in m/s", "h.t in m/s"],
            "goes through a list here, and there is none",
        ),
    ] {
        let told = told(json, &options(places));
        assert!(told.contains(due), "{places:?}: {told}");
    }
    assert_eq!(told("", &options(COLUMNS)), "f: the file is empty");
    assert!(
        told(
            CSV,
            &options(["t in ISO 8601", COLUMNS[1], COLUMNS[2], COLUMNS[3]])
        )
        .contains("it has no offset")
    );
    for stated in ["wind", "wind in", "wind in kg", " in m/s"] {
        assert!(Wanted::parse(stated, Dimension::SPEED).is_err(), "{stated}");
    }
    for stated in ["", "t in local", "t in +2:00", "t in +02:0x"] {
        assert!(Times::parse(stated).is_err(), "{stated}");
    }
}

#[test]
fn the_least_visibility_of_the_hours_that_are_kept_is_written_rounded_down() {
    let mut wanted = options(COLUMNS);
    wanted.visibility = Some(Wanted::parse("vis in km", Dimension::LENGTH).unwrap());
    let csv = "t;dir;wind;gust;vis\n2027-06-15T09:00;240;18;14;8.29\n2027-06-15T10:00;359.7;20;15;12\n\
               2027-06-15T13:00;250;20;15;0.2\n";
    let import = import(csv, &wanted).unwrap();
    assert!(
        import
            .text
            .ends_with("\n  visibility: 8.2 km # the least of these hours\n"),
        "{}",
        import.text
    );
    let json =
        r#"{"t": ["2027-06-15T09:00"], "dir": [240], "wind": [18], "gust": [14], "vis": [3]}"#;
    let import = self::import(json, &wanted).unwrap();
    assert!(
        import.text.contains("\n  visibility: 3 km #"),
        "{}",
        import.text
    );
    for (text, says) in [
        (csv.replace("8.29", ""), "the cell is empty; every hour"),
        (
            csv.replace("8.29", "8000"),
            "is no visibility; check the unit",
        ),
        (csv.replace(";vis", ";sight"), "no column is headed `vis`"),
    ] {
        assert!(
            told(&text, &wanted).contains(says),
            "{says}: {}",
            told(&text, &wanted)
        );
    }
    // Without the option nothing is said of it.
    assert!(
        !self::import(CSV, &options(COLUMNS))
            .unwrap()
            .text
            .contains("visibility")
    );
}

/// A file as open forecast services give it, from memory: units by name beside lists by name.
const SERVICE: &str = r#"{ "utc_offset_seconds": 7200,
  "hourly_units": { "time": "iso8601", "dir": "°", "w": "km/h", "g": "kn", "odd": "mp/h" },
  "hourly": { "time": ["2027-06-15T11:00", "2027-06-15T12:00"], "dir": [240, 359.7], "w": [18, 20],
    "g": [14, 15], "odd": [30, 30] } }"#;

/// Options as a command line has them, the units left to the file where none is told.
fn open_options(places: [&str; 4]) -> ForecastOptions {
    let wanted = |text: &str, dimension| Wanted::parse_or_stated(text, dimension).unwrap();
    ForecastOptions {
        time: Times::parse(places[0]).unwrap(),
        from: wanted(places[1], Dimension::ANGLE),
        mean: wanted(places[2], Dimension::SPEED),
        gust: wanted(places[3], Dimension::SPEED),
        ..options(COLUMNS)
    }
}

#[test]
fn units_that_a_file_states_are_used_where_none_is_told() {
    let block = |came: &ForecastImport| came.text.lines().skip(1).collect::<Vec<_>>().join("\n");
    let due = block(&import(CSV, &options(COLUMNS)).unwrap());
    let left = ["hourly.time", "hourly.dir", "hourly.w", "hourly.g"];
    let came = import(SERVICE, &open_options(left)).unwrap();
    assert_eq!(block(&came), due);
    assert_eq!(
        came.notes,
        [
            "`hourly.dir` is in °, as the file states",
            "`hourly.w` is in km/h, as the file states",
            "`hourly.g` is in kn, as the file states",
        ]
    );
    // Told as well, and alike.
    let told = [
        "hourly.time in +02:00",
        "hourly.dir in deg",
        "hourly.w in km/h",
        "hourly.g in kn",
    ];
    let came = import(SERVICE, &open_options(told)).unwrap();
    assert_eq!((block(&came), came.notes.len()), (due.clone(), 0));
    // In brackets behind a heading, and beside a value of its own.
    let headed = CSV
        .replace("wind", "wind (km/h)")
        .replace("gust", "gust [kn]");
    let came = import(
        &headed,
        &open_options(["t in UTC", "dir in °", "wind (km/h)", "gust [kn]"]),
    );
    assert_eq!(block(&came.unwrap()), due);
    let own = r#"[ { "t": 1813050000, "wind": { "unit": "km/h", "dir": 240, "w": 18 }, "gust": { "unit": "kn", "value": 14 } },
                   { "t": 1813053600, "wind": { "unit": "km/h", "dir": 359.7, "w": 20 }, "gust": { "unit": "kn", "value": 15 } } ]"#;
    let paths = [
        "[].t in seconds",
        "[].wind.dir in °",
        "[].wind.w",
        "[].gust.value",
    ];
    assert_eq!(block(&import(own, &open_options(paths)).unwrap()), due);
}

#[test]
fn units_that_disagree_with_the_file_are_refused_on_their_line() {
    let places = ["hourly.time", "hourly.dir", "hourly.w", "hourly.g"];
    for (index, place, due) in [
        (
            2,
            "hourly.w in m/s",
            "f:2:57: the file states the unit of `hourly.w` as `km/h`, and the option as `m/s`; find out which holds",
        ),
        (
            3,
            "hourly.odd in kn",
            "f:2:83: the file states the unit of `hourly.odd` as `mp/h`, which is no unit of speed that offing reads",
        ),
        (
            0,
            "hourly.time in UTC",
            "f:1:25: the file states times that are 7200 s ahead of UTC",
        ),
        (
            1,
            "hourly.w",
            "f:2:57: the file states the unit of `hourly.w` as `km/h`, which is no unit of angle",
        ),
    ] {
        let mut places = places;
        places[index] = place;
        let told = told(SERVICE, &open_options(places));
        assert!(told.starts_with(due), "{told}");
    }
    let unix = SERVICE.replace("iso8601", "unixtime");
    let places = [
        "hourly.time in milliseconds",
        "hourly.dir",
        "hourly.w",
        "hourly.g",
    ];
    let told_of = told(&unix, &open_options(places));
    assert!(told_of.contains("the file states seconds"), "{told_of}");
    // Neither says it.
    let told_of = told(
        CSV,
        &open_options(["t in UTC", "dir in °", "wind", "gust in kn"]),
    );
    assert!(
        told_of.contains(
            "does not state the unit of `wind`; add it to the option, such as `wind in m/s`"
        ),
        "{told_of}"
    );
    let told_of = told(
        CSV,
        &open_options(["t", "dir in °", "wind in kn", "gust in kn"]),
    );
    assert!(told_of.contains("how its times are written"), "{told_of}");
    let headed = CSV.replace("wind", "wind (km/h)");
    let told_of = told(
        &headed,
        &open_options(["t in UTC", "dir in °", "wind (km/h) in m/s", "gust in kn"]),
    );
    assert!(told_of.starts_with("f:1:7: the file states"), "{told_of}");
}
