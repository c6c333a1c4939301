//! Missions of many legs with long names, on paper.

use std::fmt::Write as _;

use super::browser::{on_paper, sheets, with_file};
use super::chromium::{instrumented, run, said};
use super::{edited, page_in};

const MISSION: &str = "missions/north-bay-lines.yaml";

/// The demo with its survey run waypoint by waypoint, each under a name as long as names may be, so
/// many of them in all; and with other texts put in place of some.
fn long(waypoints: usize, edits: &[(&str, &str)]) -> tempfile::TempDir {
    let edits: Vec<_> = edits.iter().map(|(a, b)| (MISSION, *a, *b)).collect();
    let folder = edited(&edits);
    let file = folder.path().join(MISSION);
    let text = std::fs::read_to_string(&file).unwrap();
    let (before, rest) = text.split_once("  - id: bay-lines\n").unwrap();
    let (_, after) = rest
        .split_once("    speed: { over_ground: 1.1 m/s }\n")
        .unwrap();
    let mut route = String::new();
    let lines = (waypoints - 4) / 2;
    for index in 0..waypoints - 4 {
        let (line, east) = (index / 2, matches!(index % 4, 1 | 2));
        // Along the sides of the demo's survey area, from its south to its north.
        let (across, up) = (
            if east { 0.85 } else { 0.15 },
            0.1 + 0.8 * line as f64 / lines as f64,
        );
        let at = (
            52.399192 + 0.000768 * across + 0.002026 * up,
            -24.309213 + 0.003452 * across - 0.001206 * up,
        );
        let end = if east { "eastern" } else { "western" };
        let name = format!("sounding-line-{line:02}-{end}-end-off-the-wall-of-the-old-orchard");
        let name: String = name.chars().take(60).collect();
        writeln!(
            route,
            "  - {{ id: {name}-{index}, to: [{:.6}, {:.6}], speed: {{ over_ground: 1.1 m/s }} }}",
            at.0, at.1
        )
        .unwrap();
    }
    std::fs::write(&file, format!("{before}{route}{after}")).unwrap();
    folder
}

/// A mission that passes, and one on which most that a sheet has to tell is to be told.
fn missions() -> Vec<(&'static str, String)> {
    let page = |folder: tempfile::TempDir| page_in(folder.path(), "north-bay-lines");
    let doomed: &[(&str, &str)] = &[
        ("charge_at_launch: 95 %", "charge_at_launch: 70 %"),
        ("mean: 3 m/s, gust: 5 m/s", "mean: 9 m/s, gust: 13 m/s"),
        ("  at_water: 3\n", "  at_water: 1\n"),
        ("charged: 2027-06-14", "charged: 2027-05-01"),
        ("at_end: { action: hold }\n", ""),
    ];
    vec![
        ("18", page(long(18, &[]))),
        ("40", page(long(40, &[]))),
        ("40, doomed", page(long(40, doomed))),
    ]
}

#[test]
fn many_legs_with_long_names_print_on_two_sheets() {
    for (name, page) in missions() {
        with_file(&page, |file, folder| {
            let pdf = folder.join("brief.pdf");
            let print = format!("--print-to-pdf={}", pdf.display());
            run(&[&print, "--no-pdf-header-footer"], file);
            assert_eq!(sheets(&std::fs::read(&pdf).unwrap()), 2, "{name}");
        });
        assert!(page.contains("Waypoints in one row share its figures"));
        assert!(page.contains("Long names are cut on paper"));
        let look = "const box=one=>document.querySelector(one).getBoundingClientRect();\
             say([box('.sheet').height,box('.turn-back td').width,box('.map svg').height,\
             [...document.querySelectorAll('.turn-back tbody th')].map(t=>t.clientHeight)])";
        // As wide as the print of a sheet, 190 mm at 96 px to the inch; 281 mm of it can be used.
        let found = said(
            &instrumented(&on_paper(&page), look),
            &["--window-size=718,1062"],
        );
        let mm = |index: usize| found[index].as_f64().unwrap() * 25.4 / 96.0;
        assert!(mm(0) < 276.0, "{name}: no room is left: {} mm", mm(0));
        assert!(mm(1) > 30.0, "{name}: the legs have {} mm", mm(1));
        assert!(mm(2) > 50.0, "{name}: the map has {} mm", mm(2));
    }
}

#[test]
fn what_paper_leaves_out_is_counted() {
    let (_, page) = missions().pop().unwrap();
    let from = page.find("<ul class=\"findings\">").unwrap();
    let list = &page[from..from + page[from..].find("</ul>").unwrap()];
    let left_out = list.matches("<li class=\"more\">").count();
    assert!(left_out > 0, "{list}");
    // The gravest are not what is left out.
    let first = list.find("<li class=\"more\">").unwrap();
    assert!(
        !list[..first].contains("<b class=\"advice\">")
            || !list[first..].contains("<b class=\"error\">")
    );
    assert!(page.contains(&format!("<b>… and {left_out} more</b>")));
    assert!(page.contains("for which this sheet has no room: read them on the screen."));
}
