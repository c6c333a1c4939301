//! Writing to the standard streams.

use std::io::Write as _;
use std::path::Path;

use super::Failure;
use crate::source::{printable_block, write_atomically, write_new};

/// Writes a report. A reader that has seen enough (`offing … | head`) is no fault, and changes
/// nothing about the exit status.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| {
        if text.ends_with('\n') {
            Ok(())
        } else {
            out.write_all(b"\n")
        }
    });
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::NotWritten(error))
        }
        _ => Ok(()),
    }
}

/// Puts a report into its file, whole or not at all, or on the standard output.
pub(super) fn deliver(text: &str, file: Option<&Path>) -> Result<(), Failure> {
    let Some(file) = file.filter(|file| !is_stream(file)) else {
        return print(text);
    };
    spared(file)?;
    deliver_over(text, file)
}

/// Whether the standard output is meant: `-`, as is usual. A file of that name is `./-`.
pub(super) fn is_stream(file: &Path) -> bool {
    file.as_os_str() == "-"
}

/// Puts a text into a file in place of what is there, whole or not at all.
pub(super) fn deliver_over(text: &str, file: &Path) -> Result<(), Failure> {
    write_atomically(file, text.as_bytes()).map_err(|error| not_written(file, &error))
}

/// What is read for a plan or of a run, by its ending, is not written over by a report: a slip of the
/// hand would take away what no command brings back.
fn spared(file: &Path) -> Result<(), Failure> {
    let ending = file.extension().and_then(|ending| ending.to_str());
    let ending = ending.unwrap_or_default().to_ascii_lowercase();
    let read = matches!(
        ending.as_str(),
        "yaml" | "yml" | "csv" | "approval" | "signature"
    );
    if read && file.symlink_metadata().is_ok() {
        return Err(Failure::Usage(format!(
            "`{}` is there already, and may be a file of a plan or a run; it is not written over",
            file.display()
        )));
    }
    Ok(())
}

/// Puts a text into a file that is not there yet, whole or not at all. Where there is one, what it
/// is to be told says why it is left as it is.
pub(super) fn deliver_new(text: &str, file: &Path, left: &str) -> Result<(), Failure> {
    write_new(file, text.as_bytes()).map_err(|error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => {
            Failure::Usage(format!("`{}` is there already; {left}", file.display()))
        }
        _ => not_written(file, &error),
    })
}

/// Makes a folder, with those above it.
pub(super) fn make_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| not_written(folder, &error))
}

/// Why a file or a folder could not be written, with its path.
pub(super) fn not_written(path: &Path, error: &std::io::Error) -> Failure {
    // As of what is read: the system has several wordings for it.
    let why = match error.kind() {
        std::io::ErrorKind::NotFound => "its folder is not found".to_owned(),
        _ => error.to_string(),
    };
    let named = format!("{}: {why}", path.display());
    Failure::NotWritten(std::io::Error::new(error.kind(), named))
}

/// Says what is wrong on the error stream. Nothing can be done where even that fails.
pub(super) fn complain(text: &str) {
    let _ = writeln!(
        std::io::stderr().lock(),
        "offing: {}",
        printable_block(text)
    );
}
