//! Writing a file so that a reader sees the old one or the new one, never a part.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

static COUNTER: AtomicU32 = AtomicU32::new(0);

/// Writes a whole file at once: into a new file beside it, which is flushed to disk and then takes
/// the name. The permissions of a file that is replaced are kept; a link is replaced, not followed.
///
/// # Errors
/// The system's; the file at `path` is then as it was before.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let Some(name) = path.file_name() else {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "the path names no file",
        ));
    };
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let (mut file, temporary) = create_beside(folder, &name.to_string_lossy())?;
    let written = write_and_rename(&mut file, &temporary, path, bytes);
    if written.is_err() {
        // The first error is the one to tell; what is left over is only a hidden file.
        let _ = fs::remove_file(&temporary);
        return written;
    }
    flush_folder(folder);
    Ok(())
}

/// Writes a new file whole, and only where none has its name yet: of two who write it at once, one is
/// told that it is there.
///
/// # Errors
/// The system's, [`io::ErrorKind::AlreadyExists`] where there is one already; nothing is written then.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".").suffix(".tmp");
    // As any other file, what the user's mask leaves; a temporary one would be its maker's alone.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder
        .tempfile_in(folder)
        .map_err(|error| without_name(&error))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    flush_folder(folder);
    Ok(())
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

fn write_and_rename(
    file: &mut File,
    temporary: &Path,
    path: &Path,
    bytes: &[u8],
) -> io::Result<()> {
    file.write_all(bytes)?;
    if let Ok(old) = path.symlink_metadata()
        && old.is_file()
    {
        file.set_permissions(old.permissions())?;
    }
    file.sync_all()?;
    fs::rename(temporary, path)
}

/// Creates a file under a name that no other has: never one that exists, and never through a link.
fn create_beside(folder: &Path, name: &str) -> io::Result<(File, PathBuf)> {
    let short: String = name.chars().take(40).collect();
    let process = std::process::id();
    let mut last = None;
    for _ in 0..64 {
        let number = COUNTER.fetch_add(1, Ordering::Relaxed);
        let path = folder.join(format!(".{short}.{process}.{number}.tmp"));
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(file) => return Ok((file, path)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = Some(error),
            Err(error) => return Err(error),
        }
    }
    Err(last.unwrap_or_else(|| io::Error::from(io::ErrorKind::AlreadyExists)))
}
