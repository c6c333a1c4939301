//! One mission of a repository, with the policy that judges it.

use super::{Loaded, load, scope};
use crate::plan::Plan;
use crate::rules::{BUILTIN_POLICY, Effective};
use crate::schema::explain::nearest;
use crate::source::{ReadError, Tree};

/// Why a mission cannot be judged by itself.
#[derive(Debug, thiserror::Error)]
pub enum NoMission {
    /// What was asked for is not there, or too much.
    #[error("{0}")]
    Asked(String),
    /// Something cannot be read or judged.
    #[error("{0}")]
    Unreadable(String),
}

impl From<ReadError> for NoMission {
    fn from(error: ReadError) -> Self {
        Self::Unreadable(error.to_string())
    }
}

/// Reads what bears on one mission, named by its id or its path.
///
/// # Errors
/// [`NoMission`] where it is not there, or it or what it refers to has errors.
pub(super) fn mission(tree: &dyn Tree, mission: &str) -> Result<(Loaded, Plan), NoMission> {
    let mut loaded = load(tree, None)?;
    let of_mission = |plan: &Plan| plan.mission.id.value == mission || plan.path == mission;
    let Some(plan) = loaded.linked.plans.iter().find(|plan| of_mission(plan)) else {
        return Err(absent(&loaded, mission));
    };
    let plan = plan.clone();
    scope::narrow(Some(&plan.path), &mut loaded);
    if let Some(problem) = loaded.problems.first() {
        let at = loaded.sources.position(problem.span);
        let path = loaded.sources.path(problem.span.source);
        return Err(NoMission::Unreadable(format!(
            "{path}:{}: {}; `offing check` shows more",
            at.line, problem.message
        )));
    }
    Ok((loaded, plan))
}

/// The policy of this id, or the plan's own where none is named, with what is to be told of it.
///
/// # Errors
/// [`NoMission`] where there is no such policy, or it cannot be told which one applies.
pub(super) fn policy<'a>(
    loaded: &'a Loaded,
    plan: &Plan,
    policy: Option<&str>,
) -> Result<(&'a Effective, Vec<String>), NoMission> {
    let (policy, note) = match policy {
        Some(id) => (
            loaded
                .policies
                .get(id)
                .ok_or_else(|| NoMission::Asked(format!("there is no policy `{id}`")))?,
            None,
        ),
        None => loaded
            .policies
            .choose(plan.policy.as_ref(), plan.mission.id.span())
            .map_err(|problem| NoMission::Unreadable(problem.message))?,
    };
    let mut notes: Vec<String> = note.into_iter().chain(policy.notes()).collect();
    if policy.policy == BUILTIN_POLICY && !loaded.gathered.unread(&loaded.sources).is_empty() {
        let note =
            "the built-in policy was applied, while a file that cannot be read may hold another";
        notes.push(note.to_owned());
    }
    Ok((policy, notes))
}

fn absent(loaded: &Loaded, mission: &str) -> NoMission {
    let files = loaded.gathered.of(crate::schema::Kind::Mission);
    let ids: Vec<&str> = files
        .filter_map(|file| Some(file.id.as_ref()?.0.as_str()))
        .collect();
    if ids.contains(&mission) || loaded.sources.find(mission).is_some() {
        return NoMission::Unreadable(format!(
            "`{mission}` has errors and cannot be judged; `offing check` shows them"
        ));
    }
    NoMission::Asked(match nearest(mission, &ids) {
        Some(near) => format!("there is no mission `{mission}`; did you mean `{near}`?"),
        None if ids.is_empty() => "there is no mission here".to_owned(),
        None => format!(
            "there is no mission `{mission}`; there are {}",
            ids.join(", ")
        ),
    })
}
