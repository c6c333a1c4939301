//! Decisions and records that the repository knows and the tree does not hold: those of other branches,
//! those that a commit took away, altered or made something else, and those of commits that were thrown
//! away since.

use std::collections::{BTreeMap, BTreeSet};

use super::in_git::committed;
use super::log::Log;
use super::{NoHistory, Records};
use crate::check::{Elsewhere, recorded, sha256};
use crate::review::git::{Git, is_shallow};
use crate::source::{Limit, Tree};

/// Looks through every commit that git still knows by a name. What is in the commit that is checked out
/// and not in the tree is found by [`missing`](super::in_git::missing).
///
/// # Errors
/// [`NoHistory`] where git does not answer, or the tree cannot be listed.
pub fn elsewhere(tree: &dyn Tree, git: &dyn Git) -> Result<Elsewhere, NoHistory> {
    let records = Records::read(tree)?;
    let log = Log::everything(git)?;
    let here: BTreeSet<String> = committed(git)?.into_values().collect();
    // Where each object stood; the latest commit that had it comes first in the log.
    let mut stood: BTreeMap<&str, (String, &str)> = BTreeMap::new();
    for change in &log.changes {
        let short = change.commit.get(..10).unwrap_or(&change.commit);
        let sides = [
            (&change.after, short.to_owned()),
            (&change.before, format!("{short}^")),
        ];
        for (object, commit) in sides {
            let nothing = object.bytes().all(|byte| byte == b'0');
            if !nothing && !here.contains(object) {
                let place = (commit, change.path.as_str());
                stood.entry(object).or_insert(place);
            }
        }
    }
    let objects: Vec<&str> = stood.keys().copied().collect();
    let texts = git.blobs(&objects, Limit::YAML.bytes());
    let known: BTreeSet<&str> = records.digests().collect();
    let mut found = Elsewhere {
        shallow: is_shallow(git),
        ..Elsewhere::default()
    };
    for ((commit, path), text) in stood.values().zip(texts) {
        // What is larger than a file of a team, or no text, is no record.
        let Some(text) = text?.and_then(|bytes| String::from_utf8(bytes).ok()) else {
            continue;
        };
        if recorded(&text).is_some() && !known.contains(sha256(&text).as_str()) {
            found.files.push((format!("{commit}:{path}"), text));
        }
    }
    Ok(found)
}
