//! Files of one folder, opened by the one name that they have in it, so that nothing can lead elsewhere.

use std::io::{self, Read as _};
use std::sync::Arc;

use cap_fs_ext::{
    DirExt as _, FileTypeExt as _, FollowSymlinks, OpenOptionsFollowExt as _,
    OpenOptionsSyncExt as _,
};
use cap_std::fs::{Dir, File, FileType, OpenOptions};

use super::error::ReadError;
use super::limits::Limit;
use super::system::never_own_terminal;
use super::tree::checked_text;

/// The folder of a name, looked at before and entered without following a link. `path` is what it is told
/// as, `wanted` what is looked for in it.
///
/// # Errors
/// If a link or something else stands there, or another repository.
pub(super) fn enter(from: &Dir, name: &str, path: &str, wanted: &str) -> Result<Dir, ReadError> {
    let io_error = |error: io::Error| ReadError::from_io(path, &error);
    let kind = from.symlink_metadata(name).map_err(io_error)?.file_type();
    if kind.is_symlink() {
        return Err(ReadError::IsLink {
            path: path.to_owned(),
        });
    }
    if !kind.is_dir() {
        return Err(ReadError::NotFound {
            path: wanted.to_owned(),
        });
    }
    let folder = from.open_dir_nofollow(name).map_err(io_error)?;
    refuse_repository(&folder, path)?;
    Ok(folder)
}

/// Refuses a folder that is a repository of its own.
pub(super) fn refuse_repository(folder: &Dir, path: &str) -> Result<(), ReadError> {
    match folder.symlink_metadata(".git") {
        Ok(_) => Err(ReadError::NestedRepository {
            path: path.to_owned(),
        }),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(ReadError::from_io(&format!("{path}/.git"), &error)),
    }
}

/// Reads the file of a name, bounded; `path` is what it is told as. What is no regular file is refused before
/// it is opened, so that no device ever is, and again once it is open.
pub(super) fn read(
    from: &Dir,
    name: &str,
    path: &str,
    limit: Limit,
) -> Result<Arc<str>, ReadError> {
    let (file, size) = open_regular(from, name, path, limit)?;
    let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or_default());
    // It may also grow while it is read.
    file.take(limit.bytes().saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|error| ReadError::from_io(path, &error))?;
    let read = bytes.len() as u64;
    if read > limit.bytes() {
        return Err(too_large(path, read, limit));
    }
    checked_text(path, &bytes).map(Arc::from)
}

fn too_large(path: &str, size: u64, limit: Limit) -> ReadError {
    ReadError::TooLarge {
        path: path.to_owned(),
        size,
        limit: limit.bytes(),
    }
}

/// Opens the regular file of a name, of a size within the limit, and gives the size that it has.
pub(super) fn open_regular(
    from: &Dir,
    name: &str,
    path: &str,
    limit: Limit,
) -> Result<(File, u64), ReadError> {
    let io_error = |error: io::Error| ReadError::from_io(path, &error);
    let kind = |from: &Dir| from.symlink_metadata(name).map(|about| about.file_type());
    refuse_unless_regular(path, kind(from).map_err(io_error)?)?;
    let file = open(from, name).map_err(|error| {
        // It was exchanged since: what stands there now says more than the system does.
        let now = kind(from).map(|kind| refuse_unless_regular(path, kind));
        match now {
            Ok(Err(refused)) => refused,
            _ => io_error(error),
        }
    })?;
    // What was opened may be another file than what was looked at before.
    let about = file.metadata().map_err(io_error)?;
    refuse_unless_regular(path, about.file_type())?;
    let size = about.len();
    if size > limit.bytes() {
        return Err(too_large(path, size, limit));
    }
    Ok((file, size))
}

/// Opens the file of a name without following a link. It never waits (a pipe without a writer) and never
/// takes a terminal for its own.
pub(super) fn open(from: &Dir, name: &str) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true).nonblock(true).follow(FollowSymlinks::No);
    never_own_terminal(&mut options);
    from.open_with(name, &options)
}

fn refuse_unless_regular(path: &str, kind: FileType) -> Result<(), ReadError> {
    let path = path.to_owned();
    let found = if kind.is_file() {
        return Ok(());
    } else if kind.is_symlink() {
        return Err(ReadError::IsLink { path });
    } else if kind.is_dir() {
        "a folder"
    } else if kind.is_fifo() {
        "a pipe"
    } else if kind.is_socket() {
        "a socket"
    } else {
        "a device"
    };
    Err(ReadError::NotRegular { path, found })
}
