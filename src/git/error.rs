//! Why git did not answer.

/// Why git did not answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum GitError {
    /// The command is not on the machine.
    #[error("the `git` command could not be run: {0}")]
    NoGit(String),
    /// No repository is there.
    #[error("{path}: no git repository is here or above")]
    NoRepository {
        /// Where one was looked for.
        path: String,
    },
    /// No such revision.
    #[error("there is no revision `{revision}` in this repository{}", hint(*.shallow))]
    NoRevision {
        /// As it was asked for.
        revision: String,
        /// Whether the clone is shallow, so that the revision may exist elsewhere.
        shallow: bool,
    },
    /// A repository that is not that of the folder it was looked for in.
    #[error("{path}: {why}")]
    Elsewhere {
        /// The folder.
        path: String,
        /// What is wrong, and what to do.
        why: &'static str,
    },
    /// Files of a revision are not in this clone.
    #[error(
        "files of the revision are missing from this filtered clone; `git fetch --refetch \
         --no-filter` brings them, or clone without `--filter`"
    )]
    Partial,
    /// The command failed.
    #[error("git {what}: {said}")]
    Failed {
        /// What was asked of it.
        what: String,
        /// Its own words.
        said: String,
    },
    /// An answer that is not as git gives it, or larger than is read.
    #[error("git {what}: unexpected answer: {why}")]
    Answer {
        /// What was asked of it.
        what: String,
        /// What is wrong.
        why: String,
    },
}

fn hint(shallow: bool) -> &'static str {
    if shallow {
        "; the clone is shallow, and `git fetch --unshallow`, or a fetch of that revision, brings it"
    } else {
        ""
    }
}
