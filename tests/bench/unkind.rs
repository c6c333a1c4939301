//! The same lake made unkind: currents that bend drifts, a weir and other hazards, a keep-out area, a second
//! station, and a wind that veers through the day.

use std::fmt::Write as _;

use offing::door::models::plane::Point;
use offing::door::source::MemoryTree;

use super::lake::{self, Pack, written};

/// Middle and half the width and height of each area with a current, m, with its set in degrees and its drift in
/// centimetres a second.
const CURRENTS: [(Point, Point, u32, u32); 3] = [
    (Point::new(-430.0, 20.0), Point::new(170.0, 190.0), 70, 6),
    (Point::new(60.0, -60.0), Point::new(210.0, 150.0), 95, 8),
    (Point::new(520.0, 90.0), Point::new(160.0, 150.0), 300, 5),
];
/// Kind and ends of each hazard, m.
const HAZARDS: [(&str, Point, Point); 6] = [
    ("weir", Point::new(760.0, 120.0), Point::new(765.0, 170.0)),
    (
        "moorings",
        Point::new(-60.0, 225.0),
        Point::new(30.0, 235.0),
    ),
    ("rock", Point::new(-560.0, 190.0), Point::new(-555.0, 190.0)),
    ("rock", Point::new(520.0, 210.0), Point::new(526.0, 213.0)),
    ("rock", Point::new(560.0, -190.0), Point::new(566.0, -190.0)),
    (
        "intake",
        Point::new(-700.0, -60.0),
        Point::new(-702.0, -60.0),
    ),
];

/// The second station, m.
const FAR: Point = Point::new(420.0, 260.0);

/// A repository of such missions.
#[must_use]
pub fn repository(vertices: usize, missions: usize, pack: Pack) -> MemoryTree {
    let mut tree = lake::repository(vertices, missions, pack);
    for (path, text) in &mut tree.files {
        if path.starts_with("missions/") {
            *text = mission(text);
        } else if path == "site/lake.yaml" {
            *text = site(text);
        }
    }
    tree
}

fn put(text: &str, before: &str, after: &str) -> String {
    assert_eq!(text.matches(before).count(), 1, "`{before}` in\n{text}");
    text.replace(before, after)
}

fn site(text: &str) -> String {
    let mut currents = String::from("currents:\n");
    for (number, (middle, half, set, drift)) in (1..).zip(CURRENTS) {
        let corner = |x: f64, y: f64| written(middle + Point::new(x * half.x, y * half.y));
        let _ = writeln!(
            currents,
            "  - {{ id: stream-{number}, area: [{}, {}, {}, {}], set: {set:03}°, drift: 0.{drift:02} m/s }}",
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        );
    }
    let mut hazards = String::from("hazards:\n");
    for (number, (kind, one, other)) in (1..).zip(HAZARDS) {
        let (one, other) = (written(one), written(other));
        let _ = writeln!(
            hazards,
            "  - {{ id: hazard-{number}, kind: {kind}, line: [{one}, {other}], clearance: 15 m }}"
        );
    }
    let area = [(540.0, -40.0), (580.0, -40.0), (580.0, 10.0), (540.0, 10.0)];
    let area = area.map(|(x, y)| written(Point::new(x, y))).join(", ");
    let closed = format!("keep_out:\n  - {{ id: reeds, title: Reeds, area: [{area}] }}\n");
    let text = put(text, "currents: []\n", &currents);
    let text = put(&text, "hazards:\n", &hazards);
    let text = put(&text, "keep_out: []\n", &closed);
    let far = written(FAR);
    format!(
        "{text}  - id: far-mast
    at: {far}
    radios:
      - link: control
        frequency: 868 MHz
        transmit_power: 14 dBm
        sensitivity: -103 dBm
        losses: 1 dB
        antenna: {{ gain: 2 dBi, height: 8 m, polarisation: vertical }}
"
    )
}

fn mission(text: &str) -> String {
    let mut text = text.to_owned();
    for hour in 9..22 {
        let before = format!("T{hour:02}:00, from: 200°, mean: 6 m/s, gust: 9.2 m/s");
        // It veers by 100° over the run, and freshens towards noon.
        let (from, mean) = (
            160 + 10 * (hour - 9),
            5.0 - 0.2 * f64::from(hour - 13_i32).abs(),
        );
        let after = format!(
            "T{hour:02}:00, from: {from}°, mean: {mean:.1} m/s, gust: {:.1} m/s",
            1.6 * mean
        );
        text = put(&text, &before, &after);
    }
    let end = text.find(" }]\nsoundings:").expect("a station");
    let operator = written(FAR + Point::new(2.0, 0.0));
    text.insert_str(
        end + 2,
        &format!(", {{ station: far-mast, operator_at: {operator} }}"),
    );
    text
}
