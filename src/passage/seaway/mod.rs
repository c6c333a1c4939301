//! The boat among the waves: what it meets at every step of the route and of the return legs, each
//! kind of trouble at its worst.
//!
//! Only the height counts everywhere. Whatever else is reported counts in full in waves of at least the
//! height that a hull is taken to bear untried, and in part from half of that
//! ([`counts`](crate::models::stability::counts)), so that nothing jumps as the wind rises. Height,
//! periods and direction are those of the highest of the lattice's nodes around a place.

mod met;
mod seas;
mod watch;

use rayon::prelude::*;

use super::acting::Acting;
use super::scenario::Scenarios;
use super::sea::SeaField;
use super::{Passage, Runs};
use crate::plan::vessel::Roll;
use crate::units::Time;
use met::SAME;
use watch::Watch;

pub(crate) use met::{Met, Seaway, Worst};

/// What is met under every scenario; `None` where there is no sea, the water being too wide.
pub(super) fn all(passage: &Passage<'_>, runs: &Runs) -> Option<Seaway> {
    let sea = runs.sea.as_ref()?;
    let roll = roll_period(passage);
    let scenarios = runs.scenarios.all.par_iter().zip(&runs.runs).enumerate();
    // What is no worse than before counts for nothing, so that the same is looked at once.
    let each: Vec<Seaway> = scenarios
        .filter(|(index, _)| runs.same_without_current(*index).is_none())
        .map(|(index, (scenario, run))| {
            let acting = Acting {
                passage,
                scenario,
                sea,
            };
            Watch::new(&acting, runs, run, index, roll).look()
        })
        .collect();
    Some(each.into_iter().fold(Seaway::default(), Seaway::with))
}

/// The significant height of [`Seaway`], for whoever wants no more: it follows from the places alone.
pub(super) fn highest(passage: &Passage<'_>, scenarios: &Scenarios, sea: &SeaField) -> Option<f64> {
    let places = sea.in_order(|places| places.in_order(passage));
    let of = |scenario| {
        let acting = Acting {
            passage,
            scenario,
            sea,
        };
        let heights = places.iter().map(move |place| acting.waves(*place).sea);
        let heights = heights.filter(|sea| sea.has_waves());
        let heights = heights.map(|sea| sea.height.get());
        heights.fold(None, greater)
    };
    scenarios.all.iter().filter_map(of).fold(None, greater)
}

/// The greater of two values, the first of those that are the same but for rounding.
fn greater(held: Option<f64>, value: f64) -> Option<f64> {
    match held {
        Some(held) if value <= held + SAME => Some(held),
        _ => Some(value),
    }
}

/// The natural period of roll, where it is known.
#[must_use]
pub(crate) fn roll_period(passage: &Passage<'_>) -> Option<Time> {
    let hull = &passage.plan.vessel.hull;
    match hull.roll.as_ref()?.value {
        Roll::Period(period) => Some(period),
        Roll::MetacentricHeight(height) => crate::models::stability::roll_period(
            hull.beam.value,
            hull.draft.value,
            hull.waterline_length.value,
            height,
        )
        .ok(),
    }
}
