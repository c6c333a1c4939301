//! Writing: to the standard streams, and into files. Whatever the program writes goes through here.

use std::io::Write;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use super::Failure;
use crate::source::{
    leads_to_standard_output, may_write_out, printable_block, standard_output_is_open, take_away,
    write_new, write_out, write_out_by,
};

/// Whether the program was begun with its standard output closed. Before `main` is called the language's
/// own start opens `/dev/null` in place of what is closed, so that nothing would ever be told of it.
static CLOSED: AtomicBool = AtomicBool::new(false);

/// Runs before `main`, and asks the system one thing.
#[ctor::ctor]
fn look_at_the_standard_output() {
    CLOSED.store(!standard_output_is_open(), Ordering::Relaxed);
}

/// Writes a report. A reader that has seen enough (`offing … | head`) is no fault, and changes
/// nothing about the exit status.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    open()?;
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| {
        if text.ends_with('\n') {
            Ok(())
        } else {
            out.write_all(b"\n")
        }
    });
    seen_enough(written.and_then(|()| out.flush()))
}

/// Prints the help or the version that was requested.
pub(super) fn print_help(asked: &clap::Error) -> Result<(), Failure> {
    open()?;
    seen_enough(asked.print().and_then(|()| std::io::stdout().flush()))
}

/// Fails where there is nothing to print to.
fn open() -> Result<(), Failure> {
    if CLOSED.load(Ordering::Relaxed) {
        let why = "the standard output is closed";
        return Err(Failure::NotWritten(std::io::Error::other(why)));
    }
    Ok(())
}

fn seen_enough(written: std::io::Result<()>) -> Result<(), Failure> {
    match written {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::NotWritten(error))
        }
        _ => Ok(()),
    }
}

/// Puts a report into its file, whole or not at all, or on the standard output.
pub(super) fn deliver(text: &str, file: Option<&Path>) -> Result<(), Failure> {
    let Some(file) = no_stream(file) else {
        return print(text);
    };
    spared(file)?;
    deliver_over(text, file)
}

/// As [`deliver`], of a report that something writes piece by piece, with its last line's end.
pub(super) fn deliver_by(
    file: Option<&Path>,
    write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>,
) -> Result<(), Failure> {
    let Some(file) = no_stream(file) else {
        open()?;
        let mut out = std::io::stdout().lock();
        let written = write(&mut out);
        return seen_enough(written.and_then(|()| out.flush()));
    };
    spared(file)?;
    write_out_by(file, write).map_err(|error| not_written(file, &error))
}

/// Makes sure, before work is done for it, that a report may be put into a file.
pub(super) fn may_be_delivered(file: Option<&Path>) -> Result<(), Failure> {
    let Some(file) = no_stream(file) else {
        return Ok(());
    };
    spared(file)?;
    may_write_out(file).map_err(|error| not_written(file, &error))
}

/// As [`may_be_delivered`], of a command that makes no folders: the file's folder must be there as well.
pub(super) fn has_its_place(file: Option<&Path>) -> Result<(), Failure> {
    may_be_delivered(file)?;
    let Some(file) = no_stream(file) else {
        return Ok(());
    };
    let folder = file.parent();
    let folder = folder.filter(|folder| !folder.as_os_str().is_empty());
    match folder.map(Path::metadata) {
        Some(Err(error)) => Err(not_written(file, &error)),
        _ => Ok(()),
    }
}

/// The file, unless the standard output is meant by it.
pub(super) fn no_stream(file: Option<&Path>) -> Option<&Path> {
    file.filter(|file| !is_stream(file))
}

/// Whether the standard output is meant: `-`, as is usual, or a link such as `/dev/stdout` that leads to
/// where that goes. A file named `-` is `./-`.
fn is_stream(file: &Path) -> bool {
    if file.as_os_str() == "-" {
        return true;
    }
    let is_link = file
        .symlink_metadata()
        .is_ok_and(|about| about.is_symlink());
    let (Some(target), true) = (file.metadata().ok(), is_link) else {
        return false;
    };
    leads_to_standard_output(&target)
}

/// Puts a text into a file in place of what is there, whole or not at all; into a pipe or a device as it is.
pub(super) fn deliver_over(text: &str, file: &Path) -> Result<(), Failure> {
    write_out(file, text.as_bytes()).map_err(|error| not_written(file, &error))
}

/// Takes away a file that was written before and has nothing to hold now.
pub(super) fn withdraw(file: &Path) -> Result<(), Failure> {
    take_away(file).map_err(|error| not_written(file, &error))
}

/// Makes a folder for files that the program names itself. One that is a link would lead them elsewhere.
pub(super) fn make_own_folder(folder: &Path) -> Result<(), Failure> {
    make_folder(folder)?;
    let about = folder.symlink_metadata();
    if about.is_ok_and(|about| about.is_symlink()) {
        let error =
            std::io::Error::other("the folder is a link, and offing writes nothing through it");
        return Err(not_written(folder, &error));
    }
    Ok(())
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
            "`{}` exists already, and may be a file of a plan or a run; it was not overwritten",
            file.display()
        )));
    }
    Ok(())
}

/// Puts a text into a file that is not there yet, whole or not at all. Where there is one, `left` says why it
/// is left as it is.
pub(super) fn deliver_new(text: &str, file: &Path, left: &str) -> Result<(), Failure> {
    write_new(file, text.as_bytes()).map_err(|error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => is_there(file, left),
        _ => not_written(file, &error),
    })
}

/// Makes sure that nothing is at a path yet, before work is done for what is to be written there.
pub(super) fn must_be_new(file: &Path, left: &str) -> Result<(), Failure> {
    match file.symlink_metadata() {
        Ok(_) => Err(is_there(file, left)),
        Err(_) => Ok(()),
    }
}

fn is_there(file: &Path, left: &str) -> Failure {
    Failure::Usage(format!("`{}` exists already; {left}", file.display()))
}

/// Makes a folder, with those above it.
pub(super) fn make_folder(folder: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| not_written(folder, &error))
}

/// Why a file or a folder could not be written, with its path.
pub(super) fn not_written(path: &Path, error: &std::io::Error) -> Failure {
    // As of what is read: the system has several wordings for it.
    let why = match error.kind() {
        std::io::ErrorKind::NotFound => "its folder does not exist".to_owned(),
        _ => error.to_string(),
    };
    let named = format!("{}: {why}", path.display());
    Failure::NotWritten(std::io::Error::new(error.kind(), named))
}

/// Says on the error stream what belongs beside a report.
pub(super) fn remark(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", printable_block(text));
}

/// Says what is wrong on the error stream. Nothing can be done where even that fails.
pub(super) fn complain(text: &str) {
    let _ = writeln!(
        std::io::stderr().lock(),
        "offing: {}",
        printable_block(text)
    );
}
