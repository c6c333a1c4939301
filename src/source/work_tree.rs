//! The files of a folder on disk.

use std::fs::{self, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use cap_std::ambient_authority;
use cap_std::fs::Dir;
use rayon::prelude::*;

use super::confined;
use super::error::ReadError;
use super::limits::{Limit, Limits};
use super::path::check_path;
use super::printable::printable_path;
use super::tree::{Listing, Tree};
use super::walk::Walk;

/// The tree below a folder on disk.
///
/// Nothing outside the folder is read: each name of a path is looked up in the open folder that it
/// lies in, and no link is followed, so that a link put there between a check and the opening
/// changes nothing. Links, nested repositories, devices, pipes and sockets are refused. Of what lies in
/// the folder only its own `.git` is passed over; hidden files and files that git ignores count.
#[derive(Debug)]
pub struct WorkTree {
    root: PathBuf,
    /// The folder below the root that is listed; the root itself where it is empty. Files beside
    /// it can still be read where one inside refers to them.
    within: PathBuf,
    folder: Dir,
    /// The folder once more, while others are kept from writing in it.
    held: OnceLock<fs::File>,
    limits: Limits,
}

impl WorkTree {
    /// Opens a folder as a tree. The path itself may lead through links: it is the user's own word.
    ///
    /// # Errors
    /// If it is not a folder that can be opened.
    pub fn open(root: &Path) -> Result<Self, ReadError> {
        Self::with_limits(root, Limits::DEFAULT)
    }

    /// As [`open`](Self::open), with other limits.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn with_limits(root: &Path, limits: Limits) -> Result<Self, ReadError> {
        let shown = printable_path(root);
        let io_error = |error: io::Error| ReadError::from_io(&shown, &error);
        let root = root.canonicalize().map_err(io_error)?;
        if !root.metadata().map_err(io_error)?.is_dir() {
            return Err(ReadError::BadPath {
                path: shown,
                reason: "is not a folder",
            });
        }
        let folder = Dir::open_ambient_dir(&root, ambient_authority()).map_err(io_error)?;
        // One that may be entered and not listed is reported here, by the name that the user gave it.
        folder.entries().map_err(io_error)?;
        Ok(Self {
            root,
            within: PathBuf::new(),
            folder,
            held: OnceLock::new(),
            limits,
        })
    }

    /// The same tree, of which only a folder below the root is listed.
    #[must_use]
    pub fn listing_only(mut self, within: &Path) -> Self {
        self.within = within.to_owned();
        self
    }

    /// The folder, absolute and with links resolved.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Opens a file for what reads it piece by piece, bytes that are no text among them: the file and its size.
    ///
    /// # Errors
    /// As of reading it whole, but for what it holds.
    pub(crate) fn open_file(&self, path: &str, limit: Limit) -> Result<(fs::File, u64), ReadError> {
        check_path(path, &self.limits)?;
        let folder = self.folder_of(path)?;
        let folder = folder.as_ref().unwrap_or(&self.folder);
        let (file, size) = confined::open_regular(folder, name_of(path), path, limit)?;
        Ok((file.into_std(), size))
    }

    /// Waits until no other process holds this tree to write in it, and holds it for as long as the tree
    /// is open.
    ///
    /// # Errors
    /// [`io::ErrorKind::ResourceBusy`] where another one holds it all the while; the system's.
    pub fn hold(&self, patience: Duration) -> io::Result<()> {
        if self.held.get().is_some() {
            return Ok(());
        }
        let folder = self.folder.open(".")?.into_std();
        let begun = Instant::now();
        loop {
            match folder.try_lock() {
                Ok(()) => break,
                Err(TryLockError::WouldBlock) if begun.elapsed() < patience => {
                    std::thread::sleep(Duration::from_millis(20));
                }
                Err(TryLockError::WouldBlock) => return Err(io::ErrorKind::ResourceBusy.into()),
                Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(TryLockError::Error(error)) => return Err(error),
            }
        }
        let _ = self.held.set(folder);
        Ok(())
    }

    /// The folder that a path lies in, entered one name after the other; `None` for the root.
    fn folder_of(&self, path: &str) -> Result<Option<Dir>, ReadError> {
        let mut opened: Option<Dir> = None;
        for (end, _) in path.match_indices('/') {
            let from = opened.as_ref().unwrap_or(&self.folder);
            let folder = &path[..end];
            opened = Some(confined::enter(from, name_of(folder), folder, path)?);
        }
        Ok(opened)
    }
}

/// The last name of a path.
fn name_of(path: &str) -> &str {
    path.rsplit('/').next().unwrap_or(path)
}

impl Tree for WorkTree {
    fn list(&self) -> Result<Listing, ReadError> {
        Walk::list(&self.folder, &self.within, &self.limits)
    }

    fn read(&self, path: &str, limit: Limit) -> Result<Arc<str>, ReadError> {
        check_path(path, &self.limits)?;
        let folder = self.folder_of(path)?;
        let folder = folder.as_ref().unwrap_or(&self.folder);
        confined::read(folder, name_of(path), path, limit)
    }

    /// Files of one folder share the way to it.
    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<Arc<str>, ReadError>> {
        let folder = |path: &'_ str| path.rfind('/').unwrap_or(0);
        let parts: Vec<&[&str]> = paths
            .chunk_by(|one, other| one[..folder(one)] == other[..folder(other)])
            .collect();
        let of_part = |part: &&[&str]| {
            let first = part.first().copied().unwrap_or_default();
            let folder = check_path(first, &self.limits).and_then(|()| self.folder_of(first));
            let read = |path: &&str| {
                let Ok(folder) = &folder else {
                    // What is wrong with the folder is told of each by its own name.
                    return self.read(path, limit);
                };
                check_path(path, &self.limits)?;
                let folder = folder.as_ref().unwrap_or(&self.folder);
                confined::read(folder, name_of(path), path, limit)
            };
            part.par_iter().map(read).collect::<Vec<_>>()
        };
        let read: Vec<Vec<_>> = parts.par_iter().map(of_part).collect();
        read.into_iter().flatten().collect()
    }

    fn place(&self) -> String {
        printable_path(&self.root)
    }
}
