//! Text that means harm, and text that is merely wide.

use super::tests_support::{checked, empty, plain};
use super::*;
use crate::check::Outcome;
use crate::finding::{Finding, Nature, Place, Severity};
use crate::plan::NotChecked;
use crate::source::{Sources, Span, printable};

const NASTY: &str = "red \u{1b}[31m and \u{1b}]8;;x\u{7} title \u{9b}2J bidi \u{202e}dlrow\u{202c} zero\u{200b}width \u{7f} nel\u{85} ls\u{2028}end";

/// Fails on any character that acts on a terminal.
fn is_inert(text: &str) {
    assert!(!text.contains('\t'));
    assert_eq!(printable(text), text);
}

fn outcome_of(source: &str, start: usize, end: usize, label: &str) -> Outcome {
    let mut sources = Sources::new();
    let id = sources.add("plans/a\u{1b}[2K\u{202e}.yaml", source);
    let at = |offset| u32::try_from(offset).expect("short");
    let finding = Finding::builder("rule\u{1b}[0m", Severity::Error, Nature::Violation)
        .message(format!("A name: {NASTY}\nerror[forged] a line of its own"))
        .mission("m\u{202e}")
        .primary(Span::new(id, at(start), at(end)), label)
        .place(Some(Place {
            name: NASTY.to_owned(),
            along: None,
            position: Some((f64::NAN, 0.0)),
            ..Place::default()
        }))
        .scenario(Some(NASTY.to_owned()))
        .steps(vec![NASTY.into()])
        .remedies(vec![NASTY.into()])
        .assumptions(vec![NASTY.into()])
        .why(NASTY)
        .build(&sources);
    let mut outcome = empty(sources);
    outcome.findings.push(finding);
    outcome
}

#[test]
fn escape_sequences_are_shown_and_not_sent() {
    let source = format!("kind: mission\n\ttitle: \"{NASTY}\" # é\n\tnext: 1\n");
    let start = source.find("bidi").expect("there");
    let end = source.find("zero").expect("there");
    let mut outcome = outcome_of(&source, start, end, NASTY);
    outcome.checked = vec![checked(NASTY, Vec::new())];
    outcome.notes = vec![NASTY.into()];
    outcome.not_checked = vec![NotChecked {
        path: NASTY.to_owned(),
        why: NASTY.to_owned(),
    }];
    let text = terminal(&outcome, &plain());
    insta::assert_snapshot!("hostile", text);
    is_inert(&text);
    assert!(!text.lines().any(|line| line.starts_with("error[forged]")));
    // Column in characters of the file, not of what is shown of it.
    assert!(text.contains(":2:42]"), "{text}");

    let settings = Settings {
        colour: true,
        ..plain()
    };
    let coloured = terminal(&outcome, &settings);
    let mut without = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        without.push_str(before);
        let end = after.find(|c: char| !c.is_ascii_digit() && c != ';');
        assert_eq!(end.and_then(|end| after.get(end..=end)), Some("m"));
        rest = &after[end.expect("an end") + 1..];
    }
    without.push_str(rest);
    assert_eq!(without, text);
    is_inert(&json(&outcome).expect("serializes"));
}

/// The columns of the underline drawn below the line that holds a text.
fn underline(text: &str, part: &str) -> (usize, usize) {
    let mut lines = text.lines().skip_while(|line| !line.contains(part));
    let below = lines.nth(1).expect("a line below");
    let (gutter, drawn) = below.split_once('·').expect("a gutter");
    let start = drawn.find(['─', '┬', '▲']).expect("an underline");
    let shown = drawn.trim();
    (
        width::columns(gutter) + 1 + width::columns(&drawn[..start]),
        width::columns(shown),
    )
}

#[test]
fn wide_text_is_underlined_where_it_stands() {
    let cases = ["水深", "🚤🚤", "e\u{301}tang", "mühle", "\t\ttabs"];
    for part in cases {
        let source = format!("名前: {part} end\n");
        let start = source.find(part).expect("there");
        let text = terminal(
            &outcome_of(&source, start, start + part.len(), "here"),
            &plain(),
        );
        let shown = part.replace('\t', "    ");
        let line = text
            .lines()
            .find(|line| line.contains("名前"))
            .expect("the source line");
        let before = line.split_once(&shown).expect("the part").0;
        let (from, columns) = underline(&text, "名前");
        assert_eq!(from, width::columns(before), "{text}");
        assert_eq!(columns, width::columns(&shown), "{text}");
    }
}

#[test]
fn long_lines_are_cut_around_the_label() {
    for width in [40, 60, 80, 240, 1000] {
        for (before, after) in [(0, 5000), (5000, 0), (5000, 5000), (150, 10), (30, 200)] {
            let source = format!("{}TARGET{}\n", "a".repeat(before), "b".repeat(after));
            let settings = Settings { width, ..plain() };
            let outcome = outcome_of(&source, before, before + 6, "what it is about");
            let text = terminal(&outcome, &settings);
            let line = text
                .lines()
                .find(|line| line.contains("TARGET"))
                .expect("the label is in sight");
            assert!(width::columns(line) <= width.min(205), "{line}");
            let (_, columns) = underline(&text, "TARGET");
            assert_eq!(columns, 6, "{text}");
            let label = text
                .lines()
                .find(|line| line.contains("╰── what"))
                .expect("the label");
            assert!(super::width::columns(label) <= width, "{text}");
        }
    }
}

#[test]
fn long_lines_look_like_this() {
    let source = format!(
        "{{\"type\":\"Polygon\",\"coordinates\":[[{}TARGET{}]]}}",
        "[-24.310461,52.395825],".repeat(40),
        ",[-24.305195,52.397696]".repeat(40)
    );
    let start = source.find("TARGET").expect("there");
    let mut outcome = outcome_of(&source, start, start + 6, "this ring crosses itself");
    let finding = outcome.findings.pop().expect("one");
    let far = Span::new(finding.primary.span.source, 2, 6);
    let finding = Finding::builder("input-geometry", Severity::Error, Nature::Input)
        .message("The shoreline crosses itself.")
        .primary(finding.primary.span, finding.primary.text)
        .related(far, "in this geometry")
        .build(&outcome.sources);
    outcome.findings.push(finding);
    let text = terminal(&outcome, &plain());
    insta::assert_snapshot!("long_line", text);
    assert!(text.contains("(in column 3)"));
}

#[test]
fn a_line_of_nothing_but_marks_is_cut_too() {
    let source = format!(
        "x{}TARGET{}",
        "\u{301}".repeat(9000),
        "\u{301}".repeat(9000)
    );
    let start = source.find("TARGET").expect("there");
    let text = terminal(&outcome_of(&source, start, start + 6, "here"), &plain());
    assert!(text.chars().filter(|&c| c == '\u{301}').count() < 200);
}

#[test]
fn words_longer_than_a_line_are_broken() {
    let mut outcome = empty(Sources::new());
    outcome.notes = vec![format!("{} {}", "w".repeat(500), "水".repeat(300))];
    let text = terminal(&outcome, &plain());
    assert!(
        text.lines().all(|line| width::columns(line) <= 80),
        "{text}"
    );
    assert_eq!(
        text.matches('w').count()
            - CAUTION.matches('w').count()
            - "no mission was checked".matches('w').count(),
        500
    );
    assert_eq!(text.matches('水').count(), 300);
}

/// The drawing library counts columns by an older line of the crate `unicode-width`, whose tables are those
/// before Unicode 16. A label drawn a column off would point at the wrong character: that is so behind two
/// marks of Oriya, trigrams, digrams and a hexagram, which later tables count otherwise, and nowhere else.
#[test]
fn columns_are_counted_as_the_drawing_counts_them() {
    let drawn = |character: char| {
        let source = format!("{}T\n", character.to_string().repeat(10));
        let at = source.len() - 2;
        let text = terminal(&outcome_of(&source, at, at + 1, ""), &plain());
        let line = text.lines().find(|line| line.starts_with("   · "));
        let line = line.expect("an underline");
        width::columns(line).saturating_sub("   · ─".chars().count())
    };
    // Whole blocks without marks and gaps that would be counted otherwise; the large ones in steps.
    let blocks = [
        (0xa1..0x500, 1),
        (0x900..0x1200, 1),
        (0x1e00..0x2d7f, 1),
        (0x3000..0x302e, 1),
        (0x3041..0x3097, 1),
        (0x309b..0x3100, 1),
        (0x3250..0xa48d, 97),
        (0xac00..0xd7a4, 97),
        (0xff01..0xff9e, 1),
        (0x1f300..0x1f6d8, 1),
        (0x1f7e0..0x1fa00, 1),
        (0x2_0000..0x3_0000, 997),
    ];
    let mut apart = Vec::new();
    for (codes, step) in blocks {
        for character in codes.step_by(step).filter_map(char::from_u32) {
            let text = character.to_string();
            let inert = printable(&text) == text.as_str();
            if inert && drawn(character) != 10 * width::columns_of_char(character) {
                apart.push(character.escape_unicode().to_string());
            }
        }
    }
    let counted_otherwise: Vec<String> = ('\u{b53}'..='\u{b54}')
        .chain('\u{2630}'..='\u{2637}')
        .chain('\u{268a}'..='\u{268f}')
        .chain(['\u{4df9}'])
        .map(|character| character.escape_unicode().to_string())
        .collect();
    assert_eq!(apart, counted_otherwise);
}
