//! Paths inside a tree, and references from one file to another. No file system is asked here.

use super::error::ReadError;
use super::limits::Limits;

/// Checks that a path is one that a tree may hold: relative, names joined by `/`, no `.` or `..`,
/// no backslash or control character, not in git's own folder, and within the limits.
///
/// # Errors
/// What is wrong with the path.
pub(crate) fn check_path(path: &str, limits: &Limits) -> Result<(), ReadError> {
    check_whole(path, path, limits)?;
    let mut depth = 0;
    for name in path.split('/') {
        check_name(name, path)?;
        depth += 1;
    }
    check_depth(path, depth, limits)
}

/// The same of a path in a folder whose own path was checked, with its last name and how many names it has.
///
/// # Errors
/// What is wrong with the path.
pub(super) fn check_below(
    path: &str,
    name: &str,
    depth: usize,
    limits: &Limits,
) -> Result<(), ReadError> {
    check_whole(path, name, limits)?;
    check_name(name, path)?;
    check_depth(path, depth, limits)
}

/// What a path is as a whole, and the characters of what is new of it.
fn check_whole(path: &str, new: &str, limits: &Limits) -> Result<(), ReadError> {
    if path.len() > limits.path_length {
        return Err(ReadError::PathTooLong {
            path: shortened(path),
            length: path.len(),
            limit: limits.path_length,
        });
    }
    check_characters(new, path)?;
    if path.starts_with("builtin:") {
        let reason = "names that start with `builtin:` are reserved for files inside the program";
        return Err(bad(path, reason));
    }
    Ok(())
}

fn check_name(name: &str, path: &str) -> Result<(), ReadError> {
    match name {
        "" => Err(bad(path, "the path holds an empty name")),
        "." | ".." => Err(bad(path, "the path holds `.` or `..`")),
        ".git" => Err(ReadError::GitFolder {
            path: path.to_owned(),
        }),
        _ => Ok(()),
    }
}

fn check_depth(path: &str, depth: usize, limits: &Limits) -> Result<(), ReadError> {
    if depth > limits.depth {
        return Err(ReadError::TooDeep {
            path: path.to_owned(),
            limit: limits.depth,
        });
    }
    Ok(())
}

fn bad(path: &str, reason: &'static str) -> ReadError {
    ReadError::BadPath {
        path: shortened(path),
        reason,
    }
}

/// Resolves a reference that stands in a file, relative to that file's folder: `../water/lake.geojson`
/// in `plans/missions/north.yaml` is `plans/water/lake.geojson`. Only the text is looked at; links
/// are refused when the file is read.
///
/// # Errors
/// For a reference that is absolute, empty, leaves the root, holds a backslash or a control
/// character, names a folder, or lies past the limits.
pub(crate) fn resolve(from_file: &str, reference: &str) -> Result<String, ReadError> {
    let limits = Limits::DEFAULT;
    let bad = |reason| Err(bad(reference, reason));
    if reference.len() > limits.path_length {
        return Err(ReadError::PathTooLong {
            path: shortened(reference),
            length: reference.len(),
            limit: limits.path_length,
        });
    }
    check_characters(reference, reference)?;
    if reference.starts_with('/') || has_drive_letter(reference) {
        return bad("the path is absolute; write it relative to this file");
    }
    if reference.contains("://") {
        return bad("this is an address; a file of the repository is named by its path");
    }
    if reference.ends_with('/') || matches!(reference.rsplit('/').next(), Some("." | "..")) {
        return bad("the path names a folder, not a file");
    }
    let mut names: Vec<&str> = match from_file.rsplit_once('/') {
        Some((folder, _)) => folder.split('/').collect(),
        None => Vec::new(),
    };
    for name in reference.split('/') {
        match name {
            "" => return bad("the path holds an empty name"),
            "." => {}
            ".." => {
                if names.pop().is_none() {
                    return Err(ReadError::LeavesRoot {
                        path: reference.to_owned(),
                    });
                }
            }
            name => names.push(name),
        }
    }
    let path = names.join("/");
    check_path(&path, &limits)?;
    Ok(path)
}

/// Looks at the characters of a path, or of what is new of it.
fn check_characters(new: &str, path: &str) -> Result<(), ReadError> {
    let reason = if new.is_empty() {
        "the path is empty"
    } else if new.contains('\\') {
        "the path holds a backslash; folders are separated by `/`"
    } else if new.bytes().any(|byte| byte.is_ascii_control())
        || !new.is_ascii() && new.chars().any(char::is_control)
    {
        "the path holds a control character"
    } else {
        return Ok(());
    };
    Err(bad(path, reason))
}

/// `C:...` is absolute, or relative to another drive, where paths have drives.
fn has_drive_letter(path: &str) -> bool {
    matches!(path.as_bytes(), [letter, b':', ..] if letter.is_ascii_alphabetic())
}

/// At most 80 characters of a path, so that a hostile one does not fill the screen.
fn shortened(path: &str) -> String {
    match path.char_indices().nth(80) {
        Some((end, _)) => format!("{}...", &path[..end]),
        None => path.to_owned(),
    }
}
