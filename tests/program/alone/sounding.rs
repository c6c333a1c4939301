//! What soundings are good for, and figures of the boat that have to go together.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const VESSEL: &str = "vessels/goosander.yaml";

pub const CASES: &[Case] = &[
    one(
        "survey-order-stated",
        NORTH,
        &[(
            "mission",
            "soundings: # for the team's own sum of the silt\n  survey_order: no order\n  depths: { least: 2 m, greatest: 9 m }\n  sound_speed: as set\n  bottom_temperature: 17 °C\n",
            "",
        )],
    ),
    one(
        "soundings-recorded",
        NORTH,
        &[
            (VESSEL, "records: aboard", "records: ashore"),
            (
                "mission",
                "sonar-data: logged aboard",
                "sonar-data: not used",
            ),
        ],
    ),
    one(
        "record-endurance",
        DAM,
        &[(VESSEL, "records_for: 6 h", "records_for: 45 min")],
    ),
    one(
        "deepest-in-range",
        DAM,
        &[(VESSEL, "greatest: 60 m", "greatest: 12 m")],
    ),
    one(
        "shallowest-in-range",
        NORTH,
        &[(VESSEL, "least: 0.5 m", "least: 2 m")],
    ),
    one(
        "ping-rate",
        DAM,
        &[(VESSEL, "ping_rate: 5 Hz", "ping_rate: 60 Hz")],
    ),
    one(
        "along-track-spacing",
        NORTH,
        &[(VESSEL, "ping_rate: 5 Hz", "ping_rate: 1 Hz")],
    ),
    one(
        "sound-speed",
        DAM,
        &[
            (
                VESSEL,
                "sound_speed: 1480 m/s # set for fresh water in summer",
                "sound_speed: 1500 m/s",
            ),
            (
                "mission",
                "sound_speed: profile",
                "sound_speed: as set\n  bottom_temperature: 18 °C",
            ),
        ],
    ),
    one(
        "vertical-uncertainty",
        DAM,
        &[("mission", "level_error: 0.05 m", "level_error: 0.5 m")],
    ),
    one(
        "horizontal-uncertainty",
        DAM,
        &[(VESSEL, "latency: 0.5 s", "latency: 5 s")],
    ),
    one(
        "full-coverage",
        NORTH,
        &[(
            "mission",
            "sound_speed: as set",
            "sound_speed: as set\n  coverage: full",
        )],
    ),
    one(
        "line-spacing",
        NORTH,
        &[(
            "mission",
            "survey_order: no order",
            "survey_order: order 1b\n  level_error: 0.05 m",
        )],
    ),
    one(
        "turn-between-lines",
        NORTH,
        &[
            (VESSEL, "turning_radius: 1.5 m", "turning_radius: 16 m"),
            // Wide turns need their room from the shore as well.
            ("mission", "clear_of_land: 25 m", "clear_of_land: 45 m"),
        ],
    ),
    one(
        "antenna-bearing",
        NORTH,
        &[(
            "mission",
            "link: control, azimuth: 015°",
            "link: control, azimuth: 350°",
        )],
    ),
    one(
        "cut-off-voltage",
        DAM,
        &[(VESSEL, "cut_off_voltage: 12.8 V", "cut_off_voltage: 9.6 V")],
    ),
    one(
        "full-power",
        DAM,
        &[(
            VESSEL,
            "internal_resistance: 60 mohm",
            "internal_resistance: 75 mohm",
        )],
    ),
    one(
        "minimum-steerageway",
        DAM,
        &[(
            VESSEL,
            "minimum_steerageway: 0.3 m/s",
            "minimum_steerageway: 0.55 m/s",
        )],
    ),
    one(
        "capacity-test-age",
        DAM,
        &[(
            VESSEL,
            "capacity_tested: 2027-04-10",
            "capacity_tested: 2026-10-10",
        )],
    ),
    one(
        "trial-age",
        DAM,
        &[(VESSEL, "date: 2027-04-22", "date: 2026-04-22")],
    ),
];

/// What a rule measured on a mission of the demo, in the stored unit.
fn measured(mission: &str, rule: &str) -> f64 {
    let outcome = super::tree::Files::demo(&[mission]).check();
    let judged = &outcome.checked[0].judged;
    let own = judged.iter().find(|judged| &*judged.rule == rule);
    let quantity = own.and_then(|judged| judged.measured);
    quantity
        .unwrap_or_else(|| panic!("{mission}: {rule} has no figure"))
        .value
}

#[track_caller]
fn near(mission: &str, rule: &str, expected: f64, within: f64) {
    let found = measured(mission, rule);
    assert!(
        (found - expected).abs() <= within,
        "{mission}, {rule}: {found}, not {expected}"
    );
}

/// Worked by hand with the formulas of the books: footprint 2 d tan(θ/2) below a draft of 0.15 m,
/// way between pings V over the rate, greatest rate c/2d with Marczak's 1402 m/s at 0 °C.
#[test]
fn pings_and_lines_by_hand() {
    // 2 × 1.85 m × tan 10° = 0.6524 m; 1.1 m/s / 5 Hz = 0.22 m.
    near(NORTH, "along-track-spacing", 2.9655, 1e-3);
    // 1402 / (2 × 9 m) = 77.89 Hz.
    near(NORTH, "ping-rate", 5.0 / 77.889, 1e-4);
    // 0.6524 m over 30 m + √2 × 2 m = 32.83 m.
    near("gaps-between-lines", "full-coverage", 0.6524 / 32.828, 1e-4);
    near(NORTH, "turn-between-lines", 3.0 / 30.0, 1e-9);
    near(NORTH, "shallowest-in-range", 1.35, 1e-9);
    near(DAM, "deepest-in-range", 46.0, 1e-9);
}

/// By hand: 1480 m/s set, 1482.38 m/s in fresh water at 20 °C by Marczak 1997 and 1472.79 m/s at 17 °C,
/// which is farther off. A profile leaves a quarter of a per cent.
#[test]
fn the_speed_of_sound_by_hand() {
    near(NORTH, "sound-speed", 1480.0 / 1472.79 - 1.0, 1e-5);
    near(DAM, "sound-speed", 0.0025, 1e-9);
}

/// By hand with Marczak 1997: water that nobody measured at the bed may be at 4 °C there, 1421.63 m/s,
/// once it is deeper than 5 m; what was measured at one depth is off by the difference.
#[test]
fn stratified_water_by_hand() {
    let north = |edits: &[(&str, &str)]| {
        let mut files = super::tree::Files::demo(&[NORTH]);
        for (from, to) in edits {
            files.edit(&super::tree::mission(NORTH), from, to);
        }
        let outcome = files.check();
        let judged = &outcome.checked[0].judged;
        let own = judged.iter().find(|judged| &*judged.rule == "sound-speed");
        own.and_then(|judged| judged.measured).unwrap().value
    };
    let bottom = "  bottom_temperature: 17 °C\n";
    let close = |found: f64, expected: f64| assert!((found - expected).abs() < 2e-5, "{found}");
    close(north(&[(bottom, "")]), 1480.0 / 1421.63 - 1.0);
    let shallow = ("greatest: 9 m", "greatest: 5 m");
    close(north(&[(bottom, ""), shallow]), 1.0 - 1480.0 / 1482.38);
    let measured = ("sound_speed: as set", "sound_speed: measured");
    close(north(&[measured]), 1482.38 / 1472.79 - 1.0 + 0.0025);
    // In shallow water too, what was measured at the bed counts.
    close(
        north(&[measured, shallow]),
        1482.38 / 1472.79 - 1.0 + 0.0025,
    );
    close(
        north(&[measured, (bottom, "")]),
        1482.38 / 1421.63 - 1.0 + 0.0025,
    );
    close(north(&[measured, (bottom, ""), shallow]), 0.0025);
}

/// By hand with IHO S-44, edition 6, order 1b, in 14 m of water: √((2 m)² + (0.3 m)² + (1.1 m/s ×
/// 0.5 s)² + (14 m × tan 8°)²) = 2.875 m, of 5 m + 5 % of 14 m = 5.7 m.
#[test]
fn the_horizontal_uncertainty_by_hand() {
    near(DAM, "horizontal-uncertainty", 2.8747 / 5.7, 1e-3);
}

/// By hand with IHO S-44, edition 6, order 1b: without any heave √(0.1² + (0.0025 × 14)² + 0.05² +
/// 0.03²) = 0.121 m of √(0.5² + (0.013 × 14)²) = 0.532 m. Heave adds to it: the waves of this small
/// water are below 0.5 m, which would make it √(0.121² + 0.245²) = 0.273 m.
#[test]
fn the_vertical_uncertainty_by_hand() {
    let share = measured(DAM, "vertical-uncertainty");
    assert!(share > 0.121 / 0.532 && share < 0.273 / 0.5015, "{share}");
}

/// By hand: four cells at 12.8 V and the curve of Chen 2020, which ends at 2.5 V and rests at
/// 3.4852 V at 20 %; 60 mΩ are 1.2293 times that at 20 °C by Arrhenius's law with 30 kJ/mol;
/// (13.9408 − 12.8) / 0.07376 × 12.8 W of 180 W and 9 W.
#[test]
fn the_battery_by_hand() {
    near(DAM, "cut-off-voltage", 0.7, 1e-9);
    near(DAM, "full-power", 197.97 / 189.0, 1e-3);
    // 0.35 m/s, the current off the track, less 0.3 m/s.
    near("slow-approach", "minimum-steerageway", 0.05, 1e-9);
}

/// Counted on a calendar: 10 April to 15 June is 66 days, 22 April 54; 09:30 two hours behind UTC and
/// 20 min of delay are 11 h 50 min more.
#[test]
fn ages_by_the_calendar() {
    let rest = (11.0 * 60.0 + 50.0) * 60.0;
    near(NORTH, "capacity-test-age", 66.0 * 86_400.0 + rest, 1.0);
    near(NORTH, "trial-age", 54.0 * 86_400.0 + rest, 1.0);
}
