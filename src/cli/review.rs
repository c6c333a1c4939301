//! `offing review`.

use super::args::{PolicyFrom, Review};
use super::{Failure, figures, output, reports, settings};
use crate::git::revision::Revision;
use crate::git::{Git as _, GitError, Repository, commit};
use crate::report::exit_status;
use crate::review::{self, review_as};
use crate::source::{Tree, WorkTree};

/// How much of a commit's name is shown.
const SHOWN: usize = 10;

pub(super) fn run(options: &Review) -> Result<u8, Failure> {
    reports::one_to_a_place(&options.format)?;
    let folder = options
        .plans
        .canonicalize()
        .map_err(|error| Failure::Unreadable(format!("{}: {error}", options.plans.display())))?;
    let git = Repository::open(&folder).map_err(refused)?;
    let root = git
        .root()
        .canonicalize()
        .map_err(|error| Failure::Unreadable(format!("{}: {error}", git.root().display())))?;
    // The whole repository, from whichever folder of it: a mission is judged with its vessel, its water and
    // what judges it, wherever these lie.
    let open = |revision: &str| -> Result<Revision<'_>, GitError> {
        let commit = commit(&git, revision)?;
        Revision::open(&git, &commit, "")
    };
    if commit(&git, "HEAD").is_err()
        && git
            .output(&["rev-list", "--all", "--max-count=1"])
            .is_ok_and(|all| all.is_empty())
    {
        let text = "there is no commit here yet, so there is nothing to compare with; `offing \
                    check` judges the files, and the first commit should hold the policy that \
                    judges from then on";
        return Err(Failure::Unreadable(text.to_owned()));
    }
    let base = open(&options.base).map_err(refused)?;
    let base_name = short(base.commit());
    let policy_from = match options.policy_from {
        PolicyFrom::Base => review::PolicyFrom::Base,
        PolicyFrom::Head => review::PolicyFrom::Head,
    };
    let asked = review::ReviewOptions {
        partition: options.partition,
        pictures: options.figures.is_some(),
        ..review::ReviewOptions::by(policy_from)
    };
    let compared = |head: &dyn Tree, name: &str| {
        review_as((&base, &base_name), (head, name), asked)
            .map_err(|error| Failure::Unreadable(error.to_string()))
    };
    let found = match &options.head {
        Some(head) => {
            let head = open(head).map_err(refused)?;
            let name = short(head.commit());
            compared(&head, &name)?
        }
        None if git.is_bare() => {
            let text = "the repository is bare and has no work tree; name the revision to review";
            return Err(Failure::Usage(text.to_owned()));
        }
        None => {
            let tree =
                WorkTree::open(&root).map_err(|error| Failure::Unreadable(error.to_string()))?;
            compared(&tree, "the work tree")?
        }
    };
    let folder = options.figures.as_deref();
    if let Some(folder) = folder {
        figures::write(&found.outcome, folder)?;
    }
    for wanted in &options.format {
        let mut text = reports::of_review(&found, wanted, &options.drawing)?;
        text.push_str(&reports::links(&found.outcome, wanted, folder));
        output::deliver(&text, wanted.file.as_deref())?;
    }
    reports::caution(&options.format);
    Ok(exit_status(
        &found.outcome,
        settings::failing(options.fail_on),
    ))
}

fn short(commit: &str) -> String {
    commit.chars().take(SHOWN).collect()
}

fn refused(error: GitError) -> Failure {
    Failure::Unreadable(error.to_string())
}
