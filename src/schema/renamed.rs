//! Names that files had before, and what each is called now. A file that still uses one is refused
//! on its line with the new name, not with a guess.

use super::kinds::Kind;

/// A field: its kind of file, the mapping that holds it as a path from the root, its old and its new
/// name. The value stays as it is.
pub const FIELDS: &[(Kind, &str, &str, &str)] = &[
    (Kind::Mission, "", "operator_takes_over", "manual_override"),
    (
        Kind::Mission,
        "",
        "other_users_told",
        "other_users_notified",
    ),
    (Kind::Mission, "", "recovery_craft", "safety_boat"),
    (Kind::Mission, "", "way_home", "return_leg"),
    (Kind::Mission, "alarm", "raised_by", "shore_contact"),
    (Kind::Mission, "soundings", "cover", "coverage"),
    (Kind::Mission, "soundings", "quality", "survey_order"),
    (Kind::Mission, "team", "watch_keeper", "lookout"),
    (
        Kind::Vessel,
        "propulsion",
        "steerage_speed",
        "minimum_steerageway",
    ),
    (Kind::Vessel, "sonar", "offset", "lever_arm"),
    (Kind::Site, "", "landing_places", "launch_sites"),
    (Kind::Policy, "floors", "takeover_within", "override_within"),
];

/// A kind of file: its old and its new name.
pub const KINDS: &[(&str, &str)] = &[("flight", "run")];

/// A built-in rule: its old and its new id.
pub const RULES: &[(&str, &str)] = &[
    ("alarm-from-elsewhere", "shore-contact"),
    ("back-in-time", "return-on-time"),
    ("calm-planned", "wind-not-planned"),
    ("charged-lately", "recently-charged"),
    ("cold-water", "flotation"),
    ("drift-into-closed-water", "drift-into-keep-out"),
    ("drift-on-to-lee-shore", "drift-onto-lee-shore"),
    ("drift-on-to-weir", "drift-onto-weir"),
    ("enough-people", "minimum-crew"),
    ("full-cover", "full-coverage"),
    ("landing-zone", "launch-site"),
    ("link-range", "link-margin"),
    ("lookout-apart", "dedicated-lookout"),
    ("lost-position-run-on", "lost-position-overrun"),
    ("low-battery-in-time", "low-battery-trigger-late"),
    ("low-battery-not-too-soon", "low-battery-trigger-early"),
    ("other-users-told", "other-users-notified"),
    ("recovery-craft-wind", "safety-boat-wind"),
    ("responses-agree", "contingencies-consistent"),
    ("rest-at-home", "stop-after-return"),
    ("roles-filled", "roles-assigned"),
    ("roll-in-step", "synchronous-roll"),
    ("run-on", "overrun"),
    ("soundings-claimed", "survey-order-stated"),
    ("soundings-come-home", "soundings-recorded"),
    ("steerage-speed", "minimum-steerageway"),
    ("takeover-run-on", "override-overrun"),
    ("takeover-time", "override-time"),
    ("twice-the-way-home", "return-energy-ratio"),
];

/// A measure: its old and its new name.
pub const MEASURES: &[(&str, &str)] = &[
    ("end.run_on_clearance", "end.overrun_clearance"),
    ("mission.alarm_from_elsewhere", "mission.shore_contact"),
    (
        "mission.drift_time_in_hand_closed",
        "mission.drift_time_in_hand_keep_out",
    ),
    (
        "mission.energy_over_way_home",
        "mission.return_energy_ratio",
    ),
    (
        "mission.landing_zone_clearance",
        "mission.launch_site_clearance",
    ),
    ("mission.lookout_apart", "mission.dedicated_lookout"),
    (
        "mission.lost_position_run_on_clearance",
        "mission.lost_position_overrun_clearance",
    ),
    ("mission.other_users_told", "mission.other_users_notified"),
    ("mission.recovery_craft_wind", "mission.safety_boat_wind"),
    (
        "mission.responses_agree",
        "mission.contingencies_consistent",
    ),
    ("mission.rests_at_home", "mission.stops_after_return"),
    ("mission.roles_filled", "mission.roles_assigned"),
    ("mission.roll_in_step", "mission.synchronous_roll"),
    ("mission.steerage_in_hand", "mission.steerageway_in_hand"),
    (
        "mission.takeover_run_on_clearance",
        "mission.override_overrun_clearance",
    ),
    ("mission.takeover_time", "mission.override_time"),
    (
        "soundings.along_track_cover",
        "soundings.along_track_coverage",
    ),
    ("soundings.claimed", "soundings.order_stated"),
    ("soundings.come_home", "soundings.recorded"),
    ("survey.cover", "survey.coverage"),
];

/// What stands behind a name in a table.
pub(super) fn looked_up(table: &'static [(&str, &str)], name: &str) -> Option<&'static str> {
    let mut entries = table.iter();
    entries.find(|(old, _)| *old == name).map(|(_, new)| *new)
}

/// The kind of file that an old name stands for.
#[must_use]
pub fn kind(name: &str) -> Option<&'static str> {
    looked_up(KINDS, name)
}

/// The id that a built-in rule has now.
#[must_use]
pub fn rule(id: &str) -> Option<&'static str> {
    looked_up(RULES, id)
}

/// The name that a measure has now.
#[must_use]
pub fn measure(name: &str) -> Option<&'static str> {
    looked_up(MEASURES, name)
}

/// The new names of the fields of one mapping of a file, by JSON pointer, each behind its old one.
pub(super) fn fields(
    kind: Kind,
    pointer: &str,
) -> impl Iterator<Item = (&'static str, &'static str)> + '_ {
    let path = pointer.trim_start_matches('/').replace('/', ".");
    let here = move |of: &&(Kind, &str, &str, &str)| of.0 == kind && of.1 == path;
    FIELDS
        .iter()
        .filter(here)
        .map(|(_, _, old, new)| (*old, *new))
}

/// `old` is now `new`.
#[must_use]
pub fn sentence(old: &str, new: &str) -> String {
    format!("`{old}` is now `{new}`")
}

/// What to write in place of an old name.
#[must_use]
pub fn help(new: &str) -> String {
    format!("write `{new}`; the value stays, and digests and signatures of this file change")
}
