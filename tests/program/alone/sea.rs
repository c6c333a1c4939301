//! The boat's own limits, and what screens a hull against waves. Waves count by their height over the
//! boat's length, so a shorter boat stands for higher waves.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const VESSEL: &str = "vessels/goosander.yaml";
const POLICY: &str = "policy/team.yaml";

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
                "waterline_length: 1.10 m",
                concat!("waterline_length: ", $length),
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
            // What the speeds take of energy and time is not what is to be shown.
            (POLICY, "at_least: 35 %", "at_least: 25 %"),
            // The trial was that of a longer waterline.
            (
                POLICY,
                "  operator-near:\n",
                "  trial-speed:\n    at_most: 200 %\n    reason: This hull was tried up to there.\n  operator-near:\n",
            ),
            (
                POLICY,
                "rules:\n",
                "rules:\n  upwind-run-time: { at_most: 40 min, reason: to see what waves do }\n",
            ),
        ]
    };
}

/// The vertices of 224 m of shore in the west of the demo, without the first and the last.
macro_rules! west_shore {
    () => {
        concat!(
            "            [-24.312739, 52.398550],\n",
            "            [-24.312876, 52.398503],\n",
            "            [-24.313000, 52.398426],\n",
            "            [-24.313086, 52.398340],\n",
            "            [-24.313270, 52.398271],\n",
            "            [-24.313410, 52.398145],\n",
            "            [-24.313539, 52.398065],\n",
            "            [-24.313643, 52.397940],\n",
            "            [-24.313774, 52.397793],\n",
            "            [-24.313991, 52.397691],\n",
            "            [-24.314112, 52.397619],\n",
            "            [-24.314234, 52.397518],\n",
            "            [-24.314293, 52.397403],\n",
            "            [-24.314421, 52.397344],\n",
            "            [-24.314514, 52.397198],\n",
        )
    };
}

pub const CASES: &[Case] = &[
    one(
        "open-water-upwind",
        NORTH,
        &[("site/quenderby-shoreline.geojson", west_shore!(), "")],
    ),
    one(
        "straight-shore",
        NORTH,
        &[("site/quenderby-shoreline.geojson", north_shore!(), "")],
    ),
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
        &[(VESSEL, "wave_height: 0.15 m", "wave_height: 0.06 m")],
    ),
    Case {
        rule: "breaking-wave",
        mission: DAM,
        edits: &[(VESSEL, "beam: 0.45 m", "beam: 0.15 m")],
        also: &[("wave-height", "its limit is capped by the same hull")],
    },
    one(
        "surf-riding",
        NORTH,
        in_the_bay!(
            "1.3 m/s",
            "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
            "0.65 m",
            "5 s"
        ),
    ),
    one(
        "synchronous-roll",
        NORTH,
        in_the_bay!(
            "1.3 m/s",
            "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
            "0.6 m",
            "5 s"
        ),
    )
    .along(&[(
        "surf-riding",
        "a boat that runs with waves for seconds on end is carried along by them",
    )]),
    one(
        "wave-groups",
        NORTH,
        in_the_bay!(
            "0.7 m/s",
            "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
            "0.6 m",
            "5 s"
        ),
    )
    .along(&[("beam-sea", "lines across the waves in which groups count")]),
    one(
        "steep-waves",
        NORTH,
        in_the_bay!(
            "0.5 m/s",
            "from: 200°, spread: 15°, mean: 4 m/s, gust: 6.2 m/s",
            "0.8 m",
            "5 s"
        ),
    )
    .along(&[("beam-sea", "lines across the waves that are steep")]),
    one(
        "beam-sea",
        NORTH,
        in_the_bay!(
            "0.5 m/s",
            "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
            "0.7 m",
            "5 s"
        ),
    ),
];
