//! Files that exist only in memory: what a test, a benchmark or a fuzzer makes up.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::error::ReadError;
use super::limits::Limit;
use super::tree::{Entry, Listing, Tree};

/// A tree of files in memory, bounded in size as one on disk is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MemoryTree {
    /// Texts by path, relative to the root.
    pub files: BTreeMap<String, String>,
}

impl MemoryTree {
    /// Puts a file in, in place of one that lies there.
    pub fn put(&mut self, path: impl Into<String>, text: impl Into<String>) {
        self.files.insert(path.into(), text.into());
    }
}

impl Tree for MemoryTree {
    fn list(&self) -> Result<Listing, ReadError> {
        // The map holds them in the order that a listing asks for.
        let files = self.files.iter().map(|(path, text)| Entry {
            path: path.clone(),
            size: text.len() as u64,
        });
        Ok(Listing {
            files: files.collect(),
            refused: Vec::new(),
        })
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        let text = self.files.get(path).ok_or_else(|| ReadError::NotFound {
            path: path.to_owned(),
        })?;
        let size = text.len() as u64;
        if size > limit.bytes() {
            let limit = limit.bytes();
            return Err(ReadError::TooLarge {
                path: path.to_owned(),
                size,
                limit,
            });
        }
        Ok(text.as_str().into())
    }
}
