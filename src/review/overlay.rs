//! A revision judged by another one's policies and rules: its own files, but for those.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::source::{Entry, Limit, Listing, ReadError, Tree};

/// A tree whose policies and rules are another one's.
pub(super) struct UnderPolicy<'a> {
    /// The tree that is judged.
    pub head: &'a dyn Tree,
    /// The tree whose policies and rules judge it.
    pub base: &'a dyn Tree,
    /// What stands before the paths of these, and before no path of the judged tree: `1a2b3c4:`.
    pub label: &'a str,
    /// Paths of the tree's own policies and rules, which are left out.
    pub dropped: BTreeSet<String>,
    /// Paths of the policies and rules that are taken in.
    pub taken: BTreeSet<String>,
    /// Paths of the files of signers that these name, which are read and not listed.
    pub signers: BTreeSet<String>,
}

impl Tree for UnderPolicy<'_> {
    fn list(&self) -> Result<Listing, ReadError> {
        let mut listing = self.head.list()?;
        listing
            .files
            .retain(|entry| !self.dropped.contains(&entry.path));
        listing.files.extend(self.taken.iter().map(|path| Entry {
            path: format!("{}{path}", self.label),
            size: 0,
        }));
        listing.files.sort();
        Ok(listing)
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        match path.strip_prefix(self.label) {
            Some(path) if self.taken.contains(path) || self.signers.contains(path) => {
                self.base.read(path, limit)
            }
            _ => self.head.read(path, limit),
        }
    }
}
