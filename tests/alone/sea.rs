//! The boat's own limits, and what screens a hull against waves. Waves count from a tenth of the
//! boat's length on, so a shorter boat stands for higher waves.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const VESSEL: &str = "vessels/goosander.yaml";

/// The north bay with every speed but that of the slow legs at the pontoon changed, in another
/// wind, with a boat of another length whose roll is far slower than any wave.
macro_rules! in_the_bay {
    ($speed:literal, $wind:literal, $length:literal, $period:literal) => {
        &[
            (
                "mission",
                "-24.308835], speed: { over_ground: 1.1 m/s",
                concat!("-24.308835], speed: { over_ground: ", $speed),
            ),
            (
                "mission",
                "clear_of_land: 25 m\n    speed: { over_ground: 1.1 m/s",
                concat!("clear_of_land: 25 m\n    speed: { over_ground: ", $speed),
            ),
            (
                "mission",
                "-24.308195], speed: { over_ground: 1.1 m/s",
                concat!("-24.308195], speed: { over_ground: ", $speed),
            ),
            (
                "mission",
                "-24.309569], speed: { over_ground: 1.1 m/s",
                concat!("-24.309569], speed: { over_ground: ", $speed),
            ),
            ("mission", "  speed: 1.1 m/s", concat!("  speed: ", $speed)),
            (
                "mission",
                "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
                $wind,
            ),
            (
                "mission",
                "latest_return: 2027-06-15T11:30",
                "latest_return: 2027-06-15T13:30",
            ),
            (
                VESSEL,
                "length_overall: 1.20 m",
                concat!("length_overall: ", $length),
            ),
            (
                VESSEL,
                "roll_period: 0.6 s",
                concat!("roll_period: ", $period),
            ),
        ]
    };
}

pub const CASES: &[Case] = &[
    one(
        "wind-limit",
        NORTH,
        &[(VESSEL, "wind: 8 m/s", "wind: 2 m/s")],
    ),
    one(
        "gust-limit",
        NORTH,
        &[(
            VESSEL,
            "wind: 8 m/s\n  gust: 12 m/s",
            "wind: 4 m/s\n  gust: 4.5 m/s",
        )],
    ),
    one(
        "wave-height",
        DAM,
        &[(VESSEL, "wave_height: 0.15 m", "wave_height: 0.08 m")],
    ),
    Case {
        rule: "breaking-wave",
        mission: DAM,
        edits: &[(VESSEL, "beam: 0.45 m", "beam: 0.15 m")],
        also: &[("wave-height", "its limit is capped by the same hull")],
    },
    one(
        "surf-riding",
        DAM,
        &[(VESSEL, "length_overall: 1.20 m", "length_overall: 0.9 m")],
    ),
    one(
        "roll-in-step",
        NORTH,
        &[
            (VESSEL, "length_overall: 1.20 m", "length_overall: 0.3 m"),
            (VESSEL, "roll_period: 0.6 s", "roll_period: 0.4 s"),
            (
                "mission",
                "from: 240°, spread: 20°",
                "from: 300°, spread: 3°",
            ),
        ],
    )
    .along(&[("wind-spread", "a sea from one side only")]),
    one(
        "wave-groups",
        NORTH,
        in_the_bay!(
            "0.7 m/s",
            "from: 240°, spread: 3°, mean: 7 m/s, gust: 9 m/s",
            "0.9 m",
            "5 s"
        ),
    )
    .along(&[("wind-spread", "a sea from one side only")]),
    Case {
        rule: "steep-waves",
        mission: NORTH,
        edits: in_the_bay!(
            "0.6 m/s",
            "from: 240°, spread: 3°, mean: 7 m/s, gust: 9 m/s",
            "0.8 m",
            "5 s"
        ),
        also: &[
            (
                "wave-groups",
                "a boat slow enough not to surf on short steep waves keeps pace with their groups",
            ),
            ("wind-spread", "a sea from one side only"),
        ],
    },
    one(
        "beam-sea",
        NORTH,
        in_the_bay!(
            "0.45 m/s",
            "from: 150°, spread: 3°, mean: 6 m/s, gust: 9 m/s",
            "0.8 m",
            "5 s"
        ),
    )
    .along(&[("wind-spread", "a sea from one side only")]),
];
