//! What the `git` command is started with. A repository, and whoever set the variables of this
//! process, may have named programs that git would start, or other places that it would read.

use std::env;
use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;

use crate::source::program;

/// Variables of git's own that are left as they are: where it may look for a repository, and the
/// settings of whoever calls, among them the folders that are trusted. What those settings would
/// start is not asked for.
const KEPT: [&str; 2] = ["GIT_CEILING_DIRECTORIES", "GIT_DISCOVERY_ACROSS_FILESYSTEM"];
/// What the names of the kept ones begin with.
const KEPT_BEGINNING: &[u8] = b"GIT_CONFIG";

/// The command, looked for in folders named in full only: a `git` that lies in a repository is
/// none. It asks nobody, changes nothing and fetches nothing, and sees each commit as it was made.
pub(super) fn git() -> Command {
    let mut command = program("git");
    for (name, _) in env::vars_os() {
        if is_refused(&name) {
            command.env_remove(name);
        }
    }
    let nothing = Path::new("/dev/null");
    command
        .env("GIT_OPTIONAL_LOCKS", "0")
        .env("GIT_TERMINAL_PROMPT", "0")
        .env("GIT_NO_REPLACE_OBJECTS", "1")
        .env("GIT_GRAFT_FILE", nothing)
        .env("GIT_NO_LAZY_FETCH", "1")
        // Of those git that do not know the last one.
        .env("GIT_ALLOW_PROTOCOL", "none")
        .env("LC_ALL", "C");
    command
}

fn is_refused(name: &OsStr) -> bool {
    let bytes = name.as_encoded_bytes();
    bytes.starts_with(b"GIT_")
        && !bytes.starts_with(KEPT_BEGINNING)
        && !KEPT.iter().any(|kept| kept.as_bytes() == bytes)
}
