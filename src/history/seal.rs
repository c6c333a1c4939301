//! Sealing a history: one signature over all of it.

use std::collections::BTreeSet;

use super::records::{NoHistory, Record, Records};
use super::sealed::{COUNT, DECISION, END, TITLE};
use super::verified::verify;
use crate::check::NoAnswer;
use crate::git::Git;
use crate::source::Tree;

/// A seal that may be made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Seal {
    /// Name of its tag.
    pub tag: String,
    /// What it says.
    pub message: String,
    /// The commit that it is put on.
    pub commit: String,
    /// How many records it seals.
    pub records: usize,
}

/// The seal of a chain as it is. A chain that is broken, or not committed, is not sealed.
///
/// # Errors
/// [`NoAnswer`] where it is not, or cannot be read.
pub(crate) fn seal(tree: &dyn Tree, git: &dyn Git, commit: &str) -> Result<Seal, NoAnswer> {
    let verified = verify((Records::read(tree)?, tree), git, None)?;
    if let Some(finding) = verified.findings.first() {
        return Err(NoAnswer::BadRequest(format!(
            "the chain is broken, so it was not sealed: {}; `offing history verify` shows more",
            finding.message
        )));
    }
    if let Some(note) = verified.uncommitted.first() {
        return Err(NoAnswer::BadRequest(format!(
            "{note}; a seal covers only what is committed"
        )));
    }
    let records = Records::read(tree).map_err(NoHistory::from)?;
    let heads: BTreeSet<String> = records.heads().into_iter().collect();
    let ends: Vec<&Record> = records
        .records
        .iter()
        .filter(|record| heads.contains(&record.sha256))
        .collect();
    let Some(last) = ends.last() else {
        let text = "there is no record yet, and nothing to seal";
        return Err(NoAnswer::BadRequest(text.to_owned()));
    };
    let rested_on: BTreeSet<&str> = records
        .records
        .iter()
        .filter_map(|record| Some(record.run.decision.as_ref()?.sha256.value.as_str()))
        .collect();
    let mut message = format!("{TITLE}\n\n{COUNT}{}\n", records.records.len());
    for record in &ends {
        message.push_str(&format!("{END}{} {}\n", record.sha256, record.run.id.value));
    }
    for launch in &records.launches {
        if !rested_on.contains(launch.sha256.as_str()) {
            let id = &launch.decided.id.value;
            message.push_str(&format!("{DECISION}{} {id}\n", launch.sha256));
        }
    }
    Ok(Seal {
        tag: format!("seal-{}", last.run.id.value),
        message,
        commit: commit.to_owned(),
        records: records.records.len(),
    })
}
