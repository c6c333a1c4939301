//! One wind: what of the plan's own alternatives passes every rule in it, and with how much room.

use rayon::prelude::*;

use super::course::{approach, nearer, reversed};
use super::kinds::{Kinds, all_broken, judged};
use super::wind::{Setting, in_wind};
use super::{BandWind, Change, NEARER};
use crate::check::margins;
use crate::envelope::Binding;
use crate::finding::Side;
use crate::measures::Value;
use crate::models::wind::BY_HAND;
use crate::passage::boat::faster;
use crate::passage::{Passage, Variation};
use crate::plan::{Plan, Wind};
use crate::rules::{EffectivePolicy, RuleInForce, Verdict};
use crate::units::{Length, Quantity, Ratio, Speed};

/// Shares of every commanded speed that stand as alternatives.
const SLOWER: [f64; 2] = [0.8, 0.6];
/// Two values nearer than this share of themselves are the same.
const SAME: f64 = 1e-9;

/// What is left between a value and its limit.
#[derive(Clone, PartialEq, Debug)]
pub struct Room {
    /// Id of the rule.
    pub rule: String,
    /// What it is about, empty for the mission as a whole.
    pub subject: String,
    /// The value.
    pub measured: Quantity,
    /// The limit.
    pub limit: Quantity,
    /// Which side of the limit passes.
    pub side: Side,
    /// The room left as a share of the limit, negative where it is broken; `None` where the limit
    /// is nought, of which there are no shares.
    pub share: Option<Ratio>,
    /// Whether alternatives are compared by it: the rule depends on the wind, and its value differs
    /// between them.
    pub counts: bool,
}

/// A way to sail the plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Alternative {
    /// What is changed.
    pub change: Change,
    /// The same in words, with its figures.
    pub words: String,
    /// Why it cannot be had from this plan, where it cannot; nothing else is told of it then.
    pub not_to_be_had: Option<String>,
    /// The rules of severity error that are not met.
    pub broken: Vec<Binding>,
    /// What is left to each limit, the least first.
    pub room: Vec<Room>,
    /// The least of those that count.
    pub least: Option<Ratio>,
}

impl Alternative {
    /// Whether every rule of severity error is met.
    #[must_use]
    pub fn passed(&self) -> bool {
        self.not_to_be_had.is_none() && self.broken.is_empty()
    }
}

/// A plan, changed, or why it cannot be.
pub(super) struct Changed {
    pub change: Change,
    pub words: String,
    pub plan: Result<Plan, String>,
    pub variation: Variation,
}

/// Every commanded speed at a share, but those of the approach: how a boat comes to rest is not a matter of
/// how fast it surveys.
pub(super) fn at_speed(plan: &Plan, share: f64) -> Changed {
    let mut plan = plan.clone();
    let legs = &mut plan.mission.legs;
    let varied = legs.len() - approach(legs);
    let mut fastest = Speed::ZERO;
    for leg in &mut legs[..varied] {
        leg.command = leg.command.clone().map(|command| faster(command, share));
        fastest = fastest.max(leg.speed());
    }
    let home = &mut plan.mission.return_leg.speed;
    *home = home.clone().map(|speed| speed * share);
    Changed {
        change: Change::Speed(Ratio::fraction(share)),
        words: format!("every speed × {share:.1}, at most {fastest}, the approach as planned"),
        plan: if varied == 0 {
            Err("the route is its approach alone".to_owned())
        } else {
            Ok(plan)
        },
        variation: Variation::default(),
    }
}

/// Turned back sooner.
pub(super) fn turned_sooner(plan: &Plan) -> Changed {
    let cut = nearer(plan, NEARER);
    let share = Ratio::fraction(NEARER);
    let words = match &cut {
        Some((_, reach)) => format!(
            "turned back {} from the recovery point, {share} of the way",
            Length::metres(*reach)
        ),
        None => format!("turned back at {share} of the way"),
    };
    Changed {
        change: Change::Nearer(share),
        words,
        plan: cut
            .map(|(plan, _)| plan)
            .ok_or_else(|| "the plan starts farther away than that".to_owned()),
        variation: Variation::default(),
    }
}

fn alternatives(plan: &Plan) -> Vec<Changed> {
    let as_planned = Changed {
        change: Change::None,
        words: "as planned".to_owned(),
        plan: Ok(plan.clone()),
        variation: Variation::default(),
    };
    let other_way = Changed {
        change: Change::Reversed,
        words: "the route the other way round, its approach as planned".to_owned(),
        plan: reversed(plan).ok_or_else(|| "no part of the route can be reversed".to_owned()),
        variation: Variation::default(),
    };
    let slower = SLOWER.map(|share| at_speed(plan, share));
    [as_planned, other_way]
        .into_iter()
        .chain(slower)
        .chain([turned_sooner(plan)])
        .collect()
}

/// A number of alternatives, for whoever counts them.
pub(super) const ALTERNATIVES: usize = 3 + SLOWER.len();

/// Judges every alternative in a wind, and tells the best: of those that run the whole route and keep every
/// rule the one whose least room, as a share of the limit, is greatest. `own` is the plan's passage in its own
/// wind.
pub(super) fn judge_alternatives(
    own: &Passage<'_>,
    policy: &EffectivePolicy,
    kinds: &Kinds<'_>,
    wind: &Wind,
    tick: &(dyn Fn() + Sync),
) -> (Vec<Alternative>, Option<usize>) {
    let plan = in_wind(own.plan, wind.clone());
    let planned = own.in_wind(&plan);
    let mut all: Vec<Alternative> = alternatives(own.plan)
        .into_par_iter()
        .map(|changed| {
            let found = judge_alternative(changed, &planned, (policy, kinds), wind);
            tick();
            found
        })
        .collect();
    leave_out_the_same(&mut all);
    for one in &mut all {
        let shares = one.room.iter().filter(|room| room.counts);
        one.least = shares
            .filter_map(|room| room.share)
            .min_by(|a, b| a.get().total_cmp(&b.get()));
    }
    let room = |one: &Alternative| one.least.map_or(f64::INFINITY, Ratio::get);
    let mut best: Option<usize> = None;
    let ranked = |one: &Alternative| one.passed() && one.change.runs_the_route();
    for (index, one) in all.iter().enumerate().filter(|(_, one)| ranked(one)) {
        if best.is_none_or(|held| room(one) > room(&all[held]) + SAME) {
            best = Some(index);
        }
    }
    (all, best)
}

fn judge_alternative(
    changed: Changed,
    planned: &Passage<'_>,
    (policy, kinds): (&EffectivePolicy, &Kinds<'_>),
    wind: &Wind,
) -> Alternative {
    let Changed {
        change,
        words,
        plan,
        variation,
    } = changed;
    let mut found = Alternative {
        change,
        words,
        not_to_be_had: None,
        broken: Vec::new(),
        room: Vec::new(),
        least: None,
    };
    match plan {
        Err(why) => found.not_to_be_had = Some(why),
        Ok(plan) => {
            let plan = in_wind(&plan, wind.clone());
            let passage = || {
                let passage = margins::passage(&plan, policy).varied_by(&variation);
                passage.values_alone()
            };
            let passage = match change {
                Change::None => planned.in_wind(&plan),
                Change::Speed(_) => passage().in_wind_of(&plan, &planned.of_directions()),
                Change::Reversed | Change::Nearer(_) | Change::Charge(_) => passage(),
            };
            found.broken = all_broken(kinds.all(), &passage);
            let windy = kinds.windy.iter().map(|rule| (*rule, true));
            let others = kinds.fixed.iter().map(|rule| (*rule, false));
            let all = windy.chain(others);
            found.room = all
                .flat_map(|(rule, counts)| rooms(rule, counts, &passage))
                .collect();
            // A limit that is nought has no shares; it stands at the end.
            let key = |room: &Room| room.share.map_or(f64::INFINITY, Ratio::get);
            found.room.sort_by(|a, b| {
                let by_name = || (&a.rule, &a.subject).cmp(&(&b.rule, &b.subject));
                key(a).total_cmp(&key(b)).then_with(by_name)
            });
        }
    }
    found
}

fn rooms(rule: &RuleInForce, counts: bool, passage: &Passage<'_>) -> Vec<Room> {
    let known = judged(rule, passage).into_iter();
    known
        .filter(|one| matches!(one.verdict, Verdict::Holds | Verdict::Fails))
        .filter(|one| matches!(one.value, Some(Value::Quantity(_))))
        .filter_map(|one| {
            let comparison = one.comparison?;
            let (measured, limit) = (comparison.measured, comparison.limit);
            let left = comparison.side.margin(measured.value, limit.value);
            let share = left / limit.value.abs();
            Some(Room {
                rule: rule.rule.id.value.to_string(),
                subject: one.subject,
                measured,
                limit,
                side: comparison.side,
                share: share.is_finite().then(|| Ratio::fraction(share)),
                counts,
            })
        })
        .collect()
}

/// What is the same whichever alternative is taken parts none of them from another.
fn leave_out_the_same(all: &mut [Alternative]) {
    let had: Vec<usize> = (0..all.len())
        .filter(|index| all[*index].not_to_be_had.is_none())
        .collect();
    let value = |index: usize, room: &Room| {
        let of = all[index].room.iter();
        let mut same = of.filter(|other| other.rule == room.rule && other.subject == room.subject);
        same.next().map(|other| other.measured.value)
    };
    let marks: Vec<Vec<bool>> = all
        .iter()
        .map(|one| {
            let of = one.room.iter().map(|room| {
                let here = room.measured.value;
                had.iter().all(|index| {
                    value(*index, room)
                        .is_some_and(|there| (there - here).abs() <= SAME * here.abs().max(1.0))
                })
            });
            of.collect()
        })
        .collect();
    for (one, marks) in all.iter_mut().zip(marks) {
        for (room, mark) in one.room.iter_mut().zip(marks) {
            room.counts &= !mark && room.share.is_some();
        }
    }
}

/// A wind in the words of a report.
pub(super) fn band_wind(wind: &Wind, planned: bool, broken: Vec<Binding>) -> BandWind {
    BandWind {
        from: wind.from.value,
        spread: wind.spread.value,
        mean: wind.mean.value,
        gust: wind.gust.value,
        height: wind.height.value,
        planned,
        broken,
    }
}

/// The wind that alternatives are judged in.
pub(super) fn of_the_day(
    plan: &Plan,
    setting: &Setting,
    given: Option<&super::Given>,
) -> Option<Wind> {
    match given {
        Some(given) => {
            let gust = setting.gust_of(given);
            let mut wind = setting.blowing(given.from, setting.spread, given.mean, gust);
            wind.height = wind.height.map(|_| given.height.unwrap_or(BY_HAND));
            Some(wind)
        }
        None => plan.mission.wind.clone(),
    }
}
