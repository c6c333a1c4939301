//! The end of the report at a terminal: what was checked, what was not, and what that means.

use super::CAUTION;
use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, paragraph};
use super::spread::spread;
use super::table;
use super::tally::Tally;
use crate::check::{MissionResult, Outcome};
use crate::plan::laid::Laid;

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

/// Most missions of which it is listed what each states otherwise than what is laid under it.
const LISTED: usize = 3;

/// What missions state otherwise than one of the files laid under them.
fn otherwise<'a>(
    outcome: &'a Outcome,
    (what, have): (&str, &str),
    laid: impl Fn(&'a MissionResult) -> Option<&'a Laid>,
) -> Vec<String> {
    let missions = outcome.checked.iter();
    let all: Vec<(&str, &Laid)> = missions
        .filter_map(|one| Some((one.mission.as_str(), laid(one)?)))
        .filter(|(_, laid)| !laid.differs.is_empty())
        .collect();
    if all.len() > LISTED {
        let fields: usize = all.iter().map(|(_, laid)| laid.differs.len()).sum();
        return vec![format!(
            "{} missions, in {fields} fields; `offing check` of one lists them",
            all.len()
        )];
    }
    let each = all.iter().flat_map(|(mission, laid)| {
        let id = &laid.id;
        let of_mission = laid.differs.iter();
        of_mission.map(move |one| format!("{mission} ({what} {id}): {}", one.sentence(have)))
    });
    each.collect()
}

/// Which missions repeat another, a few of them.
fn repeats(outcome: &Outcome) -> Vec<String> {
    let missions = outcome.checked.iter();
    let all = missions.filter_map(|one| Some((&one.mission, &one.repeats.as_ref()?.id)));
    let mut all: Vec<String> = all
        .map(|(mission, plan)| format!("{mission} repeats {plan}"))
        .collect();
    if all.len() > LISTED {
        all = vec![format!("{} missions repeat another", all.len())];
    }
    all
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
    list(out, page, 0, "repeats:", &repeats(outcome), Sign::Dash);
    let title = "other than the repeated plan:";
    let other = otherwise(outcome, ("repeats", "that plan has"), |one| {
        one.repeats.as_ref()
    });
    list(out, page, 0, title, &other, Sign::Dash);
    let title = "other than the orders:";
    let other = otherwise(outcome, ("orders", "the orders have"), |one| {
        one.orders.as_ref()
    });
    list(out, page, 0, title, &other, Sign::Dash);
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
