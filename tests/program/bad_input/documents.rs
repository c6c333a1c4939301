//! Files that are no sound YAML, or no file of a team's at all.

use std::fmt::Write as _;

use offing::door::finding::Severity;
use offing::door::report::exit_status;

use super::cases::run_files;
use super::tree::{Files, mission, places, told};

const ID: &str = "north-bay-lines";
const FILE: &str = "missions/north-bay-lines.yaml";

fn with(change: impl FnOnce(&mut Files)) -> Files {
    let mut files = Files::demo(&[ID]);
    change(&mut files);
    files
}

fn edited(from: &str, to: &str) -> Files {
    with(|files| files.edit(FILE, from, to))
}

#[test]
fn yaml() {
    let bomb: String = (0..9).fold("title: &a0 [x, x]\n".to_owned(), |mut text, n| {
        let items = vec![format!("*a{n}"); 9].join(", ");
        let _ = writeln!(text, "title{n}: &a{} [{items}]", n + 1);
        text
    });
    // The fourth `*a3` is the first that is too much: the ones before it stand for 9390 values.
    let cases = [
        (
            "a bracket that is not closed",
            edited(
                "at_end: { action: hold }\non_lost_link:",
                "at_end: { action: hold\n§on_lost_link:",
            ),
        ),
        (
            "a quote that is not closed",
            edited(
                "title: Sounding lines in the north bay",
                "title: §\"Sounding lines in the north bay",
            ),
        ),
        (
            "a tab",
            edited(
                "  person_in_charge: survey lead",
                "\t§person_in_charge: survey lead",
            ),
        ),
        (
            "a line indented too far",
            edited("charge_at_launch: 95 %", "  §charge_at_launch: 95 %"),
        ),
        (
            "a key twice",
            edited(
                "charge_at_launch: 95 %",
                "charge_at_launch: 95 %\n§charge_at_launch: 100 %",
            ),
        ),
        (
            "a tag",
            edited("charge_at_launch: 95 %", "charge_at_launch: §!!str 95 %"),
        ),
        (
            "a tag on the kind",
            edited("kind: mission", "kind: §!x mission"),
        ),
        (
            "a second document",
            edited("on_lost_position:", "§---\non_lost_position:"),
        ),
        (
            "a directive",
            with(|files| {
                let text = format!("§%YAML 1.1\n---\n{}", files.text(FILE));
                files.write(FILE, text);
            }),
        ),
        (
            "a merge key",
            edited(
                "at_end: { action: hold }",
                "at_end: { §<<: { action: hold } }",
            ),
        ),
        (
            "a number as a key",
            edited("at_end: { action: hold }", "at_end: { §1: hold }"),
        ),
        (
            "a list as a key",
            edited("at_end: { action: hold }", "at_end: { §[a]: hold }"),
        ),
        (
            "an alias to nothing",
            edited("charge_at_launch: 95 %", "charge_at_launch: §*charge"),
        ),
        (
            "an unsettled merge",
            edited(
                "charge_at_launch: 95 %",
                "§<<<<<<< ours\ncharge_at_launch: 95 %\n=======\ncharge_at_launch: 100 %\n>>>>>>> theirs",
            ),
        ),
        (
            "a control character",
            edited("charge_at_launch: 95 %", "charge_at_launch: 95§\u{8} %"),
        ),
        (
            "a number to the base 8",
            edited("reaction_time: 10 s", "reaction_time: §012"),
        ),
        (
            "a number to the base 16",
            edited("reaction_time: 10 s", "reaction_time: §0x1F"),
        ),
        (
            "a number past all bounds",
            edited("to: [52.398033, -24.308835]", "to: [§1e999, -24.308835]"),
        ),
        (
            "aliases that stand for aliases",
            with(|files| {
                let text = bomb.replacen("*a3, *a3, *a3, *a3, ", "*a3, *a3, *a3, §*a3, ", 1);
                let text = format!("kind: mission\nformat: 1\n{text}");
                files.write(FILE, text);
            }),
        ),
        (
            "nested past all bounds",
            with(|files| {
                let text = format!(
                    "{}extra: {}§{}\n",
                    files.text(FILE),
                    "[".repeat(31),
                    "[".repeat(4) + &"]".repeat(35)
                );
                files.write(FILE, text);
            }),
        ),
        (
            "a text past all bounds",
            with(|files| {
                let text = format!("{}extra: §{}\n", files.text(FILE), "x".repeat(70_000));
                files.write(FILE, text);
            }),
        ),
    ];
    insta::assert_snapshot!(run_files(cases));
}

/// A file whose kind is missing or misspelt is still known for what it is.
#[test]
fn kinds() {
    let cases = [
        ("a misspelt kind", edited("kind: mission", "kind: §misson")),
        (
            "a kind in capitals",
            edited("kind: mission", "kind: §Mission"),
        ),
        (
            "a kind that does not exist",
            edited("kind: mission", "kind: §plan"),
        ),
        (
            "a misspelt kind without a format",
            edited("kind: mission\nformat: 1\n", "kind: §misson\n"),
        ),
        (
            "a misspelt key for the kind",
            edited("kind: mission", "§knid: mission"),
        ),
        (
            "a misspelt key for the kind without a format",
            edited("kind: mission\nformat: 1\n", "§knid: mission\n"),
        ),
        (
            "a kind that is a list",
            edited("kind: mission", "kind: §[mission]"),
        ),
        (
            "no kind",
            edited("kind: mission\nformat: 1\n", "§format: 1\n"),
        ),
        (
            "neither kind nor format",
            edited("kind: mission\nformat: 1\nid:", "§id:"),
        ),
        (
            "a misspelt kind in a file that cannot be parsed",
            edited("kind: mission", "kind: misson\n§]"),
        ),
        (
            "a kind further right in a file that cannot be parsed",
            with(|files| {
                files.write(
                    FILE,
                    "§{format: 1, kind: mission, id: flow, vessel: goosander]\n",
                );
            }),
        ),
        (
            "a file of another program with a kind of its own",
            with(|files| {
                files.edit(FILE, "kind: mission", "kind: §misson");
                files.write("other.yaml", "kind: Deployment\nmetadata: { name: x }\n");
            }),
        ),
    ];
    insta::assert_snapshot!(run_files(cases));
}

/// Files that are not even read have no line to show: the finding stands at the start of the file
/// and says where the first bad byte is. The check is no pass.
#[test]
fn unreadable() {
    let cases = [
        (
            "not UTF-8",
            with(|files| {
                let mut bytes = files.text(FILE).as_bytes().to_vec();
                let at = files.text(FILE).find("purpose").expect("there");
                bytes[at] = 0xff;
                files.write(FILE, bytes);
            }),
        ),
        (
            "UTF-16",
            with(|files| {
                let wide = files.text(FILE).encode_utf16().flat_map(u16::to_le_bytes);
                let bytes: Vec<u8> = [0xff, 0xfe].into_iter().chain(wide).collect();
                files.write(FILE, bytes);
            }),
        ),
        (
            "larger than any plan",
            with(|files| {
                let text = format!("{}# {}\n", files.text(FILE), "x".repeat(1 << 20));
                files.write(FILE, text);
            }),
        ),
        (
            "a vessel that is not UTF-8",
            with(|files| {
                files.write(
                    super::tree::VESSEL,
                    &b"kind: vessel\nformat: 1\nid: \xff\n"[..],
                );
                files.edit(FILE, "vessel: goosander", "vessel: §goosander");
            }),
        ),
    ];
    let mut text = String::new();
    for (name, files) in cases {
        let outcome = files.check();
        let unread = if name.contains("vessel") {
            super::tree::VESSEL.to_owned()
        } else {
            mission(ID)
        };
        let mut expected = files.marks();
        expected.push((unread, 1, 1));
        expected.sort();
        assert_eq!(places(&outcome), expected, "{name}");
        assert!(outcome.checked.is_empty(), "{name}");
        assert!(!outcome.not_checked.is_empty(), "{name}");
        let _ = writeln!(text, "## {name}\n{}", told(&outcome));
    }
    // The line and column of the first bad byte, counted here.
    let demo = Files::demo(&[ID]);
    let before = demo.text(FILE).split("purpose").next().expect("there");
    let line = before.lines().count() + 1;
    assert!(
        text.contains(&format!("{}:{line}:1: not UTF-8", mission(ID))),
        "{text}"
    );
    insta::assert_snapshot!(text);
}

/// YAML that is nobody's business here is passed over, and that is reported, with names.
#[test]
fn of_other_programs() {
    let mut files = Files::demo(&[ID]);
    files.write("list.yml", "- 1\n");
    files.write("manifest.yaml", "kind: Deployment\nspec: {}\n");
    files.write("two.yaml", "a: 1\n---\nb: 2\n");
    files.write("tagged.yaml", "plugins: !custom [a]\n");
    files.write("data.yaml", "format: 1\nname: readings\n");
    files.write(".ci/steps.yml", "name: steps\non: push\n");
    let outcome = files.check();
    assert_eq!(places(&outcome), []);
    assert_eq!(outcome.checked.len(), 1);
    insta::assert_snapshot!(told(&outcome));
}

/// A rule does not drop out of the check with a colon, nor with all of its text.
#[test]
fn what_nobody_can_read() {
    let rule = "format: 1\nid: more\ntitle: Wind\nmeasure: mission.wind_blows\nequals: true\n\
                severity: error\nwhy: A test.\nremedy: None.\nsources: [a test]\n";
    let mut text = String::new();
    for (name, broken) in [
        ("nothing", "§".to_owned()),
        ("comments only", "§# to be written\n".to_owned()),
        ("a lost colon", format!("§kind rule\n{rule}")),
        ("a lost colon alone", "§kind rule\n".to_owned()),
        ("a lost blank", format!("§kind:rule\n{rule}")),
        ("another sign", format!("# ours\n§Kind = Rule\n{rule}")),
        (
            "the rest as its value",
            "§kind rule:\n  format: 1\n".to_owned(),
        ),
        ("another size", format!("§Kind: rule\n{rule}")),
        (
            "another size of its name",
            "kind: §RULE\nid: more\n".to_owned(),
        ),
        ("a list", "kind: §[rule]\n".to_owned()),
        ("a list that never ends", "kind: §[\n".to_owned()),
        ("no YAML at all", "services: §[\n".to_owned()),
    ] {
        let mut files = Files::demo(&[ID]);
        files.write("rules/more.yaml", broken);
        let outcome = files.check();
        assert_eq!(places(&outcome), files.marks(), "{name}");
        let unread: Vec<&str> = outcome
            .not_checked
            .iter()
            .map(|one| one.path.as_str())
            .collect();
        assert_eq!(unread, ["rules/more.yaml"], "{name}");
        assert_eq!(exit_status(&outcome, Severity::Error), 2, "{name}");
        assert_eq!(outcome.checked.len(), 1, "{name}");
        assert!(!outcome.checked[0].in_doubt.is_empty(), "{name}");
        let _ = writeln!(text, "## {name}\n{}", told(&outcome));
    }
    insta::assert_snapshot!(text);
}
