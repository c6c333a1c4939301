//! Branches by their full names, and which commits lead to which.

use jiff::Timestamp;

use super::{Git, GitError, is_object};

/// A branch, found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Branch {
    /// Its full name, such as `refs/remotes/origin/main`.
    pub name: String,
    /// The commit at its end.
    pub tip: String,
}

/// Why there is no such branch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum NoBranch {
    /// The name is none that a branch has.
    Name,
    /// This clone has none of this full name.
    Absent(String),
}

/// The full name of a branch as a team writes it: `origin/main` is the one that a remote has, as this
/// clone knows it, `main` one of this clone, and what begins with `refs/` stands for itself. Whatever else
/// has the short name, a tag or a local branch `origin/main`, is another one. `None` for what names no
/// branch.
#[must_use]
pub(crate) fn branch_name(written: &str) -> Option<String> {
    const OF_BRANCHES: [&str; 2] = ["refs/heads/", "refs/remotes/"];
    let full = if written.starts_with("refs/") {
        written.to_owned()
    } else if written.contains('/') {
        format!("refs/remotes/{written}")
    } else {
        format!("refs/heads/{written}")
    };
    let named = OF_BRANCHES
        .iter()
        .filter_map(|beginning| full.strip_prefix(beginning))
        .any(|rest| !rest.is_empty());
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_./".contains(&b);
    (named && full.bytes().all(plain)).then_some(full)
}

/// The branch of a name, as [`branch_name`] makes it a full one.
///
/// # Errors
/// [`GitError`] where git cannot be asked.
pub(crate) fn branch(git: &dyn Git, written: &str) -> Result<Result<Branch, NoBranch>, GitError> {
    let Some(name) = branch_name(written) else {
        return Ok(Err(NoBranch::Name));
    };
    // `rev-parse` would look for other names that end like this one where there is none of it.
    match git.output(&["show-ref", "--verify", "--hash", &name]) {
        Ok(bytes) => {
            let tip = String::from_utf8_lossy(&bytes).trim().to_owned();
            Ok(match is_object(&tip) {
                true => Ok(Branch { name, tip }),
                false => Err(NoBranch::Absent(name)),
            })
        }
        Err(GitError::Failed { .. }) => Ok(Err(NoBranch::Absent(name))),
        Err(other) => Err(other),
    }
}

/// Every branch of a remote, as this clone knows them.
///
/// # Errors
/// [`GitError`] where git cannot be asked.
pub(crate) fn remote_branches(git: &dyn Git) -> Result<Vec<Branch>, GitError> {
    let answer = git.output(&[
        "for-each-ref",
        "--format=%(objectname) %(refname)",
        "refs/remotes/",
    ])?;
    let answer = String::from_utf8_lossy(&answer);
    let branches = answer.lines().filter_map(|line| line.split_once(' '));
    let branches = branches.filter(|(tip, _)| is_object(tip));
    Ok(branches
        .map(|(tip, name)| Branch {
            name: name.to_owned(),
            tip: tip.to_owned(),
        })
        .collect())
}

/// Whether one commit is another or comes before it. In a clone that lacks the beginning of its history
/// some that do are told not to.
///
/// # Errors
/// [`GitError`] where git does not know one of them.
pub(crate) fn leads_to(git: &dyn Git, commit: &str, tip: &str) -> Result<bool, GitError> {
    let but = format!("^{tip}");
    let beyond = git.output(&["rev-list", "--max-count=1", commit, &but, "--"])?;
    Ok(beyond.is_empty())
}

/// When a commit was made, by whoever made it: git's own dates are nobody else's word.
///
/// # Errors
/// [`GitError`] where git does not know it.
pub(crate) fn committed_at(git: &dyn Git, commit: &str) -> Result<Option<Timestamp>, GitError> {
    let raw = git.output(&["cat-file", "commit", commit])?;
    let raw = String::from_utf8_lossy(&raw);
    let mut head = raw.lines().take_while(|line| !line.is_empty());
    let line = head.find(|line| line.starts_with("committer "));
    let seconds = line.and_then(|line| line.rsplit(' ').nth(1)?.parse().ok());
    Ok(seconds.and_then(|seconds| Timestamp::from_second(seconds).ok()))
}

#[cfg(test)]
mod tests {
    use super::branch_name;

    #[test]
    fn a_branch_has_one_full_name() {
        let full = |name: &str| branch_name(name).unwrap_or_default();
        assert_eq!(full("origin/main"), "refs/remotes/origin/main");
        assert_eq!(full("main"), "refs/heads/main");
        assert_eq!(full("refs/heads/reviewed"), "refs/heads/reviewed");
        assert_eq!(full("refs/remotes/a/b/c"), "refs/remotes/a/b/c");
        for none in [
            "",
            "refs/tags/main",
            "refs/heads/",
            "refs/stash",
            "main~1",
            "main^{tree}",
            "a b",
            "@{u}",
        ] {
            assert_eq!(branch_name(none), None, "{none}");
        }
    }
}
