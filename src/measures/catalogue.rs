//! The list of measures.

use super::reading::{Measure, Reading};
use super::{battery, clearance, ending, energy, headway, link, response, time, upwind};
use crate::passage::Passage;

/// A measure with the function that reads it off a passage.
pub struct Entry {
    /// What it is.
    pub measure: Measure,
    /// Reads it, one reading a subject.
    pub read: fn(&Passage<'_>) -> Vec<Reading>,
}

/// Every measure, in the order in which the documentation lists them.
pub static CATALOGUE: &[Entry] = &[
    energy::RESERVE_AT_TURNAROUND,
    energy::ENERGY_OVER_WAY_HOME,
    time::IN_HAND,
    time::AT_LAUNCH,
    time::LEFT,
    time::IN_THE_DARK,
    time::CARRIES,
    time::ENOUGH,
    time::VISIBILITY,
    time::HAS_FORECAST,
    time::AGE,
    time::VALIDITY_LEFT,
    time::PERMISSION_LEFT,
    time::SINCE_CHARGE,
    battery::LOW_BATTERY_MARGIN,
    battery::GAUGE_ERROR,
    upwind::LENGTH,
    upwind::TIME,
    upwind::ENERGY,
    headway::IN_GUSTS,
    link::MARGIN,
    clearance::SHORELINE,
    clearance::LANDING_ZONE,
    clearance::HAZARD,
    clearance::KEEP_OUT,
    response::LOST_LINK,
    response::LOST_LINK_DELAY,
    response::LOST_POSITION,
    response::LOW_BATTERY,
    ending::COMES_TO_REST,
    ending::RUN_ON,
    ending::STAND_OFF,
    ending::APPROACH_SPEED,
    ending::OFF_WIND,
    ending::STRAIGHT_LENGTH,
    ending::DEPTH_UNDER_KEEL,
    ending::OPERATOR_DISTANCE,
    ending::OPERATOR_IN_SIGHT,
    ending::DRIFT_TIME_ASHORE,
];

/// The entry of a measure.
#[must_use]
pub fn find(name: &str) -> Option<&'static Entry> {
    CATALOGUE.iter().find(|entry| entry.measure.name == name)
}

/// Reads a measure by name; nothing where there is no such measure.
#[must_use]
pub fn read(name: &str, passage: &Passage<'_>) -> Vec<Reading> {
    find(name).map_or_else(Vec::new, |entry| (entry.read)(passage))
}
