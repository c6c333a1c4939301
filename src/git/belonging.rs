//! Whether a repository that git found is that of the folder it was looked for in.
//!
//! git follows a `.git` that is a file or a link, and a setting of the work tree, wherever they
//! lead, and takes any folder that looks like a bare repository for one. What they lead to must
//! itself say that it belongs here, or a folder of files could have another repository shown.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::{Git, GitError};
use crate::source::printable_line;

const BARE_INSIDE: &str =
    "offing does not review a bare repository inside another one; review the outer one";
const OTHER_TREE: &str = "the repository found here keeps its work tree elsewhere \
(`core.worktree`); review it there";
const NO_WAY_BACK: &str = "`.git` leads to a repository that does not name this folder as its work \
tree; review it where it is, or set its `core.worktree` to this folder";

const NOT_TRUSTED: &str = "git does not trust the repository here, since the folder belongs to \
another user; if you do, tell git so: `git config --global --add safe.directory FOLDER`, with the \
root of the repository for FOLDER";

/// The most that is read of a file that names a folder.
const LONGEST: u64 = 4096;

fn elsewhere(path: &Path, why: &'static str) -> GitError {
    GitError::Elsewhere {
        path: printable_line(&path.display().to_string()).into_owned(),
        why,
    }
}

/// Why a folder's repository could not be opened, told from what git says.
pub(super) fn not_opened(error: GitError, folder: &Path) -> GitError {
    match error {
        GitError::Failed { said, .. } if said.contains("dubious ownership") => {
            elsewhere(folder, NOT_TRUSTED)
        }
        GitError::Failed { said, .. } if said.contains("not a git repository") => {
            GitError::NoRepository {
                path: printable_line(&folder.display().to_string()).into_owned(),
            }
        }
        GitError::Failed { said, .. } => GitError::Failed {
            what: "rev-parse".to_owned(),
            said,
        },
        other => other,
    }
}

/// A bare repository, which git keeps at a path, must lie in no other one: a folder of a work tree may be made to
/// look like one.
pub(super) fn bare(kept: &Path) -> Result<(), GitError> {
    let at = real(kept);
    let outer = at
        .ancestors()
        .skip(1)
        .find(|above| above.join(".git").symlink_metadata().is_ok());
    match outer {
        Some(_) => Err(elsewhere(&at, BARE_INSIDE)),
        None => Ok(()),
    }
}

/// A work tree, of which `root` is the root, must hold the folder, and its repository, whose own files git keeps in
/// `kept`, lie in it or name it.
pub(super) fn with_work_tree(
    git: &dyn Git,
    (root, folder): (&Path, &Path),
    kept: impl FnOnce() -> Result<PathBuf, GitError>,
) -> Result<(), GitError> {
    let root = real(root);
    if !real(folder).starts_with(&root) {
        return Err(elsewhere(folder, OTHER_TREE));
    }
    let link = root.join(".git");
    let plain = link.symlink_metadata().is_ok_and(|kind| kind.is_dir());
    let at = real(&kept()?);
    if plain || at.starts_with(&root) || names(&at, &link) {
        return Ok(());
    }
    // Where it is set, git took the root from it.
    match git.output(&["config", "--get", "core.worktree"]) {
        Ok(_) => Ok(()),
        Err(GitError::Failed { .. }) => Err(elsewhere(&root, NO_WAY_BACK)),
        Err(other) => Err(other),
    }
}

/// Whether the folder that git keeps for a further work tree names that tree's `.git`.
fn names(at: &Path, link: &Path) -> bool {
    let file = at.join("gitdir");
    if !file.symlink_metadata().is_ok_and(|kind| kind.is_file()) {
        return false;
    }
    let mut text = String::new();
    let read = File::open(file).and_then(|file| file.take(LONGEST).read_to_string(&mut text));
    // A path that is not given in full is one from that folder.
    read.is_ok() && real(&at.join(text.trim_end_matches('\n'))) == real(link)
}

/// The path with links resolved, or as it is where nothing is there.
fn real(path: &Path) -> PathBuf {
    path.canonicalize().unwrap_or_else(|_| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What git 2.39 says, as its source has it.
    #[test]
    fn what_git_refuses_is_told_with_what_to_do() {
        let told = |said: &str| {
            let error = GitError::Failed {
                what: "rev-parse".to_owned(),
                said: said.to_owned(),
            };
            not_opened(error, Path::new("/plans")).to_string()
        };
        let other = told(
            "detected dubious ownership in repository at '/plans' To add an exception for this directory, \
             call: git config --global --add safe.directory /plans",
        );
        assert!(other.starts_with("/plans: git does not trust"), "{other}");
        assert!(other.contains("git config --global --add safe.directory"));
        let none = told("not a git repository (or any of the parent directories): .git");
        assert_eq!(none, "/plans: no git repository is here or above");
        assert_eq!(told("bad config"), "git rev-parse: bad config");
    }
}
