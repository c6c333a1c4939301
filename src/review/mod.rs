//! Reviewing a change: two revisions of a repository, told apart in a plan's own terms.
//!
//! The later one is judged by the policies and rules of the earlier one, so that a change cannot
//! loosen what judges it.

mod compare;
pub mod git;
mod overlay;
pub mod report;
pub mod revision;

use std::collections::{BTreeMap, BTreeSet};

pub use compare::{Change, Figure, Margin, MissionChange, Moved, Waypoints};

use crate::check::{Extras, Inputs, Loaded, Outcome, guard, judged, load, problems_of};
use crate::finding::{Finding, Nature};
use crate::source::{ReadError, Tree};
use overlay::UnderPolicy;

/// Whose policies and rules judge.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PolicyFrom {
    /// The earlier revision's.
    Base,
    /// The later revision's own: for a change of the policy itself.
    Head,
}

/// What a review comes to.
#[derive(Debug)]
pub struct Review {
    /// The earlier revision, as it is shown.
    pub base: String,
    /// The later one.
    pub head: String,
    /// Whose policies and rules judged.
    pub policy_from: PolicyFrom,
    /// How many missions the later revision holds.
    pub missions: usize,
    /// The missions that the change bears on, by id.
    pub changes: Vec<MissionChange>,
    /// The later revision judged: the missions that the change bears on, with the findings that
    /// the earlier revision did not have.
    pub outcome: Outcome,
    /// The findings that it did have.
    pub still: Vec<Finding>,
    /// New findings that the change's own policies and rules would not have: fingerprints.
    pub only_under_change: Vec<String>,
    /// What the earlier revision had and the later one does not.
    pub fixed: Vec<Fixed>,
}

/// A finding that is gone.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fixed {
    /// The rule.
    pub rule: String,
    /// The mission, where it was about one.
    pub mission: Option<String>,
    /// What it said.
    pub message: String,
}

/// Reviews a change from one tree to another.
///
/// # Errors
/// [`ReadError`] where one of them cannot be listed.
pub fn review(
    (base, base_name): (&dyn Tree, &str),
    (head, head_name): (&dyn Tree, &str),
    policy_from: PolicyFrom,
) -> Result<Review, ReadError> {
    review_drawn((base, base_name), (head, head_name), policy_from, false)
}

/// Reviews as [`review`] does, with the picture of each mission that is looked at where it is wanted.
///
/// # Errors
/// As [`review`].
pub fn review_drawn(
    (base, base_name): (&dyn Tree, &str),
    (head, head_name): (&dyn Tree, &str),
    policy_from: PolicyFrom,
    pictures: bool,
) -> Result<Review, ReadError> {
    let label = format!("{base_name}:");
    let mut was = load(base, None)?;
    let own = load(head, None)?;
    let judging = was.judging() != own.judging();
    let foreign = judging && policy_from == PolicyFrom::Base;
    let dropped = unjudging(&own, &was);
    let under = UnderPolicy {
        head,
        base,
        label: &label,
        dropped: dropped.clone(),
        taken: paths(&was),
    };
    let laid_over = if foreign {
        Some(load(&under, None)?)
    } else {
        None
    };
    let now = laid_over.as_ref().unwrap_or(&own);
    let (before, after) = (was.inputs(), now.inputs());
    let affected = affected(&before, &after, judging);
    let missions = after.len();
    let unread = was.linked.not_checked.clone();
    let mut sources = now.sources.clone();
    let guarded = guard((&was, &own), head, &label, &mut sources);
    // What is wrong with policies and rules that do not judge is wrong all the same.
    let own_problems = if foreign {
        problems_of(&own, &dropped, &mut sources)
    } else {
        Vec::new()
    };
    // Where the change's own policies and rules do not judge, what they would say is told as well.
    let (mut now, under_change) = match laid_over {
        Some(now) => {
            let mut own = own;
            own.retain(&affected);
            let findings = judged(own, None, None).findings;
            let said: BTreeSet<_> = findings.iter().map(identity).collect();
            (now, Some(said))
        }
        None => (own, None),
    };
    now.sources = sources;
    was.retain(&affected);
    now.retain(&affected);
    let was = judged(was, None, None);
    let extras = Extras {
        pictures,
        ..Extras::default()
    };
    let mut outcome = judged(now, None, extras);
    // What was not checked before either is no news.
    outcome.not_checked.retain(|file| !unread.contains(file));
    // That none of those looked at is there does not mean that there is none.
    if missions > 0 {
        outcome.not_checked.retain(|file| file.path != ".");
    }
    outcome.findings.extend(own_problems);
    let (new, fixed) = told_apart(&was, &outcome);
    let changes = compare::changes((&was, &before), (&outcome, &after), &affected);
    let mut still = Vec::new();
    let mut only_under_change = Vec::new();
    let all = std::mem::take(&mut outcome.findings).into_iter().zip(new);
    // What judges comes before what is judged.
    outcome.findings = guarded;
    for (finding, new) in all {
        if new {
            let passes = under_change.as_ref().is_some_and(|own| {
                finding.nature != Nature::Input && !own.contains(&identity(&finding))
            });
            if passes {
                only_under_change.push(finding.fingerprint.clone());
            }
            outcome.findings.push(finding);
        } else {
            still.push(finding);
        }
    }
    Ok(Review {
        base: base_name.to_owned(),
        head: head_name.to_owned(),
        policy_from,
        missions,
        changes,
        outcome,
        still,
        only_under_change,
        fixed,
    })
}

/// Paths at which the later revision has, or the earlier one had, a policy or a rule.
fn unjudging(own: &Loaded, was: &Loaded) -> BTreeSet<String> {
    paths(own).union(&paths(was)).cloned().collect()
}

/// Paths of a revision's policies and rules.
fn paths(loaded: &Loaded) -> BTreeSet<String> {
    loaded.judging().into_keys().collect()
}

/// The missions that a change bears on: those whose files differ, that came or went; all of them
/// where what judges them differs.
fn affected(
    before: &BTreeMap<String, Inputs>,
    after: &BTreeMap<String, Inputs>,
    judging: bool,
) -> BTreeSet<String> {
    let all = before.keys().chain(after.keys());
    all.filter(|id| judging || before.get(*id) != after.get(*id))
        .cloned()
        .collect()
}

/// What makes a finding the same in two revisions: the rule and the plan's own names, whichever
/// file they stand in.
fn identity(finding: &Finding) -> (String, &'static str, Option<String>, String) {
    let about = match finding.nature {
        Nature::Input => finding.fingerprint.clone(),
        Nature::Violation | Nature::NotEvaluated => finding.subject.clone(),
    };
    (
        finding.rule.clone(),
        finding.nature.name(),
        finding.mission.clone(),
        about,
    )
}

/// Which findings of the later outcome are new, and which of the earlier one are gone.
fn told_apart(was: &Outcome, now: &Outcome) -> (Vec<bool>, Vec<Fixed>) {
    let mut left: BTreeMap<_, usize> = BTreeMap::new();
    for finding in &was.findings {
        *left
            .entry((identity(finding), finding.stands()))
            .or_default() += 1;
    }
    let mut found = |finding: &Finding, stood: bool| match left.get_mut(&(identity(finding), stood))
    {
        Some(count) if *count > 0 => {
            *count -= 1;
            true
        }
        _ => false,
    };
    let new = now
        .findings
        .iter()
        .map(|finding| {
            let as_it_was = found(finding, finding.stands());
            // What was accepted and no longer is counts anew.
            let accepted_since = !as_it_was && found(finding, !finding.stands());
            !(as_it_was || accepted_since && !finding.stands())
        })
        .collect();
    let mut fixed = Vec::new();
    for finding in &was.findings {
        if let Some(count) = left.get_mut(&(identity(finding), finding.stands()))
            && *count > 0
        {
            *count -= 1;
            fixed.push(Fixed {
                rule: finding.rule.clone(),
                mission: finding.mission.clone(),
                message: finding.message.clone(),
            });
        }
    }
    (new, fixed)
}
