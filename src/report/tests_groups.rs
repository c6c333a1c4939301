//! One missing thing is reported once, and `short` tells less of each finding.

use super::tests_support::*;
use super::*;
use crate::finding::{Finding, Nature, Severity};
use crate::source::Sources;

fn lacking(rule: &str, severity: Severity, reason: &str, sources: &Sources) -> Finding {
    let mission = sources.find("mission.yaml").expect("there");
    Finding::builder(rule, severity, Nature::NotEvaluated)
        .mission("west-profile")
        .message(format!(
            "Something: could not be evaluated, because {reason}"
        ))
        .reason(reason)
        .primary(span(sources, mission, "goosander"), "this vessel")
        .remedy(format!("state what is lacking: {reason}"))
        .build(sources)
}

#[test]
fn the_same_lack_is_told_once() {
    let mut sources = Sources::new();
    sources.add("mission.yaml", MISSION);
    let no_beam = "no beam is stated";
    let findings = vec![
        lacking("overrun", Severity::Error, no_beam, &sources),
        lacking(
            "stand-off",
            Severity::Error,
            "no length is stated",
            &sources,
        ),
        lacking("beam-sea", Severity::Warning, no_beam, &sources),
        lacking("beam-sea", Severity::Warning, no_beam, &sources),
    ];
    let mut outcome = empty(sources);
    outcome.findings = findings;
    for text in [terminal(&outcome, &plain()), markdown(&outcome)] {
        assert_eq!(
            text.matches("2 rules could not be evaluated, because")
                .count(),
            1,
            "{text}"
        );
        // Once as the reason and once as the remedy.
        assert_eq!(text.matches(no_beam).count(), 2, "{text}");
        assert!(text.contains("2 errors, 2 warnings"), "{text}");
    }
    let text = terminal(&outcome, &plain());
    assert!(text.starts_with("error[2 rules] mission west-profile\n"));
    assert!(
        text.contains("rules: error: overrun; warning: beam-sea; 3 findings"),
        "{text}"
    );
    let text = json(&outcome).expect("written");
    assert_eq!(text.matches(&format!("because {no_beam}")).count(), 3);
}

#[test]
fn short_leaves_out_all_but_the_first() {
    let outcome = full();
    let settings = Settings {
        short: true,
        ..plain()
    };
    let (long, short) = (terminal(&outcome, &plain()), terminal(&outcome, &settings));
    for kept in [
        "error[reserve-at-turnaround]",
        "the turnaround",
        "at most 1.08 m/s",
        CAUTION_START,
    ] {
        assert!(short.contains(kept), "{kept}\n{short}");
    }
    for left_out in ["calculation", "at most 8.9 m/s", "why:", "more:", "40 Wh"] {
        assert!(long.contains(left_out), "{left_out}");
        assert!(!short.contains(left_out), "{left_out}\n{short}");
    }
}

const CAUTION_START: &str = "A check without findings";
