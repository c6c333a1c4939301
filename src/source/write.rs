//! Writing a file so that a reader sees the old one or the new one, never a part.
//!
//! Only a plain file is replaced. A pipe or a device is written to; a link is not followed to a file, and
//! not replaced, since either would put the text where nobody looks for it.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use super::system::{open_to_pass_on, passes_on, readable_by_mask};

/// What stands under a name that is to be written.
enum There {
    /// Nothing, or a plain file.
    Replaceable,
    /// A pipe or a device, maybe at the end of a link such as `/dev/stderr`.
    PassesOn,
}

/// Writes a text under a name. A plain file comes whole or not at all: into a new file beside it, which is
/// flushed to disk and then takes the name; the permissions of a file that is replaced are kept. A pipe or a
/// device is written to and stays what it is.
///
/// # Errors
/// The system's; a plain file is then as it was before. Of what is neither of these, a link to a file, a
/// folder, a disk and a socket among them, which are left as they are.
pub(crate) fn write_out(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_out_by(path, |to| to.write_all(bytes))
}

/// The same of what something writes piece by piece.
///
/// # Errors
/// As [`write_out`], and whatever `write` comes to.
pub(crate) fn write_out_by(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> io::Result<()> {
    match there(path)? {
        There::Replaceable => replace(path, write),
        There::PassesOn => write_through(path, write),
    }
}

/// Makes sure, before work is done for it, that [`write_out`] would not refuse what stands under a name.
///
/// # Errors
/// What [`write_out`] would say. Whether the system lets it write is seen only then.
pub(crate) fn may_write_out(path: &Path) -> io::Result<()> {
    there(path).map(drop)
}

/// Takes away a plain file that was written before, if there is one.
///
/// # Errors
/// The system's, and of what [`write_out`] would not replace.
pub(crate) fn take_away(path: &Path) -> io::Result<()> {
    match there(path)? {
        There::PassesOn => Ok(()),
        There::Replaceable => match fs::remove_file(path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        },
    }
}

fn there(path: &Path) -> io::Result<There> {
    let refused = |why: &str| Err(io::Error::other(why.to_owned()));
    let about = match path.symlink_metadata() {
        Ok(about) => about,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(There::Replaceable),
        Err(error) => return Err(error),
    };
    if passes_on(&about) {
        return Ok(There::PassesOn);
    }
    if about.is_symlink() {
        return match path.metadata() {
            Ok(target) if passes_on(&target) => Ok(There::PassesOn),
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => refused(
                "it is a link, which is neither followed to a file nor replaced by one; name the file itself",
            ),
        };
    }
    if about.is_file() {
        return Ok(There::Replaceable);
    }
    if about.is_dir() {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    refused("it is a disk or a socket, and is not written to")
}

fn write_through(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> io::Result<()> {
    let mut file = open_to_pass_on(path)?;
    // What was opened may be another file than what was looked at before.
    if !passes_on(&file.metadata()?) {
        return Err(io::Error::other(
            "it was exchanged while it was opened; nothing is written",
        ));
    }
    write(&mut file)?;
    file.flush()
}

fn replace(path: &Path, write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    if path.file_name().is_none() {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "the path names no file",
        ));
    }
    let mut file = new_beside(path)?;
    write(&mut file)?;
    if let Ok(old) = path.symlink_metadata()
        && old.is_file()
    {
        file.as_file().set_permissions(old.permissions())?;
    }
    file.as_file().sync_all()?;
    file.persist(path).map_err(|error| error.error)?;
    flush_folder(folder_of(path));
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Writes a new file whole, and only where none has its name yet: of two who write it at once, one is
/// told that it is there. A link, a pipe and a device are there too.
///
/// # Errors
/// The system's, [`io::ErrorKind::AlreadyExists`] where there is one already; nothing is written then.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = new_beside(path)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    flush_folder(folder_of(path));
    Ok(())
}

/// A file under a name that no other has, in the folder of the one that it is to become: never one that
/// exists, and never through a link. It is gone again where it does not take the name.
fn new_beside(path: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".").suffix(".tmp");
    readable_by_mask(&mut builder);
    builder
        .tempfile_in(folder_of(path))
        .map_err(|error| without_name(&error))
}

/// An error as the system has it: the name of a file that lasts for a moment helps nobody.
fn without_name(error: &io::Error) -> io::Error {
    let inner = error.get_ref().and_then(std::error::Error::source);
    let inner = inner.and_then(|inner| inner.downcast_ref::<io::Error>());
    let code = inner.unwrap_or(error).raw_os_error();
    code.map_or_else(|| error.kind().into(), io::Error::from_raw_os_error)
}

/// The name is on disk once the folder is; not every file system can do this.
fn flush_folder(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}
