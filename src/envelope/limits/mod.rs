//! The wind limits of a plan: from each direction the strongest wind in which every rule of
//! severity error still holds, and what the plan's own alternatives come to in one wind.
//!
//! A limit is that of a whole band of directions: the wind may come from anywhere within the plan's
//! own spread of the direction that is reported, and from half a step to either side at the least. It is
//! the top of the stretch of passing winds that begins at a calm. Winds that pass again above one that
//! does not are told of, and are no limit.

mod budget;
mod course;
mod kinds;
mod moved;
mod regardless;
mod solve;
mod today;
mod told;
mod wind;

#[cfg(test)]
mod tests;

use rayon::prelude::*;

pub(crate) use today::{Alternative, Room};
pub(crate) use told::{BandWind, LimitedBy, Moved, Passing, Varied};
pub use told::{Change, Limits, Sector, Sought};
pub use wind::Given;

use crate::check::margins;
use crate::check::watch::{Counter, Watch};
use crate::check::{LoadedMission, NoAnswer, asked};
use crate::measures;
use crate::models::wind::{BY_HAND, Steady, as_read};
use crate::passage::Passage;
use crate::plan::{Plan, Wind};
use crate::rules::{EffectivePolicy, RuleInForce};
use crate::source::Tree;
use crate::units::{Angle, FromDirection, Length, Ratio};
use budget::Budget;
use kinds::{Kinds, all_broken, broken};
use regardless::Regardless;
use solve::{Grounds, OfBand, Stretches, Tried};
use wind::{CAP, Rose, Setting, in_wind, mean};

/// Share of the farthest distance at which the boat is turned back sooner.
const NEARER: f64 = 0.75;
/// Steps that are computed at most, of the route and its return legs, over all winds that are tried; some
/// ten seconds of a processor (docs/explanation/security.md).
const MOST_WORK: usize = 70_000_000;
/// Work up to which winds half a metre a second apart are tried, and one metre a second otherwise.
const FINE_WORK: usize = 3_000_000;

/// Solves the wind limits of a mission, named by its id or its path, by a policy or by its own.
/// Waivers, if the mission has any, count for nothing here.
///
/// # Errors
/// [`NoAnswer`] where the mission or the policy is not there or has errors, the step does not part
/// the circle, or the route asks for more than is computed.
pub fn limits(
    tree: &dyn Tree,
    mission: &str,
    policy: Option<&str>,
    sought: &Sought,
    watch: Watch<'_>,
) -> Result<Limits, NoAnswer> {
    // A step that is off is reported before anything is read.
    Rose::new(sought.step, Angle::degrees(0.0))?;
    let found = asked(tree, mission, policy)?;
    limits_of(&found, sought, watch)
}

/// The wind limits of a mission that is loaded already.
///
/// # Errors
/// [`NoAnswer`] where the step does not part the circle, or the route asks for more than is computed.
pub(crate) fn limits_of(
    found: &LoadedMission,
    sought: &Sought,
    watch: Watch<'_>,
) -> Result<Limits, NoAnswer> {
    of_plan(
        &found.plan,
        &found.policy,
        sought,
        found.notes.clone(),
        (watch, MOST_WORK),
    )
}

fn of_plan(
    plan: &Plan,
    policy: &EffectivePolicy,
    sought: &Sought,
    notes: Vec<String>,
    (watch, most): (Watch<'_>, usize),
) -> Result<Limits, NoAnswer> {
    let kinds = Kinds::from_policy(policy);
    let setting = Setting::from_plan(plan, policy);
    let rose = Rose::new(sought.step, setting.spread)?;
    // The passage that all winds share what they can with.
    let calm = in_wind(plan, setting.wind(rose.sector(0), Angle::degrees(0.0), 0));
    let passage = margins::passage(&calm, policy).values_alone();
    let grid = grid_for(&passage, &rose);
    let budget = Budget::new(most);
    let more = match sought.sensitivity {
        true => moved::VARIATIONS + today::ALTERNATIVES,
        false => 0,
    };
    let progress = Counter::new(watch, rose.fine() + rose.sectors + more);
    let tick = || progress.tick();
    let own = margins::passage(plan, policy).values_alone();
    let planned_broken = all_broken(kinds.all(), &own);
    let once = kinds.fixed.iter().chain(&kinds.stated).copied();
    let mut regardless = all_broken(once, &own);
    let grounds = Grounds::of_passage(&passage, rose);
    let tried = Tried {
        passage: &passage,
        setting: &setting,
        budget: &budget,
        grounds: &grounds,
    };
    // What holds in a calm does not break in every wind.
    let windy = kinds.windy.iter().copied();
    let in_calm = windy.filter(|rule| broken(rule, &passage).is_some());
    let whatever = Regardless::among(tried, in_calm.collect(), &kinds.windy, &rose, grid);
    regardless.extend(all_broken(whatever.rules.iter().copied(), &passage));
    let dropped = |rule: &RuleInForce| whatever.rules.iter().any(|one| std::ptr::eq(*one, rule));
    let windy = kinds.windy.iter().copied();
    let active: Vec<&RuleInForce> = windy.filter(|rule| !dropped(rule)).collect();
    let singles: Vec<Stretches> = (0..rose.fine())
        .into_par_iter()
        .map(|fine| {
            let found = solve::single(tried, &active, rose.direction(fine), grid, |tenths| {
                whatever.passes(fine, tenths, grid)
            });
            tick();
            found
        })
        .collect();
    let bands: Vec<OfBand> = (0..rose.sectors)
        .into_par_iter()
        .map(|sector| {
            let found = solve::band(tried, &active, &rose, &singles, sector);
            tick();
            found
        })
        .collect();
    let wind = today::of_the_day(plan, &setting, sought.wind.as_ref());
    let wind = wind.filter(|_| sought.sensitivity);
    let (alternatives, best) = match &wind {
        Some(wind) => today::judge_alternatives(&own, policy, &kinds, wind, &tick),
        None => (Vec::new(), None),
    };
    // The first alternative is the plan as it is.
    let today = wind.as_ref().zip(alternatives.first());
    let today = today.map(|(wind, as_planned)| {
        today::band_wind(wind, sought.wind.is_none(), as_planned.broken.clone())
    });
    let read_at = sought.height.unwrap_or(BY_HAND);
    let mut limits = Limits {
        mission: plan.mission.id.value.clone(),
        path: plan.path.clone(),
        policy: policy.policy.clone(),
        step: rose.step,
        spread: rose.reach(),
        cap: mean(CAP),
        grid: mean(grid),
        gust_factor: Ratio::fraction(setting.factor),
        gust_factor_words: setting.factor_words.clone(),
        height: setting.height,
        read_at,
        duration: setting.duration,
        as_stated: wind::as_stated(&kinds),
        sectors: (0..rose.sectors)
            .map(|index| sector(&setting, &rose, read_at, (index, &bands[index])))
            .collect(),
        planned: plan
            .mission
            .wind
            .as_ref()
            .map(|wind| today::band_wind(wind, true, planned_broken)),
        today,
        alternatives,
        best,
        looked_at: Vec::new(),
        moved: Vec::new(),
        notes,
        assumptions: [
            margins::sentences(&policy.margins),
            measures::assumptions(plan),
        ]
        .concat(),
        regardless: regardless.clone(),
    };
    limits.looked_at = looked_at(plan, &rose, limits.least());
    let under = moved::Under {
        policy,
        kinds: &kinds,
        active: &active,
        rose: &rose,
        setting: &setting,
        grid,
        budget: &budget,
        grounds: &grounds,
        regardless: &regardless,
    };
    let sectors = limits.looked_at.iter();
    let sectors: Vec<(usize, FromDirection)> = sectors
        .map(|index| (*index, bands[*index].broken_from))
        .collect();
    if sought.sensitivity {
        limits.moved = moved::moved(plan, &under, &sectors, &tick);
    }
    if budget.is_spent() {
        return Err(too_much(plan, most));
    }
    Ok(limits)
}

/// How finely winds are tried, by how much there is to compute: in tenths of a metre a second.
fn grid_for(passage: &Passage<'_>, rose: &Rose) -> u32 {
    const FINE: u32 = 5;
    const COARSE: u32 = 10;
    let winds = (CAP / FINE) as usize + 5;
    let of_one = passage.asked().saturating_add(passage.asked_adrift());
    if of_one.saturating_mul(rose.fine() * winds) <= FINE_WORK {
        FINE
    } else {
        COARSE
    }
}

/// The route asks for more than is computed.
fn too_much(plan: &Plan, most: usize) -> NoAnswer {
    NoAnswer::Unreadable(format!(
        "{}: the wind limits of mission `{}` take more than {most} steps over all winds, the most \
         that offing computes; take a wider step, plan for a narrower spread of the wind, or split \
         the mission",
        plan.path, plan.mission.id.value,
    ))
}

/// The directions in which it is told how limits move.
fn looked_at(plan: &Plan, rose: &Rose, least: Option<usize>) -> Vec<usize> {
    let planned = plan.mission.wind.as_ref().map(|wind: &Wind| {
        let turns = wind.from.value.angle().to_degrees().rem_euclid(360.0) / rose.step.to_degrees();
        turns.round() as usize % rose.sectors
    });
    let mut all: Vec<usize> = planned.into_iter().chain(least).collect();
    all.dedup();
    all
}

fn sector(
    setting: &Setting,
    rose: &Rose,
    read_at: Length,
    (index, band): (usize, &OfBand),
) -> Sector {
    let steady = |tenths: u32| Steady {
        mean: mean(tenths),
        gust: setting.gust(tenths),
    };
    let next = band.strongest.map_or(0, |tenths| tenths + 1);
    Sector {
        from: rose.sector(index),
        strongest: band.strongest.map(steady),
        as_read: band
            .strongest
            .and_then(|tenths| as_read(steady(tenths), setting.height, read_at)),
        limited_by: (next <= CAP).then(|| LimitedBy {
            wind: steady(next),
            from: band.broken_from,
            rules: band.broken.clone(),
        }),
        again: band
            .again
            .iter()
            .map(|(from, to)| Passing {
                from: mean(*from),
                to: mean(*to),
            })
            .collect(),
    }
}
