//! Exit statuses.

use super::tests_support::{MISSION, bare, empty, full, span};
use super::*;
use crate::check::Outcome;
use crate::finding::{Nature, Severity};
use crate::source::Sources;

fn with(severity: Severity, nature: Nature) -> Outcome {
    let mut sources = Sources::new();
    let id = sources.add("a.yaml", MISSION);
    let finding = bare(&sources, span(&sources, id, "mission"), severity, nature);
    let mut outcome = empty(sources);
    outcome.findings.push(finding);
    outcome
}

#[test]
fn the_status_follows_the_failing_severity() {
    let cases = [
        (Severity::Error, Severity::Error, 1),
        (Severity::Warning, Severity::Error, 0),
        (Severity::Warning, Severity::Warning, 1),
        (Severity::Advice, Severity::Warning, 0),
        (Severity::Advice, Severity::Advice, 1),
    ];
    for (found, failing, status) in cases {
        for nature in [Nature::Violation, Nature::NotEvaluated] {
            let outcome = with(found, nature);
            assert_eq!(exit_status(&outcome, failing), status, "{found} {failing}");
        }
    }
    assert_eq!(exit_status(&empty(Sources::new()), Severity::Advice), 0);
}

#[test]
fn wrong_input_and_unchecked_files_go_before_findings() {
    let input = with(Severity::Warning, Nature::Input);
    assert_eq!(exit_status(&input, Severity::Error), 2);
    assert_eq!(exit_status(&full(), Severity::Error), 2);
    let mut without = full();
    without.not_checked.clear();
    assert_eq!(exit_status(&without, Severity::Error), 1);
}
