//! Striking off a baseline what is no longer found.

use std::collections::BTreeSet;

use super::{Outcome, check, load};
use crate::plan::baseline::Baseline;
use crate::source::{ReadError, Tree};

/// A baseline with what is still found of it.
#[derive(Debug)]
pub struct Struck {
    /// Path of its file.
    pub path: String,
    /// The baseline as it stands.
    pub baseline: Baseline,
    /// Fingerprints of those of its findings that are still there.
    pub kept: BTreeSet<String>,
    /// What the tree comes to.
    pub outcome: Outcome,
}

/// Checks a tree, and tells which findings of its baseline are still there. `None` where it has no
/// baseline that can be read.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed.
pub fn strike(tree: &dyn Tree) -> Result<Option<Struck>, ReadError> {
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
    let known = baseline
        .findings
        .iter()
        .map(|known| &known.fingerprint.value);
    let kept = known
        .filter(|known| there.contains(known.as_str()))
        .cloned();
    Ok(Some(Struck {
        path,
        kept: kept.collect(),
        outcome,
        baseline,
    }))
}
