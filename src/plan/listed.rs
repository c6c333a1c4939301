//! What of a tree is looked into: its YAML files, within bounds.

use super::gathered::{SIGNATURE, is_yaml};
use crate::source::{Limit, Limits, Listing, ReadError, Tree};

/// The files of a tree as far as they matter to plans.
pub(super) struct Listed {
    /// Paths of the YAML files.
    pub files: Vec<String>,
    /// Paths of files that hold signatures.
    pub signatures: Vec<String>,
    /// What was refused.
    pub refused: Vec<(String, ReadError)>,
    /// Size of the YAML files together, bytes.
    size: u64,
}

/// Size of a tree's YAML files together, bytes.
///
/// # Errors
/// As [`Listed::from_tree`].
pub(crate) fn yaml_size(tree: &dyn Tree) -> Result<u64, ReadError> {
    Listed::from_tree(tree).map(|listed| listed.size)
}

impl Listed {
    /// Lists a tree.
    ///
    /// # Errors
    /// [`ReadError`] where it cannot be listed, or its YAML files are too many or too large together.
    pub(super) fn from_tree(tree: &dyn Tree) -> Result<Self, ReadError> {
        let Listing { files, refused } = tree.list()?;
        let signatures = files.iter().map(|entry| &entry.path);
        let signatures = signatures.filter(|path| path.ends_with(SIGNATURE));
        let signatures = signatures.cloned().collect();
        let yaml = files.into_iter().filter(|entry| is_yaml(&entry.path));
        let yaml: Vec<_> = yaml.collect();
        let limit = Limits::DEFAULT.yaml_files;
        if yaml.len() > limit {
            return Err(ReadError::TooManyFiles { limit });
        }
        let limit = Limits::DEFAULT.yaml_read;
        // One that is too large by itself is not read at all.
        let sizes = yaml.iter().map(|file| file.size);
        let readable = sizes.filter(|size| *size <= Limit::YAML.bytes());
        let size = readable.sum::<u64>();
        if size > limit {
            let what = "YAML files";
            return Err(ReadError::TooMuch { what, limit });
        }
        Ok(Self {
            files: yaml.into_iter().map(|entry| entry.path).collect(),
            signatures,
            refused,
            size,
        })
    }

    /// Makes sure that all of it can be parsed at once.
    ///
    /// # Errors
    /// [`ReadError::TooMuchAtOnce`].
    pub(super) fn can_be_parsed(&self) -> Result<(), ReadError> {
        let limit = Limits::DEFAULT.yaml_together;
        match self.size > limit {
            true => Err(ReadError::TooMuchAtOnce { limit }),
            false => Ok(()),
        }
    }
}
