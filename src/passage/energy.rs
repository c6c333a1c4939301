//! Time, charge and energy along the route and on the return leg from every sample.

use std::sync::Arc;

use rayon::prelude::*;

use super::acting::{Acting, Along, Around};
use super::boat::{Boat, faster};
use super::home;
use super::places::Places;
use super::scenario::Scenarios;
use super::sea::{Lattice, SeaField, Water};
use super::{Passage, Runs};
use crate::models::OutsideValidity;
use crate::models::plane::Point;
use crate::models::propulsion::{Command, Stuck, Surroundings};
use crate::units::{Energy, Length, Power, Speed, Time};

/// Why a passage ends before its end.
#[derive(Clone, Debug, PartialEq)]
pub enum StopCause {
    /// The boat makes no headway.
    NoHeadway {
        /// The most that it makes over ground.
        over_ground: Speed,
    },
    /// A model is outside its validity, so the energy is unknown.
    Outside(OutsideValidity),
    /// The battery is too far down to give what headway takes.
    Flat {
        /// State of charge.
        charge: f64,
        /// What it can still give for propulsion.
        available: Power,
    },
    /// The battery cannot give the power asked for at any current.
    BrownOut,
}

/// Where a passage ends before its end.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Why.
    pub cause: StopCause,
    /// Where.
    pub at: Point,
    /// Leg of the route, where it is on the route.
    pub leg: Option<usize>,
}

/// Longest step of a pause, s.
const PAUSE_STEP: f64 = 60.0;

/// What the return leg from a sample takes.
#[derive(Clone, Debug, PartialEq)]
pub struct HomeCost {
    /// State of charge on arrival.
    pub charge_after: f64,
    /// Stored energy.
    pub energy: Energy,
    /// Time.
    pub time: Time,
    /// Length.
    pub length: Length,
}

/// The boat at a sample.
#[derive(Clone, Debug)]
pub struct Sample {
    /// Time since launch.
    pub time: Time,
    /// State of charge, 1 full.
    pub charge: f64,
    /// Stored energy above empty.
    pub left: Energy,
    /// The return leg from here.
    pub home: Result<HomeCost, Stop>,
}

/// One scenario's run.
#[derive(Clone, Debug)]
pub struct Run {
    /// Samples reached, sample 0 the launch point.
    pub samples: Vec<Sample>,
    /// Propulsion power of each step.
    pub power: Vec<Power>,
    /// Time and stored energy that each step's way takes, pauses left out.
    pub moving: Vec<(Time, Energy)>,
    /// Where the route ends early, where it does.
    pub stop: Option<Stop>,
}

/// The lattice over the plan's water; `None` where that is too wide.
pub(super) fn lattice(passage: &Passage<'_>, scenarios: &Scenarios) -> Option<Lattice> {
    let ends = [passage.plan.mission.recovery.at.value];
    let lattice = Lattice::new(
        &passage.plan.site.shore,
        passage.track.samples.iter().copied().chain(ends),
        passage.plan.mission.launch.at.value,
        scenarios,
    )?;
    let places = Places::from_passage(passage, |at| lattice.cell_of(at));
    Some(lattice.with(places))
}

/// The sea over the plan's water.
pub(super) fn sea(
    passage: &Passage<'_>,
    lattice: &Arc<Lattice>,
    scenarios: &Scenarios,
) -> SeaField {
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

/// Runs every scenario.
pub(super) fn runs(
    passage: &Passage<'_>,
    scenarios: &Scenarios,
    sea: &SeaField,
    boat: &Boat,
) -> Vec<Run> {
    scenarios
        .all
        .par_iter()
        .map(|scenario| {
            let acting = Acting {
                passage,
                scenario,
                sea,
            };
            run_scenario(&Along::new(acting, boat), boat)
        })
        .collect()
}

/// The return leg that takes most energy, begun at a given charge. Which sample it is follows from
/// the run; only its cost is computed anew.
pub(super) fn costliest_return_leg(
    passage: &Passage<'_>,
    runs: &Runs,
    scenario: usize,
    charge: f64,
) -> Result<(usize, HomeCost), Stop> {
    let energy = |sample: &Sample| {
        sample
            .home
            .as_ref()
            .map_or(f64::INFINITY, |home| home.energy.get())
    };
    let nowhere = || Stop {
        cause: StopCause::NoHeadway {
            over_ground: Speed::ZERO,
        },
        at: passage.plan.mission.launch.at.value,
        leg: None,
    };
    let (Some(along), Some(run)) = (runs.along(passage, scenario), runs.runs.get(scenario)) else {
        return Err(nowhere());
    };
    let samples = &run.samples;
    let costliest = (0..samples.len())
        .max_by(|a, b| {
            energy(&samples[*a])
                .total_cmp(&energy(&samples[*b]))
                .then(b.cmp(a))
        })
        .ok_or_else(nowhere)?;
    home::cost_from(&along, &runs.boat, costliest, charge).map(|cost| (costliest, cost))
}

fn run_scenario(along: &Along<'_>, boat: &Boat) -> Run {
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
    let homes = home::costs(along, boat, &states);
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

/// Time and charge on the way.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub time: f64,
    pub charge: f64,
}

/// A boat under way, drawing on its battery.
#[derive(Clone, Copy, Debug)]
pub(super) struct Going {
    time: f64,
    charge: f64,
}

impl Going {
    pub(super) fn begin(boat: &Boat) -> Self {
        Self {
            time: 0.0,
            charge: boat.charge,
        }
    }

    pub(super) fn at(charge: f64) -> Self {
        Self { time: 0.0, charge }
    }

    pub(super) fn state(&self) -> State {
        State {
            time: self.time,
            charge: self.charge,
        }
    }

    /// Goes one step and returns the propulsion power that it took.
    pub(super) fn step(
        &mut self,
        boat: &Boat,
        track: (f64, f64),
        length: f64,
        command: Command,
        around: &Around,
    ) -> Result<Power, StopCause> {
        let around = (&around.0, around.1);
        let available = boat.available(self.charge);
        let advance = boat
            .propulsion
            .advance_in(track, command, around, available)
            .map_err(|stuck| match stuck {
                Stuck::Outside(outside) => StopCause::Outside(outside),
                Stuck::NoHeadway { over_ground, .. } => {
                    // With all that the motors take it would go: then it is the battery's doing.
                    let most = boat.propulsion.maximum_power;
                    match boat.propulsion.advance_in(track, command, around, most) {
                        Ok(_) => self.flat(boat),
                        Err(_) => StopCause::NoHeadway { over_ground },
                    }
                }
            })?;
        let seconds = length / advance.over_ground.get();
        self.spend(boat, advance.power + boat.hotel, seconds)?;
        Ok(advance.power)
    }

    fn flat(&self, boat: &Boat) -> StopCause {
        StopCause::Flat {
            charge: self.charge,
            available: boat.most(self.charge),
        }
    }

    /// Holds in one place for a while.
    fn pause(
        &mut self,
        boat: &Boat,
        pause: Option<Time>,
        around: &Surroundings,
    ) -> Result<(), StopCause> {
        let Some(pause) = pause else { return Ok(()) };
        let power = boat
            .propulsion
            .holding_power(around)
            .map_err(StopCause::Outside)?;
        let pieces = super::track::pieces(pause.get(), PAUSE_STEP);
        for _ in 0..pieces {
            if power > boat.most(self.charge) {
                return Err(if power > boat.propulsion.maximum_power {
                    StopCause::NoHeadway {
                        over_ground: Speed::ZERO,
                    }
                } else {
                    self.flat(boat)
                });
            }
            self.spend(boat, power + boat.hotel, pause.get() / pieces as f64)?;
        }
        Ok(())
    }

    fn spend(&mut self, boat: &Boat, power: Power, seconds: f64) -> Result<(), StopCause> {
        self.charge = boat
            .pack
            .draw(self.charge, power, Time::seconds(seconds))
            .ok_or(StopCause::BrownOut)?;
        self.time += seconds;
        Ok(())
    }
}

/// The middle of a step with its track, for whatever is walked.
pub(super) fn track_of(from: Point, to: Point) -> Option<(f64, f64)> {
    (to - from).unit().map(Point::components)
}
