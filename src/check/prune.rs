//! Striking off a baseline what is no longer found.

use std::collections::BTreeSet;

use super::{Outcome, check, load};
use crate::finding::Nature;
use crate::plan::baseline::{Baseline, baseline};
use crate::plan::read_file;
use crate::source::{Limit, ReadError, Sources, Tree};

/// A baseline with what is still found of it.
#[derive(Debug)]
pub(crate) struct Pruned {
    /// Path of its file.
    pub path: String,
    /// The baseline as it stands.
    pub baseline: Baseline,
    /// Fingerprints of those of its findings that are still there, or whose rule could not be judged.
    pub kept: BTreeSet<String>,
    /// What the tree comes to.
    pub outcome: Outcome,
}

/// Checks a tree, and tells which findings of its baseline are still there. `None` where it has no
/// baseline that can be read.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed.
pub(crate) fn prune(tree: &dyn Tree) -> Result<Option<Pruned>, ReadError> {
    let loaded = load(tree, None)?;
    let Some(baseline) = loaded.accepting.baseline.clone() else {
        return Ok(None);
    };
    let path = loaded.sources.path(baseline.id.span().source).to_owned();
    let outcome = check(tree, None)?;
    let there: BTreeSet<&str> = outcome
        .findings
        .iter()
        .map(|finding| finding.fingerprint.as_str())
        .collect();
    // What could not be judged is not mended: another finding of the same rule may hide behind it.
    let unjudged: BTreeSet<(&str, Option<&str>)> = outcome
        .findings
        .iter()
        .filter(|finding| finding.nature == Nature::NotEvaluated)
        .map(|finding| (finding.rule.as_str(), finding.mission.as_deref()))
        .collect();
    let known = baseline.findings.iter().filter(|known| {
        there.contains(known.fingerprint.value.as_str())
            || unjudged.contains(&(known.rule.as_str(), Some(known.mission.as_str())))
    });
    let kept = known.map(|known| known.fingerprint.value.clone());
    Ok(Some(Pruned {
        path,
        kept: kept.collect(),
        outcome,
        baseline,
    }))
}

/// Why a tree cannot be held against a baseline: the first of what could not be read, or was not judged by
/// what was meant to judge it. A finding may hide behind it, and would be taken for mended.
#[must_use]
pub(crate) fn not_all_read(outcome: &Outcome) -> Option<String> {
    if let Some(file) = outcome.not_checked.first() {
        return Some(format!("{}: {}", file.path, file.why));
    }
    let mut findings = outcome.findings.iter();
    if let Some(finding) = findings.find(|finding| finding.nature == Nature::Input) {
        let span = finding.primary.span;
        let line = outcome.sources.position(span).line;
        let path = outcome.sources.path(span.source);
        return Some(format!("{path}:{line}: {}", finding.message));
    }
    let mut missions = outcome.checked.iter();
    missions.find_map(|one| one.in_doubt.first().cloned())
}

impl Pruned {
    /// A rule that could not be judged, and whose finding the baseline does not have: whether what it has
    /// of it is mended cannot be determined.
    #[must_use]
    pub(crate) fn not_judged(&self) -> Option<String> {
        let known: BTreeSet<&str> = self
            .baseline
            .findings
            .iter()
            .map(|known| known.fingerprint.value.as_str())
            .collect();
        let mut findings = self.outcome.findings.iter();
        let found = findings.find(|finding| {
            finding.nature == Nature::NotEvaluated && !known.contains(finding.fingerprint.as_str())
        })?;
        let of = found.mission.as_deref().unwrap_or_default();
        Some(format!(
            "rule `{}` could not be evaluated on mission `{of}`",
            found.rule
        ))
    }
}

/// Reads the text of a baseline that is to be written, as every check after it will.
///
/// # Errors
/// Why it could not be read again, in a sentence.
pub fn baseline_reads_back(text: &str) -> Result<Baseline, String> {
    let most = Limit::YAML.bytes();
    if text.len() as u64 > most {
        return Err(format!(
            "it would have {} bytes, and a file of a team's has at most {most}",
            text.len()
        ));
    }
    let mut sources = Sources::new();
    let source = sources.add("baseline.yaml", text);
    let gathered = read_file(source, &sources);
    let first = |problems: &[crate::schema::Problem]| {
        let first = problems.first();
        first.map_or_else(String::new, |problem| problem.message.clone())
    };
    match gathered.files.first() {
        Some(file) if file.sound => baseline(file).map_err(|problems| first(&problems)),
        _ => Err(first(&gathered.problems)),
    }
}
