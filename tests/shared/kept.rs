//! What a folder held, kept in memory: a repository or a copy of the documents is made once and laid out
//! for each test that changes it.

use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};
use tempfile::TempDir;

/// The files of a folder with their bytes, and its folders without any.
pub struct Kept(Vec<(PathBuf, Option<Vec<u8>>)>);

impl Kept {
    /// What a folder holds now.
    pub fn of(folder: &Path) -> Self {
        let walk = walkdir::WalkDir::new(folder).min_depth(1);
        let entries = walk.sort_by_file_name().into_iter();
        let entries = entries.map(|entry| {
            let entry = entry.unwrap();
            let path = entry.path().strip_prefix(folder).unwrap().to_owned();
            let kind = entry.file_type();
            assert!(!kind.is_symlink(), "{} is a link", path.display());
            let bytes = kind.is_file().then(|| std::fs::read(entry.path()).unwrap());
            (path, bytes)
        });
        Self(entries.collect())
    }

    /// A name for all of it.
    pub fn digest(&self) -> String {
        let mut digest = Sha256::new();
        for (path, bytes) in &self.0 {
            let bytes = bytes.as_deref().unwrap_or_default();
            digest.update(format!("{} {}\n", path.display(), bytes.len()));
            digest.update(bytes);
        }
        data_encoding::HEXLOWER.encode(&digest.finalize())
    }

    /// A folder of its own that holds the same.
    pub fn lay_out(&self) -> TempDir {
        let folder = super::scratch::folder().unwrap();
        self.lay_into(folder.path());
        folder
    }

    /// Writes the same into a folder, which is made where it is not there.
    pub fn lay_into(&self, folder: &Path) {
        std::fs::create_dir_all(folder).unwrap();
        for (path, bytes) in &self.0 {
            let at = folder.join(path);
            match bytes {
                Some(bytes) => std::fs::write(at, bytes).unwrap(),
                None => std::fs::create_dir(at).unwrap(),
            }
        }
    }
}
