//! A tree of files in memory.

use std::collections::BTreeMap;

use offing::source::{Entry, Limit, Listing, ReadError, Tree};

/// Files by path, read as a work tree's are.
#[derive(Clone, Debug, Default)]
pub struct MemoryTree {
    files: BTreeMap<String, String>,
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

    fn read(&self, path: &str, limit: Limit) -> Result<String, ReadError> {
        let text = self.files.get(path).ok_or_else(|| ReadError::NotFound {
            path: path.to_owned(),
        })?;
        if text.len() as u64 > limit.bytes() {
            return Err(ReadError::TooLarge {
                path: path.to_owned(),
                size: text.len() as u64,
                limit: limit.bytes(),
            });
        }
        Ok(text.clone())
    }
}
