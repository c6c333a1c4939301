//! Figures of one boat that have to go together: its battery, its motors, its speeds, its tests.

mod age;
mod battery;
mod steerageway;

use super::entry::{Entry, quantity};
use super::evidence;
use super::reading::Change;
use crate::units::Dimension;

pub(super) const CUT_OFF_MARGIN: Entry = quantity(
    "mission.cut_off_margin",
    Dimension::VOLTAGE,
    "Cut-off voltage per cell above the lowest that the chemistry tolerates",
    "The pack's cut-off voltage over its cells in series, less the lower end of the published curve \
     of the chemistry; 1.75 V for lead-acid.",
    &[
        "battery: cut_off_voltage",
        "battery: cells_in_series",
        "battery: chemistry",
    ],
    |passage| evidence::of_mission(Ok(battery::cut_off(passage))),
);

pub(super) const FULL_POWER: Entry = quantity(
    "mission.full_power_share",
    Dimension::RATIO,
    "Power that the battery gives at its cut-off voltage, as a share of full power",
    "At the charge where the usable energy ends: the power that brings the terminals down to the \
     cut-off voltage, over the maximum power of the propulsion and the hotel load together.",
    &[
        "battery: chemistry",
        "battery: cells_in_series",
        "battery: usable_fraction",
        "battery: internal_resistance",
        "battery: cut_off_voltage",
        "propulsion: maximum_power",
        "hotel_load",
    ],
    |passage| evidence::of_mission(Ok(battery::full_power(passage))),
);

pub(super) const STEERAGEWAY: Entry = quantity(
    "mission.steerageway_in_hand",
    Dimension::SPEED,
    "Lowest speed through the water that the plan commands, above minimum steerageway",
    "Over every step of the route, with the site's currents and without, and on the return leg: \
     the commanded speed through the water, less the minimum steerageway.",
    &["propulsion: minimum_steerageway", "speeds", "currents"],
    |passage| evidence::of_mission(steerageway::in_hand(passage)),
)
.solved_by(&[Change::Faster]);

pub(super) const CAPACITY_TEST_AGE: Entry = quantity(
    "mission.capacity_test_age",
    Dimension::TIME,
    "Age of the battery's capacity test at the launch",
    "From the day of the test, begun at midnight in UTC, to the planned launch with its whole delay.",
    &["battery: capacity_tested", "launch: time", "launch: delay"],
    |passage| evidence::of_mission(age::capacity_test(passage)),
);

pub(super) const TRIAL_AGE: Entry = quantity(
    "mission.trial_age",
    Dimension::TIME,
    "Age of the speed trial at the launch",
    "From the day of the trial, begun at midnight in UTC, to the planned launch with its whole delay.",
    &["propulsion: trial: date", "launch: time", "launch: delay"],
    |passage| evidence::of_mission(age::trial(passage)),
);
