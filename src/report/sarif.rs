//! The report as SARIF 2.1.0, the OASIS standard format for results of static analysis, which
//! code-hosting services show beside the lines of a change.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::tally::Tally;
use super::uri::relative_reference;
use crate::check::{EffectiveLimit, Outcome};
use crate::finding::{Accepted, Edit, Finding, Label, Nature, Remedy, Severity};
use crate::source::{SourceId, Sources, Span, printable_line as inert};

/// Where the paths of the report start: the root of the repository.
const ROOT: &str = "SRCROOT";

/// The report of a check as SARIF text.
///
/// A rule that could not be judged is a result of the rule's own level and not one that is still
/// open, which a reader could pass over.
///
/// # Errors
/// Those of the serializer; no outcome is known to cause one.
pub(crate) fn sarif(outcome: &Outcome) -> Result<String, serde_json::Error> {
    let rules = rules(outcome);
    let index: BTreeMap<&str, usize> = rules
        .iter()
        .enumerate()
        .map(|(index, (id, _))| (id.as_str(), index))
        .collect();
    let results: Vec<Value> = outcome
        .findings
        .iter()
        .map(|finding| result(finding, &index, &outcome.sources))
        .collect();
    let mut log = json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "offing",
                "version": env!("CARGO_PKG_VERSION"),
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "shortDescription": { "text": env!("CARGO_PKG_DESCRIPTION") },
                "rules": rules.into_iter().map(|(_, rule)| rule).collect::<Vec<_>>(),
            }},
            "invocations": [invocation(outcome)],
            "originalUriBaseIds": { ROOT: {
                "description": { "text": "The root of the repository." }
            }},
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    });
    if let Some(part) = &outcome.part_of {
        let tally = Tally::from_outcome(outcome);
        log["runs"][0]["properties"] = json!({ "partition": {
            "number": part.partition.number(),
            "of": part.partition.count(),
            "digest": part.digest,
            "ahead": part.ahead,
            "missions": tally.missions.len(),
            "clean": tally.clean(),
        }});
    }
    super::output::text(&log)
}

/// The last thing that is reported, with how many missions were checked and how many of them are clean.
pub(super) fn caution(missions: usize, clean: usize) -> Value {
    let text = format!(
        "{missions} missions checked, {clean} of them clean. {}",
        super::CAUTION
    );
    json!({ "level": "note", "message": { "text": text } })
}

fn invocation(outcome: &Outcome) -> Value {
    let missed = outcome.not_checked.iter().map(|file| {
        let text = format!("{}: {}", plain(&file.path), plain(&file.why));
        json!({
            "level": "error",
            "message": { "text": text },
            "properties": { "path": plain(&file.path), "why": plain(&file.why) },
        })
    });
    let notes = outcome
        .notes
        .iter()
        .map(|note| json!({ "level": "note", "message": { "text": plain(note) } }));
    let tally = Tally::from_outcome(outcome);
    let last = caution(tally.missions.len(), tally.clean());
    json!({
        "executionSuccessful": outcome.not_checked.is_empty(),
        "toolExecutionNotifications": missed.chain(notes).chain([last]).collect::<Vec<_>>(),
    })
}

/// Rules by id: those in force, and the kinds of input error that were met.
fn rules(outcome: &Outcome) -> Vec<(String, Value)> {
    let mut rules: BTreeMap<String, Value> = BTreeMap::new();
    for rule in &outcome.in_force {
        rules
            .entry(rule.rule.clone())
            .or_insert_with(|| of_rule(rule));
    }
    for finding in &outcome.findings {
        rules.entry(finding.rule.clone()).or_insert_with(|| {
            let (what, help) = if finding.nature == Nature::Input {
                (
                    "A file that cannot be read as it stands.",
                    "Correct what the message names; a plan that cannot be read cannot be checked.",
                )
            } else {
                (
                    "What judges plans, or lets findings be accepted.",
                    "Correct what the message names; no policy can switch this off.",
                )
            };
            json!({
                "id": finding.rule,
                "shortDescription": { "text": what },
                "help": { "text": help },
                "defaultConfiguration": { "level": "error" },
            })
        });
    }
    rules.into_iter().collect()
}

fn of_rule(rule: &EffectiveLimit) -> Value {
    let paragraphs = [
        rule.why.clone(),
        format!("What to do: {}", rule.remedy),
        format!("The limit in force is {}.", rule.bound),
        format!("More: offing explain {}", rule.rule),
    ];
    let marked: Vec<String> = paragraphs
        .iter()
        .map(|paragraph| super::inert::escaped(paragraph))
        .collect();
    json!({
        "id": rule.rule,
        "shortDescription": { "text": plain(&rule.title) },
        "fullDescription": { "text": unlinked(&rule.why) },
        "help": { "text": unlinked(&paragraphs.join("\n\n")), "markdown": marked.join("\n\n") },
        "defaultConfiguration": { "level": level(rule.severity), "enabled": rule.enabled },
        "properties": { "policy": rule.policy },
    })
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Advice => "note",
    }
}

fn result(finding: &Finding, index: &BTreeMap<&str, usize>, sources: &Sources) -> Value {
    let related: Vec<Value> = finding
        .related
        .iter()
        .filter(|label| in_repository(label.span, sources))
        .enumerate()
        .map(|(id, label)| related(id, label, sources))
        .collect();
    let mut properties = Map::new();
    properties.insert("nature".into(), finding.nature.name().into());
    let mut add = |key: &str, value: Option<&str>| {
        if let Some(value) = value {
            properties.insert(key.into(), plain(value).into());
        }
    };
    add("mission", finding.mission.as_deref());
    add("scenario", finding.scenario.as_deref());
    if let Some(comparison) = &finding.comparison {
        let (measured, limit) = (comparison.measured, comparison.limit);
        add("measured", Some(&measured.to_string()));
        add(
            "limit",
            Some(&format!("{} {limit}", comparison.side.label())),
        );
    }
    if !finding.steps.is_empty() {
        properties.insert("steps".into(), finding.steps.clone().into());
    }
    let mut result = json!({
        "ruleId": finding.rule,
        "ruleIndex": index.get(finding.rule.as_str()),
        "level": level(finding.severity),
        "message": { "text": message(finding) },
        "locations": [location(&finding.primary, sources)],
        "relatedLocations": related,
        "partialFingerprints": { "offing/v2": finding.fingerprint },
        "properties": properties,
    });
    let fixes = fixes(finding, sources);
    if !fixes.is_empty() {
        result["fixes"] = fixes.into();
    }
    if let Some(accepted) = &finding.accepted {
        // A waiver stands in the plan itself, the baseline beside it.
        let kind = match accepted.how {
            Accepted::Waiver => "inSource",
            Accepted::Baseline | Accepted::Example => "external",
        };
        result["suppressions"] = json!([{
            "kind": kind,
            "status": "accepted",
            "justification": plain(&accepted.sentence()),
            "location": {
                "physicalLocation": physical(accepted.line, sources),
            },
        }]);
    }
    result
}

/// The remedies that are changes of files, each enough by itself (3.27.30 and 3.55).
fn fixes(finding: &Finding, sources: &Sources) -> Vec<Value> {
    let in_files = |remedy: &&Remedy| {
        let mut edits = remedy.edits.iter();
        !remedy.edits.is_empty() && edits.all(|edit| in_repository(edit.replaced, sources))
    };
    let fixes = finding.remedies.iter().filter(in_files);
    fixes.map(|remedy| fix(remedy, sources)).collect()
}

/// One remedy: what it replaces of each file, in the order of the file.
fn fix(remedy: &Remedy, sources: &Sources) -> Value {
    let mut changes: BTreeMap<SourceId, Vec<&Edit>> = BTreeMap::new();
    for edit in &remedy.edits {
        changes.entry(edit.file).or_default().push(edit);
    }
    let changes = changes.into_iter().map(|(file, mut edits)| {
        edits.sort_by_key(|edit| edit.replaced);
        let replacements = edits.into_iter().map(|edit| {
            json!({
                // Of no length where something is added: it goes ahead of what stands there (3.57.3).
                "deletedRegion": region(edit.replaced, sources),
                "insertedContent": { "text": edit.text },
            })
        });
        json!({
            "artifactLocation": artifact(file, sources),
            "replacements": replacements.collect::<Vec<_>>(),
        })
    });
    json!({
        "description": { "text": plain(&remedy.sentence()) },
        "artifactChanges": changes.collect::<Vec<_>>(),
    })
}

/// The sentence, and how to fix it.
fn message(finding: &Finding) -> String {
    let mut text = String::new();
    if let Some(mission) = &finding.mission {
        text.push_str(&format!("Mission {}: ", plain(mission)));
    }
    text.push_str(&plain(&finding.message));
    text.push('.');
    for remedy in finding.remedies_told() {
        text.push_str("\n- ");
        text.push_str(&plain(&remedy));
    }
    text
}

/// A text of a file on one line, inert.
fn plain(text: &str) -> String {
    unlinked(&inert(text))
}

/// A text without what the standard takes for a link in a plain message (3.11.6): a bracket that
/// ends and a parenthesis that follows at once.
fn unlinked(text: &str) -> String {
    text.replace("](", "] (")
}

fn in_repository(span: Span, sources: &Sources) -> bool {
    !sources.is_embedded(span.source)
}

fn location(label: &Label, sources: &Sources) -> Value {
    json!({
        "physicalLocation": physical(label.span, sources),
        "message": { "text": plain(&label.text) },
    })
}

fn related(id: usize, label: &Label, sources: &Sources) -> Value {
    json!({
        "id": id,
        "physicalLocation": physical(label.span, sources),
        "message": { "text": plain(&label.text) },
    })
}

fn physical(span: Span, sources: &Sources) -> Value {
    json!({
        "artifactLocation": artifact(span.source, sources),
        "region": region(span, sources),
    })
}

fn artifact(file: SourceId, sources: &Sources) -> Value {
    json!({ "uri": relative_reference(sources.path(file)), "uriBaseId": ROOT })
}

fn region(span: Span, sources: &Sources) -> Value {
    let (start, end) = (sources.position(span), sources.end_position(span));
    json!({
        "startLine": start.line,
        "startColumn": start.column,
        "endLine": end.line,
        "endColumn": end.column,
    })
}
