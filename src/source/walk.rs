//! What lies in a folder and below it.

use std::io;
use std::path::{Path, PathBuf};

use cap_fs_ext::DirExt as _;
use cap_std::fs::{Dir, DirEntry, ReadDir};

use super::confined::refuse_repository;
use super::error::ReadError;
use super::limits::Limits;
use super::path::check_path;
use super::printable::printable_path;
use super::tree::{Entry, Listing};

/// A folder that is being read: its path from the root, and what of it is still to come.
struct Open {
    path: PathBuf,
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
        let mut folder = root.try_clone();
        for name in within {
            folder = folder.and_then(|folder| folder.open_dir_nofollow(name));
        }
        match folder {
            Ok(folder) => walk.begin(within.to_owned(), folder),
            Err(error) => walk.refuse(within, &error),
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

    fn begin(&mut self, path: PathBuf, folder: Dir) {
        match folder.entries() {
            Ok(entries) => self.open.push(Open {
                path,
                folder,
                entries,
            }),
            Err(error) => self.refuse(&path, &error),
        }
    }

    fn refuse(&mut self, path: &Path, error: &io::Error) {
        let path = printable_path(path);
        let error = ReadError::from_io(&path, error);
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
        let path = open.path.join(&name);
        let Some(told) = with_slashes(&path) else {
            let told = printable_path(&path);
            let error = ReadError::BadPath {
                path: told.clone(),
                reason: "the name is not UTF-8",
            };
            self.listing.refused.push((told, error));
            return Ok(());
        };
        match judge(entry, &open.folder, &told, self.limits) {
            Ok(Found::File(size)) => self.listing.files.push(Entry { path: told, size }),
            Ok(Found::Folder(folder)) => self.begin(path, folder),
            Err(error) => self.listing.refused.push((told, error)),
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

fn judge(entry: &DirEntry, from: &Dir, path: &str, limits: &Limits) -> Result<Found, ReadError> {
    check_path(path, limits)?;
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
