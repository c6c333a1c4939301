//! What the check came to, in a box.

use maud::{Markup, html};

use super::super::tally::{Tally, counted};
use super::short_text;
use crate::check::{MissionResult, Outcome};
use crate::finding::Severity;

pub(super) fn verdict(outcome: &Outcome, checked: &MissionResult) -> Markup {
    let tally = Tally::from_outcome(outcome);
    let mission = tally.missions.first();
    let clean = mission.is_some_and(|mission| mission.is_clean());
    let standing = outcome.findings.iter().filter(|finding| finding.stands());
    let error = standing
        .clone()
        .any(|finding| finding.severity == Severity::Error);
    let stands = standing.clone().next().is_some() || !checked.in_doubt.is_empty();
    let (class, sign, heading) = match (error, stands) {
        (true, _) => ("bad", "✗", "Not fit to launch as planned".to_owned()),
        (false, true) => ("doubtful", "!", "Findings against this plan".to_owned()),
        (false, false) if clean => ("good", "✓", "No findings against this plan".to_owned()),
        (false, false) => ("doubtful", "!", accepted(tally.findings.accepted)),
    };
    let kept = mission.map_or_else(String::new, |mission| {
        format!("{} of {} limits met", mission.kept, mission.judged)
    });
    let found = match tally.findings.describe() {
        none if none.is_empty() => "no findings".to_owned(),
        some => some,
    };
    html! {
        section class={ "box verdict " (class) } {
            h2 { span.sign aria-hidden="true" { (sign) } (heading) }
            p { b { (found) } ", " (kept) " under policy " code { (short_text(&checked.policy)) } "." }
            p.caution {
                "A clean check is never “safe to launch”: the weather, local rules and the person in \
                 charge decide."
            }
        }
    }
}

/// A heading for what nobody holds against the plan any more, and is not met all the same.
fn accepted(count: usize) -> String {
    let read = if count == 1 { "it" } else { "them" };
    match count {
        0 => "Not everything was judged: read what".to_owned(),
        _ => format!(
            "{} accepted, not met: read {read}",
            counted(count, "finding", "findings")
        ),
    }
}
