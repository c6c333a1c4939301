//! The sensitivity with speed, with the charge at launch, and with where the boat turns back.

use rayon::prelude::*;

use super::budget::Budget;
use super::kinds::{Kinds, all_broken};
use super::solve::{Grounds, Tried, broken_at, least_of};
use super::today::{Changed, at_speed, turned_sooner};
use super::wind::{CAP, Rose, Setting, mean};
use super::{Change, Moved, Varied};
use crate::check::margins;
use crate::envelope::Binding;
use crate::passage::Variation;
use crate::plan::Plan;
use crate::rules::{EffectivePolicy, RuleInForce};
use crate::units::{FromDirection, Ratio};

const SPEEDS: [f64; 3] = [1.2, 0.8, 0.6];
/// Points that the charge at launch is lowered by.
const LESS_CHARGE: [f64; 2] = [0.10, 0.20];
/// Sensitivity is looked at on a grid so many times as coarse.
const COARSER: u32 = 2;

/// How many variations are tried.
pub(super) const VARIATIONS: usize = SPEEDS.len() + LESS_CHARGE.len() + 1;

fn changes(plan: &Plan) -> Vec<Changed> {
    let speeds = SPEEDS.map(|share| at_speed(plan, share));
    let charges = LESS_CHARGE.map(|less| {
        let stated = &plan.mission.charge_at_launch;
        let left = stated.value.get() - less;
        let mut lower = plan.clone();
        lower.mission.charge_at_launch = stated.clone().map(|_| Ratio::fraction(left));
        Changed {
            change: Change::Charge(Ratio::fraction(-less)),
            words: format!(
                "{} charged at launch in place of {}",
                Ratio::fraction(left.max(0.0)),
                stated.value
            ),
            plan: if left > 0.0 {
                Ok(lower)
            } else {
                Err(format!("only {} are charged", stated.value))
            },
            variation: Variation::default(),
        }
    });
    let mut all: Vec<Changed> = speeds.into_iter().chain(charges).collect();
    all.push(turned_sooner(plan));
    all
}

/// What every variation is tried under.
pub(super) struct Under<'a> {
    pub policy: &'a EffectivePolicy,
    pub kinds: &'a Kinds<'a>,
    /// The rules that limits are reported for.
    pub active: &'a [&'a RuleInForce],
    pub rose: &'a Rose,
    pub setting: &'a Setting,
    pub grid: u32,
    pub budget: &'a Budget,
    /// What is known of the single directions, of a boat that goes the way that is planned.
    pub grounds: &'a Grounds,
    /// Rules that are broken whatever the wind, of the plan as it is.
    pub regardless: &'a [Binding],
}

/// The limits of the varied plans in some of the directions that are told of. `first` is the
/// direction, of those judged for one, that limits the plan as it is.
pub(super) fn moved(
    plan: &Plan,
    under: &Under<'_>,
    sectors: &[(usize, FromDirection)],
    tick: &(dyn Fn() + Sync),
) -> Vec<Moved> {
    changes(plan)
        .into_par_iter()
        .map(|changed| {
            let found = limits_after_change(changed, under, sectors);
            tick();
            found
        })
        .collect()
}

fn limits_after_change(
    changed: Changed,
    under: &Under<'_>,
    sectors: &[(usize, FromDirection)],
) -> Moved {
    let Changed {
        change,
        words,
        plan,
        variation,
    } = changed;
    let mut moved = Moved {
        change,
        words,
        not_to_be_had: None,
        regardless: Vec::new(),
        limits: Vec::new(),
    };
    let plan = match plan {
        Ok(plan) => plan,
        Err(why) => {
            moved.not_to_be_had = Some(why);
            return moved;
        }
    };
    let passage = margins::passage(&plan, under.policy).varied_by(&variation);
    let passage = passage.values_alone();
    moved.regardless = all_broken(under.kinds.fixed.iter().copied(), &passage)
        .into_iter()
        .filter(|broken| !under.regardless.contains(broken))
        .collect();
    let elsewhere = Grounds::none(*under.rose);
    let tried = Tried {
        passage: &passage,
        setting: under.setting,
        budget: under.budget,
        grounds: match change {
            Change::Nearer(_) | Change::Reversed => &elsewhere,
            Change::None | Change::Speed(_) | Change::Charge(_) => under.grounds,
        },
    };
    let grid = under.grid * COARSER;
    moved.limits = sectors
        .par_iter()
        .map(|(sector, first)| {
            // Every second direction, outwards to both ends of the band.
            let around = under.rose.around(*sector);
            let last = around.len().saturating_sub(2);
            let some = around.iter().enumerate().filter(|(number, _)| {
                let off = number.div_ceil(2);
                off.is_multiple_of(2) || *number >= last
            });
            let around = some.map(|(_, fine)| under.rose.direction(*fine));
            let rest = around.filter(|from| from != first);
            let directions: Vec<FromDirection> = std::iter::once(*first).chain(rest).collect();
            let (strongest, of) = least_of(tried, under.active, &directions, grid);
            let broken = of.map(|from| {
                let next = strongest.map_or(0, |tenths| tenths + 1);
                broken_at(tried, under.active, from, next)
            });
            Varied {
                broken: broken.unwrap_or_default(),
                from: under.rose.sector(*sector),
                strongest: strongest.map(mean),
                up_to_cap: strongest == Some(CAP),
            }
        })
        .collect();
    moved
}
