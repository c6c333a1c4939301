//! What lies in a folder and below it.

use std::io;
use std::path::Path;

use cap_fs_ext::DirExt as _;
use cap_std::fs::{Dir, DirEntry, ReadDir};

use super::confined::refuse_repository;
use super::error::ReadError;
use super::limits::Limits;
use super::path::{check_below, check_path};
use super::printable::{printable_line, printable_path};
use super::tree::{Entry, Listing};

/// A folder that is being read: its path from the root, how many names that has, and what of the folder is
/// still to come.
struct Open {
    path: String,
    depth: usize,
    folder: Dir,
    entries: ReadDir,
}

/// A walk through the folders below one. As many are open as lie in one another, which is bounded.
pub(super) struct Walk<'a> {
    limits: &'a Limits,
    listing: Listing,
    open: Vec<Open>,
    seen: usize,
}

impl<'a> Walk<'a> {
    /// Lists what lies below a folder within the root, and passes over that folder's own `.git`. What of it
    /// cannot be read is listed as refused.
    ///
    /// # Errors
    /// If it is more than the limit.
    pub(super) fn list(
        root: &Dir,
        within: &Path,
        limits: &'a Limits,
    ) -> Result<Listing, ReadError> {
        let mut walk = Self {
            limits,
            listing: Listing::default(),
            open: Vec::new(),
            seen: 0,
        };
        let Some(told) = with_slashes(within) else {
            walk.refuse_name(within);
            return Ok(walk.listing);
        };
        if !told.is_empty()
            && let Err(error) = check_path(&told, limits)
        {
            walk.listing.refused.push((told, error));
            return Ok(walk.listing);
        }
        let mut folder = root.try_clone();
        for name in within {
            folder = folder.and_then(|folder| folder.open_dir_nofollow(name));
        }
        match folder {
            Ok(folder) => walk.begin(told, within.iter().count(), folder),
            Err(error) => walk.refuse(&told, &error),
        }
        while let Some(open) = walk.open.last_mut() {
            match open.entries.next() {
                None => {
                    walk.open.pop();
                }
                Some(Ok(entry)) => walk.take(&entry)?,
                Some(Err(error)) => {
                    let path = open.path.clone();
                    walk.refuse(&path, &error);
                    walk.open.pop();
                }
            }
        }
        walk.listing.sort();
        Ok(walk.listing)
    }

    fn begin(&mut self, path: String, depth: usize, folder: Dir) {
        match folder.entries() {
            Ok(entries) => self.open.push(Open {
                path,
                depth,
                folder,
                entries,
            }),
            Err(error) => self.refuse(&path, &error),
        }
    }

    fn refuse(&mut self, path: &str, error: &io::Error) {
        let path = printable_line(path).into_owned();
        let error = ReadError::from_io(&path, error);
        self.listing.refused.push((path, error));
    }

    /// Refuses a path that is no text.
    fn refuse_name(&mut self, path: &Path) {
        let path = printable_path(path);
        let error = ReadError::BadPath {
            path: path.clone(),
            reason: "the name is not UTF-8",
        };
        self.listing.refused.push((path, error));
    }

    fn take(&mut self, entry: &DirEntry) -> Result<(), ReadError> {
        self.seen += 1;
        if self.seen > self.limits.files {
            return Err(ReadError::TooMany {
                limit: self.limits.files,
            });
        }
        let Some(open) = self.open.last() else {
            return Ok(());
        };
        let name = entry.file_name();
        if self.open.len() == 1 && name == ".git" {
            return Ok(());
        }
        let Some(name) = name.to_str() else {
            let path = Path::new(&open.path).join(&name);
            self.refuse_name(&path);
            return Ok(());
        };
        let path = match open.path.as_str() {
            "" => name.to_owned(),
            folder => [folder, "/", name].concat(),
        };
        let depth = open.depth + 1;
        let found = check_below(&path, name, depth, self.limits);
        match found.and_then(|()| judge(entry, &open.folder, &path)) {
            Ok(Found::File(size)) => self.listing.files.push(Entry { path, size }),
            Ok(Found::Folder(folder)) => self.begin(path, depth, folder),
            Err(error) => self.listing.refused.push((path, error)),
        }
        Ok(())
    }
}

/// What may be read or entered.
enum Found {
    /// A regular file of a size.
    File(u64),
    Folder(Dir),
}

fn judge(entry: &DirEntry, from: &Dir, path: &str) -> Result<Found, ReadError> {
    let io_error = |error: io::Error| ReadError::from_io(path, &error);
    let about = entry.metadata().map_err(io_error)?;
    if about.is_symlink() {
        return Err(ReadError::IsLink {
            path: path.to_owned(),
        });
    }
    if about.is_dir() {
        let folder = from
            .open_dir_nofollow(entry.file_name())
            .map_err(io_error)?;
        refuse_repository(&folder, path)?;
        return Ok(Found::Folder(folder));
    }
    if !about.is_file() {
        return Err(ReadError::NotRegular {
            path: path.to_owned(),
            found: "a device, pipe or socket",
        });
    }
    Ok(Found::File(about.len()))
}

/// A path below the root with `/` between its names, whatever the system parts them by.
fn with_slashes(path: &Path) -> Option<String> {
    let names: Option<Vec<&str>> = path.iter().map(|name| name.to_str()).collect();
    names.map(|names| names.join("/"))
}
