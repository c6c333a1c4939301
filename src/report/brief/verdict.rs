//! What the check came to.

use maud::{Markup, html};

use super::super::tally::{Tally, counted};
use super::{paper, prose, said, short_text, shortened};
use crate::check::{MissionResult, Outcome};
use crate::finding::{Finding, Severity};
use crate::picture::Picture;
use crate::plan::laid::Laid;

/// Remedies that are told of a finding, the nearest to the plan first.
const REMEDIES: usize = 2;
/// Assumptions that are told.
const ASSUMPTIONS: usize = 8;
/// Those of them that paper shows at most.
const ON_PAPER: usize = 2;

pub(super) fn verdict(outcome: &Outcome, checked: &MissionResult, picture: &Picture) -> Markup {
    let tally = Tally::from_outcome(outcome);
    let mission = tally.missions.first();
    let clean = mission.is_some_and(|mission| mission.is_clean());
    let standing = outcome.findings.iter().filter(|finding| finding.stands());
    let error = standing
        .clone()
        .any(|finding| finding.severity == Severity::Error);
    let stands = standing.clone().next().is_some() || !checked.in_doubt.is_empty();
    let (class, sign, heading) = match (error, stands) {
        (true, _) => (
            "verdict bad",
            "✗",
            "Not fit to launch as planned".to_owned(),
        ),
        (false, true) => (
            "verdict doubtful",
            "!",
            "Findings against this plan".to_owned(),
        ),
        (false, false) if clean => (
            "verdict good",
            "✓",
            "No findings against this plan".to_owned(),
        ),
        (false, false) => ("verdict doubtful", "!", accepted(tally.findings.accepted)),
    };
    let kept = mission.map_or_else(String::new, |mission| {
        format!("{} of {} limits met", mission.kept, mission.judged)
    });
    let found = match tally.findings.describe() {
        none if none.is_empty() => "no findings".to_owned(),
        some => some,
    };
    let all = paper::gravest_first(outcome.findings.iter());
    let shown = paper::findings(all.iter().map(|finding| length(finding)), picture);
    html! {
        section class=(class) {
            h2 { span.sign aria-hidden="true" { (sign) } (heading) }
            p { b { (found) } ", " (kept) " under policy " code { (short_text(&checked.policy)) } "." }
            @for (index, doubt) in checked.in_doubt.iter().enumerate() {
                p class=[(index >= paper::DOUBTS).then_some("more")] { b { "In doubt: " } (prose(doubt)) }
            }
            @if checked.in_doubt.len() > paper::DOUBTS {
                p.only-print {
                    b { "… and " (checked.in_doubt.len() - paper::DOUBTS) " more doubts" }
                    ", on the screen."
                }
            }
            @if !outcome.findings.is_empty() {
                ul.findings {
                    @for (index, finding) in all.iter().enumerate() {
                        (finding_item(finding, index >= shown))
                    }
                }
                @if all.len() > shown { (left_out(&all[shown..])) }
            }
            p.caution {
                "A clean check is never “safe to launch”. It speaks only of what was judged; the \
                 weather at the water, local rules and the person in charge decide."
            }
        }
    }
}

/// How long a finding is as it is told, in characters, about.
fn length(finding: &Finding) -> usize {
    let cut = |text: &str, longest: usize| text.chars().count().min(longest);
    let remedies = finding.remedies_told().into_iter().take(REMEDIES);
    let remedies = remedies.map(|remedy| cut(&remedy, 200) + 12).sum::<usize>();
    let accepted = finding.accepted.as_ref();
    let accepted = accepted.map_or(0, |accepted| cut(&accepted.sentence(), 300));
    let told = if finding.stands() { remedies } else { accepted };
    20 + cut(&finding.message, 400) + finding.rule.len() + told
}

/// What paper leaves out, errors counted.
fn left_out(more: &[&Finding]) -> Markup {
    let errors = more.iter().filter(|finding| finding.stands());
    let errors = errors.filter(|finding| finding.severity == Severity::Error);
    let errors = errors.count();
    html! {
        p.only-print {
            b { "… and " (more.len()) " more" }
            @if errors > 0 { ", " b.error { (counted(errors, "error", "errors")) } " among them," }
            " that do not fit on this sheet: read them on the screen."
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

fn finding_item(finding: &Finding, more: bool) -> Markup {
    html! {
        li class=[more.then_some("more")] {
            @if finding.stands() {
                b class=(finding.severity.to_string()) { (finding.severity) }
            } @else {
                b.accepted { "accepted " (finding.severity) }
            }
            " " (said(&shortened(&finding.message, 400))) " "
            code { (short_text(&finding.rule)) }
            @if let Some(accepted) = &finding.accepted {
                " – " (said(&shortened(&accepted.sentence(), 300)))
            }
            @if finding.stands() && !finding.remedies.is_empty() {
                span.remedy {
                    " → " i { "to fix: " }
                    @for (index, remedy) in finding.remedies_told().iter().take(REMEDIES).enumerate() {
                        @if index > 0 { " – " i { "or: " } }
                        (said(&shortened(remedy, 200)))
                    }
                }
            }
        }
    }
}

/// What was taken for granted.
pub(super) fn assumed(outcome: &Outcome, checked: &MissionResult) -> Markup {
    let repeats = checked.repeats.iter();
    let repeats = repeats.map(|laid| format!("This mission repeats {}.", laid.id));
    let other = |laid: &Option<Laid>, have: &str| -> Vec<String> {
        let differs = laid.iter().flat_map(|laid| &laid.differs);
        differs.map(|one| one.sentence(have)).collect()
    };
    let otherwise: Vec<String> = repeats
        .chain(other(&checked.repeats, "that plan has"))
        .chain(other(&checked.orders, "the orders have"))
        .collect();
    let noted = checked.assumptions.iter().chain(&outcome.notes);
    let all: Vec<&String> = otherwise.iter().chain(noted).collect();
    if all.is_empty() {
        return html! {};
    }
    html! {
        section {
            h2 { "Assumed and noted" }
            ul {
                @for (index, text) in all.iter().take(ASSUMPTIONS).enumerate() {
                    li.on-screen[index >= ON_PAPER] { (said(&shortened(text, 160))) }
                }
                @if all.len() > ASSUMPTIONS {
                    li.on-screen { "and " (all.len() - ASSUMPTIONS) " more; " code { "offing check" } " lists them" }
                }
                @if all.len() > ON_PAPER {
                    li.only-print { "and " (all.len() - ON_PAPER) " more, on the screen" }
                }
            }
        }
    }
}
