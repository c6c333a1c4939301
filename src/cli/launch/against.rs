//! A decision held against git: the commit that is named before anything is read, and what the repository
//! knows beside the files that lie there.

use jiff::Timestamp;

use crate::git::{GitError, Repository};
use crate::history::{Judged, committed, committed_after, elsewhere, named_commit, reviewed};
use crate::launch::{Committed, Decision, Elsewhere};
use crate::plan::calendar::shown;
use crate::plan::{Plan, SIGNATURE, is_yaml};
use crate::rules::EffectivePolicy;
use crate::source::{Held, WorkTree, printable_line};

/// Git, as far as it can be asked.
pub(super) enum Against {
    /// There is no repository.
    None,
    /// Whether there is one, or what it holds, cannot be determined; in a clause.
    Untold(String),
    /// The repository, and the commit that was checked out when the files were read.
    Git(Box<Repository>, Option<String>),
}

impl Against {
    /// Opens the repository of a folder, and names the commit that is checked out.
    pub(super) fn open(disk: &WorkTree) -> Self {
        let root = disk.root();
        if root.join(".git").symlink_metadata().is_err() {
            return Self::None;
        }
        match Repository::open(root) {
            Ok(git) if git.is_work_tree_of(root) => match named_commit(&git) {
                Ok(commit) => Self::Git(Box::new(git), commit),
                Err(why) => Self::Untold(why.to_string()),
            },
            Ok(_) | Err(GitError::NoRepository { .. }) => Self::None,
            Err(error) => Self::Untold(error.to_string()),
        }
    }

    /// What was decided and run that the files do not hold. Where that cannot be determined, git is not
    /// believed in anything else either.
    pub(super) fn elsewhere(&mut self, tree: &Held<'_>) -> Elsewhere {
        let Self::Git(git, Some(_)) = self else {
            return Elsewhere::default();
        };
        match elsewhere(tree, &**git) {
            Ok(found) => found,
            Err(why) => {
                *self = Self::Untold(why.to_string());
                Elsewhere::default()
            }
        }
    }

    /// Says of a decision whether its files stand in the commit, and whether that one was reviewed. What
    /// git cannot be asked about is not taken to.
    pub(super) fn hold(
        &self,
        decision: &mut Decision,
        (tree, policy): (&Held<'_>, &EffectivePolicy),
        without_git: bool,
    ) {
        let untold = |why: &dyn std::fmt::Display| {
            Committed::Not(vec![format!(
                "cannot tell whether the plan is committed: {why}"
            )])
        };
        let (git, commit) = match self {
            Self::None => return decision.hold_against(Committed::NoRepository, without_git),
            Self::Untold(why) => return decision.hold_against(untold(why), without_git),
            Self::Git(git, commit) => (git, commit.as_deref()),
        };
        let judged = Judged {
            path: &decision.path,
            digests: &decision.digests,
            beside: &decision.beside,
        };
        let found = committed(tree, &**git, commit, judged);
        let found = found.unwrap_or_else(|why| untold(&why));
        let stands = matches!(found, Committed::In(_));
        decision.hold_against(found, without_git);
        let Some(commit) = commit.filter(|_| stands) else {
            return;
        };
        let of_mission = (decision.mission.as_str(), &decision.digests);
        match reviewed(&**git, commit, policy, of_mission) {
            Ok(reviewed) => decision.hold_to_review(reviewed),
            Err(why) => {
                let says = format!("cannot tell whether the commit was reviewed: {why}");
                decision.stop("not-reviewed", says);
            }
        }
    }

    /// That the latest commit was made later than now, where it was.
    pub(super) fn ahead_of(&self, now: Timestamp, plan: &Plan) -> Option<String> {
        let Self::Git(git, Some(commit)) = self else {
            return None;
        };
        // One whose date cannot be read is told of by what else is asked.
        let at = committed_after(&**git, commit, now).ok().flatten()?;
        let short = commit.get(..10).unwrap_or(commit);
        Some(format!(
            "commit {short} was made at {}, which is later than now: one of the two clocks was \
             wrong, and nobody can tell which of them judged the forecast and the daylight",
            shown(at, plan.site.time_zone.as_ref())
        ))
    }

    /// What changed while this was decided: files that were read, those that came or went and may judge,
    /// and the commit that is checked out.
    pub(super) fn changed(&self, tree: &Held<'_>) -> Option<String> {
        let counts = |path: &str| is_yaml(path) || path.ends_with(SIGNATURE);
        let again = "decide again, so that the decision covers the present files";
        match tree.changed(counts) {
            Err(why) => {
                return Some(format!("the files could not be read again: {why}; {again}"));
            }
            Ok(paths) => {
                if let Some(path) = paths.first() {
                    let more = match paths.len() {
                        1 => String::new(),
                        many => format!(" and {} more files", many - 1),
                    };
                    let path = printable_line(path);
                    return Some(format!("{path}{more} changed during the decision; {again}"));
                }
            }
        }
        let Self::Git(git, commit) = self else {
            return None;
        };
        match named_commit(&**git) {
            Ok(now) if now == *commit => None,
            Ok(_) => Some(format!(
                "another commit was checked out during the decision; {again}"
            )),
            Err(why) => Some(format!("git did not answer again: {why}; {again}")),
        }
    }
}
