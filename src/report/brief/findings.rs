//! What was found, the gravest first: whole on the screen, and on paper as much as the sheet has room for.

use maud::{Markup, html};

use super::super::tally::counted;
use super::paper::{self, Fitted};
use super::{prose, said, short_text, shortened};
use crate::check::{MissionResult, Outcome};
use crate::finding::{Finding, Severity};
use crate::picture::Picture;

/// Remedies that the screen tells of a finding, the nearest to the plan first; paper tells one.
const REMEDIES: usize = 2;
/// Longest message and remedy.
const MESSAGE: usize = 400;
const REMEDY: usize = 200;

/// The findings and doubts; nothing where there are none.
pub(super) fn findings(outcome: &Outcome, checked: &MissionResult, picture: &Picture) -> Markup {
    if outcome.findings.is_empty() && checked.in_doubt.is_empty() {
        return html! {};
    }
    let all = paper::gravest_first(outcome.findings.iter());
    let told: Vec<Told<'_>> = all.iter().map(|finding| Told::new(finding)).collect();
    let shown = paper::findings(
        told.iter().map(Told::lines),
        doubts(checked),
        least(outcome, checked),
        picture,
    );
    html! {
        section.found {
            h2 { "Found, gravest first" }
            @for (index, doubt) in checked.in_doubt.iter().enumerate() {
                p class=[(index >= paper::DOUBTS).then_some("more")] { b { "In doubt: " } (prose(doubt)) }
            }
            @if checked.in_doubt.len() > paper::DOUBTS {
                p.only-print {
                    b { "… and " (checked.in_doubt.len() - paper::DOUBTS) " more doubts" }
                    ", on the screen."
                }
            }
            @if !all.is_empty() {
                ul.findings {
                    @for (index, told) in told.iter().enumerate() { (told.item(index >= shown)) }
                }
                @if all.len() > shown { (left_out(&all[shown..])) }
            }
        }
    }
}

/// Doubts that paper shows.
fn doubts(checked: &MissionResult) -> usize {
    checked.in_doubt.len().min(paper::DOUBTS)
}

/// Lines that paper keeps for findings whatever else there is: the gravest, how many more there are, doubts.
pub(super) fn least(outcome: &Outcome, checked: &MissionResult) -> usize {
    let gravest = paper::gravest_first(outcome.findings.iter());
    let gravest = gravest
        .first()
        .map_or(0, |finding| Told::new(finding).lines() + 1);
    gravest + paper::LINES_DOUBT * doubts(checked)
}

/// A finding, and what of it three lines of paper hold.
struct Told<'a> {
    finding: &'a Finding,
    message: String,
    remedies: Vec<String>,
    accepted: Option<String>,
    on_paper: Fitted,
    remedy_on_paper: Option<Fitted>,
}

impl<'a> Told<'a> {
    fn new(finding: &'a Finding) -> Self {
        let message = shortened(&finding.message, MESSAGE);
        let stands = finding.stands();
        let remedies = finding.remedies_told().into_iter().filter(|_| stands);
        let remedies: Vec<String> = remedies
            .take(REMEDIES)
            .map(|remedy| shortened(&remedy, REMEDY))
            .collect();
        let accepted = finding.accepted.as_ref();
        let accepted = accepted.map(|one| shortened(&one.sentence(), 300));
        // What is not the message: severity, rule, what leads to the remedy.
        let room = paper::FINDING - paper::breadth(&finding.rule).min(60) - 30;
        let second = remedies.first().or(accepted.as_ref());
        let wanted = second.map_or(0, |text| paper::breadth(text));
        let on_paper = Fitted::new(&message, room.saturating_sub(wanted).max(3 * room / 4));
        let left = room.saturating_sub(paper::breadth(&message).min(on_paper.breadth()));
        let remedy_on_paper = second.map(|text| Fitted::new(text, left));
        Self {
            finding,
            message,
            remedies,
            accepted,
            on_paper,
            remedy_on_paper,
        }
    }

    /// Lines that it takes on paper.
    fn lines(&self) -> usize {
        let second = self.remedy_on_paper.as_ref();
        let taken = self.on_paper.breadth() + second.map_or(0, |one| one.breadth() + 10);
        (taken + paper::breadth(&self.finding.rule).min(60) + 20).div_ceil(paper::WIDE)
    }

    fn item(&self, more: bool) -> Markup {
        let finding = self.finding;
        html! {
            li class=[more.then_some("more")] {
                @if finding.stands() {
                    b class=(finding.severity.to_string()) { (finding.severity) }
                } @else {
                    b.accepted { "accepted " (finding.severity) }
                }
                " " (either(&self.message, &self.on_paper)) " "
                code { (short_text(&finding.rule)) }
                @if let Some(accepted) = &self.accepted {
                    " – "
                    @if let Some(fitted) = self.remedy_on_paper.as_ref().filter(|_| self.remedies.is_empty()) {
                        (either(accepted, fitted))
                    } @else { (said(accepted)) }
                }
                @if let Some(first) = self.remedies.first() {
                    span.remedy {
                        " → " i { "to fix: " }
                        @if let Some(fitted) = &self.remedy_on_paper { (either(first, fitted)) }
                        @for remedy in &self.remedies[1..] {
                            span.more { " – " i { "or: " } (said(remedy)) }
                        }
                    }
                }
            }
        }
    }
}

/// A text: whole on the screen, and on paper as much of it as fits.
fn either(text: &str, fitted: &Fitted) -> Markup {
    html! {
        @if fitted.is_cut() {
            span.on-screen { (said(text)) }
            span.on-paper { (said(&fitted.ended())) }
        } @else { (said(text)) }
    }
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
