//! Where a question about one mission is asked: in the whole repository, from wherever in it.

use std::path::Path;

use super::Failure;
use crate::schema::is_id;
use crate::source::{WorkTree, open_repository, printable_line};

/// The repository that a folder lies in, whole; where there is none, the folder itself.
pub(super) fn repository(plans: &Path) -> Result<WorkTree, Failure> {
    open_repository(plans).map_err(|error| Failure::Unreadable(error.to_string()))
}

/// A mission as it is asked for: its id, or the path of its file from the root of the repository. A
/// path from the folder that is worked in, or from the one that is named, is turned into that.
pub(super) fn mission(tree: &WorkTree, plans: &Path, named: &str) -> String {
    let path = Path::new(named);
    let is_file = path
        .extension()
        .is_some_and(|ending| ending == "yaml" || ending == "yml");
    if !is_file || tree.root().join(path).is_file() && path.is_relative() {
        return named.to_owned();
    }
    let from_root = |path: &Path| -> Option<String> {
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let file = folder.canonicalize().ok()?.join(path.file_name()?);
        file.symlink_metadata().ok()?;
        let inside = file.strip_prefix(tree.root()).ok()?;
        inside.to_str().map(str::to_owned)
    };
    from_root(path)
        .or_else(|| from_root(&plans.join(path)))
        .unwrap_or_else(|| named.to_owned())
}

/// The path of a file from the root of its repository; as it is where it does not lie in it.
pub(super) fn below(root: &Path, file: &Path) -> String {
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let real = folder.canonicalize().ok().zip(file.file_name());
    let real = real.map(|(folder, name)| folder.join(name));
    let within = real
        .as_deref()
        .and_then(|real| real.strip_prefix(root).ok());
    within.unwrap_or(file).display().to_string()
}

/// An id that was typed, of at most so many characters.
///
/// # Errors
/// [`Failure::Usage`] where it is none.
pub(super) fn id<'a>(option: &str, id: &'a str, longest: usize) -> Result<&'a str, Failure> {
    if is_id(id) && id.len() <= longest {
        return Ok(id);
    }
    Err(Failure::Usage(format!(
        "{option}: `{}` is no id: at most {longest} letters from a to z, digits, points, dashes and underscores, the first a \
         letter or a digit",
        printable_line(id)
    )))
}

/// Why a repository could not be held against other writers.
pub(super) fn not_held(tree: &WorkTree, error: &std::io::Error) -> Failure {
    let why = match error.kind() {
        std::io::ErrorKind::ResourceBusy => {
            "another program keeps writing here; try again when it has finished".to_owned()
        }
        _ => format!("the folder cannot be locked against other writers: {error}"),
    };
    let place = printable_line(&tree.root().display().to_string()).into_owned();
    Failure::NotWritten(std::io::Error::new(error.kind(), format!("{place}: {why}")))
}
