//! The return leg from every sample: straight to the recovery point, by waypoints, or back along the route.

use super::acting::Along;
use super::boat::Boat;
use super::going::{Going, State};
use super::places::HomeStep;
use super::run::{HomeCost, Stop, StopCause};
use crate::models::propulsion::Command;
use crate::units::{Length, Time};

/// What the return leg from each of the states takes, begun with the charge of that state.
pub(super) fn costs(
    along: &Along<'_>,
    boat: &Boat,
    states: &[State],
) -> Vec<Result<HomeCost, Stop>> {
    states
        .iter()
        .enumerate()
        .map(|(sample, state)| cost_from(along, boat, sample, state.charge))
        .collect()
}

/// What the return leg from one sample takes, begun at a given charge.
pub(super) fn cost_from(
    along: &Along<'_>,
    boat: &Boat,
    sample: usize,
    charge: f64,
) -> Result<HomeCost, Stop> {
    cost_by_step(along, boat, (sample, charge), |_, _| ())
}

/// What the return leg from one sample takes, begun at a given charge; `before` has each of its steps, with
/// what it took so far.
pub(super) fn cost_by_step(
    along: &Along<'_>,
    boat: &Boat,
    (sample, charge): (usize, f64),
    mut before: impl FnMut(&HomeStep, &dyn Fn() -> HomeCost),
) -> Result<HomeCost, Stop> {
    let command = Command::ThroughWater(boat.home_speed);
    let mut going = Going::at(charge);
    let mut length = 0.0;
    let passage = along.acting.passage;
    let cost = |state: State, length: f64| {
        let begun = boat.pack.energy_above_empty(charge);
        let left = boat.pack.energy_above_empty(state.charge);
        HomeCost {
            charge_after: state.charge,
            energy: begun - left,
            time: Time::seconds(state.time),
            length: Length::metres(length),
        }
    };
    for step in along.acting.places().home(passage, sample) {
        before(&step, &|| cost(going.state(), length));
        let around = along.sustained(step.place);
        around
            .map_err(|outside| StopCause::Outside(outside.clone()))
            .and_then(|around| going.step(boat, step.track, step.length, command, &around))
            .map_err(|cause| Stop {
                cause,
                at: step.middle(passage),
                leg: None,
            })?;
        length += step.length;
    }
    Ok(cost(going.state(), length))
}
