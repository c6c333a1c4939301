//! Folders that tests write in.

use std::io::Result;

use rustix::fs::StatVfsMountFlags;
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
    let fits = rustix::fs::statvfs(IN_MEMORY).is_ok_and(|at| {
        let room = at.f_bavail.checked_mul(at.f_frsize);
        // Some tests run a program that they write.
        room.is_some_and(|room| room >= ROOM) && !at.f_flag.contains(StatVfsMountFlags::NOEXEC)
    });
    if fits {
        TempDir::new_in(IN_MEMORY)
    } else {
        tempfile::tempdir()
    }
}
