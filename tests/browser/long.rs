//! Missions of many legs with long names, on paper.

use std::fmt::Write as _;

use super::brief::{on_paper, sheets};
use super::chromium::{SHEET, print, said};
use super::print::printed;
use crate::shared::pages::{edited, page_in};

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

/// A mission that passes, and one on which most that a sheet has to tell is to be reported.
fn missions() -> Vec<(&'static str, String)> {
    let page = |folder: tempfile::TempDir| page_in(folder.path(), "north-bay-lines");
    let doomed: &[(&str, &str)] = &[
        ("charge_at_launch: 95 %", "charge_at_launch: 70 %"),
        ("mean: 3 m/s, gust: 5 m/s", "mean: 9 m/s, gust: 13 m/s"),
        ("  at_water: 3\n", "  at_water: 1\n"),
        ("charged: 2027-06-14", "charged: 2027-05-01"),
        ("at_end: { action: hold }\n", ""),
    ];
    // All who have a duty under names as long as they may be, which rows of contingencies have too.
    let people: Vec<(&str, &str)> = [
        doomed,
        &[
            (
                "person_in_charge: survey lead",
                "person_in_charge: Survey lead of the second season, from the northern office",
            ),
            (
                "remote_operator: operator",
                "remote_operator: Remote operator on the second watch with the spare tablet",
            ),
            (
                "lookout: second helper",
                "lookout: Second helper with the tall red flag and the air horn ready",
            ),
            (
                "recovery_crew: survey lead and second helper, with the inflatable",
                "recovery_crew: survey lead, second helper and the boatman of the lower farm in the wooden skiff",
            ),
            (
                "shore_contact: desk officer at the office",
                "shore_contact: Desk officer on the late watch at the northern survey office",
            ),
            (
                "then: the recovery crew fetches it with the inflatable",
                "then: the boatman and the survey lead fetch it with the wooden skiff from the lower farm",
            ),
        ],
    ]
    .concat();
    vec![
        ("18", page(long(18, &[]))),
        ("60, people, doomed", page(long(60, &people))),
        ("60, people", page(long(60, &people[doomed.len()..]))),
        ("40", page(long(40, &[]))),
        ("60", page(long(60, &[]))),
        ("40, doomed", page(long(40, doomed))),
    ]
}

#[test]
#[ignore = "slow"]
fn many_legs_with_long_names_print_on_two_sheets() {
    for (name, page) in missions() {
        assert_eq!(sheets(&print(&page, false).pdf), 2, "{name}");
        // Read back out of the paper: what people act by is all on the first sheet.
        let first = &printed(&page)[0];
        for words in [
            "Wind, read at 2 m",
            // No waypoint of the doomed one has a threshold.
            if name.ends_with("doomed") {
                "cannot be"
            } else {
                "or used"
            },
            "back by",
            "alarm",
            "call The reservoir",
            "link lost after",
            "to 61 r",
            "adrift, disabled",
            "person in charge",
            "raises the",
        ] {
            let any = words.starts_with("to 61") && name != "60";
            assert!(
                any || first.contains(words),
                "{name}: no `{words}`:\n{first}"
            );
        }
        assert!(page.contains("Waypoints in one row share the figures"));
        assert!(page.contains("Long names are cut on paper"));
        let look = "const box=one=>document.querySelector(one).getBoundingClientRect();\
             say([box('.sheet').height,box('.turn-back .leg').width,box('.map .frame').height,\
             [...document.querySelectorAll('.turn-back tbody th')].map(t=>t.clientHeight)])";
        let found = said(&on_paper(&page), look, SHEET);
        let mm = |index: usize| found[index].as_f64().unwrap() * 25.4 / 96.0;
        assert!(mm(0) < 281.0, "{name}: no room is left: {} mm", mm(0));
        assert!(mm(1) > 30.0, "{name}: the legs have {} mm", mm(1));
        assert!(mm(2) >= 119.0, "{name}: the map has {} mm", mm(2));
    }
}

#[test]
#[ignore = "slow"]
fn what_paper_leaves_out_is_counted() {
    let (_, page) = missions().pop().unwrap();
    let from = page.find("<ul class=\"findings\">").unwrap();
    let list = &page[from..from + page[from..].find("</ul>").unwrap()];
    let left_out = list.matches("<li class=\"more\">").count();
    assert!(left_out > 0, "{list}");
    // The gravest are not what is left out: all are reported in the order of their severity.
    let told: Vec<usize> = list
        .split("<li")
        .skip(1)
        .map(|one| {
            let ranks = ["error", "warning", "advice", "accepted"];
            let is = |rank: &&str| one.contains(&format!("<b class=\"{rank}\">"));
            ranks.iter().position(is).unwrap()
        })
        .collect();
    assert!(told.len() > left_out && told.is_sorted(), "{told:?}");
    assert!(told.iter().any(|rank| *rank != told[0]), "{told:?}");
    assert!(page.contains(&format!("<b>… and {left_out} more</b>")));
    assert!(page.contains("that do not fit on this sheet: read them on the screen."));
}

/// The parts of a page that people act by, each with whether it is cut on paper by the browser, and
/// what of it is to be read.
fn acted_by(page: &str, paper: bool) -> Vec<(bool, String)> {
    let look = "say([...document.querySelectorAll('.told,.people dd,.columns dl div')]\
                .map(one=>[one.scrollHeight>one.clientHeight+1,one.innerText]))";
    let page = if paper {
        on_paper(page)
    } else {
        page.to_owned()
    };
    let found = said(&page, look, SHEET);
    serde_json::from_value(found).unwrap()
}

const GOES_ON: &str = "Text that ends in … is complete on the screen.";
const NOTE: &str = "<p class=\"note only-print\">Text that ends in …";

#[test]
#[ignore = "slow"]
fn paper_that_has_room_cuts_nothing_of_what_people_do() {
    // With findings, without, and with three drifts beside them.
    for mission in [
        "adrift-above-the-weir",
        "dam-to-bay-transects",
        "headwind-return",
        "long-run-downwind",
        "north-bay-lines",
    ] {
        let page = crate::shared::pages::page(mission);
        assert!(!page.contains(GOES_ON), "{mission}");
        let paper = acted_by(&page, true);
        assert!(paper.iter().all(|(cut, _)| !cut), "{mission}: {paper:#?}");
        let whole = "the recovery crew fetches it with the inflatable";
        assert!(
            paper.iter().any(|(_, text)| text.contains(whole)),
            "{mission}: {paper:#?}"
        );
    }
}

#[test]
#[ignore = "slow"]
fn what_people_do_is_whole_on_the_screen_and_what_paper_cuts_is_told() {
    let then = format!(
        "{}and nobody goes in after it",
        "Wait for the wind to drop, ".repeat(40)
    );
    let crew = format!(
        "{}who have the keys",
        "WATCH MOMMA and two helpers, ".repeat(20)
    );
    let told = format!(
        "{}by the board at the slip",
        "a word at the club on the day, ".repeat(20)
    );
    let quoted = |text: &str| format!("\"{text}\"");
    let folder = edited(&[
        (
            MISSION,
            "the recovery crew fetches it with the inflatable",
            &quoted(&then),
        ),
        (
            MISSION,
            "recovery_crew: survey lead and second helper, with the inflatable",
            &format!("recovery_crew: {}", quoted(&crew)),
        ),
        (
            MISSION,
            "flotation: buoyancy aids for all three, worn from the shore road on",
            &format!("flotation: {}", quoted(&told)),
        ),
    ]);
    let page = page_in(folder.path(), "north-bay-lines");
    let screen = acted_by(&page, false);
    for text in [&then, &crew, &told] {
        let all = |parts: &[(bool, String)]| parts.iter().any(|(_, one)| one.contains(text));
        assert!(all(&screen), "{text}: {screen:#?}");
    }
    let paper = acted_by(&page, true);
    // The program cuts before the browser has to, so that every cut is one that is reported.
    assert!(paper.iter().all(|(cut, _)| !cut), "{paper:#?}");
    let ends = paper.iter().filter(|(_, text)| text.contains('…')).count();
    assert!(ends >= 4, "{paper:#?}");
    assert_eq!(page.matches(NOTE).count(), 3);
    assert_eq!(sheets(&print(&page, false).pdf), 2);
}
