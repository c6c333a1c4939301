//! What a path on the command line stands for.

use std::path::Path;

use super::error::ReadError;
use super::limits::Limits;
use super::path::check_path;
use super::printable::printable_path;
use super::work_tree::WorkTree;

/// A path that a user named, opened as a tree.
#[derive(Debug)]
pub struct Opened {
    /// The tree.
    pub tree: WorkTree,
    /// The one file that the user named, relative to the tree's root; `None` for the whole tree.
    pub selected: Option<String>,
    /// The folder that the user named, relative to the tree's root; empty where it is the root, or
    /// where a file was named.
    pub within: String,
    /// Whether the root is that of a repository, and not only the folder that was named.
    pub in_repository: bool,
}

/// Opens the whole repository that a path lies in, as [`open_argument`] finds it; where there is none,
/// the folder itself.
///
/// # Errors
/// As [`open_argument`].
pub(crate) fn open_repository(path: &Path) -> Result<WorkTree, ReadError> {
    WorkTree::open(open_argument(path)?.tree.root())
}

/// Opens a path that a user named.
///
/// The tree is the repository: the nearest folder at or above the path that holds `.git`, or the
/// folder itself (of a file, its own folder) where none does. Paths in findings are relative to it,
/// wherever the program was called from. Of a folder, only what lies in it is listed. A file is
/// selected within the whole repository, since it refers to others by their `id`, which may stand
/// in any folder.
///
/// # Errors
/// If nothing is there, or the file is a link or no regular file.
pub fn open_argument(path: &Path) -> Result<Opened, ReadError> {
    let shown = printable_path(path);
    let io_error = |error| ReadError::from_io(&shown, &error);
    if path.as_os_str().is_empty() {
        return Err(ReadError::BadPath {
            path: shown,
            reason: "the path is empty",
        });
    }
    if path.metadata().map_err(io_error)?.is_dir() {
        let folder = path.canonicalize().map_err(io_error)?;
        let root = repository_of(&folder);
        let within = folder.strip_prefix(root).unwrap_or(Path::new(""));
        return Ok(Opened {
            // A name that is no text can be listed, but nothing in it can be determined from the rest.
            within: within.to_str().unwrap_or("").to_owned(),
            tree: WorkTree::open(root)?.listing_only(within),
            selected: None,
            in_repository: is_repository(root),
        });
    }
    let kind = path.symlink_metadata().map_err(io_error)?.file_type();
    if kind.is_symlink() {
        return Err(ReadError::IsLink { path: shown });
    }
    if !kind.is_file() {
        return Err(ReadError::NotRegular {
            path: shown,
            found: "a device, pipe or socket",
        });
    }
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let folder = parent.canonicalize().map_err(io_error)?;
    let root = repository_of(&folder);
    let file = folder.join(path.file_name().unwrap_or_default());
    let relative = file.strip_prefix(root).unwrap_or(&file);
    let Some(selected) = relative.to_str() else {
        return Err(ReadError::BadPath {
            path: shown,
            reason: "the name is not UTF-8",
        });
    };
    check_path(selected, &Limits::DEFAULT)?;
    Ok(Opened {
        tree: WorkTree::open(root)?,
        selected: Some(selected.to_owned()),
        within: String::new(),
        in_repository: is_repository(root),
    })
}

/// The nearest folder at or above a folder that holds `.git`, or the folder itself.
fn repository_of(folder: &Path) -> &Path {
    folder
        .ancestors()
        .find(|ancestor| is_repository(ancestor))
        .unwrap_or(folder)
}

fn is_repository(folder: &Path) -> bool {
    folder.join(".git").symlink_metadata().is_ok()
}
