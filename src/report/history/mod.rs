//! A history told: listed, and verified.

mod json;

pub(crate) use json::{listed_json, schema, verified_json};

use crate::check::Outcome;
use crate::finding::{Concern, PHYSICAL, concern};
use crate::history::{Record, Totals, Verified};
use crate::report::{Settings, findings_at_terminal};
use crate::source::printable_line;
use crate::units::{Quantity, Typed as _};

fn shown(of: Option<Quantity>) -> Option<String> {
    of.map(|of| of.to_string())
}

/// Runs, and what they come to, at a terminal.
#[must_use]
pub(crate) fn listed_text(listed: &[&Record], totals: &Totals) -> String {
    let mut out = String::new();
    for record in listed {
        let run = &record.run;
        let energy = shown(run.energy.map(|one| one.quantity()));
        let planned = shown(run.planned.length.map(|one| one.quantity()));
        let sailed = shown(run.sailed.map(|one| one.quantity()));
        let length = match (sailed, planned) {
            (Some(sailed), Some(planned)) => Some(format!("{sailed} of {planned}")),
            (sailed, planned) => sailed.or(planned),
        };
        let took = run.ended.value.duration_since(run.launched.value);
        out.push_str(&format!(
            "{}  {}  {} min  {}  {}\n",
            run.launched.value,
            printable_line(&run.mission.value),
            took.as_mins(),
            run.outcome.word(),
            [length, energy]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(", ")
        ));
        for (rule, by) in &run.waived {
            let (rule, by) = (printable_line(&rule.value), printable_line(&by.value));
            out.push_str(&format!("    waived: {rule}, by {by}\n"));
        }
        for miss in &run.near_misses {
            out.push_str(&format!("    near miss: {}\n", printable_line(miss)));
        }
    }
    if !listed.is_empty() {
        out.push('\n');
    }
    let runs = if totals.runs == 1 { "run" } else { "runs" };
    let mut parts = vec![format!("{} {runs}", totals.runs)];
    parts.extend(
        shown(totals.distance.map(|one| one.quantity())).map(|one| format!("{one} planned")),
    );
    let sailed = shown(totals.sailed.map(|one| one.quantity()));
    parts.extend(sailed.map(|one| match totals.tracked {
        all if all == totals.runs => format!("{one} sailed"),
        1 => format!("{one} sailed in the 1 whose track was measured"),
        some => format!("{one} sailed in the {some} whose tracks were measured"),
    }));
    parts.extend(shown(totals.time.map(|one| one.quantity())).map(|one| format!("{one} out")));
    parts.extend(shown(totals.energy.map(|one| one.quantity())).map(|one| format!("{one} used")));
    let counted = [
        (totals.aborted, "broken off"),
        (totals.recovered, "fetched"),
        (totals.lost, "lost"),
    ];
    parts.extend(
        counted
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| format!("{count} {word}")),
    );
    let misses = match totals.near_misses {
        1 => "1 near miss".to_owned(),
        count => format!("{count} near misses"),
    };
    parts.push(misses);
    if let Some(used) = totals.used {
        let (least, most) = (
            used.least.quantity().to_string(),
            used.most.quantity().to_string(),
        );
        parts.push(if least == most {
            format!("{most} of the usable energy taken")
        } else {
            format!("{least} to {most} of the usable energy taken")
        });
    }
    out.push_str(&parts.join(", "));
    out.push_str("\n\nRuns that went well say nothing about the next one.\n");
    for text in PHYSICAL {
        out.push_str(&format!("{text}\n"));
    }
    out
}

/// What came of verifying, its findings as those of a check.
struct Told {
    records: usize,
    again: Option<usize>,
    notes: Vec<String>,
    outcome: Outcome,
}

fn outcome_of(verified: Verified) -> Told {
    let outcome = Outcome {
        sources: verified.sources,
        findings: verified.findings,
        checked: Vec::new(),
        not_checked: Vec::new(),
        notes: Vec::new(),
        looser: Vec::new(),
        in_force: Vec::new(),
        untold: 0,
        part_of: None,
    };
    Told {
        records: verified.records,
        again: verified.again,
        notes: verified.notes,
        outcome,
    }
}

/// What came of verifying, at a terminal.
#[must_use]
pub(crate) fn verified_text(verified: Verified, settings: &Settings) -> String {
    let Told {
        records,
        again,
        notes,
        outcome,
    } = outcome_of(verified);
    let mut out = findings_at_terminal(&outcome, settings);
    for note in &notes {
        out.push_str(&format!("note: {note}\n"));
    }
    let told = match records {
        1 => "1 record".to_owned(),
        count => format!("{count} records"),
    };
    if again.is_none() && records > 0 {
        out.push_str("no launch was decided again; `offing history verify --judge` does that\n");
    }
    if let Some(again) = again {
        let launches = match again {
            1 => "1 launch that was a go was".to_owned(),
            count => format!("{count} launches that were a go were"),
        };
        let mut findings = outcome.findings.iter();
        let as_then = match findings.any(|finding| concern(&finding.rule) == Concern::DecidedAgain)
        {
            true => "; those that came out otherwise are above",
            false if again == 0 => "",
            false => ", and came out the same",
        };
        out.push_str(&format!("{launches} decided again{as_then}\n"));
    }
    let breaks = outcome.findings.len();
    out.push_str(&match breaks {
        0 => format!("{told}: the chain is whole, and as git has it\n"),
        1 => format!("{told}: broken in 1 place\n"),
        count => format!("{told}: broken in {count} places, the first break first\n"),
    });
    out
}
