//! Windows. Written for and type-checked, and never run.

use std::fs::{File, Metadata};
use std::io;
use std::os::windows::io::AsRawHandle as _;
use std::path::Path;

/// Whether the standard output is open: a program that is begun without one has no handle for it.
#[must_use]
pub fn standard_output_is_open() -> bool {
    !io::stdout().as_raw_handle().is_null()
}

/// Whether a file is the one that the standard output goes to: no name of a file here leads to it.
#[must_use]
pub fn leads_to_standard_output(_: &Metadata) -> bool {
    false
}

/// Whether what is written to it goes on to somewhere else. Pipes and devices are no files here, and are
/// not told apart from the folders that they have none of: nothing is written through.
pub(in crate::source) fn passes_on(_: &Metadata) -> bool {
    false
}

/// Refuses: nothing is written through.
pub(in crate::source) fn open_to_pass_on(_: &Path) -> io::Result<File> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Nothing is to be done: a terminal becomes nobody's own by being opened.
pub(in crate::source) fn never_own_terminal(_: &mut cap_std::fs::OpenOptions) {}

/// Nothing is to be done: a new file inherits who may read it from its folder.
pub(in crate::source) fn readable_by_mask(_: &mut tempfile::Builder<'_, '_>) {}
