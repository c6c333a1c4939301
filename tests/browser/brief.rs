//! The page in a browser: quiet, on two sheets of paper, as wide as the screen, and accessible by the
//! checks of axe-core, by day and by night.

use std::path::Path;

use super::chromium::{DESK, PHONE, SHEET, console, print, said, shot};
use crate::shared::cases::cases;
use crate::shared::pages::{demo, page};

/// Missions whose pages differ most: clean, with findings, with a point that is not come back from.
const MISSIONS: [&str; 3] = [
    "north-bay-lines",
    "lines-across-the-wind",
    "headwind-return",
];

/// A page that looks on a screen as it does on paper.
pub fn on_paper(page: &str) -> String {
    page.replace("@media print{", "@media all{")
        .replace("@media print,", "@media all,")
        .replace("@media screen", "@media print")
}

/// Pages of a PDF file (ISO 32000-1, 7.7.3.3: each has an object of type Page).
pub fn sheets(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let after = text
        .match_indices("/Type /Page")
        .map(|(at, sign)| at + sign.len());
    after
        .filter(|at| text.as_bytes().get(*at) != Some(&b's'))
        .count()
}

#[test]
#[ignore = "slow"]
fn it_prints_on_two_sheets_and_says_nothing_on_the_console() {
    for mission in demo_missions().iter().step_by(cases(4, 1)) {
        let mission = mission.as_str();
        let printed = print(&page(mission), false);
        assert_eq!(printed.console, Vec::<String>::new(), "{mission}");
        assert_eq!(sheets(&printed.pdf), 2, "{mission}");
    }
}

/// Every mission of the demo.
fn demo_missions() -> Vec<String> {
    let files = std::fs::read_dir(demo().join("missions")).unwrap();
    let mut all: Vec<String> = files
        .map(|file| file.unwrap().path())
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    all.sort();
    assert!(all.len() > 10);
    all
}

#[test]
#[ignore = "slow"]
fn paper_shows_what_would_make_it_pass() {
    for mission in ["long-run-downwind", "lines-across-the-wind", "careless-end"] {
        let found = said(
            &on_paper(&page(mission)),
            "const all=[...document.querySelectorAll('.findings li')];\
             const shown=all.filter(li=>li.getClientRects().length);\
             say([shown.map(li=>[!!li.querySelector('.remedy').getClientRects().length,\
             li.scrollHeight<=li.clientHeight+1]),all.length-shown.length])",
            SHEET,
        );
        let findings = found[0].as_array().unwrap();
        assert!(!findings.is_empty());
        // What the sheet has no room for is left out whole, and counted.
        let left_out = found[1].as_u64().unwrap();
        let counted = page(mission).contains(&format!("<b>… and {left_out} more</b>"));
        assert_eq!(counted, left_out > 0, "{mission} {found}");
        for finding in findings {
            assert_eq!(
                *finding,
                serde_json::json!([true, true]),
                "{mission} {found}"
            );
        }
    }
}

#[test]
#[ignore = "slow"]
fn a_phone_has_first_what_is_needed_soonest() {
    let page = page("headwind-return");
    let look = "say(['.times','.verdict','.wind-box','.turn-back','.people','.contingencies','.map','.figures','.charts']\
         .map(one=>{const r=document.querySelector(one).getBoundingClientRect();\
         return [Math.round(r.left),Math.round(r.top)]}))";
    let places = |found: &serde_json::Value| -> Vec<(i64, i64)> {
        serde_json::from_value(found.clone()).unwrap()
    };
    let phone = places(&said(&page, look, PHONE));
    assert!(
        phone.windows(2).all(|pair| pair[0].1 < pair[1].1),
        "{phone:?}"
    );
    // On a desk the boxes stand in a row, and the map beside when to turn back.
    let desk = places(&said(&page, look, DESK));
    assert_eq!(desk[1].1, desk[2].1, "{desk:?}");
    assert!(
        desk[6].0 < desk[3].0 && desk[6].1 <= desk[3].1 + 40,
        "{desk:?}"
    );
}

#[test]
#[ignore = "slow"]
fn a_page_that_fetches_would_be_heard() {
    // What the test above goes by: the policy of the page refuses whatever it would fetch.
    let fetching = page("headwind-return").replace(
        "</main>",
        "<img alt=\"\" src=\"http://127.0.0.1:9/x.png\"></main>",
    );
    let console = console(&fetching);
    assert!(
        console
            .iter()
            .any(|line| line.contains("Content Security Policy")),
        "{console:?}"
    );
}

#[test]
#[ignore = "slow"]
fn it_is_as_wide_as_the_screen_and_not_blank() {
    let blank = shot("<!DOCTYPE html><title>x</title>", PHONE);
    for mission in MISSIONS {
        let page = page(mission);
        let look = "const r=document.documentElement;say([r.scrollWidth,innerWidth,\
             performance.getEntriesByType('resource').length,\
             [...document.querySelectorAll('main *')].filter(e=>!e.closest('svg')&&\
             e.getBoundingClientRect().right>innerWidth+1).length])";
        for screen in [PHONE, DESK] {
            let found = said(&page, look, screen);
            let number = |index: usize| found[index].as_u64().unwrap();
            assert!(number(0) <= number(1), "{mission} {screen:?}: {found}");
            assert_eq!(number(2), 0, "{mission} fetches something");
            assert_eq!(number(3), 0, "{mission} {screen:?}: something is cut off");
            let picture = shot(&page, screen);
            assert!(picture > 6 * blank, "{mission} {screen:?}: {picture} bytes");
        }
    }
}

#[test]
#[ignore = "slow"]
fn what_is_drawn_can_be_read_on_a_phone() {
    let look = "say([...document.querySelectorAll('svg.fig')].map(s=>{\
         const by=s.getBoundingClientRect().width/s.viewBox.baseVal.width;\
         const sizes=[...s.querySelectorAll('text')].map(t=>parseFloat(getComputedStyle(t).fontSize));\
         return [s.querySelector('title').textContent,by*Math.min(...sizes)]}))";
    for mission in MISSIONS {
        let found = said(&page(mission), look, PHONE);
        let figures = found.as_array().unwrap();
        assert!(figures.len() >= 5, "{found}");
        for figure in figures {
            // Our own proposal: 11 CSS px are some 1.7 mm at arm's length.
            assert!(figure[1].as_f64().unwrap() >= 11.0, "{mission} {figure}");
        }
    }
}

#[test]
#[ignore = "slow"]
fn axe_finds_no_grave_fault_by_day_and_by_night() {
    let axe = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/browser/node_modules/axe-core/axe.min.js");
    let axe = std::fs::read_to_string(&axe)
        .unwrap_or_else(|error| panic!("{}: {error}; `.ci/set-up` installs it", axe.display()));
    let look = "axe.run(document).then(r=>say({dark:matchMedia('(prefers-color-scheme: dark)').matches,\
                passes:r.passes.length,grave:r.violations.filter(v=>['serious','critical'].includes(v.impact))\
                .map(v=>v.id+': '+v.nodes.map(n=>n.html.slice(0,120)).join(' | '))}))";
    let look = format!("{axe}\n{look}");
    for mission in ["north-bay-lines", "headwind-return"] {
        let page = page(mission);
        for dark in [false, true] {
            for screen in [PHONE, DESK] {
                let found = said(&page, &look, screen.dark(dark));
                assert_eq!(found["dark"], dark, "{mission}");
                assert!(found["passes"].as_u64().unwrap() > 15, "{found}");
                assert_eq!(
                    found["grave"],
                    serde_json::json!([]),
                    "{mission} dark: {dark} {screen:?}"
                );
            }
        }
    }
    // And one that is there is found.
    let faded = page("north-bay-lines").replace(
        "</main>",
        "<p style=\"color:#eee;background:#fff\">faded words</p></main>",
    );
    let found = said(&faded, &look, DESK);
    assert!(
        found["grave"][0]
            .as_str()
            .unwrap()
            .starts_with("color-contrast"),
        "{found}"
    );
}
