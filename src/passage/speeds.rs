//! The speeds that a plan asks for, through the water and over ground, before anything slows the
//! boat.

use super::Passage;
use super::current::current_at;
use crate::models::propulsion::Command;
use crate::units::Speed;

/// A commanded speed at its least or greatest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Commanded {
    /// The speed.
    pub speed: Speed,
    /// The sample that the step leads to.
    pub sample: usize,
    /// The leg.
    pub leg: usize,
    /// The current's part along the track there, m/s; zero where it was worse without any.
    pub along: f64,
}

/// The least speed through the water that the route asks for, with the site's currents and
/// without; nothing for a route without steps.
#[must_use]
pub(crate) fn least_through_water(passage: &Passage<'_>) -> Option<Commanded> {
    let mut least: Option<Commanded> = None;
    for (index, step) in passage.track.steps.iter().enumerate() {
        for current in [(0.0, 0.0), current_at(passage, step.middle())] {
            let speed = match passage.plan.mission.legs[step.leg].command.value {
                Command::ThroughWater(speed) => speed.get() * passage.variation.speed,
                Command::OverGround(speed) => {
                    let v = speed.get() * passage.variation.speed;
                    let (east, north) =
                        (v * step.track.0 - current.0, v * step.track.1 - current.1);
                    east.hypot(north)
                }
            };
            if least.is_none_or(|held| speed < held.speed.get()) {
                least = Some(Commanded {
                    speed: Speed::metres_per_second(speed),
                    sample: index + 1,
                    leg: step.leg,
                    along: current.0 * step.track.0 + current.1 * step.track.1,
                });
            }
        }
    }
    least
}

/// The greatest speed over ground that some legs ask for, with the site's currents and without;
/// nothing where they have no steps.
#[must_use]
pub(crate) fn greatest_over_ground(passage: &Passage<'_>, legs: &[usize]) -> Option<Commanded> {
    let mut greatest: Option<Commanded> = None;
    for (index, step) in passage.track.steps.iter().enumerate() {
        if legs.binary_search(&step.leg).is_err() {
            continue;
        }
        for current in [(0.0, 0.0), current_at(passage, step.middle())] {
            let along = current.0 * step.track.0 + current.1 * step.track.1;
            let speed = match passage.plan.mission.legs[step.leg].command.value {
                Command::OverGround(speed) => speed.get(),
                // The part across is made up for by the heading, which costs speed along.
                Command::ThroughWater(speed) => speed.get() + along.max(0.0),
            };
            if greatest.is_none_or(|held| speed > held.speed.get()) {
                greatest = Some(Commanded {
                    speed: Speed::metres_per_second(speed),
                    sample: index + 1,
                    leg: step.leg,
                    along,
                });
            }
        }
    }
    greatest
}
