//! One mission that a question is about, with the policy that judges it.

use std::collections::{BTreeMap, BTreeSet};

use super::load::{load_about, load_on, reader};
use super::{Loaded, floors, scope};
use crate::plan::record_heading::RecordHeading;
use crate::plan::{About, FileOfKind, Gathered, Plan, Reader};
use crate::rules::EffectivePolicy;
use crate::schema::Kind;
use crate::schema::explain::{first_of, nearest, part_of};
use crate::source::{ReadError, SourceId, Sources, Tree};

/// A mission, found and readable.
pub struct LoadedMission {
    /// The tree, with nothing in it but what bears on the mission.
    pub loaded: Loaded,
    /// The mission, linked.
    pub plan: Plan,
    /// The policy that judges it.
    pub policy: EffectivePolicy,
    /// Things to know of the policy, such as a loosened rule.
    pub notes: Vec<String>,
    /// What was read of the tree.
    reader: Reader,
}

/// Why a question about a mission has no answer.
#[derive(Debug, thiserror::Error)]
pub enum NoAnswer {
    /// What was requested is not there, or too much.
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

/// Finds a mission by its id or its path, with the policy that is named or its own. Other missions and
/// records are not parsed where they cannot bear on it.
///
/// # Errors
/// [`NoAnswer`] where the mission or the policy is not there or has errors.
pub fn asked(
    tree: &dyn Tree,
    mission: &str,
    policy: Option<&str>,
) -> Result<LoadedMission, NoAnswer> {
    let of_mission = |plan: &Plan| plan.mission.id.value == mission || plan.path == mission;
    let found = |loaded: &Loaded| {
        loaded
            .linked
            .plans
            .iter()
            .find(|plan| of_mission(plan))
            .cloned()
    };
    let mut reader = reader();
    let about = About {
        path: Some(mission),
        id: Some(mission),
        others: &BTreeSet::new(),
    };
    let loaded = load_about(tree, about, &mut reader)?;
    let loaded = loaded.and_then(|loaded| found(&loaded).map(|plan| (loaded, plan)));
    let (mut loaded, plan) = match loaded {
        Some(loaded) => loaded,
        // Why it is not there may stand anywhere.
        None => {
            let loaded = load_on(tree, None, &mut reader)?;
            match found(&loaded) {
                Some(plan) => (loaded, plan),
                None => return Err(absent(&loaded, mission, &tree.place())),
            }
        }
    };
    if let Some(path) = loaded.gathered.unread(&loaded.sources).first() {
        return Err(unread(path));
    }
    sound_decisions(&loaded.gathered, &loaded.sources)?;
    loaded.linked.plans.retain(|other| other.path == plan.path);
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
        reader,
    })
}

fn unread(path: &str) -> NoAnswer {
    NoAnswer::Unreadable(format!(
        "{path} cannot be read, and may hold a policy, a rule or a record that affects this mission; `offing \
         check` shows more"
    ))
}

/// Makes sure that every decision on a launch that was parsed is in order: it may be about any plan.
fn sound_decisions(gathered: &Gathered, sources: &Sources) -> Result<(), NoAnswer> {
    let mut decisions = gathered.of_kind(Kind::Launch);
    match decisions.find(|file| !file.sound) {
        Some(file) => Err(NoAnswer::Unreadable(format!(
            "{}: a decision that has errors may be about this plan; `offing check` shows them",
            sources.path(file.source)
        ))),
        None => Ok(()),
    }
}

impl LoadedMission {
    /// The records of the tree that a test takes, by their headings and texts, and those whose headings are
    /// not plain.
    ///
    /// # Errors
    /// [`NoAnswer`] where one of them cannot be read, or a decision among them is not in order.
    pub(crate) fn records(
        &mut self,
        tree: &dyn Tree,
        takes: &dyn Fn(&RecordHeading, &str) -> bool,
    ) -> Result<(Gathered, Sources), NoAnswer> {
        let gathered = self.reader.gather_records(tree, takes)?;
        let sources = self.reader.sources.clone();
        if let Some(path) = gathered.unread(&sources).first() {
            return Err(unread(path));
        }
        sound_decisions(&gathered, &sources)?;
        Ok((gathered, sources))
    }

    /// How long the missions of the tree have their boats out at most, by their ids, s; nothing for one that
    /// does not say so plainly.
    #[must_use]
    pub(crate) fn longest_out(&self) -> BTreeMap<&str, Option<i64>> {
        self.reader.longest_out()
    }

    /// The whole tree that the mission was found in, with the plans of all its missions.
    ///
    /// # Errors
    /// [`ReadError`] where the tree cannot be listed any more.
    pub(crate) fn beside(&mut self, tree: &dyn Tree) -> Result<Loaded, ReadError> {
        load_on(tree, None, &mut self.reader)
    }

    /// How long missions of the tree that are named by their ids have their boats out after their launches,
    /// s; those that are no plans are left out.
    ///
    /// # Errors
    /// [`ReadError`] where the tree cannot be listed any more.
    pub(crate) fn out_for(
        &mut self,
        missions: &BTreeSet<String>,
        tree: &dyn Tree,
    ) -> Result<BTreeMap<String, f64>, ReadError> {
        if missions.is_empty() {
            return Ok(BTreeMap::new());
        }
        let about = About {
            path: Some(&self.plan.path),
            id: None,
            others: missions,
        };
        let loaded = load_about(tree, about, &mut self.reader)?;
        let plans = loaded.map(|loaded| loaded.linked.plans).unwrap_or_default();
        let plans = plans.into_iter();
        let out_for = plans.map(|plan| (plan.mission.id.value.clone(), plan.out_for()));
        Ok(out_for.collect())
    }
}

/// The path of the file that holds a mission, by its id. What is read for it is kept in a reader.
///
/// # Errors
/// [`NoAnswer`] where there is none of that id.
pub(crate) fn file_of(tree: &dyn Tree, id: &str, reader: &mut Reader) -> Result<String, NoAnswer> {
    let about = About {
        path: None,
        id: Some(id),
        others: &BTreeSet::new(),
    };
    let gathered = match reader.gather_about(tree, about)? {
        Some(gathered) => gathered,
        None => reader.gather(tree, None)?,
    };
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
