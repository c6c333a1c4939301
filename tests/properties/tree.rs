//! A tree of files in memory.

use std::collections::BTreeMap;
use std::path::Path;

use offing::source::{Entry, Limit, Listing, ReadError, Tree};

/// Paths and their texts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MemoryTree {
    pub files: BTreeMap<String, String>,
}

impl MemoryTree {
    /// The files of a folder of the repository, by their paths inside it.
    pub fn of_folder(folder: &str, wanted: impl Fn(&str) -> bool) -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut tree = Self::default();
        let mut folders = vec![root.clone()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                    continue;
                }
                let name = path.strip_prefix(&root).unwrap().to_str().unwrap();
                if wanted(name) {
                    let text = std::fs::read_to_string(&path).unwrap();
                    tree.files.insert(name.to_owned(), text);
                }
            }
        }
        tree
    }
}

impl Tree for MemoryTree {
    fn list(&self) -> Result<Listing, ReadError> {
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
        assert!(text.len() as u64 <= limit.bytes(), "{path} is too large");
        Ok(text.clone())
    }
}
