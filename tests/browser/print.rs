//! The page as it is printed, read back out of the PDF: whatever is found, the tables that people act by
//! are on the first of two sheets.

use std::fmt::Write as _;
use std::process::Command;

use super::brief::on_paper;
use super::chromium::{SHEET, print, said};
use crate::shared::pages::{edited, page_in};

/// The page of the demo's mission that passes, with so many rules of a team that it breaks.
fn page(findings: usize) -> String {
    let folder = edited(&[]);
    for index in 0..findings {
        let mut rule = String::new();
        write!(
            rule,
            "kind: rule\nformat: 1\nid: more-hands-{index}\ntitle: People at the water by the \
             standing order of watch {index}\nmeasure: mission.people_at_water\nat_least: {} \
             people\nseverity: error\nwhy: >-\n  One holds the line, one the boat, and one looks \
             out for other users, who may come up from behind.\nremedy: >-\n  Have more people at \
             the water at launch and recovery, and let the office know.\nsources:\n  - Our own \
             proposal.\n",
            10 + index
        )
        .unwrap();
        let path = folder.path().join(format!("rules/more-hands-{index}.yaml"));
        std::fs::write(path, rule).unwrap();
    }
    page_in(folder.path(), "north-bay-lines")
}

/// The text of each sheet, as `pdftotext` reads it.
pub fn printed(page: &str) -> Vec<String> {
    let folder = crate::shared::scratch::folder().unwrap();
    let pdf = folder.path().join("brief.pdf");
    std::fs::write(&pdf, print(page, false).pdf).unwrap();
    let read = Command::new("pdftotext")
        .arg("-layout")
        .arg(&pdf)
        .arg("-")
        .output();
    let read = read.expect("pdftotext, of poppler-utils");
    assert!(read.status.success());
    let text = String::from_utf8(read.stdout).unwrap();
    let sheets = text.split('\u{c}').map(str::to_owned);
    sheets.filter(|sheet| !sheet.trim().is_empty()).collect()
}

/// What the band has whatever is found.
const BAND: [&str; 14] = [
    "safe to launch",
    "Wind, read at 2 m",
    "planned",
    "limit",
    "Turn back below",
    "pack",
    "gauge",
    "or used",
    "back by",
    "11:30",
    "12:00",
    "call The reservoir",
    "number",
    "link lost after 10 s",
];

/// What is needed at the water and stands nowhere else, in the order of the sheet.
const FIRST: [&str; 11] = [
    "Turn back",
    "before",
    "1 bay-mouth",
    "recovery",
    "When something fails",
    "control link lost",
    "battery low",
    "position lost",
    "propulsion lost",
    "end of the run",
    "adrift, disabled",
];

#[test]
#[ignore = "slow"]
fn the_tables_that_people_act_by_are_printed_whatever_is_found() {
    for findings in [0, 5, 18, 22, 60] {
        let page = page(findings);
        let sheets = printed(&page);
        assert_eq!(sheets.len(), 2, "{findings} findings");
        let [first, second] = [&sheets[0], &sheets[1]];
        for words in BAND {
            assert!(first.contains(words), "{findings}: no `{words}`:\n{first}");
        }
        let mut rest = first.as_str();
        for words in FIRST {
            let at = rest.find(words);
            let at = at
                .unwrap_or_else(|| panic!("{findings}: no `{words}` on the first sheet:\n{first}"));
            rest = &rest[at..];
        }
        for words in [
            "person in charge",
            "remote operator",
            "recovery crew",
            "raises the alarm",
            "not later than",
        ] {
            assert!(first.contains(words), "{findings}: no `{words}`:\n{first}");
        }
        for words in [
            "Figures",
            "Strongest wind",
            "In an emergency call The reservoir keeper on duty; the number is on the launch card.",
            "wears what keeps",
            "Checklist at the water",
            "Go or no go",
        ] {
            assert!(
                second.contains(words),
                "{findings}: no `{words}`:\n{second}"
            );
            assert!(!first.contains(words) || words == "Figures");
        }
        let told = first.matches("more-hands-").count();
        assert!(
            told >= findings.min(1) && told <= findings,
            "{told} of {findings}"
        );
        let left_out = findings - told;
        if left_out > 0 {
            let (_, counted) = first
                .split_once("… and ")
                .expect("what is left out is counted");
            let counted: usize = counted.split(' ').next().unwrap().parse().unwrap();
            assert!(counted >= left_out, "{counted} of {left_out} are counted");
        }
        assert!(
            first.contains("safe to launch"),
            "{findings}: the caution is gone"
        );
    }
}

#[test]
#[ignore = "slow"]
fn what_has_room_on_the_first_sheet_is_not_cut() {
    let first = |mission: &str| {
        let sheets = printed(&crate::shared::pages::page(mission));
        assert_eq!(sheets.len(), 2, "{mission}");
        sheets[0].clone()
    };
    // Two waypoints of one row, each on its line.
    let sheet = first("long-run-downwind");
    for words in ["4 line-up", "to 5 recovery"] {
        assert!(sheet.contains(words), "no `{words}`: {sheet}");
    }
    // The letter of what a disabled boat is carried onto, past the edge of the map.
    let sheet = first("north-bay-lines");
    for words in ["E Intake tower: 1792", "F safety boat", "launch card."] {
        assert!(sheet.contains(words), "no `{words}`: {sheet}");
    }
    assert!(!sheet.contains("more, on the screen"), "{sheet}");
}

#[test]
#[ignore = "slow"]
fn winds_are_told_as_an_anemometer_held_by_hand_shows_them() {
    let sheets = printed(&page(0));
    let sheet = sheets[0].split_whitespace().collect::<Vec<_>>().join(" ");
    // 3 m/s at 10 m by the logarithmic law over open water (z0 = 0.2 mm): × ln(2 / 0.0002) / ln(10 / 0.0002)
    // = 0.851; by the power law with exponent 1/7 (Coastal Engineering Manual, II-2-9): × 0.795. The law
    // that makes more of what is read is taken, and a tenth rounded down: 2.3 m/s, and 3.9 m/s of the 5.
    let (hand, gust) = (sheet.find("2.3 m/s"), sheet.find("gusts 3.9 m/s"));
    let ten = sheet.find("planned 3 m/s,").expect("the wind at 10 m");
    assert!(hand.is_some_and(|hand| hand < ten), "{sheet}");
    assert!(gust.is_some_and(|gust| gust < ten), "{sheet}");
    let second = sheets[1].split_whitespace().collect::<Vec<_>>().join(" ");
    let card = &second[second.find("Strongest wind").unwrap()..];
    let (hand, ten) = (card.find("at 2 m").unwrap(), card.find("at 10 m").unwrap());
    assert!(hand < ten, "{card}");
}

#[test]
#[ignore = "slow"]
fn nothing_of_the_times_is_cut_on_paper_and_drawn_words_can_be_read() {
    // Our own proposal: 5.2 pt are 1.8 mm of type, the small print of a chart's margin.
    let look = "const least=one=>{const all=[...document.querySelectorAll(one+' svg')].flatMap(s=>{\
         const box=s.getBoundingClientRect(),view=s.viewBox.baseVal;\
         const by=Math.min(box.width/view.width,box.height/view.height);\
         return [...s.querySelectorAll('text')].map(t=>0.75*by*parseFloat(getComputedStyle(t).fontSize))});\
         return Math.min(...all)};\
         say([[...document.querySelectorAll('.times dd')].filter(d=>d.scrollHeight>d.clientHeight+1||\
         getComputedStyle(d).webkitLineClamp!=='none'&&getComputedStyle(d).overflow!=='visible').length,\
         least('.wide'),[...document.querySelectorAll('.band .box')].filter(b=>b.scrollWidth>b.clientWidth)\
         .map(b=>b.innerText)])";
    for mission in [
        "lines-across-the-wind",
        "north-bay-lines",
        "headwind-return",
    ] {
        let page = on_paper(&crate::shared::pages::page(mission));
        let found = said(&page, look, SHEET);
        assert_eq!(found[0], 0, "{mission}: {found}");
        assert!(found[1].as_f64().unwrap() >= 5.2, "{mission}: {found}");
        assert_eq!(found[2], serde_json::json!([]), "{mission}: past its box");
    }
    let sheets = printed(&crate::shared::pages::page("lines-across-the-wind"));
    assert_eq!(sheets.len(), 2);
    let sheet = sheets[0].split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["255° ± 15°", "Wind, read at 2 m", "planned 6 m/s"] {
        assert!(sheet.contains(words), "no `{words}`: {sheet}");
    }
}

#[test]
#[ignore = "slow"]
fn the_map_is_large_enough_to_steer_by_and_no_word_lies_on_the_route() {
    // Of each figure: the words that stand on a line of a kind, and how often that was looked at. Letters take
    // less room than the box of their words, by so much on each side.
    let look = "const room=t=>{const b=t.getBBox(),turn=t.transform.baseVal.consolidate();\
         if(!turn)return {x:b.x+.5,y:b.y+2,width:b.width-1,height:b.height-4};const m=turn.matrix;\
         return {x:m.e+b.y+2,y:m.f-b.x-b.width+.5,width:b.height-4,height:b.width-1}};\
         const all=figure=>[...document.querySelectorAll(figure+' svg.fig text.halo')]\
         .map(t=>[t.textContent.trim(),room(t)]);\
         const on=(figure,kind)=>{const boxes=all(figure);let looked=0;const found=[];\
         for(const path of document.querySelectorAll(figure+' svg.fig '+kind)){const whole=path.getTotalLength();\
         for(let at=0;at<=whole;at+=1){const p=path.getPointAtLength(at);looked++;\
         for(const [words,b] of boxes)if(p.x>b.x+1&&p.x<b.x+b.width-1&&p.y>b.y+1&&p.y<b.y+b.height-1)\
         found.push(words)}}return [[...new Set(found)],looked]};\
         const apart=figure=>{const boxes=all(figure);const found=[];\
         boxes.forEach(([a,p],i)=>boxes.slice(i+1).forEach(([b,q])=>{if(p.x<q.x+q.width&&q.x<p.x+p.width&&\
         p.y<q.y+q.height&&q.y<p.y+p.height)found.push(a+' / '+b)}));return found};\
         const box=document.querySelector('.map .frame').getBoundingClientRect();\
         say([box.width,box.height,on('.map','path.route'),apart('.map'),on('.wide','path.line'),apart('.wide')])";
    for mission in [
        "north-bay-lines",
        "adrift-above-the-weir",
        "headwind-return",
        "long-run-downwind",
    ] {
        let page = on_paper(&crate::shared::pages::page(mission));
        let found = said(&page, look, SHEET);
        let mm = |index: usize| found[index].as_f64().unwrap() * 25.4 / 96.0;
        assert!(
            mm(0) >= 99.0 && mm(1) >= 119.0,
            "{mission}: {} × {} mm",
            mm(0),
            mm(1)
        );
        // A name that runs up the edge is among the words that were looked at.
        assert!(page.contains("rotate(-90)"), "{mission}");
        for (which, at) in [("the route", 2), ("a wind limit", 4)] {
            let looked = found[at][1].as_u64().unwrap();
            assert!(looked > 50, "{mission}: {which}: {looked}");
            let none = serde_json::json!([]);
            assert_eq!(found[at][0], none, "{mission}: words on {which}");
            assert_eq!(found[at + 1], none, "{mission}: words on words");
        }
    }
}
