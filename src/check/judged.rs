//! Judging what was loaded.

use rayon::prelude::*;

use super::accept::Accepting;
use super::digest::{Digester, Digests};
use super::extras::CheckOptions;
use super::load::Loaded;
use super::outcome::{Looser, MissionResult, Outcome};
use super::watch::{Counter, Watch};
use super::{accept, binding, floors, judge, scope, spread};
use crate::finding::{Finding, Nature, sort};
use crate::plan::{FileOfKind, Gathered, NotChecked, Plan};
use crate::rules::{BUILTIN_POLICY, Policies};
use crate::schema::{Kind, Problem};
use crate::source::Sources;

/// Errors of files that are told of; a report of more is no help to anybody.
pub(super) const MOST_PROBLEMS: usize = 5_000;
/// Why nothing was checked where there is no mission.
pub(super) const NO_MISSION: &str = "no mission was found here, so nothing was checked";

/// That files have more errors than are shown; nothing where all are.
pub(super) fn untold_errors(untold: usize, path: &str) -> Option<NotChecked> {
    (untold > 0).then(|| NotChecked {
        path: path.to_owned(),
        why: format!("its files have {untold} more errors, not shown here"),
    })
}

/// Adds what is wrong between missions to what was found of each, of those that were checked.
pub(super) fn between(outcome: &mut Outcome, found: Vec<(String, Finding)>) {
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

pub(super) fn judged_watched(
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
    let extras = CheckOptions {
        // Of one mission that somebody asks about; of many nobody reads it.
        weights: selected.is_some() && linked.plans.len() == 1,
        ..extras
    };
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
    problems.truncate(MOST_PROBLEMS);
    not_checked.extend(untold_errors(untold, selected.unwrap_or(".")));
    findings.extend(problems.into_iter().map(|problem| problem.finding(sources)));
    not_checked.extend(scope::refused(gathered));
    if checked.is_empty() && not_checked.is_empty() {
        not_checked.push(NotChecked {
            path: selected.unwrap_or(".").to_owned(),
            why: NO_MISSION.to_owned(),
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
    // What is wrong in the file requested comes before what is wrong beside it.
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
        untold,
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
    let (mut findings, mut checked) = judge::mission(plan, policy, sources, extras);
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

fn dedup_in_order(notes: &mut Vec<String>) {
    let mut seen = std::collections::BTreeSet::new();
    notes.retain(|note| seen.insert(note.clone()));
}
