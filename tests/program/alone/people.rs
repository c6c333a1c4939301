//! People and permissions, and what happens when something fails.

use super::tree::{self, Files};
use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";

const fn in_the_bay(
    rule: &'static str,
    edits: &'static [(&'static str, &'static str, &'static str)],
) -> Case {
    one(rule, NORTH, edits)
}

const LOST_LINK: &str = "on_lost_link: { action: return, after: 10 s }";

pub const CASES: &[Case] = &[
    in_the_bay(
        "roles-assigned",
        &[("mission", "lookout: second helper", "lookout: tbd")],
    ),
    in_the_bay("minimum-crew", &[("mission", "at_water: 3", "at_water: 1")]),
    in_the_bay(
        "dedicated-lookout",
        &[("mission", "lookout: second helper", "lookout: the operator")],
    ),
    in_the_bay(
        "flotation",
        &[(
            "mission",
            "flotation: buoyancy aids for all three, worn from the shore road on",
            "flotation: none",
        )],
    ),
    in_the_bay(
        "other-users-notified",
        &[(
            "mission",
            "how: a notice at the slip and a call to their club a week before",
            "how: to be decided",
        )],
    ),
    in_the_bay(
        "means-of-alarm",
        &[(
            "mission",
            "means: telephones of two networks, coverage tried at both launch sites",
            "means: none",
        )],
    ),
    in_the_bay(
        "emergency-contact",
        &[(
            SITE,
            "emergency_contact: The reservoir keeper on duty; the number is on the launch card.",
            "emergency_contact: TBD",
        )],
    ),
    in_the_bay(
        "overdue-alarm",
        &[("mission", "overdue: 30 min", "overdue: 3 h")],
    ),
    in_the_bay(
        "shore-contact",
        &[(
            "mission",
            "shore_contact: desk officer at the office",
            "shore_contact: second helper",
        )],
    ),
    in_the_bay(
        "lost-propulsion-action",
        &[(
            "mission",
            "then: the recovery crew fetches it with the inflatable",
            "then: nothing",
        )],
    ),
    in_the_bay(
        "stop-after-return",
        &[("mission", "at_end: hold", "at_end: carry on")],
    ),
    in_the_bay(
        "contingencies-consistent",
        &[(
            "mission",
            "manual_override: { over: control, within: 2 s }",
            "manual_override: { over: telemetry, within: 2 s }",
        )],
    ),
    in_the_bay(
        "override-overrun",
        &[(
            "mission",
            "manual_override: { over: control, within: 2 s }",
            "manual_override: { over: control, within: 19 s }",
        )],
    ),
    in_the_bay(
        "override-time",
        &[
            (
                "mission",
                "manual_override: { over: control, within: 2 s }",
                "manual_override: { over: control, within: 25 s }",
            ),
            ("mission", "clear_of_land: 25 m", "clear_of_land: 50 m"),
        ],
    ),
    in_the_bay(
        "lost-position-overrun",
        &[(
            "mission",
            "on_lost_position: { action: stop, after: 5 s }",
            "on_lost_position: { action: stop, after: 60 s }",
        )],
    ),
    in_the_bay(
        "lost-link-holding",
        &[
            (
                "mission",
                LOST_LINK,
                "on_lost_link: { action: hold, after: 10 s }",
            ),
            (
                "vessels/goosander.yaml",
                "hotel_load: 9 W",
                "hotel_load: 22 W",
            ),
            (
                "vessels/goosander.yaml",
                "maximum_power: 180 W",
                "maximum_power: 165 W",
            ),
        ],
    ),
    in_the_bay(
        "low-battery-trigger-early",
        &[("mission", "below_charge: 45 %", "below_charge: 75 %")],
    ),
];

/// Whether it is stated as none or not at all, in water of any temperature and of one that no file states.
#[test]
fn flotation_is_asked_for_whatever_the_temperature_of_the_water() {
    const WORN: &str = "  flotation: buoyancy aids for all three, worn from the shore road on\n";
    let waters = ["0 °C", "15 °C", "15.1 °C", "20 °C", "30 °C"]
        .map(|celsius| format!("  water_temperature: {celsius}\n"));
    for water in waters.iter().map(String::as_str).chain([""]) {
        for (worn, count) in [(WORN, 0), ("  flotation: none\n", 1), ("", 1)] {
            let mut files = Files::demo(&[NORTH]);
            let own = tree::mission(NORTH);
            files.edit(&own, "  water_temperature: 20 °C\n", water);
            files.edit(&own, WORN, worn);
            let outcome = files.check();
            let found = outcome.findings.iter();
            let found = found.filter(|one| one.rule == "flotation").count();
            assert_eq!(found, count, "{water:?} {worn:?}");
        }
    }
}
