//! Figures of one boat that have to go together: its battery, its motors, its speeds, its tests.

mod age;
mod battery;
mod steerage;

use super::catalogue::Entry;
use super::reading::{Known, Measure, Reading, Scope, Type, Value};
use super::tell;
use crate::finding::Label;
use crate::passage::Passage;
use crate::units::Dimension;

const fn entry(
    name: &'static str,
    of: Dimension,
    title: &'static str,
    meaning: &'static str,
    needs: &'static str,
    read: fn(&Passage<'_>) -> Vec<Reading>,
) -> Entry {
    let measure = Measure {
        name,
        scope: Scope::Mission,
        of: Type::Quantity(of),
        title,
        meaning,
        needs,
        levers: &[],
    };
    Entry { measure, read }
}

pub(super) const CUT_OFF_MARGIN: Entry = entry(
    "mission.cut_off_margin",
    Dimension::VOLTAGE,
    "Cut-off voltage a cell above the least that the chemistry stands",
    "The pack's cut-off voltage over its cells in series, less the lower end of the published curve \
     of the chemistry; 1.75 V for lead-acid.",
    "battery: cut_off_voltage, cells_in_series, chemistry",
    |passage| tell::of_mission(Ok(battery::cut_off(passage))),
);

pub(super) const FULL_POWER: Entry = entry(
    "mission.full_power_share",
    Dimension::RATIO,
    "What the battery gives at its cut-off voltage, as a share of full power",
    "At the charge where the usable energy ends: the power that brings the terminals down to the \
     cut-off voltage, over the maximum power of the propulsion and the hotel load together.",
    "battery: chemistry, cells_in_series, usable_fraction, internal_resistance, cut_off_voltage; \
     propulsion: maximum_power; hotel_load",
    |passage| tell::of_mission(Ok(battery::full_power(passage))),
);

pub(super) const STEERAGE: Entry = entry(
    "mission.steerage_in_hand",
    Dimension::SPEED,
    "Least speed through the water that is asked for, above the least at which the boat steers",
    "Over every step of the route, with the site's currents and without, and on the way home: the \
     commanded speed through the water, less the steerage speed.",
    "propulsion: steerage_speed; speeds; currents",
    |passage| tell::of_mission(steerage::in_hand(passage)),
);

pub(super) const CAPACITY_TEST_AGE: Entry = entry(
    "mission.capacity_test_age",
    Dimension::TIME,
    "Age of the battery's capacity test at the launch",
    "From the day of the test, begun at midnight in UTC, to the planned launch with its whole delay.",
    "battery: capacity_tested; launch: time, delay",
    |passage| tell::of_mission(age::capacity_test(passage)),
);

pub(super) const TRIAL_AGE: Entry = entry(
    "mission.trial_age",
    Dimension::TIME,
    "Age of the speed trial at the launch",
    "From the day of the trial, begun at midnight in UTC, to the planned launch with its whole delay.",
    "propulsion: trial: date; launch: time, delay",
    |passage| tell::of_mission(age::trial(passage)),
);

/// A value with its line; the rest is filled in by the measure.
fn plain(value: Value, sentence: &str, primary: Label) -> Known {
    Known {
        value,
        sentence: sentence.to_owned(),
        primary,
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    }
}
