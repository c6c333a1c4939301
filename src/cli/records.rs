//! What commands that write or read records share.

use std::path::Path;

use super::Failure;
use crate::git::{GitError, Repository};
use crate::history::Records;
use crate::source::WorkTree;

/// That git does not answer.
pub(super) fn git_error(error: GitError) -> Failure {
    Failure::Unreadable(error.to_string())
}

/// The repository that a folder lies in, and its files.
pub(super) fn opened(plans: &Path) -> Result<(Repository, WorkTree), Failure> {
    let folder = plans
        .canonicalize()
        .map_err(|error| Failure::Unreadable(format!("{}: {error}", plans.display())))?;
    let git = Repository::open(&folder).map_err(git_error)?;
    if git.is_bare() {
        let text = "the repository is bare and has no work tree for records";
        return Err(Failure::Usage(text.to_owned()));
    }
    let tree = WorkTree::open(git.root());
    let tree = tree.map_err(|error| Failure::Unreadable(error.to_string()))?;
    Ok((git, tree))
}

/// A record or a decision has to be read again by every command after it.
pub(super) fn readable(text: &str) -> Result<(), Failure> {
    Records::reads_back(text).map_err(|why| {
        Failure::Usage(format!(
            "these statements cannot be recorded, so nothing was written: {why}"
        ))
    })
}
