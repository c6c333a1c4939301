//! Objects of git that are read for a history.

use std::collections::BTreeMap;

use crate::check::sha256;
use crate::git::{Git, GitError};
use crate::source::Limit;

/// The text of an object; `None` where it is none, or longer than a file of YAML may be.
pub(super) fn text(git: &dyn Git, object: &str) -> Result<Option<String>, GitError> {
    text_within(git, object, Limit::YAML)
}

fn text_within(git: &dyn Git, object: &str, limit: Limit) -> Result<Option<String>, GitError> {
    let bytes = git.blob(object, limit.bytes())?;
    Ok(bytes.and_then(|bytes| String::from_utf8(bytes).ok()))
}

/// SHA-256 of an object's bytes; `None` where it is too large to be a file of a plan.
pub(super) fn digest(git: &dyn Git, object: &str) -> Result<Option<String>, GitError> {
    let text = text_within(git, object, Limit::GEODATA)?;
    Ok(text.map(|text| sha256(&text)))
}

/// What is known of a key, found out where it is not yet.
pub(super) fn once<K: Ord, V: Clone>(
    known: &mut BTreeMap<K, V>,
    key: K,
    find: impl FnOnce() -> Result<V, GitError>,
) -> Result<V, GitError> {
    if let Some(value) = known.get(&key) {
        return Ok(value.clone());
    }
    let value = find()?;
    known.insert(key, value.clone());
    Ok(value)
}
