//! What plans were judged by: the policies and rules that stood in their commits, which are not left to
//! the records to name.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::log::Log;
use super::objects::{once, text};
use super::records::{Record, Records, begin};
use crate::check::{Loaded, kind_stated, load};
use crate::document::{ParseLimits, parse};
use crate::finding::FindingBuilder;
use crate::git::{Git, GitError};
use crate::plan::run::Input;
use crate::rules::EffectivePolicy;
use crate::schema::Stated;
use crate::source::{MemoryTree, SourceId, Sources, Span};

/// The policies and the rules of one commit, or of many that have the same.
pub(super) struct Standing {
    loaded: Option<Loaded>,
}

/// What one record's plan was judged by.
#[derive(Clone)]
pub(super) struct Judging {
    standing: Arc<Standing>,
    /// The policy that the mission names; none where it states none, or its file is not there.
    named: Option<String>,
    /// Whether the mission's file is there, so that it is known what it names.
    known: bool,
}

impl Judging {
    /// The policy; `None` where it is not there or not in order.
    pub(super) fn policy(&self) -> Option<&EffectivePolicy> {
        let loaded = self.standing.loaded.as_ref()?;
        // Any place does: what is wrong is reported in other words.
        let near = Span::new(Sources::new().add("", ""), 0, 0);
        let named = self
            .named
            .as_ref()
            .map(|id| Stated::written(id.clone(), near));
        let chosen = loaded.policies.choose(named.as_ref(), near);
        chosen.ok().map(|(policy, _)| policy)
    }

    /// Path of one of its files in the commit.
    pub(super) fn path(&self, source: SourceId) -> &str {
        let loaded = self.standing.loaded.as_ref();
        loaded.map_or("", |loaded| loaded.sources.path(source))
    }
}

/// What each record's plan was judged by. Commits with the same policies and rules are read once.
pub(super) fn for_records(
    records: &Records,
    log: &Log,
    git: &dyn Git,
) -> Result<Vec<Judging>, GitError> {
    let paths = judging_paths(records, log, git)?;
    let mut names = Vec::new();
    for record in &records.records {
        let commit = &record.run.commit.value;
        for input in [mission(record), repeated(record)] {
            let path = input.map_or("", |input| input.path.value.as_str());
            names.push(format!("{commit}:{path}"));
        }
        names.extend(paths.iter().map(|path| format!("{commit}:{path}")));
    }
    let objects = git.named(&names)?;
    let mut known: BTreeMap<&[Option<String>], Arc<Standing>> = BTreeMap::new();
    let mut named: BTreeMap<String, Names> = BTreeMap::new();
    let mut all = Vec::with_capacity(records.records.len());
    for (found, record) in objects.chunks(paths.len() + 2).zip(&records.records) {
        let [of_mission, of_repeated, of_paths @ ..] = found else {
            continue;
        };
        let standing = once(&mut known, of_paths, || {
            load_standing(&paths, of_paths, git).map(Arc::new)
        })?;
        let mut names = |object: &Option<String>, input: Option<&Input>| {
            let object = object.as_deref().filter(|_| input.is_some());
            let read = |object: &str| {
                once(&mut named, object.to_owned(), || {
                    let text = text(git, object)?;
                    Ok(text.map(|text| Names::from_text(&text)).unwrap_or_default())
                })
            };
            object.map(read).transpose()
        };
        let mut of_plan = names(of_mission, mission(record))?;
        // The plan that it repeats names the policy, if it is the one that the record says.
        if let Some(id) = of_plan.as_ref().and_then(|names| names.repeats.as_ref()) {
            let plan = repeated(record).filter(|input| input.name == *id);
            of_plan = names(of_repeated, plan)?;
        }
        all.push(Judging {
            standing,
            known: of_plan.is_some(),
            named: of_plan.and_then(|names| names.policy),
        });
    }
    Ok(all)
}

/// The file of a record's mission.
fn mission(record: &Record) -> Option<&Input> {
    let run = &record.run;
    let mut inputs = run.inputs.iter();
    inputs.find(|input| input.role == "mission" && input.name == run.mission.value)
}

/// The file of the mission that a record's mission repeats.
fn repeated(record: &Record) -> Option<&Input> {
    let mut inputs = record.run.inputs.iter();
    inputs.find(|input| input.role == "repeated")
}

/// Every path at which a policy or a rule stood at some time.
fn judging_paths(records: &Records, log: &Log, git: &dyn Git) -> Result<Vec<String>, GitError> {
    let ours = records.paths();
    let mut seen: BTreeMap<&str, bool> = BTreeMap::new();
    let mut paths = BTreeSet::new();
    for change in &log.changes {
        let path = change.path.as_str();
        // A record's own file is one; whether it was ever another is told as an alteration.
        if change.taken || ours.contains(path) || paths.contains(path) {
            continue;
        }
        let object = change.after.as_str();
        let judges = once(&mut seen, object, || {
            let text = text(git, object)?;
            // What cannot be parsed may have been meant for one.
            let kind = text.map_or(Ok(None), |text| kind_stated(&text));
            Ok(kind.map_or(true, |kind| {
                matches!(kind.as_deref(), Some("policy" | "rule"))
            }))
        })?;
        if judges {
            paths.insert(path);
        }
    }
    Ok(paths.into_iter().map(str::to_owned).collect())
}

fn load_standing(
    paths: &[String],
    objects: &[Option<String>],
    git: &dyn Git,
) -> Result<Standing, GitError> {
    let mut tree = MemoryTree::default();
    for (path, object) in paths.iter().zip(objects) {
        if let Some(object) = object
            && let Some(text) = text(git, object)?
        {
            tree.put(path.clone(), text);
        }
    }
    Ok(Standing {
        loaded: load(&tree, None).ok(),
    })
}

/// What a mission's file names.
#[derive(Clone, Default)]
struct Names {
    policy: Option<String>,
    repeats: Option<String>,
}

impl Names {
    fn from_text(text: &str) -> Self {
        let mut sources = Sources::new();
        let source = sources.add("mission", text);
        let Ok(document) = parse(source, text, &ParseLimits::YAML) else {
            return Self::default();
        };
        let named = |key: &str| {
            let node = document.root.get(key)?;
            node.as_text().map(str::to_owned)
        };
        Self {
            policy: named("policy"),
            repeats: named("repeats"),
        }
    }
}

/// Role, name and path of a file that judges.
type File<'a> = (&'a str, String, String);

/// Records that name another policy than judged, or leave out what it judged by.
pub(super) fn findings(records: &Records, policies: &[Judging], found: &mut Vec<FindingBuilder>) {
    // The same for all commits that have the same policies and rules.
    let mut dues: BTreeMap<(*const Standing, &str), BTreeSet<File<'_>>> = BTreeMap::new();
    for (record, judging) in records.records.iter().zip(policies) {
        let run = &record.run;
        let mut told = |text: String, span: Span| {
            found.push(
                begin("input-differs", record)
                    .message(format!("record `{}`: {text}", run.id.value))
                    .primary(span, "this record")
                    .related(run.commit.span(), "the commit")
                    .remedy("find out which policy judged the plan"),
            );
        };
        if mission(record).is_none() {
            let text = format!("it names no file of mission `{}`", run.mission.value);
            told(text, run.mission.span());
            continue;
        }
        // That a file or a commit is not there is told of the input.
        if !judging.known {
            continue;
        }
        let Some(policy) = judging.policy() else {
            let text = "its commit has no readable policy that judges it".to_owned();
            told(text, run.policy.span());
            continue;
        };
        if policy.policy != run.policy.value {
            let text = format!(
                "it names policy `{}`, but by its commit `{}` judges",
                run.policy.value, policy.policy
            );
            told(text, run.policy.span());
            continue;
        }
        let key = (Arc::as_ptr(&judging.standing), policy.policy.as_str());
        let due = dues.entry(key).or_insert_with(|| {
            let loaded = judging.standing.loaded.as_ref();
            let files = loaded.map_or_else(Vec::new, |loaded| loaded.digester().judging(policy));
            let files = files.into_iter();
            files
                .map(|file| (file.role, file.name, file.path))
                .collect()
        });
        let named: BTreeSet<File<'_>> = run
            .inputs
            .iter()
            .filter(|input| matches!(input.role.as_str(), "policy" | "rule"))
            .map(|input| {
                let (name, path) = (input.name.clone(), input.path.value.clone());
                (input.role.as_str(), name, path)
            })
            .collect();
        if *due != named {
            let text = "it does not name the policies and rules of its commit".to_owned();
            told(text, run.policy.span());
        }
        for (role, name) in [("vessel", Some(run.vessel.as_str())), ("site", None)] {
            let mut inputs = run.inputs.iter();
            let there = inputs
                .any(|input| input.role == role && name.is_none_or(|name| name == input.name));
            if !there {
                told(format!("it names no file of its {role}"), run.id.span());
            }
        }
    }
}
