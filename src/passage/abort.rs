//! When to turn back: the charge that the boat must still have to come home from a stretch of the
//! route with some energy kept.

use std::ops::RangeInclusive;

use rayon::prelude::*;

use super::{Passage, Runs, home};
use crate::units::{Energy, Power};

/// Halvings of the charge; after so many it is known to a ten-millionth.
const HALVINGS: usize = 24;

/// The charge to turn back at on a stretch of the route.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TurnBack {
    /// State of charge, 1 full.
    pub charge: f64,
    /// Sample that the return leg is costliest from.
    pub sample: usize,
    /// Scenario in which it is, by index.
    pub scenario: usize,
    /// The least draw on the way there, propulsion and everything else, in any scenario. A lesser
    /// draw lets the battery show a higher voltage, so that a threshold for the least of them is on
    /// the safe side.
    pub least_draw: Power,
    /// The greatest draw on the way there.
    pub greatest_draw: Power,
}

/// The least charge on a stretch of samples with which the boat comes home in every wind and keeps
/// an energy above empty. `None` where it cannot be determined, or where not even a full battery does.
#[must_use]
pub(crate) fn turn_back(
    passage: &Passage<'_>,
    runs: &Runs,
    samples: RangeInclusive<usize>,
    kept: Energy,
) -> Option<TurnBack> {
    let each: Option<Vec<(f64, usize)>> = runs
        .runs
        .par_iter()
        .enumerate()
        .map(|(scenario, run)| {
            let costs = run.samples.get(samples.clone())?;
            let mut costliest: Option<(Energy, usize)> = None;
            for (index, sample) in costs.iter().enumerate() {
                let energy = sample.home.as_ref().ok()?.energy;
                if costliest.is_none_or(|(held, _)| energy > held) {
                    costliest = Some((energy, samples.start() + index));
                }
            }
            let (_, sample) = costliest?;
            let charge = charge_for(passage, runs, (scenario, sample), kept)?;
            Some((charge, sample))
        })
        .collect();
    let mut worst: Option<(usize, f64, usize)> = None;
    for (scenario, (charge, sample)) in each?.into_iter().enumerate() {
        if worst.is_none_or(|(_, held, _)| charge > held) {
            worst = Some((scenario, charge, sample));
        }
    }
    let (scenario, charge, sample) = worst?;
    // The step that ends at a sample is the one before it.
    let steps = samples.start().saturating_sub(1)..*samples.end().max(&1);
    let draws = runs
        .runs
        .iter()
        .filter_map(|run| run.power.get(steps.clone()))
        .flatten()
        .map(|power| *power + runs.boat.hotel);
    let (mut least, mut greatest) = (f64::INFINITY, 0.0_f64);
    for draw in draws {
        least = least.min(draw.get());
        greatest = greatest.max(draw.get());
    }
    least.is_finite().then_some(TurnBack {
        charge,
        sample,
        scenario,
        least_draw: Power::watts(least),
        greatest_draw: Power::watts(greatest),
    })
}

/// The least charge with which the return leg from a sample leaves an energy above empty.
fn charge_for(
    passage: &Passage<'_>,
    runs: &Runs,
    (scenario, sample): (usize, usize),
    kept: Energy,
) -> Option<f64> {
    let pack = &runs.boat.pack;
    let along = runs.along(passage, scenario)?;
    let enough = |charge: f64| {
        let cost = home::cost_from(&along, &runs.boat, sample, charge);
        cost.is_ok_and(|cost| pack.energy_above_empty(cost.charge_after) >= kept)
    };
    if !enough(1.0) {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
