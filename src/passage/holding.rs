//! How long the boat can hold its place where its control link was lost.

use rayon::prelude::*;

use super::acting::Acting;
use super::{Passage, Runs};
use crate::models::OutsideValidity;
use crate::units::{Power, Time};

/// Time over which the draw at the last charge is taken.
const MINUTE: Time = Time::seconds(60.0);

/// The place where the boat can hold for the shortest time.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Holding {
    /// How long; nothing where it cannot hold against the gust.
    pub time: Time,
    /// Sample of the route.
    pub sample: usize,
    /// Scenario, by index.
    pub scenario: usize,
    /// State of charge there.
    pub charge: f64,
    /// Power of propulsion that holding takes in the sustained wind.
    pub power: Power,
    /// Power of propulsion that holding takes in the gust.
    pub in_gust: Power,
    /// Most that battery and motors give at the last charge.
    pub most: Power,
}

/// The shortest time for which the boat can hold its place, over all samples and winds, until it is
/// down to a state of charge. The draw is that at this last charge, where it is greatest. Samples
/// that are reached with less than that have no time at all.
///
/// # Errors
/// [`OutsideValidity`] where the power to hold is unknown, with the scenario.
pub(crate) fn shortest(
    passage: &Passage<'_>,
    runs: &Runs,
    last: f64,
) -> Result<Option<Holding>, (usize, OutsideValidity)> {
    let Some(sea) = &runs.sea else {
        return Ok(None);
    };
    let boat = &runs.boat;
    let most = boat.most(last);
    let each: Vec<Result<Option<Holding>, (usize, OutsideValidity)>> = runs
        .runs
        .par_iter()
        .enumerate()
        .filter(|(scenario, _)| runs.same_without_current(*scenario).is_none())
        .map(|(scenario, run)| {
            let acting = Acting {
                passage,
                scenario: &runs.scenarios.all[scenario],
                sea,
            };
            let mut worst: Option<Holding> = None;
            let propulsion = &boat.propulsion;
            let outside = |e| (scenario, e);
            // Back from the end, where the charge is least: a place where less presses than at one
            // already looked at has more time than that one.
            let mut most_pressed = None;
            for (sample, state) in run.samples.iter().enumerate().rev() {
                let at = passage.track.samples[sample];
                let force = |around| propulsion.holding_force(&around).map_err(outside);
                let (sustained, gust) = (force(acting.sustained(at))?, force(acting.gust(at))?);
                if most_pressed
                    .is_some_and(|(held, held_gust)| sustained <= held && gust <= held_gust)
                {
                    continue;
                }
                most_pressed = Some((sustained, gust));
                let power = propulsion.power_to_hold(sustained).map_err(outside)?;
                let in_gust = propulsion.power_to_hold(gust).map_err(outside)?;
                let after = boat.pack.draw(last, power + boat.hotel, MINUTE);
                let time = match after {
                    Some(after) if after < last && in_gust <= most => {
                        MINUTE * ((state.charge - last).max(0.0) / (last - after))
                    }
                    _ => Time::ZERO,
                };
                if worst.as_ref().is_none_or(|held| time < held.time) {
                    worst = Some(Holding {
                        time,
                        sample,
                        scenario,
                        charge: state.charge,
                        power,
                        in_gust,
                        most,
                    });
                }
            }
            Ok(worst)
        })
        .collect();
    let mut worst: Option<Holding> = None;
    for holding in each {
        if let Some(holding) = holding?
            && worst.as_ref().is_none_or(|held| holding.time < held.time)
        {
            worst = Some(holding);
        }
    }
    Ok(worst)
}
