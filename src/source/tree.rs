//! A tree of files that is read bounded and confined, wherever it is kept.

use std::sync::Arc;

use rayon::prelude::*;

use super::error::ReadError;
use super::file::SourceFile;
use super::limits::Limit;

/// A file in a tree.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    /// Path relative to the root, with `/` between folders.
    pub path: String,
    /// Size in bytes when it was listed.
    pub size: u64,
}

/// What a tree holds. Both lists are sorted by path, byte by byte.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// The regular files.
    pub files: Vec<Entry>,
    /// What is not read, each with the reason. A caller must show these: a plan may hide there.
    pub refused: Vec<(String, ReadError)>,
}

impl Listing {
    pub(super) fn sort(&mut self) {
        self.files.sort();
        self.refused.sort_by(|(one, _), (other, _)| one.cmp(other));
    }
}

/// A tree of files: the work tree, or a revision in git.
pub trait Tree: Sync {
    /// Every regular file, hidden ones too, in the same order each time.
    ///
    /// # Errors
    /// If the tree cannot be read at all, or holds more files than the limit. What is refused by
    /// itself is in [`Listing::refused`].
    fn list(&self) -> Result<Listing, ReadError>;

    /// The text of one file, by its path relative to the root.
    ///
    /// # Errors
    /// If the path is refused, nothing or no regular file is there, the file is larger than the
    /// limit, or it is not UTF-8.
    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError>;

    /// The texts of several files, in the order in which they are requested: at once, where that
    /// is faster than one by one.
    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<Arc<str>, ReadError>> {
        let paths = paths.par_iter();
        paths.map(|path| self.read(path, limit)).collect()
    }

    /// The name that git has for a file's bytes, where it is known without reading them. The same
    /// name is the same bytes.
    fn object(&self, path: &str) -> Option<&str> {
        let _ = path;
        None
    }

    /// What the tree is called where a message says that something is not in it. It is safe to print.
    fn place(&self) -> String {
        "these files".to_owned()
    }
}

/// Bytes of a file as text.
///
/// # Errors
/// [`ReadError::NotUtf8`] with the place of the first bad byte.
pub fn checked_text<'a>(path: &str, bytes: &'a [u8]) -> Result<&'a str, ReadError> {
    std::str::from_utf8(bytes).map_err(|error| {
        let offset = error.valid_up_to();
        let before = String::from_utf8_lossy(&bytes[..offset]).into_owned();
        let end = u32::try_from(before.len()).unwrap_or(u32::MAX);
        let place = SourceFile::new(String::new(), before.into()).position(end);
        ReadError::NotUtf8 {
            path: path.to_owned(),
            line: place.line,
            column: place.column,
            offset,
            byte: bytes.get(offset).copied().unwrap_or_default(),
        }
    })
}
