//! Why a file was not read.

use std::io;

use super::printable::printable_line as safe;

/// Why a file, a folder or a reference was refused. Every message is safe to print: what it quotes
/// is escaped.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing lies there.
    #[error("{}: not found", safe(path))]
    NotFound {
        /// The path requested.
        path: String,
    },
    /// A folder, device, pipe or socket stands where a file should.
    #[error("{}: not a regular file but {found}", safe(path))]
    NotRegular {
        /// The path requested.
        path: String,
        /// What stands there, as `a folder`.
        found: &'static str,
    },
    /// A symbolic link; links are not followed.
    #[error("{}: is a symbolic link, and links are not followed", safe(path))]
    IsLink {
        /// The link itself, which may be a folder on the way to the file.
        path: String,
    },
    /// A path that would lead out of the root.
    #[error("{}: leaves the repository", safe(path))]
    LeavesRoot {
        /// The path or reference as written.
        path: String,
    },
    /// A repository or submodule inside this one, whose files are not this one's.
    #[error(
        "{}: is a repository of its own inside this one, and is not entered",
        safe(path)
    )]
    NestedRepository {
        /// The folder that holds the other repository.
        path: String,
    },
    /// A path into the folder where git keeps its own files.
    #[error("{}: lies in git's own folder", safe(path))]
    GitFolder {
        /// The path requested.
        path: String,
    },
    /// A path or name that cannot be used.
    #[error("{}: {reason}", safe(path))]
    BadPath {
        /// The path as written; a name that is not UTF-8 is given in a printable form.
        path: String,
        /// What is wrong with it.
        reason: &'static str,
    },
    /// A path longer than the bound.
    #[error(
        "{}: the path has {length} bytes, and at most {limit} are allowed",
        safe(path)
    )]
    PathTooLong {
        /// The path, cut short.
        path: String,
        /// Its length in bytes.
        length: usize,
        /// The bound in bytes.
        limit: usize,
    },
    /// A file larger than its bound.
    #[error(
        "{}: the file has {size} bytes, and at most {limit} are allowed",
        safe(path)
    )]
    TooLarge {
        /// The file.
        path: String,
        /// Its size in bytes, as far as it was read.
        size: u64,
        /// The bound in bytes.
        limit: u64,
    },
    /// Bytes that are not UTF-8.
    #[error(
        "{}:{line}:{column}: not UTF-8: the byte 0x{byte:02X} at offset {offset} starts no character",
        safe(path)
    )]
    NotUtf8 {
        /// The file.
        path: String,
        /// Line of the first bad byte, from 1.
        line: u32,
        /// Column of the first bad byte in characters, from 1.
        column: u32,
        /// Offset of the first bad byte from the start of the file.
        offset: usize,
        /// The byte itself.
        byte: u8,
    },
    /// More files and folders than the bound.
    #[error("more than {limit} files and folders, which is the most that is read")]
    TooMany {
        /// The bound.
        limit: usize,
    },
    /// More YAML files than the bound.
    #[error("more than {limit} YAML files, which is the most that is read; name a folder of them")]
    TooManyFiles {
        /// The bound.
        limit: usize,
    },
    /// YAML files that are larger together than what is parsed at once.
    #[error(
        "the YAML files hold more than {} MiB together, which is the most that is parsed at once; check one \
         mission, a folder of them, what changed (`--changed-since`) or shares (`--partition`)",
        limit >> 20
    )]
    TooMuchAtOnce {
        /// The bound in bytes.
        limit: u64,
    },
    /// Files that are larger together than the bound, however small each is.
    #[error(
        "the {what} hold more than {} MiB together, which is the most that is read",
        limit >> 20
    )]
    TooMuch {
        /// Which files.
        what: &'static str,
        /// The bound in bytes.
        limit: u64,
    },
    /// Folders nested deeper than the bound.
    #[error("{}: lies more than {limit} folders deep", safe(path))]
    TooDeep {
        /// The folder or file.
        path: String,
        /// The bound.
        limit: usize,
    },
    /// The system refused.
    #[error("{}: {}", safe(path), safe(reason))]
    Io {
        /// The file or folder.
        path: String,
        /// The system's own words.
        reason: String,
    },
}

impl ReadError {
    /// The system's error on a path, with the common ones told apart.
    pub(crate) fn from_io(path: &str, error: &io::Error) -> Self {
        let path = path.to_owned();
        match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::NotFound { path },
            io::ErrorKind::IsADirectory => Self::NotRegular {
                path,
                found: "a folder",
            },
            _ => Self::Io {
                path,
                reason: error.to_string(),
            },
        }
    }
}
