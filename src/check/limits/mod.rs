//! The wind limits of a plan: from each direction the strongest wind in which every rule of
//! severity error still holds, and what the plan's own alternatives come to in one wind.
//!
//! A limit is that of a whole band of directions: the wind may come from anywhere within the plan's
//! own spread of the direction that is told, and from half a step to either side at the least. It is
//! the top of the stretch of passing winds that begins at a calm. Winds that pass again above one that
//! does not are told of, and are no limit.

mod course;
mod kinds;
mod moved;
mod solve;
mod today;
mod wind;

#[cfg(test)]
mod tests;

use rayon::prelude::*;

pub use today::{Alternative, Room};
pub use wind::Given;

use super::asked::{Asked, NoAnswer, asked};
use super::watch::{Counter, Watch};
use super::{Binding, margins};
use crate::measures;
use crate::passage::{Passage, adrift};
use crate::plan::{Plan, Wind};
use crate::rules::{Effective, RuleInForce};
use crate::source::Tree;
use crate::units::{Angle, FromDirection, Length, Ratio, Speed, Time};
use kinds::{Kinds, all_broken, broken};
use solve::{OfBand, Stretches, Tried};
use wind::{CAP, Rose, Setting, in_wind, mean};

/// Widest angle between two directions that can be asked for.
pub const MOST_STEP: Angle = wind::MOST_STEP;
/// Share of the farthest distance at which the boat is turned back sooner.
const NEARER: f64 = 0.75;
/// Steps that are computed at most, of the route and its ways home, over all winds that are tried;
/// about a minute's worth.
const MOST_WORK: usize = 600_000_000;
/// Work up to which winds half a metre a second apart are tried, and one metre a second otherwise.
const FINE_WORK: usize = 3_000_000;

/// What is asked for.
#[derive(Clone, PartialEq, Debug)]
pub struct Sought {
    /// Between two directions that are told of, from 1° to [`MOST_STEP`], a part of the circle.
    pub step: Angle,
    /// The wind to judge the plan's alternatives in; the one planned for where none is given.
    pub wind: Option<Given>,
}

/// What a plan is changed in.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Change {
    /// Nothing.
    None,
    /// The route runs the other way round, its approach as planned.
    Reversed,
    /// Every commanded speed is multiplied by this.
    Speed(Ratio),
    /// The charge at launch is other by this, in points.
    Charge(Ratio),
    /// The boat turns back at this share of its farthest distance from the recovery point.
    Nearer(Ratio),
}

/// A mean wind with the gust that goes with it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Steady {
    /// Sustained.
    pub mean: Speed,
    /// Gust.
    pub gust: Speed,
}

/// Mean winds that pass.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Passing {
    /// The weakest.
    pub from: Speed,
    /// The strongest.
    pub to: Speed,
}

/// What stands against any more wind.
#[derive(Clone, PartialEq, Debug)]
pub struct Barred {
    /// The first wind that does not pass, a tenth above the limit, or a calm.
    pub wind: Steady,
    /// A direction of the band in which it does not.
    pub from: FromDirection,
    /// The rules that it breaks there, those that fail before those that cannot be judged. Never
    /// empty, but where only the band as a whole does not pass.
    pub rules: Vec<Binding>,
}

/// The limit in winds from one direction.
#[derive(Clone, PartialEq, Debug)]
pub struct Sector {
    /// The direction.
    pub from: FromDirection,
    /// The strongest wind that passes, with every weaker one that was tried; `None` where not even a
    /// calm does.
    pub strongest: Option<Steady>,
    /// Why no more; `None` where the limit is the strongest wind that is tried at all.
    pub barred: Option<Barred>,
    /// Stronger winds that pass again. They are no limit: to meet them a boat goes through winds that
    /// do not pass.
    pub again: Vec<Passing>,
}

/// A wind that was judged as a whole, exactly as a check of a plan for it would.
#[derive(Clone, PartialEq, Debug)]
pub struct BandWind {
    /// Middle of the band.
    pub from: FromDirection,
    /// Either side of it.
    pub spread: Angle,
    /// Sustained.
    pub mean: Speed,
    /// Gust.
    pub gust: Speed,
    /// Height over the water that both are of.
    pub height: Length,
    /// Whether it is the wind planned for.
    pub planned: bool,
    /// The rules of severity error that are not kept, all of them counted.
    pub broken: Vec<Binding>,
}

/// The limit of a varied plan from one direction.
#[derive(Clone, PartialEq, Debug)]
pub struct Varied {
    /// The direction.
    pub from: FromDirection,
    /// The strongest mean wind.
    pub strongest: Option<Speed>,
    /// Whether no limit was found up to the strongest wind that is tried.
    pub up_to_cap: bool,
    /// The rules that are not kept a tenth above, or in a calm where that does not pass either.
    pub broken: Vec<Binding>,
}

/// How limits move when a plan is changed.
#[derive(Clone, PartialEq, Debug)]
pub struct Moved {
    /// What is changed.
    pub change: Change,
    /// The same in words, with its figures.
    pub words: String,
    /// Why the change cannot be had from this plan, where it cannot.
    pub not_to_be_had: Option<String>,
    /// Rules that the change breaks in every wind.
    pub regardless: Vec<Binding>,
    /// The limits, in the order of [`Limits::looked_at`].
    pub limits: Vec<Varied>,
}

/// The wind limits of a plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Limits {
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy in force.
    pub policy: String,
    /// Between two directions.
    pub step: Angle,
    /// How far either side of each direction the wind may come from.
    pub spread: Angle,
    /// The strongest mean wind that is tried.
    pub cap: Speed,
    /// Between two winds that are tried in every direction, before edges are narrowed down.
    pub grid: Speed,
    /// Gust over mean.
    pub gust_factor: Ratio,
    /// Where that comes from, in words.
    pub gust_factor_words: String,
    /// The height that winds are told for.
    pub height: Length,
    /// How long each wind has blown; `None` where waves are taken as limited by the fetch alone.
    pub duration: Option<Time>,
    /// Rules that are not kept whatever the wind. Where there are any, no wind passes, and the limits
    /// are those of the other rules.
    pub regardless: Vec<Binding>,
    /// Rules about what the plan states of its wind, which were judged on that alone.
    pub as_stated: Vec<String>,
    /// Every direction, from north clockwise.
    pub sectors: Vec<Sector>,
    /// The wind planned for; `None` where the plan states none.
    pub planned: Option<BandWind>,
    /// The wind that alternatives are judged in: the one given, or else the one planned for.
    pub today: Option<BandWind>,
    /// The plan's alternatives in that wind; none where there is none.
    pub alternatives: Vec<Alternative>,
    /// The best of them.
    pub best: Option<usize>,
    /// Directions, of [`Limits::sectors`], in which it is told how limits move: the one nearest to
    /// that of the planned wind, and the one with the least limit.
    pub looked_at: Vec<usize>,
    /// How they do.
    pub moved: Vec<Moved>,
    /// Things to know, such as a loosened rule.
    pub notes: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
}

impl Limits {
    /// Whether a wind passes at all, every rule counted.
    #[must_use]
    pub fn any_wind_passes(&self) -> bool {
        self.regardless.is_empty() && self.sectors.iter().any(|one| one.strongest.is_some())
    }

    /// The direction with the least limit, the first of equals.
    #[must_use]
    pub fn least(&self) -> Option<usize> {
        let key = |index: &usize| {
            let one: &Sector = &self.sectors[*index];
            one.strongest.map_or(-1.0, |steady| steady.mean.get())
        };
        (0..self.sectors.len()).min_by(|a, b| key(a).total_cmp(&key(b)))
    }
}

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
    // A step that is off is told before anything is read.
    Rose::new(sought.step, Angle::degrees(0.0))?;
    let found = asked(tree, mission, policy)?;
    limits_of(&found, sought, watch)
}

/// The wind limits of a mission that is loaded already.
///
/// # Errors
/// [`NoAnswer`] where the step does not part the circle, or the route asks for more than is computed.
pub fn limits_of(found: &Asked, sought: &Sought, watch: Watch<'_>) -> Result<Limits, NoAnswer> {
    of_plan(
        &found.plan,
        &found.policy,
        sought,
        found.notes.clone(),
        watch,
    )
}

fn of_plan(
    plan: &Plan,
    policy: &Effective,
    sought: &Sought,
    notes: Vec<String>,
    watch: Watch<'_>,
) -> Result<Limits, NoAnswer> {
    let kinds = Kinds::of(policy);
    let setting = Setting::of(plan, policy);
    let rose = Rose::new(sought.step, setting.spread)?;
    // The passage that all winds share what they can with.
    let calm = in_wind(plan, setting.wind(rose.sector(0), Angle::degrees(0.0), 0));
    let passage = margins::passage(&calm, policy);
    let grid = grid_for(&passage, &rose)?;
    let progress = Counter::new(
        watch,
        rose.fine() + rose.sectors + moved::VARIATIONS + today::ALTERNATIVES,
    );
    let tick = || progress.tick();
    let own = margins::passage(plan, policy);
    let planned_broken = all_broken(kinds.all(), &own);
    let once = kinds.fixed.iter().chain(&kinds.stated).copied();
    let mut regardless = all_broken(once, &own);
    let tried = Tried {
        passage: &passage,
        setting: &setting,
    };
    // What holds in a calm does not break in every wind.
    let windy = kinds.windy.iter().copied();
    let in_calm = windy.filter(|rule| broken(rule, &passage).is_some());
    let whatever = solve::whatever(tried, in_calm.collect(), &rose, grid);
    regardless.extend(all_broken(whatever.iter().copied(), &passage));
    let ids = |rule: &RuleInForce| rule.rule.id.value.clone();
    let dropped: Vec<String> = whatever.iter().map(|rule| ids(rule)).collect();
    let windy = kinds.windy.iter().copied();
    let active: Vec<&RuleInForce> = windy.filter(|rule| !dropped.contains(&ids(rule))).collect();
    let singles: Vec<Stretches> = (0..rose.fine())
        .into_par_iter()
        .map(|fine| {
            let found = solve::single(tried, &active, rose.direction(fine), grid);
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
    let (alternatives, best) = match &wind {
        Some(wind) => today::judge_alternatives(plan, policy, &kinds, wind, &tick),
        None => (Vec::new(), None),
    };
    // The first alternative is the plan as it is.
    let today = wind.as_ref().zip(alternatives.first());
    let today = today.map(|(wind, as_planned)| {
        today::told(wind, sought.wind.is_none(), as_planned.broken.clone())
    });
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
        duration: setting.duration,
        as_stated: wind::as_stated(&kinds),
        sectors: (0..rose.sectors)
            .map(|index| sector(&setting, &rose, index, &bands[index]))
            .collect(),
        planned: plan
            .mission
            .wind
            .as_ref()
            .map(|wind| today::told(wind, true, planned_broken)),
        today,
        alternatives,
        best,
        looked_at: Vec::new(),
        moved: Vec::new(),
        notes,
        assumptions: [margins::told(&policy.margins), measures::assumptions(plan)].concat(),
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
        regardless: &regardless,
    };
    let sectors = limits.looked_at.iter();
    let sectors: Vec<(usize, FromDirection)> = sectors
        .map(|index| (*index, bands[*index].broken_from))
        .collect();
    limits.moved = moved::moved(plan, &under, &sectors, &tick);
    Ok(limits)
}

/// How finely winds are tried, by how much there is to compute.
fn grid_for(passage: &Passage<'_>, rose: &Rose) -> Result<u32, NoAnswer> {
    let winds = |grid: u32| (CAP / grid) as usize + 5;
    let work = |grid: u32| {
        // An edge that a boat adrift may come on to takes an eighth of the time of a step.
        let of_one = passage.asked().saturating_add(adrift::work(passage) / 8);
        let of_one = of_one.saturating_mul(rose.fine());
        of_one.saturating_mul(winds(grid))
    };
    if work(5) <= FINE_WORK {
        return Ok(5);
    }
    if work(10) > MOST_WORK {
        return Err(NoAnswer::Unreadable(format!(
            "the route asks for {} steps over all winds and {MOST_WORK} are computed at most; take a wider \
             step, or split the mission",
            work(10)
        )));
    }
    Ok(10)
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

fn sector(setting: &Setting, rose: &Rose, index: usize, band: &OfBand) -> Sector {
    let steady = |tenths: u32| Steady {
        mean: mean(tenths),
        gust: setting.gust(tenths),
    };
    let next = band.strongest.map_or(0, |tenths| tenths + 1);
    Sector {
        from: rose.sector(index),
        strongest: band.strongest.map(steady),
        barred: (next <= CAP).then(|| Barred {
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
