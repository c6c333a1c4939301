//! The sketch of a route.

use super::tests_support::{bare, span};
use super::*;
use crate::check::Waypoint;
use crate::finding::{Finding, Nature, Place, Severity};
use crate::source::{Sources, printable};
use crate::units::Length;

fn at(id: &str, latitude: f64, longitude: f64) -> Waypoint {
    Waypoint {
        id: id.to_owned(),
        position: (latitude, longitude),
        lines: 0,
        length: Length::ZERO,
        speed: None,
    }
}

fn drawn(waypoints: &[Waypoint], findings: &[Finding]) -> String {
    let text = sketch(&Sketch {
        mission: "m",
        waypoints,
        before: Vec::new(),
        findings,
    });
    text.expect("there is a place to draw")
}

/// The lines between the fences.
fn grid(text: &str) -> Vec<&str> {
    let inside = text.split("```").nth(1).expect("a fence");
    inside.lines().skip(1).collect()
}

/// Row and column at which a mark begins.
fn cell(text: &str, mark: &str) -> (usize, usize) {
    let found = grid(text)
        .into_iter()
        .enumerate()
        .find_map(|(row, line)| Some((row, line.find(mark)?)));
    found.expect(mark)
}

fn found(name: &str, position: Option<(f64, f64)>) -> Finding {
    let mut sources = Sources::new();
    let id = sources.add("m.yaml", "kind: mission\n");
    let at = span(&sources, id, "kind");
    let mut finding = bare(&sources, at, Severity::Error, Nature::Violation);
    finding.mission = Some("m".to_owned());
    finding.place = Some(Place {
        name: name.to_owned(),
        along: None,
        position,
        ..Place::default()
    });
    finding
}

/// A minute of latitude is a nautical mile, 1852 m, to within 1 % anywhere (the unit's old meaning).
#[test]
fn north_is_up_and_the_scale_holds() {
    let route = [
        at("launch", 52.0, -24.0),
        at("north", 52.0 + 1.0 / 60.0, -24.0),
        at("east", 52.0, -24.0 + 1.0 / 60.0),
        at("recovery", 52.0, -24.0),
    ];
    let text = drawn(&route, &[]);
    let (launch, north, east) = (cell(&text, "L"), cell(&text, "1"), cell(&text, "2"));
    assert_eq!((launch.1, launch.0), (north.1, east.0));
    assert!(north.0 < launch.0 && east.1 > launch.1, "{text}");
    // Round steps: 1852 m in at most 23 rows are rows of 100 m.
    assert!(
        text.contains("a column is 50 m wide, a row 100 m high"),
        "{text}"
    );
    assert_eq!(launch.0 - north.0, 19);
    // The same in longitude, by the cosine of 52°: 1140 m.
    assert_eq!(east.1 - launch.1, 23);
    assert!(text.contains("- R recovery, at the place of L\n"), "{text}");
}

#[test]
fn a_sketch_is_bounded_and_shows_what_was_found() {
    let many: Vec<Waypoint> = (0..200)
        .map(|n| {
            let n = f64::from(n);
            at(
                &format!("w{n}"),
                52.0 + (n * 0.7).sin() / 9.0,
                -24.0 + n / 999.0,
            )
        })
        .collect();
    let text = drawn(&many, &[]);
    let lines = grid(&text);
    assert!(
        lines.len() <= 24 && lines.iter().all(|line| line.len() <= 60),
        "{text}"
    );
    assert!(text.contains("- . 160 more waypoints\n"), "{text}");
    let route = [at("launch", 52.0, -24.0), at("out", 52.01, -24.0)];
    let findings = [
        found("out", None),
        found("between", Some((52.005, -24.0))),
        found("far", Some((53.0, -24.0))),
        found("nowhere", Some((f64::NAN, f64::INFINITY))),
    ];
    let text = drawn(&route, &findings);
    let (out, between, launch) = (cell(&text, "1!"), cell(&text, "x"), cell(&text, "L"));
    assert!(out.0 < between.0 && between.0 < launch.0, "{text}");
    assert!(text.contains("- 1! out: under-keel-clearance\n"), "{text}");
    // What was found in another mission is none of this one's.
    let mut other = found("out", None);
    other.mission = Some("other".to_owned());
    assert!(!drawn(&route, &[other]).contains('!'));
}

#[test]
fn one_point_and_two_in_one_cell() {
    let text = drawn(&[at("launch", 52.0, -24.0)], &[]);
    assert_eq!(grid(&text), ["L"]);
    let text = drawn(
        &[
            at("launch", 52.0, -24.0),
            at("one", 52.0, -24.000_1),
            at("two", 52.0, -24.000_1),
            at("three", 52.01, -24.0),
        ],
        &[],
    );
    assert!(text.contains("- 1 one, at the place of L\n"), "{text}");
    assert!(text.contains("- 2 two, at the place of L\n"), "{text}");
    assert!(
        sketch(&Sketch {
            mission: "m",
            waypoints: &[],
            before: Vec::new(),
            findings: &[]
        })
        .is_none()
    );
}

/// A degree begins nothing anew: neither a whole one nor the one where longitudes change sign.
#[test]
fn across_a_whole_degree() {
    let route = |longitude: f64, after: f64| {
        drawn(
            &[at("launch", 52.999, longitude), at("b", 53.001, after)],
            &[],
        )
    };
    let plain = route(-24.51, -24.49);
    assert_eq!(grid(&plain), grid(&route(-25.01, -24.99)));
    assert_eq!(grid(&plain), grid(&route(-0.01, 0.01)));
    assert_eq!(grid(&plain), grid(&route(179.99, -179.99)));
}

#[test]
fn a_name_that_means_harm() {
    let nasty =
        "x\n```\n</details><script>alert(1)</script> [a](http://e) \u{202e}::error::y | @team";
    let text = sketch(&Sketch {
        mission: nasty,
        waypoints: &[at(nasty, 52.0, -24.0), at("b", 52.01, -24.0)],
        before: vec![(nasty, (52.005, -24.0))],
        findings: &[],
    })
    .expect("drawn");
    for part in ["<script", "](", "@team", "http:/", "::error", "x\n", " | "] {
        assert!(!text.contains(part), "{part}: {text}");
    }
    assert_eq!(text.matches("```").count(), 2);
    assert_eq!(text.matches("</details>").count(), 1);
    assert_eq!(printable(&text), text);
}
