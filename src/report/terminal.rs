//! The report at a terminal.

use super::finding_text::{Told, finding};
use super::gaps;
use super::groups::groups;
use super::overview::overview;
use super::prose::Page;
use super::settings::{NARROWEST, Settings};
use super::snippet::Drawing;
use crate::check::Outcome;

/// The report of a check for people at a terminal: every finding with its source lines, then an
/// overview. It holds no control character but line feeds and, where colour is on, the sequences
/// that set colours.
#[must_use]
pub fn terminal(outcome: &Outcome, settings: &Settings) -> String {
    let mut out = findings_at_terminal(outcome, settings);
    overview(&mut out, page(settings), outcome);
    out
}

/// The findings alone, each with its source lines.
#[must_use]
pub(crate) fn findings_at_terminal(outcome: &Outcome, settings: &Settings) -> String {
    let page = page(settings);
    let drawing = Drawing::new(settings, page.width);
    let mut out = String::new();
    let (gaps, others) = gaps::apart(&outcome.findings);
    for file in &gaps {
        gaps::file(&mut out, page, file, &outcome.sources);
        out.push('\n');
    }
    for group in &groups(others) {
        let all = group.together().map(|told| (told, group.names()));
        let (one, rules) = match &all {
            Some((told, names)) => (told, names.as_str()),
            None => (group.first, ""),
        };
        let told = Told {
            finding: one,
            rules,
            short: settings.short,
        };
        finding(&mut out, page, &drawing, &told, &outcome.sources);
        out.push('\n');
    }
    out
}

fn page(settings: &Settings) -> Page {
    Page {
        width: settings.width.max(NARROWEST),
        colour: settings.colour,
    }
}
