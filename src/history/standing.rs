//! Whether a plan stands in the commit that is checked out, so that what is decided on it now can be
//! held to it later.

use super::NoHistory;
use super::in_git::{digest, missing};
use crate::check::{Asked, Committed, Digests, NoAnswer, asked};
use crate::review::git::{Git, GitError, commit};
use crate::review::revision::Revision;
use crate::source::{Tree, printable_line};

/// A mission as a commit has it, named by its id or its path, with the policy that judges it there.
///
/// # Errors
/// [`NoAnswer`] where the commit does not hold it, or it cannot be judged there.
pub(super) fn in_commit(git: &dyn Git, commit: &str, mission: &str) -> Result<Asked, NoAnswer> {
    let revision = Revision::open(git, commit, "").map_err(NoHistory::from)?;
    asked(&revision, mission, None)
}

/// Whether the plan at a path stands in the commit that is checked out with the bytes that were
/// judged: what a record of its run is held to.
///
/// # Errors
/// [`NoHistory`] where git does not answer, or the tree cannot be listed.
pub fn committed(
    tree: &dyn Tree,
    git: &dyn Git,
    (path, judged): (&str, &Digests),
) -> Result<Committed, NoHistory> {
    let commit = match commit(git, "HEAD") {
        Ok(commit) => commit,
        Err(GitError::NoRevision { .. }) => {
            let says =
                "git names no commit that is checked out here; commit the plan, and decide again";
            return Ok(Committed::Not(vec![says.to_owned()]));
        }
        Err(error) => return Err(error.into()),
    };
    let names: Vec<String> = judged
        .files
        .iter()
        .map(|file| format!("{commit}:{}", file.path))
        .collect();
    let mut off = Vec::new();
    for (file, object) in judged.files.iter().zip(git.named(&names)?) {
        let how = match object {
            None => "is not committed",
            Some(object) if digest(git, &object)?.as_ref() != Some(&file.sha256) => {
                "is not as it is committed"
            }
            Some(_) => continue,
        };
        off.push(format!(
            "{}, the {} `{}`, {how}; commit it, or take the change back, and decide again",
            printable_line(&file.path),
            file.role,
            printable_line(&file.name)
        ));
    }
    if off.is_empty() {
        off.extend(another_there(git, &commit, path, judged));
    }
    // A decision that was taken away or turned about could be made once more.
    off.extend(missing(tree, git)?);
    Ok(if off.is_empty() {
        Committed::In(commit)
    } else {
        Committed::Not(off)
    })
}

/// What makes the plan another one in the commit though all its files are there: a policy or a rule
/// that was taken away since.
fn another_there(git: &dyn Git, commit: &str, path: &str, judged: &Digests) -> Option<String> {
    let short = commit.get(..10).unwrap_or(commit);
    match in_commit(git, commit, path) {
        Ok(there) => {
            let mut digester = there.loaded.digester();
            let digests = digester.plan(&there.plan, &there.policy);
            (digests.whole != judged.whole).then(|| {
                format!(
                    "the plan is another one in commit {short}, which holds a policy or a rule that is not here; \
                     commit that it is gone, or bring it back, and decide again"
                )
            })
        }
        Err(why) => Some(format!(
            "the plan cannot be judged as commit {short} has it: {why}"
        )),
    }
}
