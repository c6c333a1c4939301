//! The files of a folder on disk.

use std::fs::File;
use std::io::{self, Read};
use std::os::fd::OwnedFd;
use std::os::unix::ffi::OsStrExt;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use rayon::prelude::*;
use rustix::fs::{AtFlags, FileType, Mode, OFlags};
use rustix::io::Errno;
use walkdir::WalkDir;

use super::error::ReadError;
use super::limits::{Limit, Limits};
use super::path::check_path;
use super::printable::printable_bytes;
use super::tree::{Entry, Listing, Tree, checked_text};

/// The tree below a folder on disk.
///
/// Nothing outside the folder is read: the system is asked to resolve each path beneath it and
/// without links, so that a link put there between a check and the opening changes nothing.
/// Links, nested repositories, devices, pipes and sockets are refused. Of what lies in the folder
/// only its own `.git` is passed over; hidden files and files that git ignores count.
#[derive(Debug)]
pub struct WorkTree {
    root: PathBuf,
    /// The folder below the root that is listed; the root itself where it is empty. Files beside
    /// it can still be read where one inside refers to them.
    within: PathBuf,
    folder: OwnedFd,
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
        let shown = printable_bytes(root.as_os_str().as_bytes());
        let root = root
            .canonicalize()
            .map_err(|error| ReadError::from_io(&shown, &error))?;
        let flags = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::CLOEXEC;
        let folder =
            rustix::fs::open(&root, flags, Mode::empty()).map_err(|errno| match errno {
                Errno::NOTDIR => ReadError::BadPath {
                    path: shown.clone(),
                    reason: "is not a folder",
                },
                _ => ReadError::from_io(&shown, &io::Error::from(errno)),
            })?;
        Ok(Self {
            root,
            within: PathBuf::new(),
            folder,
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

    /// Waits until no other process holds this tree to write in it, and holds it for as long as the tree
    /// is open.
    ///
    /// # Errors
    /// [`io::ErrorKind::ResourceBusy`] where another one holds it all the while; the system's.
    pub fn hold(&self, patience: Duration) -> io::Result<()> {
        use rustix::fs::FlockOperation::NonBlockingLockExclusive;
        let begun = Instant::now();
        loop {
            match rustix::fs::flock(&self.folder, NonBlockingLockExclusive) {
                Ok(()) => return Ok(()),
                Err(Errno::WOULDBLOCK) if begun.elapsed() < patience => {
                    std::thread::sleep(Duration::from_millis(20));
                }
                Err(Errno::WOULDBLOCK) => return Err(io::ErrorKind::ResourceBusy.into()),
                Err(Errno::INTR) => {}
                Err(errno) => return Err(errno.into()),
            }
        }
    }

    /// Refuses links, other repositories and anything but a regular file before it is opened, so
    /// that a device is never opened; the opening itself is confined again.
    fn check_before_opening(&self, path: &str) -> Result<(), ReadError> {
        self.check_folders(path)?;
        refuse_unless_regular(path, self.file_type(path)?)
    }

    /// Refuses a path through links or other repositories.
    fn check_folders(&self, path: &str) -> Result<(), ReadError> {
        for (end, _) in path.match_indices('/') {
            let folder = &path[..end];
            match self.file_type(folder)? {
                FileType::Directory => {}
                FileType::Symlink => {
                    return Err(ReadError::IsLink {
                        path: folder.to_owned(),
                    });
                }
                _ => {
                    return Err(ReadError::NotFound {
                        path: path.to_owned(),
                    });
                }
            }
            match self.file_type(&format!("{folder}/.git")) {
                Err(ReadError::NotFound { .. }) => {}
                Ok(_) => {
                    return Err(ReadError::NestedRepository {
                        path: folder.to_owned(),
                    });
                }
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    fn file_type(&self, path: &str) -> Result<FileType, ReadError> {
        rustix::fs::statat(&self.folder, path, AtFlags::SYMLINK_NOFOLLOW)
            .map(|stat| FileType::from_raw_mode(stat.st_mode))
            .map_err(|errno| ReadError::from_io(path, &io::Error::from(errno)))
    }

    fn open_file(&self, path: &str) -> Result<OwnedFd, ReadError> {
        open_beneath(&self.folder, path).map_err(|errno| match errno {
            Errno::LOOP | Errno::MLINK => ReadError::IsLink {
                path: path.to_owned(),
            },
            Errno::XDEV => ReadError::LeavesRoot {
                path: path.to_owned(),
            },
            Errno::NXIO | Errno::NODEV => ReadError::NotRegular {
                path: path.to_owned(),
                found: "a device or socket",
            },
            _ => ReadError::from_io(path, &io::Error::from(errno)),
        })
    }

    fn take(&self, entry: &walkdir::DirEntry, listing: &mut Listing) -> Step {
        let relative = entry
            .path()
            .strip_prefix(&self.root)
            .unwrap_or(entry.path());
        let bytes = relative.as_os_str().as_bytes();
        let Ok(path) = str::from_utf8(bytes) else {
            let path = printable_bytes(bytes);
            let reason = "the name is not UTF-8";
            let error = ReadError::BadPath {
                path: path.clone(),
                reason,
            };
            listing.refused.push((path, error));
            return Step::SkipFolder;
        };
        match self.judge(entry, path) {
            Ok(Some(size)) => listing.files.push(Entry {
                path: path.to_owned(),
                size,
            }),
            Ok(None) => {}
            Err(error) => {
                listing.refused.push((path.to_owned(), error));
                return Step::SkipFolder;
            }
        }
        Step::Enter
    }

    /// The size of a regular file, or `None` for a folder that may be entered.
    fn judge(&self, entry: &walkdir::DirEntry, path: &str) -> Result<Option<u64>, ReadError> {
        check_path(path, &self.limits)?;
        let kind = entry.file_type();
        if kind.is_symlink() {
            return Err(ReadError::IsLink {
                path: path.to_owned(),
            });
        }
        if kind.is_dir() {
            return match entry.path().join(".git").symlink_metadata() {
                Ok(_) => Err(ReadError::NestedRepository {
                    path: path.to_owned(),
                }),
                Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
                Err(error) => Err(ReadError::from_io(path, &error)),
            };
        }
        if !kind.is_file() {
            return Err(ReadError::NotRegular {
                path: path.to_owned(),
                found: "a device, pipe or socket",
            });
        }
        match entry.metadata() {
            Ok(metadata) => Ok(Some(metadata.len())),
            Err(error) => Err(ReadError::from_io(path, &io::Error::from(error))),
        }
    }
}

/// Whether a folder that was refused must be left out of the walk.
#[derive(PartialEq, Eq)]
enum Step {
    Enter,
    SkipFolder,
}

impl Tree for WorkTree {
    fn list(&self) -> Result<Listing, ReadError> {
        let mut listing = Listing::default();
        let mut walk = WalkDir::new(self.root.join(&self.within))
            .min_depth(1)
            .follow_links(false)
            .follow_root_links(false)
            .into_iter();
        let mut seen = 0;
        while let Some(entry) = walk.next() {
            seen += 1;
            if seen > self.limits.files {
                return Err(ReadError::TooMany {
                    limit: self.limits.files,
                });
            }
            match entry {
                Ok(entry) => {
                    let own_git = entry.depth() == 1 && entry.file_name() == ".git";
                    let step = if own_git {
                        Step::SkipFolder
                    } else {
                        self.take(&entry, &mut listing)
                    };
                    if step == Step::SkipFolder && entry.file_type().is_dir() {
                        walk.skip_current_dir();
                    }
                }
                Err(error) => {
                    let path = error.path().unwrap_or(&self.root);
                    let path = path.strip_prefix(&self.root).unwrap_or(path);
                    let path = printable_bytes(path.as_os_str().as_bytes());
                    let error = ReadError::from_io(&path, &io::Error::from(error));
                    listing.refused.push((path, error));
                }
            }
        }
        listing.sort();
        Ok(listing)
    }

    fn read(&self, path: &str, limit: Limit) -> Result<String, ReadError> {
        check_path(path, &self.limits)?;
        self.check_before_opening(path)?;
        self.open_and_read(path, limit)
    }

    /// Files of one folder share the look at the folders above them.
    fn read_all(&self, paths: &[&str], limit: Limit) -> Vec<Result<String, ReadError>> {
        let folder = |path: &'_ str| path.rfind('/').unwrap_or(0);
        let parts: Vec<&[&str]> = paths
            .chunk_by(|one, other| one[..folder(one)] == other[..folder(other)])
            .collect();
        let of_part = |part: &&[&str]| {
            let first = part.first().copied().unwrap_or_default();
            let checked = check_path(first, &self.limits).and_then(|()| self.check_folders(first));
            let read = |path: &&str| {
                if checked.is_err() {
                    // What is wrong with the folder is told of each by its own name.
                    return self.read(path, limit);
                }
                check_path(path, &self.limits)?;
                refuse_unless_regular(path, self.file_type(path)?)?;
                self.open_and_read(path, limit)
            };
            part.par_iter().map(read).collect::<Vec<_>>()
        };
        let read: Vec<Vec<_>> = parts.par_iter().map(of_part).collect();
        read.into_iter().flatten().collect()
    }

    fn place(&self) -> String {
        printable_bytes(self.root.as_os_str().as_bytes())
    }
}

impl WorkTree {
    fn open_and_read(&self, path: &str, limit: Limit) -> Result<String, ReadError> {
        let file = File::from(self.open_file(path)?);
        let io_error = |error: io::Error| ReadError::from_io(path, &error);
        // What was opened may be another file than what was looked at before.
        let stat = rustix::fs::fstat(&file).map_err(|errno| io_error(errno.into()))?;
        refuse_unless_regular(path, FileType::from_raw_mode(stat.st_mode))?;
        let too_large = |size| ReadError::TooLarge {
            path: path.to_owned(),
            size,
            limit: limit.bytes(),
        };
        let size = u64::try_from(stat.st_size).unwrap_or(u64::MAX);
        if size > limit.bytes() {
            return Err(too_large(size));
        }
        let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
        // It may also grow while it is read.
        file.take(limit.bytes().saturating_add(1))
            .read_to_end(&mut bytes)
            .map_err(io_error)?;
        let read = bytes.len() as u64;
        if read > limit.bytes() {
            return Err(too_large(read));
        }
        checked_text(path, bytes)
    }
}

fn refuse_unless_regular(path: &str, kind: FileType) -> Result<(), ReadError> {
    let path = path.to_owned();
    let found = match kind {
        FileType::RegularFile => return Ok(()),
        FileType::Symlink => return Err(ReadError::IsLink { path }),
        FileType::Directory => "a folder",
        FileType::Fifo => "a pipe",
        FileType::Socket => "a socket",
        _ => "a device",
    };
    Err(ReadError::NotRegular { path, found })
}

/// Never waits (a pipe without a writer) and never takes a terminal for its own.
fn file_flags() -> OFlags {
    OFlags::RDONLY | OFlags::CLOEXEC | OFlags::NONBLOCK | OFlags::NOCTTY
}

#[cfg(target_os = "linux")]
pub(super) fn open_beneath(folder: &OwnedFd, path: &str) -> rustix::io::Result<OwnedFd> {
    use rustix::fs::ResolveFlags;
    let how = ResolveFlags::BENEATH | ResolveFlags::NO_SYMLINKS | ResolveFlags::NO_MAGICLINKS;
    // The kernel asks to try again when a folder was moved while it resolved the path.
    for _ in 0..8 {
        match rustix::fs::openat2(folder, path, file_flags(), Mode::empty(), how) {
            Err(Errno::AGAIN) => {}
            // An old kernel, or a sandbox that does not know the call.
            Err(Errno::NOSYS | Errno::PERM) => return open_by_component(folder, path),
            result => return result,
        }
    }
    Err(Errno::AGAIN)
}

#[cfg(not(target_os = "linux"))]
pub(super) fn open_beneath(folder: &OwnedFd, path: &str) -> rustix::io::Result<OwnedFd> {
    open_by_component(folder, path)
}

/// Opens folder after folder without following links. The path was checked: it has no `..`.
pub(super) fn open_by_component(folder: &OwnedFd, path: &str) -> rustix::io::Result<OwnedFd> {
    let steps = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::NOFOLLOW | OFlags::CLOEXEC;
    let mut opened: Option<OwnedFd> = None;
    let mut rest = path;
    while let Some((name, after)) = rest.split_once('/') {
        let from = opened.as_ref().unwrap_or(folder);
        opened = Some(rustix::fs::openat(from, name, steps, Mode::empty())?);
        rest = after;
    }
    let from = opened.as_ref().unwrap_or(folder);
    rustix::fs::openat(from, rest, file_flags() | OFlags::NOFOLLOW, Mode::empty())
}
