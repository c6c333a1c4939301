//! One mission that a question is about, with the policy that judges it.

use super::{Loaded, load, scope};
use crate::plan::Plan;
use crate::rules::Effective;
use crate::schema::Kind;
use crate::schema::explain::nearest;
use crate::source::{ReadError, Tree};

/// A mission, found and readable.
pub struct Asked {
    /// The tree, with nothing in it but what bears on the mission.
    pub loaded: Loaded,
    /// The mission, linked.
    pub plan: Plan,
    /// The policy that judges it.
    pub policy: Effective,
    /// Things to know of the policy, such as a loosened rule.
    pub notes: Vec<String>,
}

/// Why a question about a mission has no answer.
#[derive(Debug, thiserror::Error)]
pub enum NoAnswer {
    /// What was asked for is not there, or too much.
    #[error("{0}")]
    Asked(String),
    /// Something cannot be read or judged.
    #[error("{0}")]
    Unreadable(String),
}

impl From<ReadError> for NoAnswer {
    fn from(error: ReadError) -> Self {
        Self::Unreadable(error.to_string())
    }
}

/// Finds a mission by its id or its path, with the policy that is named or its own.
///
/// # Errors
/// [`NoAnswer`] where the mission or the policy is not there or has errors.
pub fn asked(tree: &dyn Tree, mission: &str, policy: Option<&str>) -> Result<Asked, NoAnswer> {
    let mut loaded = load(tree, None)?;
    let of_mission = |plan: &Plan| plan.mission.id.value == mission || plan.path == mission;
    let Some(plan) = loaded.linked.plans.iter().find(|plan| of_mission(plan)) else {
        return Err(absent(&loaded, mission));
    };
    let plan = plan.clone();
    if let Some(path) = loaded.gathered.unread(&loaded.sources).first() {
        return Err(NoAnswer::Unreadable(format!(
            "{path} cannot be read, and may hold a policy, a rule or a record that bears on this; `offing \
             check` shows more"
        )));
    }
    let of_launches = loaded.gathered.of(Kind::Launch);
    if let Some(file) = of_launches.into_iter().find(|file| !file.sound) {
        let path = loaded.sources.path(file.source);
        return Err(NoAnswer::Unreadable(format!(
            "{path}: a decision that has errors may be about this plan; `offing check` shows them"
        )));
    }
    scope::narrow(Some(&plan.path), &mut loaded);
    if let Some(problem) = loaded.problems.first() {
        let at = loaded.sources.position(problem.span);
        let path = loaded.sources.path(problem.span.source);
        return Err(NoAnswer::Unreadable(format!(
            "{path}:{}: {}; `offing check` shows more",
            at.line, problem.message
        )));
    }
    let (policy, note) = match policy {
        Some(id) => (
            loaded
                .policies
                .get(id)
                .ok_or_else(|| NoAnswer::Asked(format!("there is no policy `{id}`")))?,
            None,
        ),
        None => loaded
            .policies
            .choose(plan.policy.as_ref(), plan.mission.id.span())
            .map_err(|problem| NoAnswer::Unreadable(problem.message))?,
    };
    let notes: Vec<String> = note.into_iter().chain(policy.notes()).collect();
    let policy = policy.clone();
    Ok(Asked {
        plan,
        policy,
        notes,
        loaded,
    })
}

fn absent(loaded: &Loaded, mission: &str) -> NoAnswer {
    let files = loaded.gathered.of(Kind::Mission);
    let ids: Vec<&str> = files
        .filter_map(|file| Some(file.id.as_ref()?.0.as_str()))
        .collect();
    if ids.contains(&mission) || loaded.sources.find(mission).is_some() {
        return NoAnswer::Unreadable(format!(
            "`{mission}` has errors and cannot be judged; `offing check` shows them"
        ));
    }
    NoAnswer::Asked(match nearest(mission, &ids) {
        Some(near) => format!("there is no mission `{mission}`; did you mean `{near}`?"),
        None if ids.is_empty() => "there is no mission here".to_owned(),
        None => format!(
            "there is no mission `{mission}`; there are {}",
            ids.join(", ")
        ),
    })
}
