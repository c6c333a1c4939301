//! Files within the limits that would take long: they are worked out within seconds, or refused on a line.

use std::fmt::Write as _;
use std::time::Duration;

use crate::run::Limits;
use crate::world::{MISSION, SHORELINE, SITE, World};

/// Of a program that is not optimised, on a machine that others use as well: some times what
/// docs/explanation/security.md states.
const SECONDS: Duration = Duration::from_secs(60);

const AREA: &str = "[[52.399192, -24.309213], [52.399960, -24.305761], [52.401987, -24.306968], \
                    [52.401218, -24.310419]]";

fn at(east: f64, north: f64) -> (f64, f64) {
    (52.4005 + north / 111_300.0, -24.3 + east / 67_900.0)
}

/// A square ring of GeoJSON.
fn square(half: f64) -> String {
    let corners = [
        (-1.0, -1.0),
        (1.0, -1.0),
        (1.0, 1.0),
        (-1.0, 1.0),
        (-1.0, -1.0),
    ];
    let corners = corners.map(|(x, y)| {
        let (latitude, longitude) = at(x * half, y * half);
        format!("[{longitude:.7},{latitude:.7}]")
    });
    format!("[{}]", corners.join(","))
}

fn legs(world: &World, count: u32) {
    let mut more = "route:\n".to_owned();
    for number in 0..count {
        let (latitude, longitude) = at(
            -500.0 + 7.0 * f64::from(number % 10),
            20.0 + 5.0 * f64::from(number % 7),
        );
        let _ = writeln!(
            more,
            "  - {{ id: w{number}, to: [{latitude:.7}, {longitude:.7}], speed: {{ over_ground: 1.1 m/s }} }}"
        );
    }
    world.edit(MISSION, "route:\n", &more);
}

fn in_time(world: &World, command: &[&str]) -> crate::run::Ran {
    let ran = world.run(command, Limits::CHECK);
    assert!(ran.used < SECONDS, "{:?}: {}", ran.used, ran.terminal());
    ran
}

#[test]
fn rings_inside_one_another() {
    let polygon = |rings: &[String]| {
        format!(
            "{{\"type\":\"Polygon\",\"coordinates\":[{}]}}",
            rings.join(",")
        )
    };
    let halves = || (0..2000_u32).map(|n| 2500.0 - 0.5 * f64::from(n));
    let islands: Vec<String> = halves().map(square).collect();
    let waters: Vec<String> = halves().map(|half| format!("[{}]", square(half))).collect();
    for text in [
        polygon(&islands),
        format!(
            "{{\"type\":\"MultiPolygon\",\"coordinates\":[{}]}}",
            waters.join(",")
        ),
    ] {
        let world = World::new();
        world.write(SHORELINE, &text);
        let ran = in_time(&world, &["check"]);
        ran.refuses("lies in more than 16 others");
        assert!(
            ran.terminal().contains(&format!("{SHORELINE}:1:")),
            "{}",
            ran.terminal()
        );
    }
    // As many that lie beside one another are taken.
    let world = World::new();
    let text = world.read(SHORELINE);
    let mut islands = String::new();
    for number in 0..2000_u32 {
        let (latitude, longitude) = at(
            f64::from(number % 50) * 4.0 - 100.0,
            f64::from(number / 50) * 3.0 - 60.0,
        );
        let _ = write!(
            islands,
            ",[[{longitude:.7},{latitude:.7}],[{:.7},{latitude:.7}],[{longitude:.7},{:.7}],[{longitude:.7},{latitude:.7}]]",
            longitude + 2e-5,
            latitude + 1e-5
        );
    }
    let end = text.rfind(']').unwrap();
    let end = text[..end].rfind(']').unwrap();
    let end = text[..end].rfind(']').unwrap();
    world.write(
        SHORELINE,
        &(text[..=end].to_owned() + &islands + &text[end + 1..]),
    );
    let ran = in_time(&world, &["check"]);
    assert!(ran.status < 2, "{}", ran.everything());
}

#[test]
#[ignore = "slow"]
fn blocks_of_many_lines() {
    let whole = {
        let corners = [
            (-1000.0, -300.0),
            (1000.0, -300.0),
            (1000.0, 300.0),
            (-1000.0, 300.0),
        ];
        let corners = corners.map(|(x, y)| {
            let (latitude, longitude) = at(x, y);
            format!("[{latitude:.7}, {longitude:.7}]")
        });
        format!("[{}]", corners.join(", "))
    };
    // Worked out: as many legs as there may be, short ones and long ones, in winds from all sides.
    for (area, spacing) in [(AREA, "0.1 m"), (whole.as_str(), "1 m"), (AREA, "1 yd")] {
        let world = World::new();
        world.edit(MISSION, "spread: 20°", "spread: 180°");
        world.edit(MISSION, AREA, area);
        world.edit(MISSION, "spacing: 30 m", &format!("spacing: {spacing}"));
        let ran = in_time(&world, &["check"]);
        assert!(ran.status > 0, "{}", ran.everything());
    }
    // Refused on the line of the block.
    for spacing in ["0.05 m", "0.01 m", "1e-300 m"] {
        let world = World::new();
        world.edit(MISSION, "spacing: 30 m", &format!("spacing: {spacing}"));
        let ran = in_time(&world, &["check"]);
        assert_eq!(ran.status, 2);
        assert!(
            ran.terminal().contains(&format!("{MISSION}:")),
            "{}",
            ran.terminal()
        );
    }
}

#[test]
#[ignore = "slow"]
fn many_things_to_drift_on_to() {
    let mut areas = String::new();
    let mut rocks = String::new();
    for number in 0..990_u32 {
        let (x, y) = (
            f64::from(number % 55) * 32.0 - 880.0,
            f64::from(number / 55) * 32.0 - 288.0,
        );
        let corner = |dx: f64, dy: f64| {
            let (latitude, longitude) = at(x + dx, y + dy);
            format!("[{latitude:.7}, {longitude:.7}]")
        };
        let _ = writeln!(
            areas,
            "  - {{ id: k{number}, title: k, area: [{}, {}, {}] }}",
            corner(0.0, 0.0),
            corner(5.0, 0.0),
            corner(0.0, 5.0)
        );
        let _ = writeln!(
            rocks,
            "  - {{ id: h{number}, kind: swimming, title: s, at: {}, clearance: 3 m }}",
            corner(0.0, 0.0)
        );
    }
    for (key, more) in [("keep_out:\n", &areas), ("hazards:\n", &rocks)] {
        let world = World::new();
        legs(&world, 490);
        world.edit(SITE, key, &format!("{key}{more}"));
        let ran = in_time(&world, &["check"]);
        assert_eq!(ran.status, 1, "{}", ran.everything());
    }
    // One line of very many points, beside the way.
    let world = World::new();
    legs(&world, 490);
    let line: Vec<String> = (0..5_000_u32)
        .map(|n| {
            let (latitude, longitude) = at(-800.0 + 0.3 * f64::from(n), 150.0 + f64::from(n % 2));
            format!("[{latitude:.7}, {longitude:.7}]")
        })
        .collect();
    let hazard = format!(
        "hazards:\n  - {{ id: row, kind: moorings, title: r, line: [{}], clearance: 3 m }}\n",
        line.join(", ")
    );
    world.edit(SITE, "hazards:\n", &hazard);
    assert!(in_time(&world, &["check"]).status < 2);
}

/// What a lake sounded at a metre brings: too much, with what to do about it.
#[test]
#[ignore = "slow"]
fn three_hundred_thousand_soundings() {
    let world = World::new();
    let mut text = "{\"type\":\"FeatureCollection\",\"features\":[".to_owned();
    for number in 0..300_000_u32 {
        let (latitude, longitude) = at(f64::from(number % 1500), f64::from(number / 1500));
        let _ = write!(
            text,
            "{}{{\"type\":\"Feature\",\"properties\":{{\"depth\":4.2}},\"geometry\":{{\"type\":\"Point\",\
             \"coordinates\":[{longitude:.7},{latitude:.7}]}}}}",
            if number == 0 { "" } else { "," }
        );
    }
    text.push_str("]}");
    world.write("site/quenderby-soundings.geojson", &text);
    let ran = in_time(&world, &["check"]);
    assert_eq!(ran.status, 1, "{}", ran.everything());
    assert!(
        ran.everything().contains("soundings-within-shoreline"),
        "{}",
        ran.everything()
    );
}
