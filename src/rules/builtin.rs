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
    "rules/configuration/capacity-test-age.yaml",
    "rules/configuration/cut-off-voltage.yaml",
    "rules/configuration/full-power.yaml",
    "rules/configuration/steerage-speed.yaml",
    "rules/configuration/trial-age.yaml",
    "rules/energy/gauge-matches-battery.yaml",
    "rules/energy/low-battery-in-time.yaml",
    "rules/energy/reserve-at-turnaround.yaml",
    "rules/energy/twice-the-way-home.yaml",
    "rules/link/antenna-bearing.yaml",
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
    "rules/sounding/along-track-spacing.yaml",
    "rules/sounding/deepest-in-range.yaml",
    "rules/sounding/full-cover.yaml",
    "rules/sounding/horizontal-uncertainty.yaml",
    "rules/sounding/line-spacing.yaml",
    "rules/sounding/ping-rate.yaml",
    "rules/sounding/record-endurance.yaml",
    "rules/sounding/shallowest-in-range.yaml",
    "rules/sounding/sound-speed.yaml",
    "rules/sounding/soundings-claimed.yaml",
    "rules/sounding/soundings-come-home.yaml",
    "rules/sounding/turn-between-lines.yaml",
    "rules/sounding/vertical-uncertainty.yaml",
    "rules/time/back-in-time.yaml",
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
    ("soundings.claimed", Scope::Soundings, Type::Truth),
    ("soundings.come_home", Scope::Soundings, Type::Truth),
    (
        "soundings.record_time_in_hand",
        Scope::Soundings,
        quantity(Dimension::TIME),
    ),
    (
        "soundings.deepest_in_range",
        Scope::Soundings,
        quantity(Dimension::LENGTH),
    ),
    (
        "soundings.shallowest_in_range",
        Scope::Soundings,
        quantity(Dimension::LENGTH),
    ),
    (
        "soundings.ping_rate_share",
        Scope::Soundings,
        quantity(Dimension::RATIO),
    ),
    (
        "soundings.along_track_cover",
        Scope::Soundings,
        quantity(Dimension::RATIO),
    ),
    (
        "soundings.sound_speed_error",
        Scope::Soundings,
        quantity(Dimension::RATIO),
    ),
    (
        "soundings.vertical_share",
        Scope::Soundings,
        quantity(Dimension::RATIO),
    ),
    (
        "soundings.horizontal_share",
        Scope::Soundings,
        quantity(Dimension::RATIO),
    ),
    ("survey.cover", Scope::Survey, quantity(Dimension::RATIO)),
    (
        "survey.spacing_share",
        Scope::Survey,
        quantity(Dimension::RATIO),
    ),
    (
        "survey.turn_share",
        Scope::Survey,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.cut_off_margin",
        Scope::Mission,
        quantity(Dimension::VOLTAGE),
    ),
    (
        "mission.full_power_share",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    (
        "mission.steerage_in_hand",
        Scope::Mission,
        quantity(Dimension::SPEED),
    ),
    (
        "mission.capacity_test_age",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.trial_age",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    ("link.off_bearing", Scope::Link, quantity(Dimension::RATIO)),
];
