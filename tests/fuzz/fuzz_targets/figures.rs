//! The demo with some of its figures and words exchanged, checked to the end: files that keep
//! their form come farther into the models than bytes thrown together.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::check::{check, on_large_stacks};
use offing::door::report::json;

mod demo;

const MISSIONS: [&str; 3] = [
    include_str!("../../../plans/missions/north-bay-lines.yaml"),
    include_str!("../../../plans/missions/dam-to-bay-transects.yaml"),
    include_str!("../../../plans/missions/antenna-off-bearing.yaml"),
];

/// What is put in place of a value, beside the values of the files themselves.
const ODD: [&str; 40] = [
    "0",
    "-1",
    "1",
    "1e300",
    "1e-300",
    "0 m",
    "1 mm",
    "0.1 m",
    "30 m",
    "19 km",
    "50000 km",
    "0 m/s",
    "0.05 m/s",
    "0.31 m/s",
    "1.8 m/s",
    "40 m/s",
    "1e9 m/s",
    "0°",
    "90°",
    "180°",
    "359.9°",
    "0 %",
    "1 %",
    "100 %",
    "0 W",
    "1 mW",
    "1 MW",
    "0 mohm",
    "10 ohm",
    "0.01 Ah",
    "1000 Ah",
    "0 s",
    "1 ms",
    "24 h",
    "1000 h",
    "2027-06-15T09:30",
    "2027-06-15T09:30:00+14:00",
    "''",
    "~",
    "[52.3985, -24.3012]",
];

fuzz_target!(|bytes: &[u8]| {
    let Some((&which, edits)) = bytes.split_first() else {
        return;
    };
    let mut texts = [
        MISSIONS[usize::from(which) % MISSIONS.len()].to_owned(),
        demo::VESSEL.to_owned(),
        demo::SITE.to_owned(),
    ];
    for edit in edits.chunks_exact(4).take(8) {
        let text = &mut texts[usize::from(edit[0]) % 3];
        let values = values(text);
        let (start, end) = values[usize::from(edit[1]) % values.len()];
        let new = if edit[2] & 1 == 0 {
            ODD[usize::from(edit[3]) % ODD.len()].to_owned()
        } else {
            let (from, to) = values[usize::from(edit[3]) % values.len()];
            text[from..to].to_owned()
        };
        text.replace_range(start..end, &new);
    }
    let [mission, vessel, site] = texts;
    let mut tree = demo::tree();
    tree.put("mission.yaml", mission);
    tree.put("vessel.yaml", vessel);
    tree.put("site.yaml", site);
    on_large_stacks(|| {
        let outcome = check(&tree, None).expect("a tree in memory can be listed");
        assert!(
            !outcome.checked.is_empty() || !outcome.not_checked.is_empty(),
            "passed over without a word"
        );
        json(&outcome).expect("every outcome can be written");
    });
});

/// Where the values of a YAML text stand, as far as the demo is written.
fn values(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let content = line.split(" #").next().unwrap_or("").trim_end();
        if !content.trim_start().starts_with('#') {
            let mut start = 0;
            for (offset, _) in content.match_indices([':', '[', ',', '{', '-']) {
                // A mark inside a value is none.
                let after = &content[offset + 1..];
                if offset < start || !(after.starts_with(' ') || content[offset..].starts_with('['))
                {
                    continue;
                }
                let from = offset + 1 + (after.len() - after.trim_start().len());
                let rest = &content[from..];
                let length = rest.find([',', ']', '}', '{', '[']).unwrap_or(rest.len());
                let value = rest[..length].trim_end();
                if !value.is_empty() && !value.contains(": ") {
                    found.push((at + from, at + from + value.len()));
                    start = from + value.len();
                }
            }
        }
        at += line.len();
    }
    found
}
