//! Findings as the annotations that two hosted CI services show beside the lines of a change.

use serde_json::{Value, json};

use super::CAUTION;
use super::tally::{Tally, counted};
use crate::check::Outcome;
use crate::finding::{Finding, PHYSICAL, Severity};
use crate::source::printable_line;

/// Workflow commands, a line each, as GitHub Actions reads them from a job's log.
///
/// A value ends where the service thinks it does: `%`, line ends, `:` and `,` are escaped as its
/// documentation says, so that no name in a file can begin a command of its own.
#[must_use]
pub(crate) fn github(outcome: &Outcome) -> String {
    let mut out = String::new();
    for finding in &outcome.findings {
        let span = finding.primary.span;
        let (start, end) = (
            outcome.sources.position(span),
            outcome.sources.end_position(span),
        );
        let command = match finding.severity {
            _ if !finding.stands() => "notice",
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "notice",
        };
        // A column is given only where the finding ends on its own line, as the service asks.
        let columns = if start.line == end.line {
            format!(",col={},endColumn={}", start.column, end.column)
        } else {
            String::new()
        };
        out.push_str(&format!(
            "::{command} file={},line={},endLine={}{columns},title={}::{}\n",
            property(outcome.sources.path(span.source)),
            start.line,
            end.line,
            property(&finding.rule),
            data(&sentence(finding)),
        ));
    }
    for looser in &outcome.looser {
        let path = outcome.sources.path(looser.span.source);
        let line = outcome.sources.position(looser.span).line;
        out.push_str(&format!(
            "::notice file={},line={line},title=less strict::{}\n",
            property(path),
            data(&looser.says)
        ));
    }
    for missed in &outcome.not_checked {
        out.push_str(&format!(
            "::error file={},title=not checked::{}\n",
            property(&missed.path),
            data(&missed.why)
        ));
    }
    if !outcome.checked.is_empty() {
        out.push_str(&summary(outcome));
    }
    out
}

/// A notice that no line has: how much was found, and what that does not say.
fn summary(outcome: &Outcome) -> String {
    let tally = Tally::from_outcome(outcome);
    let found = match tally.findings.describe() {
        none if none.is_empty() => "no findings".to_owned(),
        some => some,
    };
    let missions = counted(tally.missions.len(), "mission", "missions");
    let title = property(&format!("{found} in {missions}"));
    let text = data(&format!("{CAUTION} {}", PHYSICAL.join(" ")));
    format!("::notice title={title}::{text}\n")
}

fn sentence(finding: &Finding) -> String {
    let mut text = match &finding.mission {
        Some(mission) => format!("mission {mission}: {}", finding.message),
        None => finding.message.clone(),
    };
    if let Some(accepted) = &finding.accepted {
        text.push_str("; ");
        text.push_str(&accepted.sentence());
    }
    text
}

fn data(text: &str) -> String {
    printable_line(text)
        .replace('%', "%25")
        .replace('\r', "%0D")
        .replace('\n', "%0A")
}

fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}

/// A Code Quality report, as GitLab reads it from a job's artifact.
///
/// # Errors
/// Those of the serializer; no outcome is known to cause one.
pub(crate) fn gitlab(outcome: &Outcome) -> Result<String, serde_json::Error> {
    let findings = outcome.findings.iter().map(|finding| {
        let span = finding.primary.span;
        let (start, end) = (
            outcome.sources.position(span),
            outcome.sources.end_position(span),
        );
        json!({
            "description": printable_line(&sentence(finding)),
            "check_name": finding.rule,
            "fingerprint": finding.fingerprint,
            "severity": severity(finding),
            "location": {
                "path": outcome.sources.path(span.source),
                "lines": { "begin": start.line, "end": end.line },
            },
        })
    });
    let missed = outcome.not_checked.iter().map(|file| {
        json!({
            "description": printable_line(&file.why),
            "check_name": "not-checked",
            "fingerprint": crate::finding::fingerprint(&["not-checked", &file.path, &file.why]),
            "severity": "blocker",
            "location": { "path": file.path, "lines": { "begin": 1 } },
        })
    });
    let looser = outcome.looser.iter().map(|looser| {
        let path = outcome.sources.path(looser.span.source);
        let line = outcome.sources.position(looser.span).line;
        json!({
            "description": printable_line(&looser.says),
            "check_name": "asks-for-less",
            "fingerprint": crate::finding::fingerprint(&["asks-for-less", path, &looser.says]),
            "severity": "info",
            "location": { "path": path, "lines": { "begin": line } },
        })
    });
    let all: Vec<Value> = findings.chain(looser).chain(missed).collect();
    super::output::text(&all)
}

fn severity(finding: &Finding) -> &'static str {
    match finding.severity {
        _ if !finding.stands() => "info",
        Severity::Error => "critical",
        Severity::Warning => "major",
        Severity::Advice => "info",
    }
}
