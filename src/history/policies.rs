//! The policies that plans were run under, read from the bytes that records name; that their commits hold
//! these bytes is told elsewhere.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::in_git::objects;
use super::{Record, Records};
use crate::check::{Loaded, load};
use crate::plan::flight::Input;
use crate::review::git::{Git, GitError};
use crate::rules::Effective;
use crate::source::{Limit, MemoryTree, SourceId};

/// The policy and the rules of one record, or of many that name the same.
pub(super) struct Judging {
    policy: String,
    loaded: Option<Loaded>,
}

impl Judging {
    /// The policy; `None` where its files are not there or not in order.
    pub(super) fn policy(&self) -> Option<&Effective> {
        self.loaded.as_ref()?.policies.get(&self.policy)
    }

    /// Path of one of its files in the commit.
    pub(super) fn path(&self, source: SourceId) -> &str {
        let loaded = self.loaded.as_ref();
        loaded.map_or("", |loaded| loaded.sources.path(source))
    }
}

/// What each record was judged by. Files that many records name are read once.
pub(super) fn of(records: &Records, git: &dyn Git) -> Result<Vec<Arc<Judging>>, GitError> {
    let mut known: BTreeMap<Vec<&str>, Arc<Judging>> = BTreeMap::new();
    let mut all = Vec::with_capacity(records.records.len());
    for record in &records.records {
        let mut key = vec![record.flight.policy.value.as_str()];
        let named = inputs(record);
        key.extend(named.flat_map(|input| [input.path.value.as_str(), &input.sha256.value]));
        let judging = match known.get(&key) {
            Some(judging) => Arc::clone(judging),
            None => {
                let read = Arc::new(read(record, git)?);
                known.insert(key, Arc::clone(&read));
                read
            }
        };
        all.push(judging);
    }
    Ok(all)
}

fn inputs(record: &Record) -> impl Iterator<Item = &Input> {
    let inputs = record.flight.inputs.iter();
    inputs.filter(|input| matches!(input.role.as_str(), "policy" | "rule"))
}

fn read(record: &Record, git: &dyn Git) -> Result<Judging, GitError> {
    let mut tree = MemoryTree::default();
    for input in inputs(record) {
        let path = &input.path.value;
        if let Some(text) = text_in(git, &record.flight.commit.value, path)? {
            tree.put(path.clone(), text);
        }
    }
    Ok(Judging {
        policy: record.flight.policy.value.clone(),
        loaded: load(&tree, None).ok(),
    })
}

/// The text of a file of a commit; `None` where there is none.
pub(super) fn text_in(git: &dyn Git, commit: &str, path: &str) -> Result<Option<String>, GitError> {
    let named = objects(git, &[format!("{commit}:{path}")])?;
    let Some(object) = named.into_iter().next().flatten() else {
        return Ok(None);
    };
    let bytes = git.blob(&object, Limit::YAML.bytes())?;
    Ok(bytes.and_then(|bytes| String::from_utf8(bytes).ok()))
}
