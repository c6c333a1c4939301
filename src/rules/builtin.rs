//! The rules that are built in, and the measures that they need the catalogue to have.

use crate::measures::{Scope, Type};
use crate::units::Dimension;

macro_rules! rules {
    ($($path:literal),* $(,)?) => {
        /// Every built-in rule: its path in the repository and its text.
        pub const BUILTIN_RULES: &[(&str, &str)] =
            &[$(($path, include_str!(concat!("../../", $path)))),*];
    };
}

rules![
    "rules/clearance/hazards.yaml",
    "rules/clearance/keep-out.yaml",
    "rules/clearance/landing-zone.yaml",
    "rules/clearance/shoreline.yaml",
    "rules/energy/gauge-matches-battery.yaml",
    "rules/energy/low-battery-in-time.yaml",
    "rules/energy/reserve-at-turnaround.yaml",
    "rules/energy/twice-the-way-home.yaml",
    "rules/link/link-range.yaml",
    "rules/recovery/approach-into-wind.yaml",
    "rules/recovery/approach-speed.yaml",
    "rules/recovery/depth-at-recovery.yaml",
    "rules/recovery/drift-ashore.yaml",
    "rules/recovery/end-action.yaml",
    "rules/recovery/operator-in-sight.yaml",
    "rules/recovery/operator-near.yaml",
    "rules/recovery/run-on.yaml",
    "rules/recovery/stand-off.yaml",
    "rules/recovery/straight-approach.yaml",
    "rules/response/lost-link-action.yaml",
    "rules/response/lost-link-delay.yaml",
    "rules/response/lost-position-action.yaml",
    "rules/response/low-battery-action.yaml",
    "rules/time/back-in-time.yaml",
    "rules/time/charged-lately.yaml",
    "rules/time/daylight-at-launch.yaml",
    "rules/time/daylight-left.yaml",
    "rules/time/forecast-fresh.yaml",
    "rules/time/forecast-holds.yaml",
    "rules/time/lights.yaml",
    "rules/time/permission-in-force.yaml",
    "rules/time/visibility.yaml",
    "rules/wind/headway-in-gusts.yaml",
    "rules/wind/upwind-run-energy.yaml",
    "rules/wind/upwind-run-length.yaml",
    "rules/wind/upwind-run-time.yaml",
];

const fn quantity(dimension: Dimension) -> Type {
    Type::Quantity(dimension)
}

/// Every measure that a built-in rule speaks of, with its scope and kind. The catalogue must have
/// each of them so; a test of the catalogue holds it against this list.
pub const BUILTIN_MEASURES: &[(&str, Scope, Type)] = &[
    (
        "mission.time_in_hand",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.daylight_at_launch",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.daylight_left",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    ("mission.in_the_dark", Scope::Mission, Type::Truth),
    ("mission.carries_lights", Scope::Mission, Type::Truth),
    ("mission.lights_enough", Scope::Mission, Type::Truth),
    (
        "mission.visibility",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    ("mission.has_forecast", Scope::Mission, Type::Truth),
    (
        "mission.forecast_age",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.forecast_left",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.permission_left",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.time_since_charge",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    ("mission.lost_link_answered", Scope::Mission, Type::Truth),
    (
        "mission.lost_link_delay",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.lost_position_answered",
        Scope::Mission,
        Type::Truth,
    ),
    ("mission.low_battery_answered", Scope::Mission, Type::Truth),
    (
        "mission.reserve_at_turnaround",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.energy_over_way_home",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.low_battery_margin",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.gauge_error",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.upwind_run_length",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    (
        "mission.upwind_run_time",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.upwind_run_energy",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.headway_in_gusts",
        Scope::Mission,
        quantity(Dimension::SPEED),
    ),
    (
        "mission.shoreline_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    (
        "mission.landing_zone_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    (
        "mission.hazard_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    (
        "mission.keep_out_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    ("link.margin", Scope::Link, quantity(Dimension::LEVEL)),
    ("end.comes_to_rest", Scope::End, Type::Truth),
    (
        "end.run_on_clearance",
        Scope::End,
        quantity(Dimension::LENGTH),
    ),
    ("end.stand_off", Scope::End, quantity(Dimension::LENGTH)),
    ("end.approach_speed", Scope::End, quantity(Dimension::SPEED)),
    (
        "end.approach_off_wind",
        Scope::End,
        quantity(Dimension::ANGLE),
    ),
    (
        "end.straight_length",
        Scope::End,
        quantity(Dimension::LENGTH),
    ),
    (
        "end.depth_under_keel",
        Scope::End,
        quantity(Dimension::LENGTH),
    ),
    (
        "end.operator_distance",
        Scope::End,
        quantity(Dimension::LENGTH),
    ),
    ("end.operator_in_sight", Scope::End, Type::Truth),
    (
        "end.drift_time_ashore",
        Scope::End,
        quantity(Dimension::TIME),
    ),
];
