//! Findings of two revisions set beside one another: which are new, which were there and are worse now,
//! and which are gone.

use std::collections::{BTreeMap, BTreeSet};

use super::Fixed;
use crate::check::Outcome;
use crate::finding::{Accepted, Comparison, Finding, Nature};
use crate::units::Quantity;

/// What a finding of the later revision is to the earlier one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum News {
    /// It was there, and no better.
    Known,
    /// It was not.
    New,
    /// It was there with a better value, or a lower severity; both in words.
    Worse { was: String, now: String },
}

/// What makes a finding the same in two revisions: the rule and the plan's own names, whichever
/// file they stand in.
pub(super) fn identity(finding: &Finding) -> (String, &'static str, Option<String>, String) {
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

/// What each finding of the later outcome is to the earlier one, and which of that are gone. What is
/// worse than it was is not accepted by the baseline any more, which took it in as it was.
pub(super) fn told_apart(was: &Outcome, now: &mut Outcome) -> (Vec<News>, Vec<Fixed>) {
    let mut left: BTreeMap<_, Vec<&Finding>> = BTreeMap::new();
    for finding in &was.findings {
        left.entry(identity(finding)).or_default().push(finding);
    }
    // On a route that stays as it was each place was there before, and no better for being the worst now.
    let routes: BTreeSet<&str> = now
        .checked
        .iter()
        .filter(|one| {
            let mut before = was.checked.iter();
            before.any(|other| other.mission == one.mission && other.outline == one.outline)
        })
        .map(|one| one.mission.as_str())
        .collect();
    let mut news = Vec::with_capacity(now.findings.len());
    for finding in &mut now.findings {
        let mission = finding.mission.as_deref();
        let stays = mission.is_some_and(|mission| routes.contains(mission));
        let mut moved = false;
        let told = match left.get_mut(&identity(finding)) {
            Some(held) => {
                moved = !held.is_empty() && !held.iter().any(|one| is_there(one, finding, stays));
                of_one(held, finding, stays)
            }
            None => News::New,
        };
        let by_baseline = |finding: &Finding| {
            let accepted = finding.accepted.as_ref();
            accepted.is_some_and(|accepted| accepted.how == Accepted::Baseline)
        };
        if (moved || matches!(told, News::Worse { .. })) && by_baseline(finding) {
            finding.accepted = None;
        }
        news.push(told);
    }
    let fixed = was.findings.iter().filter(|finding| {
        let held = left.get(&identity(finding));
        held.is_some_and(|held| held.iter().any(|one| std::ptr::eq(*one, *finding)))
    });
    let fixed = fixed.map(|finding| Fixed {
        rule: finding.rule.clone(),
        mission: finding.mission.clone(),
        message: finding.message.clone(),
    });
    (news, fixed.collect())
}

/// Whether a finding is at the place, and about the danger, that an earlier one was, and no other place is
/// past the limit that was not then. One that gives no place is told apart by no place.
fn is_there(was: &Finding, now: &Finding, same_route: bool) -> bool {
    let (Some(place), Some(before)) = (&now.place, &was.place) else {
        return true;
    };
    let on_route = same_route && before.danger == place.danger;
    if !on_route && !before.is_same(place) {
        return false;
    }
    let Some((then, is)) = was.comparison.as_ref().zip(now.comparison.as_ref()) else {
        return true;
    };
    let known: Vec<(String, &Comparison, f64)> = before
        .others_past(then)
        .map(|other| (other.subject(), then, other.value.value))
        .collect();
    let mut others = place.others_past(is);
    others.all(|other| {
        let mut known = known.iter();
        known.any(|(subject, then, value)| {
            let shown = |value: f64| Quantity::new(value, other.value.dimension).to_string();
            let no_worse = then.side.margin(other.value.value, *value) >= 0.0;
            *subject == other.subject() && (no_worse || shown(*value) == other.value.to_string())
        })
    })
}

/// Takes the earlier finding that one is nearest to off those that are left at its place: one that stood
/// as it stands and was no better, else one that stood so, else any.
fn of_one(held: &mut Vec<&Finding>, finding: &Finding, same_route: bool) -> News {
    let there = |one: &&Finding| is_there(one, finding, same_route);
    let alike = |one: &&Finding| there(one) && one.stands() == finding.stands();
    let no_better = |one: &&Finding| worse(one, finding).is_none();
    let at = held
        .iter()
        .position(|one| alike(one) && no_better(one))
        .or_else(|| held.iter().position(alike))
        .or_else(|| held.iter().position(there));
    let Some(at) = at else {
        // At another place; told as worse where it is that too.
        let first = held.first().copied();
        let Some(told) = first.and_then(|was| worse(was, finding)) else {
            return News::New;
        };
        held.remove(0);
        return told;
    };
    let was = held.remove(at);
    // What was accepted and no longer is counts anew.
    if finding.stands() && !was.stands() && worse(was, finding).is_none() {
        return News::New;
    }
    worse(was, finding).unwrap_or(News::Known)
}

/// In what way a finding is worse than it was, if it is: by its value as far as that is shown, or by its
/// severity.
fn worse(was: &Finding, now: &Finding) -> Option<News> {
    if now.severity > was.severity {
        return Some(News::Worse {
            was: was.severity.to_string(),
            now: now.severity.to_string(),
        });
    }
    let (was, now) = (was.comparison.as_ref()?, now.comparison.as_ref()?);
    let (before, after) = (was.measured.to_string(), now.measured.to_string());
    (before != after && farther(was, now)).then_some(News::Worse {
        was: before,
        now: after,
    })
}

/// Whether a value lies on the worse side of another; one that cannot be compared does.
fn farther(was: &Comparison, now: &Comparison) -> bool {
    if was.measured.dimension != now.measured.dimension {
        return true;
    }
    let margin = now.side.margin(now.measured.value, was.measured.value);
    margin.is_nan() || margin < 0.0
}
