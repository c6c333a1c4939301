//! The page of a debrief in a browser: quiet, fetching nothing, as wide as the screen, accessible by
//! the checks of axe-core, by day and by night.

use std::path::Path;
use std::sync::OnceLock;

use super::chromium::{DESK, PHONE, print, said};
use crate::shared::pages::offing;

fn page() -> &'static str {
    static PAGE: OnceLock<String> = OnceLock::new();
    PAGE.get_or_init(|| {
        let mission = "dam-to-bay-transects";
        let track = "plans/tracks/dam-to-bay-transects-20270622.csv";
        let columns = "plans/tracks/columns.yaml";
        let ran = offing(&[
            "debrief",
            mission,
            "--plans",
            "plans",
            "--track",
            track,
            "--columns",
            columns,
            "--format",
            "html",
        ]);
        String::from_utf8(ran.stdout).unwrap()
    })
}

#[test]
#[ignore = "slow"]
fn no_word_lies_on_the_route_or_on_the_run() {
    // Letters take less room than the box of their words, by so much on each side.
    let look = "const words=[...document.querySelectorAll('.map svg text.halo')].filter(t=>!t.transform.baseVal.length)\
                .map(t=>[t.textContent.trim(),t.getBBox()]);let looked=0;const found=new Set();\
                for(const path of document.querySelectorAll('.map svg path.route,.map svg path.four')){\
                const whole=path.getTotalLength();if(whole<100)continue;\
                for(let at=0;at<=whole;at+=1){const p=path.getPointAtLength(at);looked++;\
                for(const [text,b] of words)if(p.x>b.x+1.5&&p.x<b.x+b.width-1.5&&p.y>b.y+3&&p.y<b.y+b.height-3)\
                found.add(text)}}say([[...found],looked,words.map(([text])=>text)])";
    let found = said(page(), look, DESK);
    assert_eq!(found[0], serde_json::json!([]), "{found}");
    assert!(found[1].as_u64().unwrap() > 1000, "{found}");
    let words = found[2].as_array().unwrap();
    assert!(words.contains(&"track ends".into()), "{found}");
}

#[test]
#[ignore = "slow"]
fn it_says_nothing_on_the_console_and_prints() {
    let printed = print(page(), false);
    assert_eq!(printed.console, Vec::<String>::new());
    assert!(printed.pdf.len() > 20_000);
}

#[test]
#[ignore = "slow"]
fn it_fetches_nothing_and_is_as_wide_as_the_screen() {
    let look = "const r=document.documentElement;say([r.scrollWidth,innerWidth,\
                performance.getEntriesByType('resource').length,\
                [...document.querySelectorAll('main *')].filter(e=>!e.closest('svg,.scroll')&&\
                e.getBoundingClientRect().right>innerWidth+1).length,document.querySelectorAll('svg.fig').length,\
                document.querySelector('.map svg').getBoundingClientRect().width])";
    for screen in [PHONE, DESK] {
        let found = said(page(), look, screen);
        let number = |index: usize| found[index].as_u64().unwrap();
        assert!(number(0) <= number(1), "{screen:?}: {found}");
        assert_eq!((number(2), number(3)), (0, 0), "{screen:?}: {found}");
        assert_eq!(number(4), 6, "the map and five charts");
        // Letters of the map are to be no larger than those of the text.
        assert!(found[5].as_f64().unwrap() < 700.0, "{screen:?}: {found}");
    }
}

#[test]
#[ignore = "slow"]
fn axe_finds_no_grave_fault_by_day_and_by_night() {
    let axe = Path::new("tests/browser/node_modules/axe-core/axe.min.js");
    let axe = std::fs::read_to_string(axe)
        .unwrap_or_else(|error| panic!("{error}; `.ci/set-up` installs it"));
    let look = "axe.run(document).then(r=>say({passes:r.passes.length,grave:r.violations\
                .filter(v=>['serious','critical'].includes(v.impact))\
                .map(v=>v.id+': '+v.nodes.map(n=>n.html.slice(0,120)).join(' | '))}))";
    let look = format!("{axe}\n{look}");
    for dark in [false, true] {
        for screen in [PHONE, DESK] {
            let found = said(page(), &look, screen.dark(dark));
            assert!(found["passes"].as_u64().unwrap() > 15, "{found}");
            assert_eq!(
                found["grave"],
                serde_json::json!([]),
                "dark: {dark} {screen:?}"
            );
        }
    }
}

/// The plan and the run are told apart by their dash, and by a word in the legend.
#[test]
fn plan_and_run_differ_by_more_than_colour() {
    let page = page();
    assert!(page.contains(".fig .four{stroke:var(--four);stroke-dasharray:"));
    for words in [
        "left as planned",
        "left, as run",
        "route as planned",
        "as it was run",
        "as predicted",
    ] {
        assert!(page.contains(words), "{words}");
    }
}
