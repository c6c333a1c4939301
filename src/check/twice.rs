//! One boat in two missions at one time.

use std::collections::{BTreeMap, BTreeSet};

use super::guard::carry;
use super::{ChangeImpact, Loaded, Side, load_on};
use crate::finding::{Finding, Nature, Severity};
use crate::plan::boats::boat_among;
use crate::plan::calendar::shown;
use crate::plan::{Linked, Out, Plan, Reader};
use crate::source::{ReadError, Sources, Tree};

/// What is told of it.
const WHY: &str = "A boat can be in one place only. If two plans have it out at the same time, \
                   somebody launches one without knowing of the other, or one cannot run.";

/// A plan with the boat that it is for.
struct OfBoat<'a> {
    boat: String,
    plan: &'a Plan,
}

/// The findings about every plan that has its boat out while another one has: one for each such plan, by
/// its id, about the other that is nearest before it, or else after it.
pub(super) fn out_twice(linked: &Linked, sources: &Sources) -> Vec<(String, Finding)> {
    let plans = linked.plans.iter();
    let mut all: Vec<OfBoat<'_>> = plans
        .map(|plan| OfBoat {
            boat: linked.boat(plan),
            plan,
        })
        .collect();
    all.sort_by(|a, b| {
        let key = |one: &OfBoat<'_>| {
            let launch = one.plan.mission.launch.time.value;
            (one.boat.clone(), launch, one.plan.path.clone())
        };
        key(a).cmp(&key(b))
    });
    // The one of each boat that is out longest, of those so far.
    let mut last: BTreeMap<&str, &Plan> = BTreeMap::new();
    let mut found = Vec::new();
    for (at, one) in all.iter().enumerate() {
        let launched = |plan: &Plan| plan.mission.launch.time.value;
        let before = last.get(one.boat.as_str()).copied();
        let before = before.filter(|other| other.back_by() > launched(one.plan));
        let after = all.get(at + 1).filter(|next| next.boat == one.boat);
        let after = after.map(|next| next.plan);
        let after = after.filter(|next| launched(next) < one.plan.back_by());
        if let Some(other) = before.or(after) {
            let finding = finding(&one.boat, one.plan, other, sources);
            found.push((one.plan.mission.id.value.clone(), finding));
        }
        let longest = last.entry(&one.boat).or_insert(one.plan);
        if longest.back_by() < one.plan.back_by() {
            *longest = one.plan;
        }
    }
    found
}

/// The same about some missions of a tree, in `sources`, to which what these lack is added: those that may have
/// the boat of one of them out at its time and are left out of a loading of the tree are read for it.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed.
pub(crate) fn out_twice_among(
    missions: &BTreeSet<String>,
    (tree, extent, side): (&dyn Tree, &ChangeImpact, Side),
    (loaded, before): (&Loaded, &str),
    reader: &mut Reader,
    sources: &mut Sources,
) -> Result<Vec<Finding>, ReadError> {
    let plans = loaded.linked.plans.iter();
    let own: Vec<(String, Out)> = plans
        .filter(|plan| missions.contains(&plan.mission.id.value))
        .map(|plan| (loaded.linked.boat(plan), Out::from_plan(plan)))
        .collect();
    if own.is_empty() {
        return Ok(Vec::new());
    }
    let (boats, sites) = (&loaded.linked.vessels, &loaded.linked.sites);
    let near = extent.with_left_out((tree, side), &|one| {
        let boat = one.vessel.as_ref().map(|vessel| boat_among(vessel, boats));
        let site = one.site.as_ref().and_then(|site| sites.get(site));
        let out = one
            .out
            .map(|out| out.in_zone(site.and_then(|site| site.time_zone.as_ref())));
        own.iter().any(|(own, time)| {
            boat.as_ref().is_none_or(|boat| boat == own)
                && out.as_ref().is_none_or(|out| out.may_meet(time))
        })
    });
    let near = load_on(&near, None, reader)?;
    let mut found = Vec::new();
    for (mission, mut finding) in out_twice(&near.linked, &near.sources) {
        if !missions.contains(&mission) {
            continue;
        }
        let related = finding.related.iter_mut();
        for label in std::iter::once(&mut finding.primary).chain(related) {
            let path = format!("{before}{}", near.sources.path(label.span.source));
            label.span = carry(&near.sources, label.span, &path, sources);
        }
        found.push(finding);
    }
    Ok(found)
}

fn finding(boat: &str, plan: &Plan, other: &Plan, sources: &Sources) -> Finding {
    let zone = plan.site.time_zone.as_ref();
    let (here, there) = (&plan.mission.launch, &other.mission.launch);
    let mut builder = Finding::builder("boat-out-twice", Severity::Error, Nature::Violation)
        .mission(&plan.mission.id.value)
        .subject(&other.mission.id.value)
        .message(format!(
            "`{boat}` is out from {} to {}, and in mission `{}` from {} to {}",
            shown(here.time.value, zone),
            shown(plan.back_by(), zone),
            other.mission.id.value,
            shown(there.time.value, zone),
            shown(other.back_by(), zone)
        ))
        .primary(here.time.span(), "launched here")
        .related(there.time.span(), "and here")
        .why(WHY)
        .remedy(format!(
            "launch one after the other has brought the boat back, this one at {} or later; or remove the \
             plan that will not be run",
            shown(other.back_by(), zone)
        ));
    for (mission, back) in [(plan, &here.latest_return), (other, &there.latest_return)] {
        builder = match back {
            Some(back) => builder.related(back.span(), "back by this time"),
            None => builder.assumptions(vec![format!(
                "mission `{}` counts as having the boat out for a day (`latest_return` not stated)",
                mission.mission.id.value
            )]),
        };
    }
    if plan.vessel.id.value != other.vessel.id.value {
        for vessel in [&plan.vessel, &other.vessel] {
            builder = match vessel.of_boat() {
                Some(of) => builder.related(of.span(), "the same boat"),
                None => builder.related(vessel.id.span(), "this boat"),
            };
        }
    }
    builder.build(sources)
}
