//! What the run of one scenario comes to, sample by sample, and where it stops short.

use crate::models::OutsideValidity;
use crate::models::plane::Point;
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
