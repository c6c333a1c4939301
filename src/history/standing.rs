//! Whether a plan stands in the commit that is checked out, so that what is decided on it now can be
//! held to it later.

use super::in_git::missing;
use super::objects::digest;
use super::records::NoHistory;
use crate::check::{Digests, Loaded, LoadedMission, NoAnswer, asked, load};
use crate::git::revision::Revision;
use crate::git::{
    Git, GitError, NoBranch, branch, branch_name, commit, committed_at, leads_to, remote_branches,
};
use crate::launch::{Committed, Reviewed};
use crate::plan::Plan;
use crate::rules::{BUILTIN_POLICY, EffectivePolicy, LaunchFrom};
use crate::source::{Limit, Tree, is_object, printable_line};

/// A mission as a commit has it, named by its id or its path, with the policy that judges it there.
///
/// # Errors
/// [`NoAnswer`] where the commit does not hold it, or it cannot be judged there.
pub(super) fn in_commit(
    git: &dyn Git,
    commit: &str,
    mission: &str,
) -> Result<LoadedMission, NoAnswer> {
    let revision = Revision::open(git, commit, "").map_err(NoHistory::from)?;
    asked(&revision, mission, None)
}

/// What a decision is about and rests on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Judged<'a> {
    /// Path of the mission's file.
    pub path: &'a str,
    /// The plan, and what judged it.
    pub digests: &'a Digests,
    /// Other files that it rests on, each with what it is: signers, signatures.
    pub beside: &'a [(String, String)],
}

/// The commit that is checked out; `None` where git names none.
///
/// # Errors
/// [`NoHistory`] where git does not answer.
pub(crate) fn named_commit(git: &dyn Git) -> Result<Option<String>, NoHistory> {
    match commit(git, "HEAD") {
        Ok(commit) => Ok(Some(commit)),
        Err(GitError::NoRevision { .. }) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// Whether the plan that was judged stands in a commit with the bytes that were judged, and so does
/// everything else that the decision rests on: what a record of its run is held to. `tree` holds the
/// bytes that were judged, whatever lies on disk by now.
///
/// # Errors
/// [`NoHistory`] where git does not answer, or the tree cannot be listed.
pub(crate) fn committed(
    tree: &dyn Tree,
    git: &dyn Git,
    commit: Option<&str>,
    judged: Judged<'_>,
) -> Result<Committed, NoHistory> {
    let Some(commit) = commit else {
        let says = "no commit is checked out here; commit the plan, and decide again";
        return Ok(Committed::Not(vec![says.to_owned()]));
    };
    let files = &judged.digests.files;
    let beside = judged.beside;
    let paths = files.iter().map(|file| &file.path);
    let paths = paths.chain(beside.iter().map(|(_, path)| path));
    let names: Vec<String> = paths.map(|path| format!("{commit}:{path}")).collect();
    let mut objects = git.named(&names)?.into_iter();
    let mut off = Vec::new();
    // Git may have changed line ends as it checked the file out; what is judged is bytes.
    let by_ends = |path: &str, object: &Option<String>| {
        let text = tree.read(path, Limit::GEODATA).ok();
        let plain = text.map(|text| text.replace("\r\n", "\n"));
        let same = |object: &String| plain.is_some_and(|text| is_object(&text, object));
        object.as_ref().is_some_and(same)
    };
    let mut told = |path: &str, what: &str, object: &Option<String>| {
        if by_ends(path, object) {
            off.push(format!(
                "{}, {what}, has other line endings than its commit (`\\r\\n`): make git check \
                 files out as committed, by a line `* -text` in `.gitattributes` or `git config \
                 core.autocrlf false`, then check this one out again and decide again",
                printable_line(path)
            ));
            return;
        }
        let how = match object {
            Some(_) => "is not as committed",
            None => "is not committed",
        };
        off.push(format!(
            "{}, {what}, {how}; commit it, or undo the change, and decide again",
            printable_line(path)
        ));
    };
    for (file, object) in files.iter().zip(objects.by_ref()) {
        let same = match &object {
            None => false,
            Some(object) => digest(git, object)?.as_ref() == Some(&file.sha256),
        };
        if !same {
            let what = format!("the {} `{}`", file.role, printable_line(&file.name));
            told(&file.path, &what, &object);
        }
    }
    for ((what, path), object) in beside.iter().zip(objects) {
        let text = tree.read(path, Limit::YAML);
        let same = |object: &String| text.as_ref().is_ok_and(|text| is_object(text, object));
        if !object.as_ref().is_some_and(same) {
            told(path, what, &object);
        }
    }
    if off.is_empty() {
        off.extend(another_there(git, commit, judged));
    }
    // A decision that was taken away or turned about could be made once more.
    off.extend(missing(tree, git)?);
    Ok(if off.is_empty() {
        Committed::In(commit.to_owned())
    } else {
        Committed::Not(off)
    })
}

/// What makes the plan another one in the commit though all its files are there: a policy or a rule
/// that was taken away since.
fn another_there(git: &dyn Git, commit: &str, judged: Judged<'_>) -> Option<String> {
    let short = commit.get(..10).unwrap_or(commit);
    match in_commit(git, commit, judged.path) {
        Ok(there) => {
            let mut digester = there.loaded.digester();
            let digests = digester.plan(&there.plan, &there.policy);
            (digests.whole != judged.digests.whole).then(|| {
                format!(
                    "the plan differs in commit {short}, which holds a policy or a rule that is \
                     not here; commit its removal, or bring it back, and decide again"
                )
            })
        }
        Err(why) => Some(format!(
            "the plan cannot be judged as commit {short} has it: {why}"
        )),
    }
}

/// Whether a commit is in the branch that the policy which judges a mission says reviewed ones lead to.
///
/// # Errors
/// [`NoHistory`] where git does not answer.
pub(crate) fn reviewed(
    git: &dyn Git,
    commit: &str,
    policy: &EffectivePolicy,
    (mission, digests): (&str, &Digests),
) -> Result<Reviewed, NoHistory> {
    match &policy.launch_from {
        Some(from) => {
            let found = in_branch(git, commit, from, "")?;
            // A branch of this clone alone may have been made by whoever launches.
            match &found {
                Reviewed::In(name) if name.starts_with("refs/heads/") => {
                    let asked = asked_elsewhere(git, commit, policy, (mission, digests))?;
                    Ok(if asked == Reviewed::Unknown {
                        found
                    } else {
                        asked
                    })
                }
                _ => Ok(found),
            }
        }
        None => asked_elsewhere(git, commit, policy, (mission, digests)),
    }
}

fn in_branch(
    git: &dyn Git,
    commit: &str,
    from: &LaunchFrom,
    asks: &str,
) -> Result<Reviewed, NoHistory> {
    let short = commit.get(..10).unwrap_or(commit);
    let (policy, written) = (
        printable_line(&from.policy),
        printable_line(&from.branch.value),
    );
    let not = |why: String| Ok(Reviewed::Not(why));
    let found = match branch(git, &from.branch.value)? {
        Ok(found) => found,
        Err(NoBranch::Name) => {
            return not(format!(
                "policy `{policy}` requires launch decisions from `{written}`{asks}, which is not \
                 a branch; name one, such as `origin/main`"
            ));
        }
        Err(NoBranch::Absent(name)) => {
            return not(format!(
                "policy `{policy}` requires launch decisions from `{written}`{asks}, and this \
                 clone has no branch {name}; fetch it, and decide again"
            ));
        }
    };
    if leads_to(git, commit, &found.tip)? {
        return Ok(Reviewed::In(found.name));
    }
    not(format!(
        "commit {short} is not in {}, the branch from which policy `{policy}` requires launch \
         decisions{asks}, so no review of it is known; check out what was reviewed, or have this \
         reviewed and fetch it, and decide again",
        found.name
    ))
}

/// Where the policy names no branch: whether one does so as a remote branch has it, so that leaving the
/// line out in a commit of one's own, or naming another policy there, gains nothing.
fn asked_elsewhere(
    git: &dyn Git,
    commit: &str,
    policy: &EffectivePolicy,
    (mission, digests): (&str, &Digests),
) -> Result<Reviewed, NoHistory> {
    let telling = |role: &str| role == "policy" || role == "mission";
    let files = digests.files.iter().filter(|file| telling(file.role));
    let paths: Vec<&str> = files.map(|file| file.path.as_str()).collect();
    let objects = |at: &str| {
        let names: Vec<String> = paths.iter().map(|path| format!("{at}:{path}")).collect();
        git.named(&names)
    };
    let here = objects(commit)?;
    // What cannot be judged in the commit is told of elsewhere; it is held against all that judge there.
    let own = in_commit(git, commit, mission).ok();
    for one in remote_branches(git)? {
        // The same files name no branch either.
        if digests.files.iter().any(|file| file.role == "policy") && objects(&one.tip)? == here {
            continue;
        }
        let there = load(&Revision::open(git, &one.tip, "")?, None)?;
        let asks = format!(", as {} has it", printable_line(&one.name));
        for from in branches_there(&there, policy, mission, own.as_ref()) {
            // One that is the name of no branch says nothing.
            if branch_name(&from.branch.value).is_none() {
                continue;
            }
            let found = in_branch(git, commit, &from, &asks)?;
            if matches!(found, Reviewed::Not(_)) {
                return Ok(found);
            }
        }
    }
    Ok(Reviewed::Unknown)
}

/// What the policies of another commit name that bear on a mission: the one of the same id, the one that
/// judges the mission there, and those that judge missions of the same boat or water there, as a review
/// has it; all of them where none judges any of these, so that a mission under a new id, or one of copies
/// under new ids, gains nothing.
fn branches_there(
    there: &Loaded,
    policy: &EffectivePolicy,
    mission: &str,
    own: Option<&LoadedMission>,
) -> Vec<LaunchFrom> {
    let of_id = there.policies.get(&policy.policy);
    let of_id = of_id.filter(|one| one.policy != BUILTIN_POLICY);
    let bears = |plan: &Plan| {
        let same = |own: &LoadedMission| {
            let boat = own.loaded.linked.boat(&own.plan);
            there.linked.boat(plan) == boat || plan.site.id.value == own.plan.site.id.value
        };
        plan.mission.id.value == mission || own.is_some_and(same)
    };
    let plans = there.linked.plans.iter().filter(|plan| bears(plan));
    let judging: Vec<&EffectivePolicy> = plans
        .filter_map(|plan| {
            let span = plan.mission.id.span();
            let chosen = there.policies.choose(plan.policy.as_ref(), span);
            chosen.ok().map(|(policy, _)| policy)
        })
        .collect();
    let of_one = |policy: &EffectivePolicy| policy.launch_from.clone();
    let all: Vec<LaunchFrom> = match judging.is_empty() {
        true => there.policies.team().filter_map(of_one).collect(),
        false => of_id
            .into_iter()
            .chain(judging)
            .filter_map(of_one)
            .collect(),
    };
    let mut once: Vec<LaunchFrom> = Vec::new();
    for from in all {
        if !once.iter().any(|one| one.branch.value == from.branch.value) {
            once.push(from);
        }
    }
    once
}

/// When the latest commit was made, where that is after a time: one of two clocks is wrong then.
///
/// # Errors
/// [`NoHistory`] where git does not answer.
pub(crate) fn committed_after(
    git: &dyn Git,
    commit: &str,
    now: jiff::Timestamp,
) -> Result<Option<jiff::Timestamp>, NoHistory> {
    let at = committed_at(git, commit)?;
    Ok(at.filter(|at| at.duration_since(now).as_secs() > 60))
}
