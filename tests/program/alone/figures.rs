//! Figures of a boat, its radios and its crew that no such boat has, and depths that contradict each
//! other.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";
const POLICY: &str = "policy/team.yaml";
const VESSEL: &str = "vessels/goosander.yaml";

const fn of_boat(
    rule: &'static str,
    edits: &'static [(&'static str, &'static str, &'static str)],
) -> Case {
    one(rule, NORTH, edits)
}

pub const CASES: &[Case] = &[
    of_boat(
        "measured-capacity",
        &[
            (
                VESSEL,
                "measured_capacity: 9.3 Ah",
                "measured_capacity: 10.8 Ah",
            ),
            (VESSEL, "state_of_health: 93 %", "state_of_health: 100 %"),
            (VESSEL, "capacity_set: 9.0 Ah", "capacity_set: 10.8 Ah"),
        ],
    ),
    of_boat(
        "state-of-health-agrees",
        &[(VESSEL, "state_of_health: 93 %", "state_of_health: 75 %")],
    ),
    of_boat("internal-resistance-low", &[(VESSEL, "60 mohm", "3 mohm")]),
    of_boat(
        "internal-resistance-high",
        &[
            (VESSEL, "60 mohm", "220 mohm"),
            (VESSEL, "cut_off_voltage: 12.8 V", "cut_off_voltage: 10.1 V"),
            (VESSEL, "maximum_power: 180 W", "maximum_power: 130 W"),
        ],
    ),
    of_boat(
        "trial-friction",
        &[(
            VESSEL,
            "{ speed: 0.4 m/s, power: 2.1 W }",
            "{ speed: 0.4 m/s, power: 0.15 W }",
        )],
    ),
    of_boat(
        "trial-speed",
        &[(
            VESSEL,
            "{ speed: 1.8 m/s, power: 222 W }",
            "{ speed: 2.4 m/s, power: 222 W }",
        )],
    ),
    of_boat(
        "trial-power",
        &[(
            VESSEL,
            "{ speed: 1.8 m/s, power: 222 W }",
            "{ speed: 1.8 m/s, power: 900 W }",
        )],
    ),
    of_boat(
        "propulsion-efficiency",
        &[(
            VESSEL,
            "propulsive_efficiency: 45 %",
            "propulsive_efficiency: 95 %",
        )],
    ),
    of_boat(
        "hotel-load",
        &[(VESSEL, "hotel_load: 9 W", "hotel_load: 1 W")],
    ),
    one(
        "crew-figures",
        NORTH,
        &[("mission", "reaction_time: 10 s", "reaction_time: 2 s")],
    ),
    of_boat(
        "boat-antenna-beam",
        &[(
            VESSEL,
            "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi",
            "sensitivity: -103 dBm\n    antenna: { gain: 9 dBi",
        )],
    ),
    of_boat(
        "boat-antenna-height",
        &[(
            VESSEL,
            "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi, height: 0.6 m",
            "sensitivity: -103 dBm\n    antenna: { gain: 2 dBi, height: 1.5 m",
        )],
    ),
    of_boat(
        "station-antenna-beam",
        &[(SITE, "gain: 12 dBi", "gain: 22 dBi")],
    ),
    of_boat(
        "station-antenna-height",
        &[(
            SITE,
            "gain: 12 dBi, height: 6 m",
            "gain: 12 dBi, height: 25 m",
        )],
    ),
    of_boat(
        "radiated-power",
        &[(VESSEL, "transmit_power: 14 dBm", "transmit_power: 37 dBm")],
    ),
    of_boat(
        "mean-depth-agrees",
        &[(SITE, "mean_depth: 7 m", "mean_depth: 2.5 m")],
    ),
    one(
        "expected-depths-agree",
        NORTH,
        &[("mission", "greatest: 9 m", "greatest: 30 m")],
    ),
    one(
        "least-expected-depth-agrees",
        NORTH,
        &[(
            "mission",
            "least: 2 m, greatest: 9 m",
            "least: 6 m, greatest: 9 m",
        )],
    ),
    of_boat(
        "least-depth-agrees",
        &[
            (SITE, "mean_depth: 7 m", "mean_depth: 7 m\nleast_depth: 5 m"),
            (
                "mission",
                "least: 2 m, greatest: 9 m",
                "least: 5 m, greatest: 9 m",
            ),
        ],
    ),
    of_boat(
        "launch-site-depth-agrees",
        &[(SITE, "depth: 1.1 m", "depth: 6 m")],
    ),
    of_boat(
        "water-level-above-datum",
        &[(SITE, "above_datum: -0.20 m", "above_datum: 2.5 m")],
    ),
    of_boat(
        "soundings-deepen-offshore",
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  soundings-deepen-offshore:\n    at_least: 20 m\n    reason: to see what it says\n",
        )],
    ),
    of_boat(
        "casts-agree",
        &[(
            SITE,
            "land_height: 12 m\n",
            "land_height: 12 m\ncasts:\n  - { at: [52.400600, -24.307900], depth: 1.5 m, measured: 2027-05-02 }\n",
        )],
    ),
];
