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
    "rules/energy/low-battery-not-too-soon.yaml",
    "rules/energy/reserve-at-turnaround.yaml",
    "rules/energy/twice-the-way-home.yaml",
    "rules/link/link-range.yaml",
    "rules/people/alarm-from-elsewhere.yaml",
    "rules/people/checklist-done.yaml",
    "rules/people/cold-water.yaml",
    "rules/people/emergency-contact.yaml",
    "rules/people/enough-people.yaml",
    "rules/people/lookout-apart.yaml",
    "rules/people/means-of-alarm.yaml",
    "rules/people/other-users-told.yaml",
    "rules/people/overdue-alarm.yaml",
    "rules/people/roles-filled.yaml",
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
    "rules/response/lost-link-holding.yaml",
    "rules/response/lost-position-action.yaml",
    "rules/response/lost-position-run-on.yaml",
    "rules/response/lost-propulsion-action.yaml",
    "rules/response/low-battery-action.yaml",
    "rules/response/responses-agree.yaml",
    "rules/response/rest-at-home.yaml",
    "rules/response/takeover-run-on.yaml",
    "rules/response/takeover-time.yaml",
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
    (
        "mission.lost_propulsion_answered",
        Scope::Mission,
        Type::Truth,
    ),
    ("mission.rests_at_home", Scope::Mission, Type::Truth),
    ("mission.responses_agree", Scope::Mission, Type::Truth),
    (
        "mission.takeover_time",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.takeover_run_on_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    (
        "mission.lost_position_run_on_clearance",
        Scope::Mission,
        quantity(Dimension::LENGTH),
    ),
    ("mission.lost_link_holds", Scope::Mission, Type::Truth),
    (
        "mission.lost_link_holding_time",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    (
        "mission.charge_above_trigger",
        Scope::Mission,
        quantity(Dimension::RATIO),
    ),
    ("mission.roles_filled", Scope::Mission, Type::Truth),
    (
        "mission.people_at_water",
        Scope::Mission,
        quantity(Dimension::PEOPLE),
    ),
    ("mission.lookout_apart", Scope::Mission, Type::Truth),
    ("mission.flotation_attested", Scope::Mission, Type::Truth),
    (
        "mission.water_temperature",
        Scope::Mission,
        quantity(Dimension::TEMPERATURE),
    ),
    ("mission.other_users_told", Scope::Mission, Type::Truth),
    ("mission.alarm_can_be_raised", Scope::Mission, Type::Truth),
    (
        "mission.emergency_contact_stated",
        Scope::Mission,
        Type::Truth,
    ),
    (
        "mission.overdue_after",
        Scope::Mission,
        quantity(Dimension::TIME),
    ),
    ("mission.alarm_from_elsewhere", Scope::Mission, Type::Truth),
    ("mission.checklist_done", Scope::Mission, Type::Truth),
];
