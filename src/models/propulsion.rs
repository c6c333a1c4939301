//! The speed that a boat makes good along a track, and the electrical power that it takes.

use super::OutsideValidity;
use super::constants::Water;
use super::resistance::{self, CalmWater};
use crate::units::{Area, Force, Length, Power, Speed};

mod head_sea;
mod run;
mod surroundings;

pub(crate) use head_sea::HeadSea;
use run::{At, Run, dot, size};
pub(crate) use surroundings::{Blown, Surroundings};

/// A vector (east, north).
type Vector = (f64, f64);

/// The speed over ground below which a boat makes no headway, m/s. Our own choice.
pub(crate) const LEAST_HEADWAY: f64 = 0.05;

/// A boat's propulsion and what its hull asks of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Propulsion {
    /// What calm water asks for.
    pub calm: CalmWater,
    /// The greatest electrical power of the propulsion.
    pub maximum_power: Power,
    /// Thrust power per shaft power.
    pub propulsive_efficiency: f64,
    /// Shaft power per electrical power.
    pub motor_efficiency: f64,
    /// Frontal area above the water.
    pub frontal_area: Area,
    /// Drag coefficient of the frontal area.
    pub drag_coefficient: f64,
    /// Beam.
    pub beam: Length,
    /// Length of the waterline.
    pub waterline_length: Length,
    /// Length from the bow to 95 % of the beam.
    pub bow_length: Length,
    /// The water it floats in.
    pub water: Water,
    /// The speed through the water below which it does not steer.
    pub minimum_steerageway: Speed,
}

/// The speed that is requested.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Command {
    /// Over ground.
    OverGround(Speed),
    /// Through the water.
    ThroughWater(Speed),
}

/// The way a boat makes along its track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advance {
    /// Speed over ground along the track.
    pub over_ground: Speed,
    /// Speed through the water.
    pub through_water: Speed,
    /// Electrical propulsion power.
    pub power: Power,
    /// Whether it is slower than commanded for want of power.
    pub slowed: bool,
    /// The air's drag against the heading.
    pub air_force: Force,
    /// The added resistance in waves.
    pub wave_force: Force,
}

/// Why a boat does not advance.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Stuck {
    /// It does not move along its track, or does not steer.
    #[error("no headway: at most {over_ground} over ground, at {through_water} through the water")]
    NoHeadway {
        /// The speed over ground that it would make; zero where it cannot hold the track.
        over_ground: Speed,
        /// The speed through the water at which it would make it.
        through_water: Speed,
    },
    /// A model is outside its validity, so that the power is unknown.
    #[error(transparent)]
    Outside(#[from] OutsideValidity),
}

/// A speed that is commanded in given surroundings, and what it takes, whatever can be had.
#[derive(Clone)]
pub(crate) struct Asked<'a> {
    run: Run<'a>,
    at: At,
}

impl Asked<'_> {
    /// The way the boat makes when `available` electrical power can be had for propulsion.
    ///
    /// # Errors
    /// [`Stuck::NoHeadway`], as of [`Propulsion::advance`].
    pub(crate) fn with(&self, available: Power) -> Result<Advance, Stuck> {
        let (run, boat) = (&self.run, self.run.boat);
        let most = available.min(boat.maximum_power).get();
        if self.at.watts <= most {
            return Ok(Propulsion::advance_of(self.at, false));
        }
        match run.slow_down(most, self.at.through) {
            Some(at) if at.v >= LEAST_HEADWAY && at.through >= boat.minimum_steerageway.get() => {
                Ok(Propulsion::advance_of(at, true))
            }
            Some(at) => Err(no_headway(at.v, at.through)),
            None => Err(no_headway(0.0, 0.0)),
        }
    }
}

/// What it takes to hold a speed over ground, whatever can be had; `None` where the calm-water model does not
/// cover the speed through the water.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Holding(Option<f64>);

impl Holding {
    /// Whether `available` electrical power is enough for it.
    pub(crate) fn with(self, boat: &Propulsion, available: Power) -> bool {
        let most = available.min(boat.maximum_power).get();
        self.0.is_some_and(|watts| watts <= most)
    }
}

impl Propulsion {
    /// Thrust power per electrical power.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.propulsive_efficiency * self.motor_efficiency
    }

    fn run(&self, track: Vector, around: &Surroundings, head: HeadSea) -> Run<'_> {
        let (along, across) = around.carried(track);
        Run {
            boat: self,
            track,
            wind: around.wind,
            current: (
                along * track.0 + across * track.1,
                along * track.1 - across * track.0,
            ),
            seaward: head.seaward,
            along,
            across2: across * across,
            head_sea: head.newtons,
            efficiency: self.efficiency(),
        }
    }

    fn head_of(&self, around: &Surroundings) -> Result<HeadSea, OutsideValidity> {
        self.head_sea(around.sea, around.waves_from)
    }

    /// The electrical propulsion power to make a speed over ground along a track (a unit vector),
    /// whether or not it can be had.
    ///
    /// # Errors
    /// A sea or a speed through the water outside the validity of its model, or more thrust than
    /// calm water showed.
    pub fn power_needed(
        &self,
        track: (f64, f64),
        over_ground: Speed,
        around: &Surroundings,
    ) -> Result<Advance, OutsideValidity> {
        let run = self.run(track, around, self.head_of(around)?);
        let v = over_ground.get();
        let through = run.through_water(v);
        self.check(through)?;
        let at = run.at(v, through);
        if at.watts.is_finite() {
            Ok(Self::advance_of(at, false))
        } else {
            let asked = self.calm.newtons(through, run.efficiency) + at.air + at.waves;
            Err(self.too_much(asked))
        }
    }

    /// The way the boat makes along a track (a unit vector) when a speed is commanded and
    /// `available` electrical power can be had for propulsion.
    ///
    /// # Errors
    /// [`Stuck::NoHeadway`] where it makes less than 0.05 m/s over ground, or had to slow below
    /// its minimum steerageway; [`Stuck::Outside`] where a model is outside its validity.
    pub fn advance(
        &self,
        track: (f64, f64),
        command: Command,
        around: &Surroundings,
        available: Power,
    ) -> Result<Advance, Stuck> {
        self.advance_in(track, command, (around, self.head_of(around)?), available)
    }

    /// As [`advance`](Self::advance), with what the sea asks for known.
    ///
    /// # Errors
    /// As [`advance`](Self::advance).
    pub fn advance_in(
        &self,
        track: (f64, f64),
        command: Command,
        around: (&Surroundings, HeadSea),
        available: Power,
    ) -> Result<Advance, Stuck> {
        self.asked_in(track, command, around)?.with(available)
    }

    /// What it takes to make the speed commanded along a track, whatever can be had.
    ///
    /// # Errors
    /// As [`advance`](Self::advance), where the boat would not advance whatever power it has.
    pub(crate) fn asked_in(
        &self,
        track: (f64, f64),
        command: Command,
        (around, head): (&Surroundings, HeadSea),
    ) -> Result<Asked<'_>, Stuck> {
        let run = self.run(track, around, head);
        let (v, through) = match command {
            Command::OverGround(v) => (v.get(), run.through_water(v.get())),
            Command::ThroughWater(through) => {
                let through = through.get();
                self.check(through)?;
                let Some(v) = run.over_ground(through) else {
                    return Err(no_headway(0.0, through));
                };
                (v, through)
            }
        };
        self.check(through)?;
        if v < LEAST_HEADWAY || v.is_nan() {
            return Err(no_headway(v, through));
        }
        let at = run.at(v, through);
        Ok(Asked { run, at })
    }

    /// Headway: the greatest speed over ground along a track (a unit vector) that `available`
    /// electrical power gives, up to the top speed of the calm-water model; zero where the boat
    /// cannot hold the track or is set back.
    ///
    /// # Errors
    /// A sea outside the validity of its model.
    pub fn full_power_speed(
        &self,
        track: (f64, f64),
        around: &Surroundings,
        available: Power,
    ) -> Result<Speed, OutsideValidity> {
        let head = self.head_of(around)?;
        Ok(self.full_power_speed_in(track, (around, head), available))
    }

    /// As [`full_power_speed`](Self::full_power_speed), with what the sea asks for known.
    #[must_use]
    pub fn full_power_speed_in(
        &self,
        track: (f64, f64),
        (around, head): (&Surroundings, HeadSea),
        available: Power,
    ) -> Speed {
        let run = self.run(track, around, head);
        let most = available.min(self.maximum_power).get();
        let top = self.calm.top_speed().get();
        let Some(v) = run.over_ground(top) else {
            return Speed::ZERO;
        };
        let at = run.at(v, top);
        let v = if at.watts <= most {
            v
        } else {
            run.slow_down(most, top).map_or(0.0, |at| at.v)
        };
        Speed::metres_per_second(v.max(0.0))
    }

    /// Whether [`Self::full_power_speed`] is at least a speed over ground, by one evaluation.
    ///
    /// # Errors
    /// A sea outside the validity of its model.
    pub fn can_hold(
        &self,
        track: (f64, f64),
        over_ground: Speed,
        around: &Surroundings,
        available: Power,
    ) -> Result<bool, OutsideValidity> {
        let head = self.head_of(around)?;
        Ok(self.can_hold_in(track, over_ground, (around, head), available))
    }

    /// As [`can_hold`](Self::can_hold), with what the sea asks for known.
    #[must_use]
    pub fn can_hold_in(
        &self,
        track: (f64, f64),
        over_ground: Speed,
        around: (&Surroundings, HeadSea),
        available: Power,
    ) -> bool {
        self.holding_in(track, over_ground, around)
            .with(self, available)
    }

    /// What it takes to hold a speed over ground, whatever can be had.
    pub(crate) fn holding_in(
        &self,
        track: (f64, f64),
        over_ground: Speed,
        (around, head): (&Surroundings, HeadSea),
    ) -> Holding {
        let run = self.run(track, around, head);
        let v = over_ground.get();
        let through = run.through_water(v);
        let covered = self.calm.covers(Speed::metres_per_second(through));
        Holding(covered.then(|| run.at(v, through).watts))
    }

    /// The electrical power to stay in one place against current, wind and waves, the last two
    /// head on: the calm-water power at the speed whose resistance is the sum of what they ask
    /// for. Our own choice, on the safe side.
    ///
    /// # Errors
    /// A sea outside the validity of its model, or a sum that no speed within the validity of the
    /// calm-water model reaches.
    pub fn holding_power(&self, around: &Surroundings) -> Result<Power, OutsideValidity> {
        self.power_to_hold(self.holding_force(around)?)
    }

    /// What holding a place takes: the sum of what current, wind and waves press, as if all of it
    /// came from ahead.
    ///
    /// # Errors
    /// A current or waves outside the models' validity.
    pub fn holding_force(&self, around: &Surroundings) -> Result<Force, OutsideValidity> {
        let drift = Speed::metres_per_second(size(around.current) + size(around.blown.water));
        let efficiency = self.efficiency();
        let wind = size(around.wind);
        let air = resistance::air_force(
            (0.0, -wind),
            (0.0, 1.0),
            self.frontal_area,
            self.drag_coefficient,
        );
        let water = self.calm.resistance(drift, efficiency)?;
        Ok(water + air + self.added_resistance(around.sea)?)
    }

    /// The electrical power that holding a place takes against a force of
    /// [`holding_force`](Self::holding_force); the greater the one, the greater the other.
    ///
    /// # Errors
    /// As [`holding_power`](Self::holding_power).
    pub fn power_to_hold(&self, against: Force) -> Result<Power, OutsideValidity> {
        let needed = against.get();
        self.calm
            .watts_for(needed, self.efficiency())
            .map(Power::watts)
            .ok_or_else(|| self.too_much(needed))
    }

    /// Says that a thrust is more than calm water showed.
    fn too_much(&self, newtons: f64) -> OutsideValidity {
        let top = self.calm.top_speed().get();
        let most = self.calm.newtons(top, self.efficiency());
        OutsideValidity::new(
            "the thrust",
            format!(
                "current, wind and waves ask for {}, and the calm-water model reaches {} at its top speed",
                Force::newtons(newtons),
                Force::newtons(most)
            ),
        )
    }

    fn check(&self, through: f64) -> Result<(), OutsideValidity> {
        let speed = Speed::metres_per_second(through);
        if self.calm.covers(speed) {
            Ok(())
        } else {
            Err(self.calm.outside(speed))
        }
    }

    fn advance_of(at: At, slowed: bool) -> Advance {
        Advance {
            over_ground: Speed::metres_per_second(at.v),
            through_water: Speed::metres_per_second(at.through),
            power: Power::watts(at.watts),
            slowed,
            air_force: Force::newtons(at.air),
            wave_force: Force::newtons(at.waves),
        }
    }
}

fn no_headway(over_ground: f64, through_water: f64) -> Stuck {
    Stuck::NoHeadway {
        over_ground: Speed::metres_per_second(over_ground.max(0.0)),
        through_water: Speed::metres_per_second(through_water),
    }
}

#[cfg(test)]
mod tests;
