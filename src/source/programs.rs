//! Where other programs are looked for: in folders named in full only. One that lies in the folder that
//! is worked in, such as a stranger's repository, is none.

use std::env;
use std::process::Command;

/// A folder that is not there. An empty `PATH` would stand for the folder that is worked in.
const NOWHERE: &str = "/nonexistent";

/// A program of that name, looked for in those folders of `PATH` that are named in full.
#[must_use]
pub(crate) fn program(name: &str) -> Command {
    let mut command = Command::new(name);
    let path = env::var_os("PATH").unwrap_or_default();
    let full = env::split_paths(&path).filter(|folder| folder.is_absolute());
    // Folders that were split can be joined again. A `PATH` that stays as it is is left alone: with one of its own a
    // program is started by a fork, which copies the page tables of all that was read.
    match env::join_paths(full) {
        Ok(full) if full.is_empty() => command.env("PATH", NOWHERE),
        Ok(full) if full != path => command.env("PATH", full),
        _ => &mut command,
    };
    command
}
