//! Text that would be more than text: at a terminal, in a job's log, on a page. The helper that runs
//! the program holds each output against what it may not hold.

use crate::world::{MISSION, POLICY, SITE, World};

/// What a file may hold behind escapes of its own, YAML's double quotes.
const ACTING: &str =
    "\\e[2J\\e]8;;http://e.example\\a \\u202Edlrow\\u202C zero\\u200Bwidth \\x9b31m \\u2028 next";
/// Commands of job logs, and markup.
const COMMANDS: [&str; 12] = [
    "::error file=missions/x.yaml,line=1::forged",
    "a ::stop-commands::x",
    "##[error]forged",
    "##vso[task.setvariable variable=PATH]/tmp",
    "<script>alert(1)</script><img src=x onerror=alert(1)>",
    "[click](https://e.example/x) ![p](https://e.example/p.png)",
    "</details></summary><h1>All clear</h1>",
    "``` fence ``` ~~~ `code`",
    "| a | forged | row |",
    "]]> <!-- x --> <!DOCTYPE x [<!ENTITY e SYSTEM 'file:///etc/passwd'>]> &e;",
    "@everyone #1 :smile: www.e.example https://e.example {0} %s %n",
    "offing: no findings in 1 mission (1 clean)",
];

fn every_text() -> Vec<String> {
    let mut all = vec![ACTING.to_owned()];
    all.extend(COMMANDS.map(str::to_owned));
    // So long that a line must be broken somewhere within.
    let far = |text: &str| format!("{} {text}", "w".repeat(60));
    all.extend(COMMANDS.map(far));
    all
}

/// Where a message quotes what a file says: an unknown field, a value, an id.
#[test]
#[ignore = "slow"]
fn in_what_is_quoted() {
    for (number, text) in every_text().iter().enumerate() {
        let text = text.replace('"', "'");
        let world = World::new();
        let before = world.read(MISSION);
        let file = before
            .replace(
                "charge_at_launch: 95 %",
                &format!("charge_at_launch: \"{text}\""),
            )
            .replace("purpose: ", &format!("\"{text}\": 1\npurpose: "))
            .replace("{ id: slow-down,", &format!("{{ id: \"{text}\","));
        world.write(MISSION, &file);
        world.check().refuses("input-");
        if number % 6 == 0 {
            for ran in world.everywhere() {
                ran.refuses("input-");
            }
        }
    }
}

/// Where a sound file's own words are shown: titles, reasons, a rule's sentences.
#[test]
#[ignore = "slow"]
fn in_what_is_shown() {
    // Words far along a line are the same ones; every third of those is enough here.
    let texts = every_text();
    let some = texts
        .iter()
        .enumerate()
        .filter(|(n, _)| *n <= COMMANDS.len() || n % 3 == 0);
    for (number, text) in some {
        let world = World::new();
        let text = text.replace('"', "'");
        let quoted = format!("\"{text}\"");
        world.edit(
            MISSION,
            "title: Sounding lines in the north bay",
            &format!("title: {quoted}"),
        );
        let purpose = "purpose: Depth of the silt in the north bay, one line every 30 m.";
        world.edit(MISSION, purpose, &format!("purpose: {quoted}"));
        world.edit(
            MISSION,
            "shore_contact: desk officer at the office",
            &format!("shore_contact: {quoted}"),
        );
        world.edit(MISSION, "charge_at_launch: 95 %", "charge_at_launch: 40 %");
        world.edit(
            SITE,
            "title: Weir of the spillway, with no boom in front of it",
            &format!("title: {quoted}"),
        );
        world.edit(
            SITE,
            "title: Quenderby Reservoir",
            &format!("title: {quoted}"),
        );
        let loose = format!(
            "  overrun:\n    enabled: false\n    reason: {quoted}\n  reserve-at-turnaround:\n"
        );
        world.edit(POLICY, "  reserve-at-turnaround:\n", &loose);
        world.write(
            "rules/own.yaml",
            &format!(
                "kind: rule\nformat: 1\nid: own\ntitle: {quoted}\n\
                 measure: mission.reserve_at_turnaround\nat_least: 99 %\nseverity: error\n\
                 why: {quoted}\nremedy: {quoted}\nsources: [{quoted}]\n"
            ),
        );
        let ran = world.check();
        assert_eq!(ran.status, 1, "{}", ran.everything());
        assert!(
            ran.terminal().contains("error[own]") || ran.terminal().contains("own"),
            "{text}"
        );
        if number % 6 == 0 {
            for ran in world.everywhere() {
                assert_eq!(ran.status, 1, "{}", ran.everything());
            }
            for arguments in [&["explain", "own"][..], &["rules"], &["docs", "rules"]] {
                world.run(arguments, crate::run::Limits::CHECK);
            }
        }
    }
}

/// Bytes that a text file does not have, wherever they stand.
#[test]
#[ignore = "slow"]
fn raw_bytes() {
    for byte in [0_u8, 7, 8, 0x0c, 0x1b, 0x7f, 0x9b, 0xff] {
        let world = World::new();
        let mut bytes = world.read(MISSION).into_bytes();
        let at = bytes.len() / 2;
        bytes.insert(at, byte);
        std::fs::write(world.repository().join(MISSION), bytes).unwrap();
        for ran in world.everywhere() {
            ran.refuses("input-");
        }
    }
}
