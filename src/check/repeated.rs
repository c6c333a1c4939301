//! Missions that repeat another, as far as a change reaches: what they take over, and what they bring along.

use std::collections::{BTreeMap, BTreeSet};

use super::named::{LeftOut, Named};
use crate::plan::Gathered;
use crate::schema::Kind;

/// Gives each mission that repeats another what that one names, where it does not have it yet.
pub(super) fn take_over(missions: &mut [Named]) {
    let plans: BTreeMap<String, LeftOut> = missions
        .iter()
        .filter(|one| one.mission.repeats.is_none())
        .map(|one| (one.mission.id.clone(), one.mission.clone()))
        .collect();
    for one in missions {
        let mission = &mut one.mission;
        let plan = mission.repeats.as_ref().and_then(|id| plans.get(id));
        let Some(plan) = plan else { continue };
        let take = |own: &mut Option<String>, theirs: &Option<String>| {
            if own.is_none() {
                own.clone_from(theirs);
            }
        };
        take(&mut mission.vessel, &plan.vessel);
        take(&mut mission.site, &plan.site);
        take(&mut mission.policy, &plan.policy);
        take(&mut mission.orders, &plan.orders);
    }
}

/// Missions that repeat another, each with that one's id.
pub(super) fn repeats(gathered: &Gathered) -> impl Iterator<Item = (&str, &str)> {
    gathered.of_kind(Kind::Mission).filter_map(|file| {
        let (id, _) = file.id.as_ref()?;
        Some((id.as_str(), file.named("repeats")?))
    })
}

/// Adds to the missions that a change bears on those that repeat them, and those that they repeat: neither can
/// be read without the other.
pub(super) fn with_repeated<'a>(
    changed: &mut BTreeSet<String>,
    parsed: impl Iterator<Item = (&'a str, &'a str)>,
    unchanged: &'a [Named],
) {
    let known = unchanged.iter().filter_map(|one| {
        let repeated = one.mission.repeats.as_deref()?;
        Some((one.mission.id.as_str(), repeated))
    });
    let all: BTreeSet<(&str, &str)> = parsed.chain(known).collect();
    // Nothing that is repeated repeats another, so that two rounds reach everything.
    for (id, repeated) in &all {
        if changed.contains(*repeated) {
            changed.insert((*id).to_owned());
        }
    }
    for (id, repeated) in all {
        if changed.contains(id) {
            changed.insert(repeated.to_owned());
        }
    }
}
