//! The return leg from every sample: straight to the recovery point, by waypoints, or back along the route.

use std::cell::OnceCell;

use super::acting::Along;
use super::boat::Boat;
use super::going::{Going, State, asked};
use super::places::HomeStep;
use super::run::{HomeCost, Run, Stop, StopCause};
use crate::models::propulsion::{Asked, Command};
use crate::units::{Length, Time};

/// What the steps that several return legs share take, each worked out once.
struct Shared<'b>(Vec<OnceCell<Result<Asked<'b>, StopCause>>>);

/// What the return leg from each of the states takes, begun with the charge of that state. `without` is the run of
/// the same wind without the currents: a leg that comes through none of them takes the same from the same charge.
pub(super) fn costs(
    along: &Along<'_>,
    boat: &Boat,
    states: &[State],
    without: Option<&Run>,
) -> Vec<Result<HomeCost, Stop>> {
    let shared = Shared::unasked(along);
    let places = along.acting.places();
    let known = |sample: usize, charge: f64| {
        let other = without?.samples.get(sample)?;
        let same = other.charge.to_bits() == charge.to_bits();
        (same && !places.is_home_in_current(sample)).then(|| other.home.clone())
    };
    states
        .iter()
        .enumerate()
        .map(|(sample, state)| {
            known(sample, state.charge).unwrap_or_else(|| {
                cost_with(&shared, (along, boat), (sample, state.charge), |_, _| ())
            })
        })
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
    begun: (usize, f64),
    before: impl FnMut(&HomeStep, &dyn Fn() -> HomeCost),
) -> Result<HomeCost, Stop> {
    cost_with(&Shared::unasked(along), (along, boat), begun, before)
}

impl<'b> Shared<'b> {
    fn unasked(along: &Along<'_>) -> Self {
        Self(vec![OnceCell::new(); along.acting.places().count_shared()])
    }

    /// What a step takes.
    fn asked(
        &self,
        along: &Along<'_>,
        boat: &'b Boat,
        step: &HomeStep,
    ) -> Result<Asked<'b>, StopCause> {
        let ask = || {
            let around = along.sustained(step.place);
            let around = around.map_err(|outside| StopCause::Outside(outside.clone()))?;
            let command = Command::ThroughWater(boat.home_speed);
            asked(boat, step.track, command, &around)
        };
        match step.shared.and_then(|number| self.0.get(number)) {
            Some(known) => known.get_or_init(ask).clone(),
            None => ask(),
        }
    }
}

fn cost_with<'b>(
    shared: &Shared<'b>,
    (along, boat): (&Along<'_>, &'b Boat),
    (sample, charge): (usize, f64),
    mut before: impl FnMut(&HomeStep, &dyn Fn() -> HomeCost),
) -> Result<HomeCost, Stop> {
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
        let asked = shared.asked(along, boat, &step);
        asked
            .and_then(|asked| going.go(boat, &asked, step.length))
            .map_err(|cause| Stop {
                cause,
                at: step.middle(passage),
                leg: None,
            })?;
        length += step.length;
    }
    Ok(cost(going.state(), length))
}
