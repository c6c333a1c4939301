//! The end of the report at a terminal: what was checked, what was not, and what that means.

use super::CAUTION;
use super::laid;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::spread::spread;
use super::table;
use super::tally::Tally;
use crate::check::Outcome;

/// How many assumptions are listed where several missions are checked.
const FEW: usize = 6;

/// What was assumed, each assumption once with the missions that it is about, in the order in
/// which it is first met.
fn assumptions(outcome: &Outcome) -> Vec<String> {
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for mission in &outcome.checked {
        for text in &mission.assumptions {
            match all.iter_mut().find(|(held, _)| held == text) {
                Some((_, missions)) => missions.push(&mission.mission),
                None => all.push((text, vec![&mission.mission])),
            }
        }
    }
    let everywhere = outcome.checked.len();
    let more = match everywhere {
        0 | 1 => 0,
        _ => all.len().saturating_sub(FEW),
    };
    let listed = all.len() - more;
    let rest = (more > 0)
        .then(|| format!("and {more} more; `offing check` of one mission lists all of its own"));
    all.into_iter()
        .take(listed)
        .map(|(text, missions)| match missions.len() {
            count if count == everywhere => text.to_owned(),
            count if count > 3 => format!("{text} ({count} missions)"),
            _ => format!("{text} ({})", missions.join(", ")),
        })
        .chain(rest)
        .collect()
}

/// Writes the overview.
pub(super) fn overview(out: &mut String, page: Page, outcome: &Outcome) {
    let tally = Tally::from_outcome(outcome);
    list(out, page, 0, "notes:", &outcome.notes, Sign::Dash);
    if !tally.missions.is_empty() {
        let lead = Lead {
            indent: 0,
            words: "missions checked:",
            look: Look::Heading,
        };
        paragraph(out, page, &lead, 0, "");
        table::missions(out, page, &tally.missions);
    }
    spread(out, page, outcome);
    for (title, other) in laid::lists(outcome) {
        list(out, page, 0, title, &other, Sign::Dash);
    }
    let title = "assumptions:";
    list(out, page, 0, title, &assumptions(outcome), Sign::Dash);
    let not_checked: Vec<String> = outcome
        .not_checked
        .iter()
        .map(|file| format!("{}: {}", file.path, file.why))
        .collect();
    list(out, page, 0, "not checked:", &not_checked, Sign::Dash);
    if !(outcome.notes.is_empty() && tally.missions.is_empty() && not_checked.is_empty()) {
        out.push('\n');
    }
    let (found, rest) = table::totals(&tally, not_checked.len());
    let lead = Lead {
        indent: 0,
        words: &found,
        look: tally
            .findings
            .gravest()
            .map_or(Look::Heading, Look::Severity),
    };
    paragraph(out, page, &lead, 2, &rest);
    let lead = Lead {
        indent: 0,
        words: "",
        look: Look::Quiet,
    };
    paragraph(out, page, &lead, 0, CAUTION);
}
