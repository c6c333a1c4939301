//! The report as Markdown, for a comment on a change: short, with the details folded.

use super::groups::groups;
use super::inert::escaped;
use super::laid;
use super::nearest;
use super::sketch::{Sketch, sketch};
use super::tally::{MissionTally, Tally, counted};
use crate::check::{MissionResult, Outcome};
use crate::finding::{Finding, Nature, capitalised};
use crate::source::Sources;

/// Findings that are reported one by one; a comment has a greatest length.
const MOST: usize = 50;
/// Missions that are sketched, for the same reason.
pub(crate) const MOST_SKETCHES: usize = 6;

/// The report of a check as Markdown. Whatever comes from a file is inert: no markup, no HTML, no
/// mention of anybody.
#[must_use]
pub(crate) fn markdown(outcome: &Outcome) -> String {
    let tally = Tally::from_outcome(outcome);
    let found = match tally.findings.describe() {
        none if none.is_empty() => "no findings".to_owned(),
        some => some,
    };
    let mut out = format!(
        "### offing: {found} in {}\n\n",
        counted(tally.missions.len(), "mission", "missions")
    );
    if !outcome.not_checked.is_empty() {
        out.push_str("**Not checked:**\n\n");
        for file in &outcome.not_checked {
            out.push_str(&format!(
                "- {}: {}\n",
                escaped(&file.path),
                escaped(&file.why)
            ));
        }
        out.push('\n');
    }
    if !tally.missions.is_empty() {
        out.push_str("| mission | findings | limits met | tightest limit |\n|---|---|---|---|\n");
        for mission in &tally.missions {
            out.push_str(&row(mission));
        }
        out.push('\n');
    }
    out.push_str(&findings_in_markdown(outcome));
    out.push_str(&sketches(outcome));
    for (title, items) in laid::lists(outcome) {
        if items.is_empty() {
            continue;
        }
        out.push_str(&format!("{}\n\n", capitalised(title)));
        for item in items {
            out.push_str(&format!("- {}\n", escaped(&item)));
        }
        out.push('\n');
    }
    for note in &outcome.notes {
        out.push_str(&format!("- {}\n", escaped(note)));
    }
    if !outcome.notes.is_empty() {
        out.push('\n');
    }
    out.push_str(&format!("_{}_\n", super::CAUTION));
    out
}

/// Sketches of missions, those with findings before the others.
fn sketches(outcome: &Outcome) -> String {
    let found = |one: &&MissionResult| {
        let mut findings = outcome.findings.iter();
        findings.any(|finding| finding.mission.as_ref() == Some(&one.mission))
    };
    let (with, without): (Vec<&MissionResult>, Vec<&MissionResult>) =
        outcome.checked.iter().partition(found);
    let drawn = with.into_iter().chain(without).filter_map(|one| {
        sketch(&Sketch {
            mission: &one.mission,
            waypoints: &one.outline,
            before: Vec::new(),
            findings: &outcome.findings,
        })
    });
    drawn.take(MOST_SKETCHES).collect()
}

/// The findings alone, each folded.
#[must_use]
pub(crate) fn findings_in_markdown(outcome: &Outcome) -> String {
    let mut out = String::new();
    let groups = groups(&outcome.findings);
    for group in groups.iter().take(MOST) {
        match group.together() {
            Some(told) => write_finding(&mut out, &told, &group.names(), &outcome.sources),
            None => write_finding(&mut out, group.first, "", &outcome.sources),
        }
    }
    if groups.len() > MOST {
        let rest = groups.iter().skip(MOST);
        let more = rest.map(|group| group.others.len() + 1).sum();
        let more = counted(more, "finding", "findings");
        out.push_str(&format!(
            "… and {more} more; the other reports have them.\n\n"
        ));
    }
    out
}

fn row(mission: &MissionTally<'_>) -> String {
    let findings = match mission.findings.describe() {
        none if none.is_empty() => "none".to_owned(),
        some => some,
    };
    let mut nearest = mission.nearest.map_or_else(String::new, nearest::describe);
    for doubt in &mission.checked.in_doubt {
        nearest.push_str(&format!("; {doubt}"));
    }
    format!(
        "| {} | {findings} | {} of {} | {} |\n",
        escaped(&mission.checked.mission),
        mission.kept,
        mission.judged,
        escaped(&nearest)
    )
}

/// The severity, and what became of it where somebody accepted it.
fn weight(finding: &Finding) -> String {
    let severity = finding.severity;
    match &finding.accepted {
        Some(accepted) => format!("{} ({severity})", accepted.how.word()),
        None => severity.to_string(),
    }
}

fn write_finding(out: &mut String, finding: &Finding, rules: &str, sources: &Sources) {
    let span = finding.primary.span;
    let line = sources.position(span).line;
    let of = finding.mission.as_ref();
    let of = of.map_or_else(String::new, |of| format!(", mission {}", escaped(of)));
    out.push_str(&format!(
        "<details><summary><b>{}</b> {}{of}: {}</summary>\n\n",
        weight(finding),
        escaped(&finding.rule),
        escaped(&finding.message)
    ));
    out.push_str(&format!(
        "{}, line {line}: {}\n\n",
        escaped(sources.path(span.source)),
        escaped(&finding.primary.text)
    ));
    if let Some(accepted) = &finding.accepted {
        out.push_str(&format!("{}\n\n", escaped(&accepted.sentence())));
    }
    if !rules.is_empty() {
        out.push_str(&format!("Rules: {}\n\n", escaped(rules)));
    }
    for label in &finding.related {
        if sources.is_embedded(label.span.source) {
            continue;
        }
        let path = sources.path(label.span.source);
        let line = sources.position(label.span).line;
        out.push_str(&format!(
            "- {}, line {line}: {}\n",
            escaped(path),
            escaped(&label.text)
        ));
    }
    if let Some(scenario) = &finding.scenario {
        out.push_str(&format!("\nWorst case: {}\n", escaped(scenario)));
    }
    let mut list = |title: &str, items: &[String], numbered: bool| {
        if items.is_empty() {
            return;
        }
        out.push_str(&format!("\n{title}\n\n"));
        for item in items {
            let sign = if numbered { "1." } else { "-" };
            out.push_str(&format!("{sign} {}\n", escaped(item)));
        }
    };
    list("Calculation:", &finding.steps, true);
    let remedies = match finding.nature {
        Nature::Violation => "To fix (any one):",
        Nature::NotEvaluated => "Missing input:",
        Nature::Input => "Fix:",
    };
    list(remedies, &finding.remedies_told(), false);
    list("Assumed:", &finding.assumptions, false);
    if let Some(why) = &finding.why {
        // Line ends of a rule file are no more than spaces.
        out.push_str(&format!("\n{}\n", escaped(&why.replace('\n', " "))));
    }
    out.push_str("\n</details>\n\n");
}
