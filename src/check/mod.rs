//! The check: from a tree of files to findings.

mod accept;
mod asked;
mod binding;
mod changed;
mod digest;
mod extent;
mod extras;
mod floors;
mod guard;
mod inputs;
mod judge;
mod leaves;
pub(crate) mod margins;
mod outcome;
mod outline;
mod partition;
mod prune;
mod recorded;
mod scope;
mod share;
mod spread;
mod threads;
mod twice;
pub(crate) mod watch;

pub(crate) use accept::{Accepting, Approval, principal, signed_by};
pub(crate) use asked::{LoadedMission, file_of};
pub use asked::{NoAnswer, asked};
pub(crate) use changed::{Told, told_changes};
pub(crate) use digest::{Digester, Digests, InputDigest};
pub use digest::{sha256, statement};
pub(crate) use extent::Side;
pub use extent::{ChangeImpact, Reading};
pub(crate) use extras::CheckOptions;
pub(crate) use guard::{guard, problems_of};
pub(crate) use inputs::Inputs;
pub use outcome::Outcome;
pub(crate) use outcome::{EffectiveLimit, Looser, MissionResult, RuleResult};
pub(crate) use outline::Waypoint;
pub(crate) use partition::{MOST_PARTITIONS, PartOf, Partition};
pub use prune::baseline_reads_back;
pub(crate) use prune::{not_all_read, prune};
pub(crate) use recorded::{kind_stated, recorded};
pub use share::{CheckScope, check_folder, check_share};
pub(crate) use share::{Since, check_share_on};
pub(crate) use spread::Failing;
pub use spread::{Sampling, Spread};
pub use threads::on_large_stacks;
pub(crate) use twice::out_twice_among;
pub(crate) use watch::{Progress, Watch};

pub(crate) use crate::plan::NotChecked;
pub(crate) use crate::plan::baseline::{Baseline, Known};
pub use crate::rules::Verdict;

use std::sync::OnceLock;

use rayon::prelude::*;

use watch::Counter;

use crate::document::Document;
use crate::finding::{Finding, Nature, sort};
use crate::measures::{CATALOGUE, Measure};
use crate::plan::decision::decided;
use crate::plan::run::run_record;
use crate::plan::{FileOfKind, Gathered, Linked, Plan, Reader, link};
use crate::rules::{BUILTIN_POLICY, Policies, RuleSet};
use crate::schema::{Kind, Problem};
use crate::source::{ReadError, SourceId, Sources, Tree};
use scope::{narrow_to_folder, restrict_to};

/// Everything that a repository holds, read and linked, with the rules that apply to it.
pub struct Loaded {
    /// Everything that was read.
    pub sources: Sources,
    /// Files by kind.
    pub gathered: Gathered,
    /// Plans, and what could not be made into one.
    pub linked: Linked,
    /// Built-in and team rules.
    pub rules: RuleSet,
    /// Built-in and team policies.
    pub policies: Policies,
    /// By what findings may be accepted.
    pub accepting: Accepting,
    /// What is wrong with files.
    pub problems: Vec<Problem>,
}

/// The measures, as rules are checked against them.
#[must_use]
pub(crate) fn catalogue() -> Vec<Measure> {
    CATALOGUE.iter().map(|entry| entry.measure).collect()
}

/// Reads a tree: files, plans, rules, policies.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed.
pub fn load(tree: &dyn Tree, selected: Option<&str>) -> Result<Loaded, ReadError> {
    load_on(tree, selected, &mut reader())
}

/// A reader of a tree that has read nothing of it, to [load on](load_on).
pub(crate) fn reader() -> Reader {
    let (_, sources, _) = builtin(&catalogue());
    Reader::new(sources)
}

/// As [`load`], of a tree that a reader may have read some of.
///
/// # Errors
/// As [`load`].
pub(crate) fn load_on(
    tree: &dyn Tree,
    selected: Option<&str>,
    reader: &mut Reader,
) -> Result<Loaded, ReadError> {
    let catalogue = catalogue();
    let (builtin, _, mut problems) = builtin(&catalogue);
    let mut gathered = reader.gather(tree, selected)?;
    let mut sources = reader.sources.clone();
    scope::require_selected(selected, tree, &mut gathered, &mut sources)?;
    problems.append(&mut gathered.problems);
    let mut linked = link(&gathered, tree, &mut sources);
    problems.append(&mut linked.problems);
    let (files, broken) = of_kind(&gathered, Kind::Rule);
    let (rules, found) = builtin.with_team(&files, &broken, &catalogue, &sources);
    problems.extend(found);
    let (files, broken) = of_kind(&gathered, Kind::Policy);
    let (policies, found) = Policies::load(&files, &broken, &rules);
    problems.extend(found);
    let accepting = Accepting::load(tree, &gathered, &policies, &mut sources, &mut problems);
    // Records bear on no plan, and one that is not in order is told all the same.
    let sound = |kind| gathered.of_kind(kind).filter(|file| file.sound);
    problems.extend(
        sound(Kind::Launch)
            .filter_map(|file| decided(file).err())
            .flatten(),
    );
    problems.extend(
        sound(Kind::Run)
            .filter_map(|file| run_record(file).err())
            .flatten(),
    );
    Ok(Loaded {
        sources,
        gathered,
        linked,
        rules,
        policies,
        accepting,
        problems,
    })
}

/// The built-in rules with their sources, which are read once a process. Every loading begins with them,
/// so that their numbers are the same in each.
fn builtin(catalogue: &[Measure]) -> (RuleSet, Sources, Vec<Problem>) {
    static ONCE: OnceLock<(RuleSet, Sources, Vec<Problem>)> = OnceLock::new();
    let read = || {
        let mut sources = Sources::new();
        match RuleSet::builtin(&mut sources, catalogue) {
            Ok(rules) => (rules, sources, Vec::new()),
            Err(found) => (RuleSet::default(), sources, found),
        }
    };
    ONCE.get_or_init(read).clone()
}

/// The files of a kind that fit their schema, and the ids of those that do not.
fn of_kind(gathered: &Gathered, kind: Kind) -> (Vec<(SourceId, &Document)>, Vec<&str>) {
    let sound = gathered.of_kind(kind).filter(|file| file.sound);
    let broken = gathered.of_kind(kind).filter(|file| !file.sound);
    (
        sound.map(|file| (file.source, &*file.document)).collect(),
        broken
            .filter_map(|file| file.id.as_ref().map(|(id, _)| id.as_str()))
            .collect(),
    )
}

/// Checks every plan of a tree, or those that one file bears on.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed, or the one file not be read.
pub fn check(tree: &dyn Tree, selected: Option<&str>) -> Result<Outcome, ReadError> {
    check_share(tree, selected, CheckScope::default())
}

/// Errors of files that are told of; a report of more is no help to anybody.
const MOST_PROBLEMS: usize = 5_000;

/// Adds what is wrong between missions to what was found of each, of those that were checked.
fn between(outcome: &mut Outcome, found: Vec<(String, Finding)>) {
    let checked: std::collections::BTreeSet<&str> = outcome
        .checked
        .iter()
        .map(|mission| mission.mission.as_str())
        .collect();
    let here = |id: &String| checked.contains(id.as_str());
    let found = found.into_iter().filter(|(id, _)| here(id));
    let found: Vec<Finding> = found.map(|(_, finding)| finding).collect();
    if !found.is_empty() {
        outcome.findings.extend(found);
        sort(&mut outcome.findings, &outcome.sources);
    }
}

/// Judges what was loaded.
#[must_use]
pub(crate) fn judged(
    loaded: &Loaded,
    selected: Option<&str>,
    extras: impl Into<CheckOptions>,
) -> Outcome {
    judged_watched(loaded, selected, extras.into(), &|_| {})
}

fn judged_watched(
    loaded: &Loaded,
    selected: Option<&str>,
    extras: CheckOptions,
    watch: Watch<'_>,
) -> Outcome {
    let Loaded {
        sources,
        gathered,
        linked,
        rules: _,
        policies,
        accepting,
        problems,
    } = loaded;
    let mut problems = problems.clone();
    let beside = doubts(gathered, &problems, sources);
    let digests = digests(&linked.plans, policies, Digester::new(gathered, sources));
    let variations = extras.sampling.map_or(0, |sampling| sampling.runs as usize);
    let parts = linked.plans.len().saturating_mul(1 + variations);
    let counter = Counter::new(watch, parts);
    let judged: Vec<_> = linked
        .plans
        .par_iter()
        .zip(digests)
        .map(|(plan, digests)| {
            let judging = (policies, accepting);
            let watched = (extras, &counter);
            let found = check_plan(plan, judging, digests, sources, &beside, watched);
            counter.tick();
            found
        })
        .collect();
    let mut findings = Vec::new();
    let mut checked = Vec::new();
    let mut not_checked = linked.not_checked.clone();
    let mut notes = Vec::new();
    let mut policies_used: Vec<String> = Vec::new();
    for one in judged {
        match one {
            Ok((found, mission, note)) => {
                findings.extend(found);
                policies_used.push(mission.policy.clone());
                notes.extend(note);
                notes.extend(mission.in_doubt.iter().cloned());
                notes.extend(unsigned(&mission));
                checked.push(mission);
            }
            Err((problem, path)) => {
                problems.push(problem);
                let why = "cannot tell which policy applies".to_owned();
                not_checked.push(NotChecked { path, why });
            }
        }
    }
    let untold = problems.len().saturating_sub(MOST_PROBLEMS);
    if untold > 0 {
        problems.truncate(MOST_PROBLEMS);
        let why = format!("its files have {untold} more errors, not shown here");
        not_checked.push(NotChecked {
            path: selected.unwrap_or(".").to_owned(),
            why,
        });
    }
    findings.extend(problems.into_iter().map(|problem| problem.finding(sources)));
    not_checked.extend(scope::refused(gathered));
    if checked.is_empty() && not_checked.is_empty() {
        let why = "no mission was found here, so nothing was checked".to_owned();
        not_checked.push(NotChecked {
            path: selected.unwrap_or(".").to_owned(),
            why,
        });
    }
    policies_used.sort();
    policies_used.dedup();
    let mut looser = Vec::new();
    for policy in policies_used.iter().filter_map(|id| policies.get(id)) {
        notes.extend(policy.notes());
        looser.extend(policy.looser().map(|(says, span)| Looser { says, span }));
    }
    looser.sort_by(|a, b| a.says.cmp(&b.says));
    looser.dedup();
    notes.extend(scope::passed_over(gathered, sources));
    dedup_in_order(&mut notes);
    not_checked.sort_by(|a, b| (&a.path, &a.why).cmp(&(&b.path, &b.why)));
    not_checked.dedup();
    sort(&mut findings, sources);
    // What is wrong in the file asked for comes before what is wrong beside it.
    findings.sort_by_key(|finding| {
        let there = selected == Some(sources.path(finding.primary.span.source));
        !(there && finding.nature == Nature::Input)
    });
    let in_force = judge::in_force(&policies_used, policies, sources);
    Outcome {
        sources: sources.clone(),
        findings,
        checked,
        not_checked,
        notes,
        looser,
        in_force,
        part_of: None,
    }
}

/// Each plan's digests; none where cannot tell which policy applies, so that nothing is judged.
fn digests(plans: &[Plan], policies: &Policies, mut digester: Digester<'_>) -> Vec<Digests> {
    let of_one = |plan: &Plan| {
        let policy = policies.choose(plan.policy.as_ref(), plan.mission.id.span());
        policy.map_or_else(
            |_| Digests::default(),
            |(policy, _)| digester.plan(plan, policy),
        )
    };
    plans.iter().map(of_one).collect()
}

type One = Result<(Vec<Finding>, MissionResult, Option<String>), (Problem, String)>;

/// What files with errors leave out of every mission's judging.
struct Beside {
    /// A file of a kind, or one of no known kind, that may hold a policy.
    unread: Vec<String>,
    /// Rule files with errors.
    rules: Vec<String>,
}

fn doubts(gathered: &Gathered, problems: &[Problem], sources: &Sources) -> Beside {
    let at_fault = |file: &&FileOfKind| {
        let mut problems = problems.iter();
        problems.any(|problem| problem.span.source == file.source)
    };
    let rules = gathered.of_kind(Kind::Rule).filter(at_fault);
    let mut unread = gathered.unread(sources);
    unread.extend(gathered.in_doubt.iter().cloned());
    unread.sort();
    unread.dedup();
    Beside {
        unread,
        rules: rules
            .map(|file| sources.path(file.source).to_owned())
            .collect(),
    }
}

fn check_plan(
    plan: &Plan,
    (policies, accepting): (&Policies, &Accepting),
    digests: Digests,
    sources: &Sources,
    beside: &Beside,
    (extras, counter): (CheckOptions, &Counter<'_>),
) -> One {
    let (policy, note) = policies
        .choose(plan.policy.as_ref(), plan.mission.id.span())
        .map_err(|problem| (*problem, plan.path.clone()))?;
    let plan = &floors::applied(plan, policy);
    let (mut findings, mut checked) = judge::mission(plan, policy, sources, extras.pictures);
    checked.approvals = accept::apply(plan, (policy, &digests), &mut findings, accepting, sources);
    findings.extend(binding::bypassed(plan, policy, policies, sources));
    checked.digests = digests;
    checked.in_doubt.extend(policies.doubt(policy));
    if policy.policy == BUILTIN_POLICY && plan.policy.is_none() && !beside.unread.is_empty() {
        let text = "the built-in policy applied, but an unreadable file may hold another";
        checked.in_doubt.push(text.to_owned());
    }
    for path in beside.unread.iter().filter(|path| **path != plan.path) {
        let text =
            format!("judged without {path}, which cannot be read and may hold a rule or a policy");
        checked.in_doubt.push(text);
    }
    for path in &beside.rules {
        let text = format!("judged without the rule of {path}, which has errors");
        checked.in_doubt.push(text);
    }
    let sampling = extras.sampling;
    checked.spread = sampling.map(|sampling| spread::sample(plan, policy, sampling, counter));
    Ok((findings, checked, note))
}

/// What a policy asks to be signed at a launch and is not yet. The same for every mission that lacks
/// it, so that drafts do not fill a report.
fn unsigned(mission: &MissionResult) -> Vec<String> {
    let needed = mission.signatures_needed();
    let missing = needed.filter(|(_, signed)| !signed);
    missing
        .map(|(role, _)| {
            format!(
                "policy `{}` requires the signature of {role} at a launch, and not every checked \
                 mission has it yet; `offing brief` shows which signatures exist",
                mission.policy
            )
        })
        .collect()
}

fn plural(count: usize, word: &str) -> String {
    if count == 1 {
        word.to_owned()
    } else {
        format!("{word}s")
    }
}

fn dedup_in_order(notes: &mut Vec<String>) {
    let mut seen = std::collections::BTreeSet::new();
    notes.retain(|note| seen.insert(note.clone()));
}
