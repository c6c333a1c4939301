//! A review for people: at a terminal and as Markdown, and for programs as JSON.

mod json;
mod markdown;
pub(crate) mod merge;

pub use json::to_json;
pub(crate) use json::{FORMAT, schema};
pub(crate) use markdown::to_markdown;

use super::laid::otherwise;
use super::tally::counted;
use crate::check::{Outcome, Told};
use crate::report::{CAUTION, Settings, findings_at_terminal, wrapped};
use crate::review::{Change, Figure, Margin, MissionChange, PolicyFrom, Review, Waypoints};
use crate::source::printable_line;
use crate::units::Quantity;

/// Margins that are told of one mission, the worst first; the JSON has them all.
const MOST_MARGINS: usize = 8;

/// The review at a terminal.
#[must_use]
pub(crate) fn to_terminal(review: &Review, settings: &Settings) -> String {
    let mut out = String::new();
    for line in heading(review) {
        paragraph(&mut out, settings, 0, &line);
    }
    for change in review.changes.iter().filter(|change| tells(change)) {
        paragraph(&mut out, settings, 0, &title(change));
        for line in lines(review, change) {
            paragraph(&mut out, settings, 2, &line);
        }
    }
    if let Some(line) = alike(review) {
        paragraph(&mut out, settings, 0, &line);
    }
    let list = |title: &str, items: Vec<String>, out: &mut String| {
        if !items.is_empty() {
            paragraph(out, settings, 0, title);
        }
        for item in items {
            paragraph(out, settings, 2, &item);
        }
    };
    list("no longer found:", fixed(review), &mut out);
    list(
        "still there, as before the change:",
        still(review),
        &mut out,
    );
    list("not checked:", not_checked(review), &mut out);
    list(
        "passes only under the policies and rules of the change:",
        only_under_change(review),
        &mut out,
    );
    list("known before, and worse now:", worse(review), &mut out);
    list(
        "less strict than the built-in policy:",
        looser(review),
        &mut out,
    );
    out.push('\n');
    paragraph(&mut out, settings, 0, &count(&review.outcome));
    out.push('\n');
    out.push_str(&findings_at_terminal(&review.outcome, settings));
    paragraph(&mut out, settings, 0, CAUTION);
    out
}

fn word(change: Change) -> &'static str {
    match change {
        Change::Added => "new",
        Change::Removed => "removed",
        Change::Unchecked => "no longer checked",
        Change::Changed => "changed",
    }
}

fn paragraph(out: &mut String, settings: &Settings, indent: usize, text: &str) {
    let width = settings.width.saturating_sub(indent + 2).max(20);
    for (number, line) in wrapped(&printable_line(text), width).lines().enumerate() {
        let hang = if number > 0 { 2 } else { 0 };
        out.push_str(&" ".repeat(indent + hang));
        out.push_str(line);
        out.push('\n');
    }
}

fn heading(review: &Review) -> Vec<String> {
    let changed = match review.changes.len() {
        0 => "no mission".to_owned(),
        1 => "1 mission".to_owned(),
        many => format!("{many} missions"),
    };
    let mut lines = vec![format!(
        "review of {} against {}: it affects {changed} of {}",
        review.head, review.base, review.missions
    )];
    if let Some(part) = &review.outcome.part_of {
        lines.push(part.partition.note());
    }
    lines.push(match review.policy_from {
        PolicyFrom::Base => format!("judged by the policies and rules of {}", review.base),
        PolicyFrom::Head => format!(
            "JUDGED BY THE CHANGE'S OWN POLICIES AND RULES (--policy-from head): what they allow \
             is allowed, and only the findings on them show what {} required",
            review.base
        ),
    });
    lines
}

fn count(outcome: &Outcome) -> String {
    match outcome.findings.len() {
        0 => "no new findings".to_owned(),
        1 => "1 new finding:".to_owned(),
        many => format!("{many} new findings:"),
    }
}

fn title(change: &MissionChange) -> String {
    let files = match change.files.as_slice() {
        [] => "what judges it".to_owned(),
        files => files.join(", "),
    };
    format!(
        "mission {} ({}: {files})",
        change.mission,
        word(change.change)
    )
}

/// Whether there is more to tell of a mission than that it is judged by something else.
fn tells(change: &MissionChange) -> bool {
    change.change != Change::Changed
        || !(change.files.is_empty()
            && change.told.is_empty()
            && change.figures.is_empty()
            && change.margins.is_empty())
}

/// The missions of which no more is to be reported, in a line.
fn alike(review: &Review) -> Option<String> {
    let rest = review.changes.iter().filter(|change| !tells(change));
    match rest.count() {
        0 => None,
        1 => Some("what changed judges 1 mission, with measures as before".to_owned()),
        many => Some(format!(
            "what changed judges {many} missions, with measures as before"
        )),
    }
}

fn not_checked(review: &Review) -> Vec<String> {
    let files = review.outcome.not_checked.iter();
    files
        .map(|file| format!("{}: {}", file.path, file.why))
        .collect()
}

fn only_under_change(review: &Review) -> Vec<String> {
    let findings = review.outcome.findings.iter();
    findings
        .filter(|finding| review.only_under_change.contains(&finding.fingerprint))
        .map(|finding| finding_line(&finding.rule, finding.mission.as_deref(), &finding.message))
        .collect()
}

fn value(value: Option<Quantity>) -> String {
    value.map_or_else(|| "unknown".to_owned(), |value| value.to_string())
}

fn lines(review: &Review, change: &MissionChange) -> Vec<String> {
    let mut lines: Vec<String> = change.told.iter().map(of_told).collect();
    // Of a mission that was there before, what it states otherwise shows by what changed.
    if change.change == Change::Added {
        let mut checked = review.outcome.checked.iter();
        let new = checked.find(|one| one.mission == change.mission);
        lines.extend(new.map(otherwise).unwrap_or_default());
    }
    lines.extend(of_waypoints(&change.waypoints));
    lines.extend(change.figures.iter().map(of_figure));
    lines.extend(change.margins.iter().take(MOST_MARGINS).map(of_margin));
    let more = change.margins.len().saturating_sub(MOST_MARGINS);
    if more > 0 {
        let margins = counted(more, "other margin", "other margins");
        lines.push(format!("and {margins}"));
    }
    if lines.is_empty() && change.change == Change::Changed {
        lines.push("no measured value differs".to_owned());
    }
    lines
}

fn of_waypoints(points: &Waypoints) -> Vec<String> {
    let mut lines = Vec::new();
    if !points.added.is_empty() {
        lines.push(format!("waypoints added: {}", points.added.join(", ")));
    }
    if !points.removed.is_empty() {
        lines.push(format!("waypoints removed: {}", points.removed.join(", ")));
    }
    for moved in &points.moved {
        lines.push(format!(
            "{} moved {} towards {}",
            moved.id, moved.by, moved.towards
        ));
    }
    for (id, was, now) in &points.speeds {
        lines.push(format!("{id}: {was} → {now}"));
    }
    for (id, was, now) in &points.lines {
        lines.push(format!("{id}: {was} sounding lines → {now}"));
    }
    if points.reordered {
        lines.push("waypoints come in another order".to_owned());
    }
    lines
}

fn of_told(told: &Told) -> String {
    let words = |value: &Option<String>| value.clone().unwrap_or_else(|| "nothing".to_owned());
    format!("{}: {} → {}", told.what, words(&told.was), words(&told.now))
}

fn worse(review: &Review) -> Vec<String> {
    let all = review.worse.iter();
    all.map(|one| {
        let text = format!("{} → {}", one.was, one.now);
        finding_line(&one.rule, one.mission.as_deref(), &text)
    })
    .collect()
}

fn looser(review: &Review) -> Vec<String> {
    let all = review.outcome.looser.iter();
    all.map(|one| one.says.clone()).collect()
}

fn of_figure(figure: &Figure) -> String {
    let name = figure.name.replace('_', " ");
    format!("{name}: {} → {}", value(figure.was), value(figure.now))
}

fn of_margin(margin: &Margin) -> String {
    let subject = if margin.subject.is_empty() {
        String::new()
    } else {
        format!(" ({})", margin.subject)
    };
    let how = if margin.worse { "worse" } else { "better" };
    format!(
        "{how}: {}{subject} {} → {}, {}",
        margin.rule, margin.was, margin.now, margin.limit
    )
}

fn finding_line(rule: &str, mission: Option<&str>, message: &str) -> String {
    match mission {
        Some(mission) => format!("{mission}: {rule}: {message}"),
        None => format!("{rule}: {message}"),
    }
}

fn fixed(review: &Review) -> Vec<String> {
    let all = review.fixed.iter();
    all.map(|one| finding_line(&one.rule, one.mission.as_deref(), &one.message))
        .collect()
}

/// By mission, the rules alone: whoever wants more asks for a check.
fn still(review: &Review) -> Vec<String> {
    let mut all: Vec<(Option<&str>, Vec<&str>)> = Vec::new();
    for finding in &review.still {
        let mission = finding.mission.as_deref();
        match all.iter_mut().find(|(held, _)| *held == mission) {
            Some((_, rules)) if rules.contains(&finding.rule.as_str()) => {}
            Some((_, rules)) => rules.push(&finding.rule),
            None => all.push((mission, vec![&finding.rule])),
        }
    }
    all.into_iter()
        .map(|(mission, rules)| match mission {
            Some(mission) => format!("{mission}: {}", rules.join(", ")),
            None => rules.join(", "),
        })
        .collect()
}
