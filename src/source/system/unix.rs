//! Linux, macOS and their kin.

use std::fs::{File, Metadata, OpenOptions, Permissions};
use std::io;
use std::os::unix::fs::{FileTypeExt as _, MetadataExt as _, OpenOptionsExt as _, PermissionsExt};
use std::path::Path;

use rustix::fs::OFlags;

/// Whether the standard output is open. To be asked before `main`, since the language's own start opens
/// `/dev/null` in place of what is closed.
#[must_use]
pub(crate) fn standard_output_is_open() -> bool {
    rustix::io::fcntl_getfd(rustix::stdio::stdout()).is_ok()
}

/// Whether a file is the one that the standard output goes to.
#[must_use]
pub(crate) fn leads_to_standard_output(about: &Metadata) -> bool {
    let out = rustix::fs::fstat(rustix::stdio::stdout());
    out.is_ok_and(|out| (out.st_dev, out.st_ino) == (about.dev(), about.ino()))
}

/// Whether what is written to it goes on to somewhere else.
pub(in crate::source) fn passes_on(about: &Metadata) -> bool {
    about.file_type().is_fifo() || about.file_type().is_char_device()
}

/// Opens a pipe or a device to write to it. A terminal does not become the program's own.
pub(in crate::source) fn open_to_pass_on(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).custom_flags(no_own_terminal());
    options.open(path)
}

/// A terminal that is opened for reading does not become the program's own.
pub(in crate::source) fn never_own_terminal(options: &mut cap_std::fs::OpenOptions) {
    cap_std::fs::OpenOptionsExt::custom_flags(options, no_own_terminal());
}

fn no_own_terminal() -> i32 {
    i32::try_from(OFlags::NOCTTY.bits()).unwrap_or_default()
}

/// A new file is as any other, what the user's mask leaves; a temporary one would be its maker's alone.
pub(in crate::source) fn readable_by_mask(builder: &mut tempfile::Builder<'_, '_>) {
    builder.permissions(Permissions::from_mode(0o666));
}
