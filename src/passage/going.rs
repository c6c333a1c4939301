//! A boat under way, drawing on its battery.

use super::acting::Around;
use super::boat::Boat;
use super::run::StopCause;
use super::track::pieces;
use crate::models::propulsion::{Asked, Command, Stuck, Surroundings};
use crate::units::{Power, Speed, Time};

/// Longest step of a pause, s.
const PAUSE_STEP: f64 = 60.0;

/// Time and charge on the way.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub time: f64,
    pub charge: f64,
}

/// What a commanded speed along a track takes, whatever the battery gives.
///
/// # Errors
/// Why the boat would not make it whatever the battery gave.
pub(super) fn asked<'b>(
    boat: &'b Boat,
    track: (f64, f64),
    command: Command,
    around: &Around,
) -> Result<Asked<'b>, StopCause> {
    let asked = boat
        .propulsion
        .asked_in(track, command, (&around.0, around.1));
    asked.map_err(|stuck| match stuck {
        Stuck::Outside(outside) => StopCause::Outside(outside),
        Stuck::NoHeadway { over_ground, .. } => StopCause::NoHeadway { over_ground },
    })
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
        let asked = asked(boat, track, command, around)?;
        self.go(boat, &asked, length)
    }

    /// The same, with what the step takes known.
    pub(super) fn go(
        &mut self,
        boat: &Boat,
        asked: &Asked<'_>,
        length: f64,
    ) -> Result<Power, StopCause> {
        let available = boat.available(self.charge);
        let advance = asked.with(available).map_err(|stuck| match stuck {
            Stuck::Outside(outside) => StopCause::Outside(outside),
            Stuck::NoHeadway { over_ground, .. } => {
                // With all that the motors take it would go: then it is the battery's doing.
                match asked.with(boat.propulsion.maximum_power) {
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
    pub(super) fn pause(
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
        let count = pieces(pause.get(), PAUSE_STEP);
        for _ in 0..count {
            if power > boat.most(self.charge) {
                return Err(if power > boat.propulsion.maximum_power {
                    StopCause::NoHeadway {
                        over_ground: Speed::ZERO,
                    }
                } else {
                    self.flat(boat)
                });
            }
            self.spend(boat, power + boat.hotel, pause.get() / count as f64)?;
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
