//! Measures: the named quantities that rules speak of, each with where it comes from. The only
//! bridge from physics to rules.
//!
//! A measure is one entry of a file here and one line of [`CATALOGUE`].

mod adrift;
mod assumed;
mod battery;
mod bearing;
mod believable;
mod catalogue;
mod charted;
mod clearance;
mod configuration;
mod contingency;
mod craft_wind;
mod depth;
mod ending;
mod energy;
mod entry;
mod evidence;
mod figures;
mod headway;
pub(crate) mod input;
mod left_out;
mod link;
mod otherwise;
mod people;
mod position;
mod reading;
mod response;
mod seaway;
mod solve;
mod soundings;
mod straight;
mod time;
mod unmeasured;
mod upwind;
mod wind_planned;

/// The names of measures that other parts speak of.
pub(crate) mod names {
    /// [`super::CATALOGUE`]: gust over mean of the wind planned for.
    pub(crate) const GUST_FACTOR: &str = super::wind_planned::GUST_FACTOR.measure.name;
    /// [`super::CATALOGUE`]: clearance from land.
    pub(crate) const SHORELINE_CLEARANCE: &str = super::clearance::SHORELINE.measure.name;
    /// [`super::CATALOGUE`]: clearance from hazards.
    pub(crate) const HAZARD_CLEARANCE: &str = super::clearance::HAZARD.measure.name;
    /// [`super::CATALOGUE`]: clearance from keep-out areas.
    pub(crate) const KEEP_OUT_CLEARANCE: &str = super::clearance::KEEP_OUT.measure.name;
    /// [`super::CATALOGUE`]: water under the keel.
    pub(crate) const UNDER_KEEL_CLEARANCE: &str = super::depth::UNDER_KEEL.measure.name;
}

pub(crate) use assumed::all as assumptions;
pub use catalogue::{CATALOGUE, evaluate, find};
pub(crate) use clearance::closed as closed_areas;
pub(crate) use ending::shore_bound;
pub use entry::Entry;
pub use figures::figures;
pub use input::Input;
pub(crate) use otherwise::{Otherwise, otherwise};
pub(crate) use reading::{Cost, Lack, Measure, Scope};
pub use reading::{Measured, Measurement, NotMeasured, Type, Value};
pub(crate) use solve::{At, Fix, Setting, Wanted, WhatIf};
