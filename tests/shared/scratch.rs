//! Folders that tests write in.

use std::io::Result;
use std::path::Path;

use tempfile::TempDir;

/// Where Linux keeps files in memory.
const IN_MEMORY: &str = "/dev/shm";

/// Room that all tests at once stay well below; containers often give 64 MiB.
const ROOM: u64 = 4 << 30;

/// A new empty folder that goes when it is dropped: in memory where there is room, since a disk's file system
/// took a tenth of the tests' time to find places for small files that soon go again.
///
/// # Errors
///
/// The folder cannot be made.
pub fn folder() -> Result<TempDir> {
    let room = rustix::fs::statvfs(IN_MEMORY)
        .ok()
        .and_then(|at| at.f_bavail.checked_mul(at.f_frsize));
    if room.is_some_and(|room| room >= ROOM) && Path::new(IN_MEMORY).is_dir() {
        TempDir::new_in(IN_MEMORY)
    } else {
        tempfile::tempdir()
    }
}
