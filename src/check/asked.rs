//! One mission that a question is about, with the policy that judges it.

use std::collections::BTreeMap;

use super::{Loaded, floors, load, scope};
use crate::plan::{FileOfKind, Gathered, Plan, Reader};
use crate::rules::EffectivePolicy;
use crate::schema::Kind;
use crate::schema::explain::{first_of, nearest, part_of};
use crate::source::{ReadError, SourceId, Tree};

/// A mission, found and readable.
pub struct LoadedMission {
    /// The tree, with nothing in it but what bears on the mission.
    pub loaded: Loaded,
    /// The plans of the tree's other missions.
    pub(crate) others: Vec<Plan>,
    /// The mission, linked.
    pub plan: Plan,
    /// The policy that judges it.
    pub policy: EffectivePolicy,
    /// Things to know of the policy, such as a loosened rule.
    pub notes: Vec<String>,
    /// How long each mission of the tree has its boat out after its launch, by id, s.
    pub out_for: BTreeMap<String, f64>,
}

/// Why a question about a mission has no answer.
#[derive(Debug, thiserror::Error)]
pub enum NoAnswer {
    /// What was asked for is not there, or too much.
    #[error("{0}")]
    BadRequest(String),
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
pub fn asked(
    tree: &dyn Tree,
    mission: &str,
    policy: Option<&str>,
) -> Result<LoadedMission, NoAnswer> {
    let mut loaded = load(tree, None)?;
    let of_mission = |plan: &Plan| plan.mission.id.value == mission || plan.path == mission;
    let Some(plan) = loaded.linked.plans.iter().find(|plan| of_mission(plan)) else {
        return Err(absent(&loaded, mission, &tree.place()));
    };
    let plan = plan.clone();
    if let Some(path) = loaded.gathered.unread(&loaded.sources).first() {
        return Err(NoAnswer::Unreadable(format!(
            "{path} cannot be read, and may hold a policy, a rule or a record that affects this \
             mission; `offing check` shows more"
        )));
    }
    let of_launches = loaded.gathered.of_kind(Kind::Launch);
    if let Some(file) = of_launches.into_iter().find(|file| !file.sound) {
        let path = loaded.sources.path(file.source);
        return Err(NoAnswer::Unreadable(format!(
            "{path}: a decision that has errors may be about this plan; `offing check` shows them"
        )));
    }
    let plans = loaded.linked.plans.iter();
    let out_for = plans.map(|plan| (plan.mission.id.value.clone(), plan.out_for()));
    let out_for = out_for.collect();
    let plans = std::mem::take(&mut loaded.linked.plans).into_iter();
    let (own, others) = plans.partition(|other| other.path == plan.path);
    loaded.linked.plans = own;
    scope::restrict_to(Some(&plan.path), &mut loaded);
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
                .ok_or_else(|| NoAnswer::BadRequest(format!("there is no policy `{id}`")))?,
            None,
        ),
        None => loaded
            .policies
            .choose(plan.policy.as_ref(), plan.mission.id.span())
            .map_err(|problem| NoAnswer::Unreadable(problem.message))?,
    };
    let notes: Vec<String> = note.into_iter().chain(policy.notes()).collect();
    let policy = policy.clone();
    Ok(LoadedMission {
        plan: floors::applied(&plan, &policy),
        policy,
        notes,
        loaded,
        others,
        out_for,
    })
}

/// The path of the file that holds a mission, by its id. What is read for it is kept in a reader.
///
/// # Errors
/// [`NoAnswer`] where there is none of that id.
pub(crate) fn file_of(tree: &dyn Tree, id: &str, reader: &mut Reader) -> Result<String, NoAnswer> {
    let gathered = reader.gather(tree, None)?;
    let named = |file: &&FileOfKind| file.id.as_ref().is_some_and(|(known, _)| known == id);
    match gathered.of_kind(Kind::Mission).find(named) {
        Some(file) => Ok(reader.sources.path(file.source).to_owned()),
        None => Err(no_mission(id, &ids(&gathered), &tree.place())),
    }
}

/// Missions that are named where one is not there.
const NAMED: usize = 20;

fn ids(gathered: &Gathered) -> Vec<&str> {
    let files = gathered.of_kind(Kind::Mission);
    let ids = files.filter_map(|file| Some(file.id.as_ref()?.0.as_str()));
    ids.collect()
}

fn absent(loaded: &Loaded, mission: &str, place: &str) -> NoAnswer {
    let mut files = loaded.gathered.of_kind(Kind::Mission);
    let file = files.find(|file| {
        let id = file.id.as_ref().map(|(id, _)| id.as_str());
        id == Some(mission) || loaded.sources.path(file.source) == mission
    });
    let source = file
        .map(|file| file.source)
        .or_else(|| loaded.sources.find(mission));
    let Some(source) = source else {
        return no_mission(mission, &ids(&loaded.gathered), place);
    };
    let mut problems = loaded.problems.iter();
    let why = match problems.find(|problem| problem.span.source == source) {
        Some(problem) => format!(
            "{}:{}: {}",
            loaded.sources.path(source),
            loaded.sources.position(problem.span).line,
            problem.message
        ),
        None => match other_kind(loaded, source) {
            Some(what) => {
                return NoAnswer::BadRequest(format!(
                    "`{mission}` is a {what}; name a mission{}",
                    those_there(&ids(&loaded.gathered))
                ));
            }
            None => format!("{} has errors", loaded.sources.path(source)),
        },
    };
    NoAnswer::Unreadable(format!(
        "`{mission}` cannot be judged by what is in {place}: {why}; `offing check` shows more"
    ))
}

/// What a sound file is, where it is no mission.
fn other_kind(loaded: &Loaded, source: SourceId) -> Option<&'static str> {
    let mut files = loaded.gathered.files.iter();
    let file = files.find(|file| file.source == source && file.sound)?;
    (file.kind != Kind::Mission).then(|| file.kind.name())
}

/// The missions that there are, as the end of a sentence.
fn those_there(ids: &[&str]) -> String {
    match ids.len() {
        0 => String::new(),
        _ => format!("; missions here: {}", first_of(ids, NAMED)),
    }
}

fn no_mission(mission: &str, ids: &[&str], place: &str) -> NoAnswer {
    // A file's name may have been typed for the mission's.
    let name = mission.rsplit('/').next().unwrap_or(mission);
    let stem = name.strip_suffix(".yaml").or(name.strip_suffix(".yml"));
    let near = nearest(stem.unwrap_or(name), ids);
    let near = near.or_else(|| match part_of(stem.unwrap_or(name), ids).as_slice() {
        [only] => Some(*only),
        _ => None,
    });
    NoAnswer::BadRequest(match near {
        Some(near) => {
            format!("there is no mission `{mission}` in {place}; did you mean `{near}`?")
        }
        None if ids.is_empty() => format!("there is no mission in {place}"),
        None => format!(
            "there is no mission `{mission}` in {place}; missions here: {}",
            first_of(ids, NAMED)
        ),
    })
}
