//! A review as Markdown, for a comment on the change: the verdict, what is new, what changed in each
//! mission; the rest folded.

use super::{
    alike, fixed, heading, lines, looser, not_checked, only_under_change, still, tells, title,
    worse,
};
use crate::check::Outcome;
use crate::report::tally::{Tally, counted};
use crate::report::{
    CAUTION, MOST_SKETCHES, Sketch, escaped_markdown, findings_in_markdown, sketch,
};
use crate::review::{Change, MissionChange, Review, Waypoints};

/// The review as Markdown.
#[must_use]
pub(crate) fn to_markdown(review: &Review) -> String {
    let mut out = format!("### offing: {}\n\n", escaped_markdown(&verdict(review)));
    for line in heading(review) {
        out.push_str(&escaped_markdown(&line));
        out.push_str("\n\n");
    }
    list(&mut out, "Not checked:", &not_checked(review));
    if !review.outcome.findings.is_empty() {
        let or_worse = if review.worse.is_empty() {
            ""
        } else {
            " or worse"
        };
        out.push_str(&format!("**New{or_worse} findings**\n\n"));
        out.push_str(&findings_in_markdown(&review.outcome));
    }
    let only = "Passes only under the policies and rules of the change:";
    list(&mut out, only, &only_under_change(review));
    list(&mut out, "Known before, and worse now:", &worse(review));
    list(
        &mut out,
        "Less strict than the built-in policy:",
        &looser(review),
    );
    for change in review.changes.iter().filter(|change| tells(change)) {
        out.push_str(&format!("**{}**\n\n", escaped_markdown(&title(change))));
        for line in lines(review, change) {
            out.push_str(&format!("- {}\n", escaped_markdown(&line)));
        }
        out.push('\n');
        out.push_str(&figure(review, change));
    }
    list(&mut out, "No longer found:", &fixed(review));
    out.push_str(&folded(review));
    out.push_str(&format!("_{CAUTION}_\n"));
    out
}

/// What the change comes to, with counts, in a line.
fn verdict(review: &Review) -> String {
    let outcome = &review.outcome;
    let new = Tally::from_outcome(outcome).findings;
    let errors = outcome.findings.iter().any(is_error);
    let word = match (errors, new.total(), outcome.not_checked.len()) {
        (true, ..) => "✗ not fit to launch as changed",
        (false, _, 1..) => "! not everything was checked",
        (false, 1.., _) => "! new findings",
        (false, ..) => "✓ no new findings",
    };
    let mut counts = Vec::new();
    if !new.describe().is_empty() {
        counts.push(format!("{} new", new.describe()));
    }
    let more = [
        (review.worse.len(), "of them known before and worse now"),
        (
            review.only_under_change.len(),
            "passed only by the change’s own rules",
        ),
        (outcome.not_checked.len(), "not checked"),
        (review.still.len(), "still there"),
        (review.fixed.len(), "no longer found"),
    ];
    let more = more.iter().filter(|(count, _)| *count > 0);
    counts.extend(more.map(|(count, what)| format!("{count} {what}")));
    let missions = counted(review.changes.len(), "mission", "missions");
    counts.push(format!("{missions} of {} affected", review.missions));
    format!("{word}: {}", counts.join(", "))
}

fn is_error(finding: &crate::finding::Finding) -> bool {
    finding.stands() && finding.severity == crate::finding::Severity::Error
}

fn list(out: &mut String, title: &str, items: &[String]) {
    if items.is_empty() {
        return;
    }
    out.push_str(&format!("{title}\n\n"));
    for item in items {
        out.push_str(&format!("- {}\n", escaped_markdown(item)));
    }
    out.push('\n');
}

/// What is as it was before the change, below a line that says how much of it there is.
fn folded(review: &Review) -> String {
    let mut out = String::new();
    let still = still(review);
    if !still.is_empty() {
        let count = counted(review.still.len(), "finding", "findings");
        fold(
            &mut out,
            &format!("{count} still there, as before the change"),
            &still,
        );
    }
    if let Some(line) = alike(review) {
        let alike = review.changes.iter().filter(|change| !tells(change));
        let names: Vec<String> = alike.map(|change| change.mission.clone()).collect();
        fold(&mut out, &line, &names);
    }
    out
}

fn fold(out: &mut String, summary: &str, items: &[String]) {
    out.push_str(&format!(
        "<details><summary>{}</summary>\n\n",
        escaped_markdown(summary)
    ));
    for item in items {
        out.push_str(&format!("- {}\n", escaped_markdown(item)));
    }
    out.push_str("\n</details>\n\n");
}

/// The sketch of a mission that changed, where its route differs or something new was found in it; one of
/// the first few of these.
fn figure(review: &Review, change: &MissionChange) -> String {
    let drawn = review
        .changes
        .iter()
        .filter(|one| is_drawn(&review.outcome, one));
    let among = drawn
        .take(MOST_SKETCHES)
        .any(|one| one.mission == change.mission);
    let mut checked = review.outcome.checked.iter();
    let now = checked.find(|one| one.mission == change.mission);
    let Some(now) = now.filter(|_| among) else {
        return String::new();
    };
    let moved = change.waypoints.moved.iter();
    let sketched = sketch(&Sketch {
        mission: &change.mission,
        waypoints: &now.outline,
        before: moved.map(|one| (one.id.as_str(), one.from)).collect(),
        findings: &review.outcome.findings,
    });
    sketched.unwrap_or_default()
}

fn is_drawn(outcome: &Outcome, change: &MissionChange) -> bool {
    let mut all = outcome.findings.iter();
    let found = all.any(|one| one.mission.as_ref() == Some(&change.mission));
    let route = change.waypoints != Waypoints::default() || change.change == Change::Added;
    tells(change) && (found || route)
}
