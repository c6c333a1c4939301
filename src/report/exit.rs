//! The exit status of a check.

use crate::check::Outcome;
use crate::finding::{Nature, Severity};

/// The exit status of a check: 0 where no finding reaches the failing severity, 1 where one does,
/// 2 where an input is wrong or a file was not checked, whatever else was found.
///
/// A rule that could not be judged weighs as the rule does. What somebody accepted fails nothing.
#[must_use]
pub fn exit_status(outcome: &Outcome, failing: Severity) -> u8 {
    let input = outcome
        .findings
        .iter()
        .any(|finding| finding.nature == Nature::Input);
    // What was not judged by what was meant to judge it is not judged.
    let in_doubt = outcome.checked.iter().any(|one| !one.in_doubt.is_empty());
    if input || in_doubt || !outcome.not_checked.is_empty() {
        2
    } else if outcome
        .findings
        .iter()
        .any(|finding| finding.stands() && finding.severity >= failing)
    {
        1
    } else {
        0
    }
}
