//! Time, charge and energy along the route and on the return leg from every sample.

use std::sync::Arc;

use rayon::prelude::*;

use super::Passage;
use super::acting::{Acting, Along};
use super::boat::{Boat, faster};
use super::going::Going;
use super::home;
use super::places::Places;
use super::run::{Run, Sample, Stop, StopCause};
use super::scenario::Scenarios;
use super::sea::{Lattice, SeaField, Water};
use crate::units::{FromDirection, Time};

/// The lattice over the plan's water, for the winds from some directions about that which is planned; `None` where
/// that is too wide.
pub(super) fn lattice(
    passage: &Passage<'_>,
    planned: FromDirection,
    directions: &[FromDirection],
) -> Option<Lattice> {
    let ends = passage.plan.mission.return_points();
    let lattice = Lattice::new(
        &passage.plan.site.shore,
        passage.track.samples.iter().copied().chain(ends),
        passage.plan.mission.launch.at.value,
        planned,
        directions,
    )?;
    let places = Places::from_passage(passage, |at| lattice.cell_of(at));
    Some(lattice.with(places))
}

/// The sea over the plan's water; `None` on a lattice for other winds.
pub(super) fn sea(
    passage: &Passage<'_>,
    lattice: &Arc<Lattice>,
    scenarios: &Scenarios,
) -> Option<SeaField> {
    let wind = passage.plan.mission.wind.as_ref();
    let water = Water {
        depth: passage
            .plan
            .site
            .mean_depth
            .as_ref()
            .map(|depth| depth.value),
        duration: wind.and_then(|wind| wind.duration.value),
    };
    SeaField::new(lattice, scenarios, water)
}

/// Runs every scenario; one with the currents by what the same wind came to without them.
pub(super) fn runs(
    passage: &Passage<'_>,
    scenarios: &Scenarios,
    sea: &SeaField,
    boat: &Boat,
) -> Vec<Run> {
    let still = !sea.places().any_in_current();
    let directions = scenarios
        .all
        .par_chunk_by(|one, other| one.direction == other.direction);
    let each: Vec<Vec<Run>> = directions
        .map(|cases| {
            let mut runs: Vec<Run> = Vec::with_capacity(cases.len());
            for scenario in cases {
                let acting = Acting {
                    passage,
                    scenario,
                    sea,
                };
                let run = match runs.last() {
                    Some(without) if still => without.clone(),
                    without => run_scenario(&Along::new(acting, boat), boat, without),
                };
                runs.push(run);
            }
            runs
        })
        .collect();
    each.into_iter().flatten().collect()
}

/// Runs one scenario; `without` is the run of the same wind without the currents.
fn run_scenario(along: &Along<'_>, boat: &Boat, without: Option<&Run>) -> Run {
    let acting = &along.acting;
    let (passage, mission) = (acting.passage, &acting.passage.plan.mission);
    let mut going = Going::begin(boat);
    let mut states = vec![going.state()];
    let mut power = Vec::with_capacity(passage.track.steps.len());
    let mut moving = Vec::with_capacity(passage.track.steps.len());
    let mut stop = None;
    for (index, step) in passage.track.steps.iter().enumerate() {
        let leg = &mission.legs[step.leg];
        let command = faster(leg.command.value, passage.variation.speed);
        let around = along.sustained(acting.places().of_step(index));
        let paused = leg
            .pause
            .as_ref()
            .filter(|_| step.ends_leg)
            .map(|pause| pause.value);
        let before = going.state();
        let result = around
            .map_err(|outside| StopCause::Outside(outside.clone()))
            .and_then(|around| {
                let watts = going.step(boat, step.track, step.length, command, &around)?;
                let arrived = going.state();
                going.pause(boat, paused, &around.0)?;
                Ok((watts, arrived))
            });
        match result {
            Ok((watts, arrived)) => {
                power.push(watts);
                moving.push((
                    Time::seconds(arrived.time - before.time),
                    boat.pack.energy_above_empty(before.charge)
                        - boat.pack.energy_above_empty(arrived.charge),
                ));
            }
            Err(cause) => {
                stop = Some(Stop {
                    cause,
                    at: step.middle(),
                    leg: Some(step.leg),
                });
                break;
            }
        }
        states.push(going.state());
    }
    let homes = home::costs(along, boat, &states, without);
    let samples: Vec<Sample> = states
        .iter()
        .zip(homes)
        .map(|(state, home)| Sample {
            time: Time::seconds(state.time),
            charge: state.charge,
            left: boat.pack.energy_above_empty(state.charge),
            home,
        })
        .collect();
    Run {
        samples,
        power,
        moving,
        stop,
    }
}
