//! The `git` command, behind a small trait: everything that is asked of a repository's history; its revisions as
//! trees of files, and signatures on what it holds.
//!
//! The command itself is used and no library that does the same: it knows every kind of repository
//! that it made (work trees, other hashes, partial clones), and costs a few milliseconds a call.

mod belonging;
mod environment;
mod error;
mod named;
mod refs;
mod repository;
pub(crate) mod revision;
pub(crate) mod signature;

pub use error::GitError;
pub(crate) use refs::{NoBranch, branch, branch_name, committed_at, leads_to, remote_branches};
pub use repository::Repository;

use crate::source::printable_line;

/// What is asked of git.
pub trait Git: Send + Sync {
    /// What a command writes, the command given by its arguments.
    ///
    /// # Errors
    /// [`GitError`] where it cannot be run or fails.
    fn output(&self, arguments: &[&str]) -> Result<Vec<u8>, GitError>;

    /// The bytes of an object, at most so many; `None` where it is larger.
    ///
    /// # Errors
    /// [`GitError`] where it cannot be read.
    fn blob(&self, object: &str, limit: u64) -> Result<Option<Vec<u8>>, GitError>;

    /// The objects of files by their names, such as `HEAD:plans/one.yaml`, in the same order; `None`
    /// for a name that is no file's.
    ///
    /// # Errors
    /// [`GitError`] where the command cannot be run or its answer is not understood.
    fn named(&self, names: &[String]) -> Result<Vec<Option<String>>, GitError>;

    /// The bytes of several objects, each as [`blob`](Self::blob) has it, in the same order.
    fn blobs(&self, objects: &[&str], limit: u64) -> Vec<Blob> {
        let objects = objects.iter();
        objects.map(|object| self.blob(object, limit)).collect()
    }
}

/// What comes of asking for an object: its bytes, or `None` where they are more than is read.
pub(crate) type Blob = Result<Option<Vec<u8>>, GitError>;

/// Whether a text is the name of an object: hexadecimal digits, of either hash that git has.
fn is_object(text: &str) -> bool {
    matches!(text.len(), 40 | 64) && text.bytes().all(|b| b.is_ascii_hexdigit())
}

/// The commit that a revision names, in full.
///
/// # Errors
/// [`GitError::NoRevision`] where there is none, with whether the clone is shallow.
pub fn commit(git: &dyn Git, revision: &str) -> Result<String, GitError> {
    let none = || GitError::NoRevision {
        revision: printable_line(revision).into_owned(),
        shallow: is_shallow(git),
    };
    if revision.is_empty() || revision.contains(['\0', '\n']) {
        return Err(none());
    }
    let wanted = format!("{revision}^{{commit}}");
    let answer = git.output(&[
        "rev-parse",
        "--verify",
        "--quiet",
        "--end-of-options",
        &wanted,
    ]);
    let bytes = match answer {
        Ok(bytes) => bytes,
        Err(GitError::Failed { .. }) => return Err(none()),
        Err(other) => return Err(other),
    };
    let name = String::from_utf8_lossy(&bytes).trim().to_owned();
    if is_object(&name) {
        Ok(name)
    } else {
        Err(none())
    }
}

/// Whether a clone lacks the beginning of its history.
pub(crate) fn is_shallow(git: &dyn Git) -> bool {
    git.output(&["rev-parse", "--is-shallow-repository"])
        .is_ok_and(|answer| answer.starts_with(b"true"))
}
