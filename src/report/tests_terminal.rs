//! The report at a terminal as it looks.

use super::tests_support::{MISSION, bare, checked, empty, full, judged, plain, span};
use super::*;
use crate::check::{Outcome, Verdict};
use crate::finding::{Nature, Severity};
use crate::source::{Sources, Span};
use crate::units::{Ratio, Typed as _};

/// Escape sequences made visible, so that a snapshot can be read.
fn visible(text: &str) -> String {
    text.replace('\u{1b}', "␛")
}

fn no_line_is_wider_than(text: &str, columns: usize) {
    for line in text.lines() {
        assert!(width::columns(line) <= columns, "{line}");
    }
}

#[test]
fn without_colour() {
    let text = terminal(&full(), &plain());
    insta::assert_snapshot!("without_colour", text);
    // Line and column as an editor shows them: the flow mapping begins in column 5 of line 10.
    assert!(text.contains("plans/missions/west-profile.yaml:10:5]"));
    assert!(text.contains("plans/missions/west-profile.yaml:6:17]"));
    assert!(text.contains("plans/vessels/goosander.yaml:4:13]"));
    assert!(text.contains("plans/vessels/goosander.yaml:7:5]"));
    assert!(
        text.contains(
            "1 error, 1 warning in 2 missions (1 clean); the check is incomplete: 1 file"
        )
    );
    assert!(text.contains(&CAUTION[..40]));
    no_line_is_wider_than(&text, 80);
}

#[test]
fn with_colour() {
    let settings = Settings {
        colour: true,
        ..plain()
    };
    let text = terminal(&full(), &settings);
    insta::assert_snapshot!("with_colour", visible(&text));
    let mut bare_text = String::new();
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        bare_text.push_str(before);
        let end = after.find('m').expect("an end of the sequence");
        assert!(after[..end].chars().all(|c| c.is_ascii_digit() || c == ';'));
        rest = &after[end + 1..];
    }
    bare_text.push_str(rest);
    assert_eq!(
        bare_text,
        terminal(&full(), &plain()),
        "colour adds colour only"
    );
}

#[test]
fn narrow() {
    let settings = Settings {
        width: 60,
        ..plain()
    };
    let text = terminal(&full(), &settings);
    insta::assert_snapshot!("narrow", text);
    no_line_is_wider_than(&text, 60);
}

#[test]
fn ascii() {
    let settings = Settings {
        unicode: false,
        ..plain()
    };
    let text = terminal(&full(), &settings);
    insta::assert_snapshot!("ascii", text);
    // All that is not ASCII comes from the files and the finding.
    let foreign = text.chars().filter(|c| !c.is_ascii());
    assert!(foreign.clone().all(|c| matches!(c, '°' | '×')));
    assert!(foreign.count() > 0);
}

#[test]
fn nothing_at_all() {
    let text = terminal(&empty(Sources::new()), &plain());
    insta::assert_snapshot!("nothing_at_all", text);
}

#[test]
fn clean_missions_still_come_with_the_caution() {
    let share = |value: f64| Ratio::fraction(value).quantity();
    let mut outcome = empty(Sources::new());
    outcome.checked = vec![
        checked(
            "near-shore",
            vec![judged("reserve", Verdict::Holds, share(0.4), share(0.3))],
        ),
        checked("judged-by-nothing", Vec::new()),
    ];
    let text = terminal(&outcome, &plain());
    insta::assert_snapshot!("clean_missions", text);
    assert!(text.contains("no findings in 2 missions (1 clean)"));
    assert!(!text.to_lowercase().contains("safe"));
}

fn one(text: &str, at: std::ops::Range<u32>, nature: Nature) -> Outcome {
    let mut sources = Sources::new();
    let id = sources.add("a.yaml", text);
    let finding = bare(
        &sources,
        Span::new(id, at.start, at.end),
        Severity::Error,
        nature,
    );
    let mut outcome = empty(sources);
    outcome.findings.push(finding);
    outcome
}

#[test]
fn an_input_error_has_no_rule_to_explain() {
    let text = terminal(&one(MISSION, 6..13, Nature::Input), &plain());
    assert!(text.starts_with("error[under-keel-clearance]\n"));
    assert!(!text.contains("offing explain"));
    let text = terminal(&one(MISSION, 6..13, Nature::NotEvaluated), &plain());
    assert!(text.starts_with("error[under-keel-clearance]\n"));
    assert!(text.contains("offing explain under-keel-clearance"));
}

#[test]
fn a_block_is_pointed_at_by_its_first_line() {
    let start = u32::try_from(MISSION.find("  - { id: stream").expect("there")).expect("short");
    let end = u32::try_from(MISSION.len()).expect("short");
    let text = terminal(&one(MISSION, start + 2..end, Nature::Violation), &plain());
    assert!(text.contains("[a.yaml:9:3]"), "{text}");
    assert!(text.contains("measured here (to line 10)"), "{text}");
}

#[test]
fn spans_at_the_edges_of_a_file_are_drawn() {
    let length = u32::try_from(MISSION.len()).expect("short");
    let cases = [
        ("", 0..0, "[a.yaml:1:1]"),
        (MISSION, 0..0, "[a.yaml:1:1]"),
        (MISSION, length..length, "[a.yaml:11:1]"),
        (MISSION, length - 1..length, "[a.yaml:10:53]"),
        (MISSION, 0..length, "[a.yaml:1:1]"),
        ("\u{feff}kind: mission", 0..7, "[a.yaml:1:1]"),
        ("\u{feff}kind: mission", 9..16, "[a.yaml:1:7]"),
        ("no line break", 3..7, "[a.yaml:1:4]"),
        ("a: 1\r\nb: 22\r\nc: 3\r\n", 9..11, "[a.yaml:2:4]"),
        ("mühle: 1", 2..3, "[a.yaml:1:2]"),
        ("short", 90..95, "[a.yaml:1:6]"),
    ];
    for (source, at, place) in cases {
        let text = terminal(&one(source, at.clone(), Nature::Violation), &plain());
        assert!(text.contains(place), "{source:?} {at:?}: {text}");
        assert!(text.contains("measured here"), "{source:?} {at:?}: {text}");
    }
}

#[test]
fn labels_that_overlap_or_stand_in_no_file_are_drawn() {
    let mut sources = Sources::new();
    let id = sources.add("a.yaml", MISSION);
    let whole = span(&sources, id, "from: 255°, mean: 9 m/s");
    let finding = crate::finding::Finding::builder("r", Severity::Advice, Nature::Violation)
        .message("m")
        .primary(whole, "the whole")
        .related(span(&sources, id, "255°"), "within it")
        .related(span(&sources, id, "from"), "its start")
        .related(
            Span::new(crate::source::SourceId(9), 0, 4),
            "from elsewhere",
        )
        .build(&sources);
    let mut outcome = empty(sources);
    outcome.findings.push(finding);
    let text = terminal(&outcome, &plain());
    for part in ["the whole", "within it", "its start", "from elsewhere"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(text.contains("1 advisory"));
}

#[test]
fn five_thousand_findings_in_one_file() {
    let source: String = (0..4000)
        .map(|n| format!("  - {{ id: point-{n}, depth: 0.4 m }}\n"))
        .collect();
    let mut sources = Sources::new();
    let id = sources.add("long.yaml", source.as_str());
    let starts: Vec<usize> = source.match_indices("0.4 m").map(|(at, _)| at).collect();
    let findings = (0..5000).map(|n| {
        let start = u32::try_from(starts[n % starts.len()]).expect("short");
        let at = Span::new(id, start, start + 5);
        bare(&sources, at, Severity::Warning, Nature::Violation)
    });
    let findings = findings.collect();
    let mut outcome = empty(sources);
    outcome.findings = findings;
    let text = terminal(&outcome, &plain());
    assert_eq!(text.matches("[long.yaml:").count(), 5000);
    assert!(text.contains("[long.yaml:4000:30]"));
    assert!(text.contains("5000 warnings"));
    let json = json(&outcome).expect("serializes");
    assert_eq!(json.matches("\"fingerprint\"").count(), 5000);
}
