//! Coordinates that are none, and more of them than anybody has.

use std::fmt::Write as _;

use crate::world::{MISSION, SHORELINE, SITE, World};

/// A ring around the reservoir of so many points, written point by point.
fn ring(points: u32) -> String {
    let mut text = "{\"type\":\"Polygon\",\"coordinates\":[[".to_owned();
    for number in 0..points {
        let (sin, cos) = (f64::from(number) / f64::from(points) * std::f64::consts::TAU).sin_cos();
        let (longitude, latitude) = (-24.3 + 0.03 * cos, 52.4 + 0.02 * sin);
        let _ = write!(text, "[{longitude:.7},{latitude:.7}],");
    }
    text.push_str("[-24.2700000,52.4000000]]]}");
    text
}

/// As many points as the bound on values lets in are worked with; more of them are not.
#[test]
#[ignore = "slow"]
fn a_shoreline_of_a_million_points() {
    let world = World::new();
    world.write(SHORELINE, &ring(1_300_000));
    let ran = world.check();
    assert!(ran.status < 2, "{}", ran.everything());
    assert!(ran.peak > 100 << 10, "the memory is measured: {}", ran.peak);
    world.write(SHORELINE, &ring(1_500_000));
    world.check().refuses("4000000");
    // More bytes than any such file may have, which are not even read.
    let file = std::fs::File::create(world.repository().join(SHORELINE)).unwrap();
    file.set_len(1 << 40).unwrap();
    let ran = world.check();
    ran.refuses("at most 67108864 are allowed");
    assert!(ran.peak < 200 << 10, "{}", ran.peak);
}

/// Soundings are read one by one as long as they are JSON that every reader takes alike; what is not is held as
/// values, and may be as large as other geodata.
#[test]
#[ignore = "slow"]
fn soundings_without_number() {
    let soundings = "site/quenderby-soundings.geojson";
    let world = World::new();
    let text = world.read(soundings);
    world.write(soundings, &(text.clone() + &"\t".repeat(70 << 20)));
    let ran = world.check();
    ran.refuses("is read only as JSON that every reader takes alike");
    assert!(ran.peak < 400 << 10, "{}", ran.peak);
    world.write(soundings, &(text + &" ".repeat(70 << 20)));
    let ran = world.check();
    assert!(ran.status < 2, "{}", ran.everything());
    let file = std::fs::File::create(world.repository().join(soundings)).unwrap();
    file.set_len(1 << 40).unwrap();
    world.check().refuses("at most 268435456 are allowed");
}

/// Many files, each of a size that is allowed, are bounded together.
#[test]
#[ignore = "slow"]
fn many_shorelines() {
    let world = World::new();
    let site = world.read(SITE);
    let padding = " ".repeat(30 << 20);
    let text = world.read(SHORELINE) + &padding;
    for number in 0..4 {
        let named = format!("file: shore{number}.geojson");
        let other = site
            .replace("id: quenderby\n", &format!("id: other{number}\n"))
            .replace("file: quenderby-shoreline.geojson", &named);
        world.write(&format!("site/other{number}.yaml"), &other);
        world.write(&format!("site/shore{number}.geojson"), &text);
    }
    world
        .check()
        .refuses("The files of geodata hold more than 64 MiB together");
}

#[test]
#[ignore = "slow"]
fn coordinates_that_are_none() {
    let number = "-24.314583";
    for (to, why) in [
        ("NaN", "input"),
        ("1e999", "is too large for a number"),
        ("-1e999", "input"),
        ("Infinity", "input"),
        (".inf", "input"),
        ("1e308", "input"),
        ("null", "input"),
        ("\"x\"", "input"),
        ("[[]]", "input"),
        ("179.9", "input"),
    ] {
        let world = World::new();
        let text = world.read(SHORELINE).replacen(number, to, 1);
        world.write(SHORELINE, &text);
        world.check().refuses(why);
        let at = "to: [52.398033, -24.308835]";
        let world = World::new();
        world.edit(MISSION, at, &format!("to: [52.398033, {to}]"));
        let ran = world.check();
        assert_ne!(ran.status, 0, "{to}: {}", ran.terminal());
    }
}

/// Quantities without an end in every field that takes one of the kind.
#[test]
#[ignore = "slow"]
fn quantities_that_are_none() {
    for to in [
        "NaN m/s",
        "inf m/s",
        "1e999 m/s",
        "1e308 m/s",
        "-1 m/s",
        "1e-320 m/s",
    ] {
        let world = World::new();
        let text = world.read(MISSION).replace("1.1 m/s", to);
        world.write(MISSION, &text);
        let ran = world.check();
        assert_ne!(ran.status, 0, "{to}: {}", ran.terminal());
    }
}

#[test]
#[ignore = "slow"]
fn rings_that_cross_themselves() {
    let knot = "[-24.31,52.39],[-24.29,52.41],[-24.31,52.41],[-24.29,52.39],[-24.31,52.39]";
    let spike = "[-24.31,52.39],[-24.29,52.39],[-24.31,52.39]";
    let point = "[-24.31,52.39],[-24.31,52.39],[-24.31,52.39],[-24.31,52.39]";
    // Each edge of a comb crosses each edge of another that lies across it.
    let mut comb = String::new();
    for number in 0..20_000 {
        let share = f64::from(number) / 20_000.0;
        let far = if number % 2 == 0 { 52.39 } else { 52.41 };
        let _ = write!(comb, "[{:.7},{far}],", -24.31 + 0.02 * share);
    }
    for number in 0..20_000 {
        let share = f64::from(number) / 20_000.0;
        let far = if number % 2 == 0 { -24.31 } else { -24.29 };
        let _ = write!(comb, "[{far},{:.7}],", 52.39 + 0.02 * share);
    }
    comb.push_str("[-24.3100000,52.39]");
    for ring in [knot, spike, point, comb.as_str()] {
        let world = World::new();
        let text = format!("{{\"type\":\"Polygon\",\"coordinates\":[[{ring}]]}}");
        world.write(SHORELINE, &text);
        world.check().refuses("input-geo");
    }
}
