//! Values in the forms that people write: the plan is the same whichever of them stands there.

use crate::schema_in_step::without_places;
use crate::shared::demo_tree::{Files, SITE, VESSEL, mission};

use offing::door::check::{load, on_large_stacks};

const ID: &str = "north-bay-lines";

/// The plan as the program holds it, without places in files.
fn typed(files: &Files) -> String {
    let tree = files.in_memory();
    on_large_stacks(|| {
        let loaded = load(&tree, None).unwrap();
        let problems = loaded.problems.iter().map(|one| one.message.as_str());
        let problems: Vec<&str> = problems.collect();
        assert!(problems.is_empty(), "{problems:?}");
        assert_eq!(loaded.linked.plans.len(), 1);
        without_places(&format!("{:?}", loaded.linked.plans))
    })
}

/// Whether two plans are the same but for numbers that differ by less than a millionth, of metres as of radians.
fn same(one: &str, other: &str) -> Result<(), String> {
    let parts = |text: &str| -> Vec<String> {
        let apart =
            |c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')' | '{' | '}' | '[' | ']');
        text.split(apart)
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let (one, other) = (parts(one), parts(other));
    for (index, (a, b)) in one.iter().zip(&other).enumerate() {
        let close = match (a.parse::<f64>(), b.parse::<f64>()) {
            (Ok(a), Ok(b)) => (a - b).abs() < 1e-6,
            _ => a == b,
        };
        if !close {
            let around = |all: &[String]| all[index.saturating_sub(8)..index + 1].join(" ");
            return Err(format!("{} | {}", around(&one), around(&other)));
        }
    }
    match one.len() == other.len() {
        true => Ok(()),
        false => Err(format!("{} parts and {}", one.len(), other.len())),
    }
}

/// Degrees of six decimals in whole millionths.
fn millionths(text: &str) -> i64 {
    let degrees: f64 = text.trim().parse().unwrap();
    (degrees * 1e6).round() as i64
}

/// One ordinate in degrees and minutes, or in degrees, minutes and seconds; exact, since a millionth of a degree
/// is 0.00006 of a minute and 0.0036 of a second.
fn in_sixtieths(text: &str, letters: (char, char), seconds: bool) -> String {
    let value = millionths(text);
    let letter = if value < 0 { letters.1 } else { letters.0 };
    let (degrees, rest) = (value.abs() / 1_000_000, value.abs() % 1_000_000);
    if !seconds {
        let parts = rest * 6; // hundred-thousandths of a minute
        return format!(
            "{degrees}°{:02}.{:05}′{letter}",
            parts / 100_000,
            parts % 100_000
        );
    }
    let parts = rest * 36; // ten-thousandths of a second
    let (minutes, parts) = (parts / 600_000, parts % 600_000);
    format!(
        "{degrees}° {minutes}' {}.{:04}'' {letter}",
        parts / 10_000,
        parts % 10_000
    )
}

/// Every position of a file, `[52.398033, -24.308835]`, in another form.
fn positions_as(text: &str, form: impl Fn(&str, &str) -> String) -> (String, usize) {
    let (mut out, mut rest, mut count) = (String::new(), text, 0);
    while let Some(at) = rest.find("[52.") {
        let end = at + rest[at..].find(']').unwrap();
        let (latitude, longitude) = rest[at + 1..end].split_once(',').unwrap();
        out.push_str(&rest[..at]);
        out.push_str(&form(latitude, longitude));
        rest = &rest[end + 1..];
        count += 1;
    }
    out.push_str(rest);
    (out, count)
}

#[test]
fn positions_in_minutes_and_seconds_make_the_same_plan() {
    let base = Files::demo(&[ID]);
    let due = typed(&base);
    let north = |text: &str, seconds: bool| in_sixtieths(text, ('N', 'S'), seconds);
    let east = |text: &str, seconds: bool| in_sixtieths(text, ('E', 'W'), seconds);
    type Form<'a> = &'a dyn Fn(&str, &str) -> String;
    let forms: [(&str, Form<'_>); 4] = [
        ("one text", &|a, b| {
            format!("{} {}", north(a, false), east(b, false))
        }),
        ("two texts", &|a, b| {
            format!("[{}, {}]", north(a, false), east(b, false))
        }),
        ("one text in quotes", &|a, b| {
            format!("\"{} {}\"", north(a, true), east(b, true))
        }),
        ("two texts in quotes", &|a, b| {
            format!("[\"{}\", \"{}\"]", north(a, true), east(b, true))
        }),
    ];
    for (name, form) in forms {
        let mut files = base.clone();
        for path in [SITE, &mission(ID)] {
            let (text, count) = positions_as(files.text(path), form);
            assert!(count > 10, "{name}: {path}: {count}");
            files.write(path, text);
        }
        if let Err(wrong) = same(&due, &typed(&files)) {
            panic!("{name}: {wrong}");
        }
    }
}

/// Every form that the chapter on files names, of one position: the schema, which editors use as well, takes each.
#[test]
fn every_form_of_a_position_is_read_in_a_route() {
    let base = Files::demo(&[ID]);
    let due = typed(&base);
    for form in [
        "52°23.88198′N 24°18.53010′W",
        "52° 23.88198′ N 024° 18.53010′ W",
        "\"52°23.88198'N, 24°18.53010'W\"",
        "N 52° 23.88198' W 024° 18.53010'",
        "52°23′52.9188″N 24°18′31.8060″W",
        "52°23'52.9188\"N 24°18'31.8060\"W",
        "N52°23’52.9188” W24°18’31.8060”",
        "52.398033°N 24.308835°W",
        "+52.398033-024.308835/",
        "+5223.88198-02418.53010/",
        "+522352.9188-0241831.8060/",
        "[52.398033°N, 24.308835°W]",
        "[N 52°23.88198′, '24°18''31.8060\"W']",
    ] {
        let mut files = base.clone();
        let path = mission(ID);
        files.edit(&path, "to: [52.398033, -24.308835]", &format!("to: {form}"));
        if let Err(wrong) = same(&due, &typed(&files)) {
            panic!("{form}: {wrong}");
        }
    }
}

#[test]
fn speeds_lengths_and_resistances_in_other_units_make_the_same_plan() {
    let mut files = Files::demo(&[ID]);
    let due = typed(&files);
    // The international nautical mile is 1852 m and the knot one of them an hour (SI Brochure, BIPM, 8th
    // edition, table 8; International Hydrographic Conference, Monaco, 1929).
    files.edit(&mission(ID), "  speed: 2.5 m/s", "  speed: 9 km/h");
    files.edit(
        &mission(ID),
        "wind_limit: 12 m/s",
        "wind_limit: 23.326133909287257 kn",
    );
    files.edit(&mission(ID), "spacing: 30 m", "spacing: 0.03 km");
    files.edit(
        &mission(ID),
        "visibility: 5 km",
        "visibility: 2.6997840172786176 NM",
    );
    let resistance = files
        .text(VESSEL)
        .lines()
        .find(|line| line.contains("internal_resistance"));
    let resistance = resistance.unwrap().to_owned();
    let (before, _) = resistance.split_once(" mohm").unwrap();
    for unit in ["mΩ", "mOhm", "m\u{2126}"] {
        let mut files = files.clone();
        files.edit(
            VESSEL,
            &format!("{before} mohm"),
            &format!("{before} {unit}"),
        );
        if let Err(wrong) = same(&due, &typed(&files)) {
            panic!("{unit}: {wrong}");
        }
    }
}

#[test]
fn directions_by_the_compass_and_from_magnetic_north_make_the_same_plan() {
    let base = Files::demo(&[ID]);
    let with = |direction: &str, azimuth: &str, declination: &str| {
        let mut files = base.clone();
        files.edit(
            &mission(ID),
            "direction: 070°",
            &format!("direction: {direction}"),
        );
        files.edit(
            &mission(ID),
            "link: control, azimuth: 015°",
            &format!("link: control, azimuth: {azimuth}"),
        );
        files.edit(
            SITE,
            "water: fresh\n",
            &format!("water: fresh\n{declination}"),
        );
        typed(&files)
    };
    let due = with("067.5°", "015°", "");
    for (direction, azimuth, declination) in [
        ("ENE", "015° T", ""),
        ("ENE", "018° M (3° W)", ""),
        ("079.5° M", "27° M", "declination: 12° W\n"),
        ("NEbE M", "3.75° M", "declination: 11°15′E\n"),
    ] {
        let found = with(direction, azimuth, declination);
        // The site itself holds its declination.
        let without = |text: &str| {
            let at = text.find("declination: Some(");
            at.map_or_else(
                || text.to_owned(),
                |at| {
                    let end = at + text[at..].find("))").unwrap() + 2;
                    format!("{}declination: None{}", &text[..at], &text[end..])
                },
            )
        };
        if let Err(wrong) = same(&due, &without(&found)) {
            panic!("{direction}, {azimuth}: {wrong}");
        }
    }
}
