//! Figures that no small boat, radio, sounder or water has, and figures of which one makes the other
//! untrue: each is refused, with what is wrong in words. Limits that nobody published are our own.

use super::tree::{Files, SITE, VESSEL, mission};
use offing::door::finding::Nature;
use rayon::prelude::*;

const NORTH: &str = "north-bay-lines";
const MISSION: &str = "missions/north-bay-lines.yaml";

/// A file, a text that stands there once, what is put in its place, and what is said of it.
type Case<'a> = (&'a str, &'a str, &'a str, &'a str);

fn refused(cases: &[Case<'_>]) {
    let wrong: Vec<String> = cases
        .par_iter()
        .filter_map(|(path, from, to, says)| {
            let mut files = Files::demo(&[NORTH]);
            files.edit(path, from, to);
            let outcome = files.check();
            let mut inputs = outcome
                .findings
                .iter()
                .filter(|one| one.nature == Nature::Input);
            let told: Vec<&str> = inputs.clone().map(|one| one.message.as_str()).collect();
            let found = inputs.any(|one| one.message.contains(says));
            (!found).then(|| format!("{to}: no `{says}` in {told:?}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn taken(cases: &[(&str, &str, &str)]) {
    for (path, from, to) in cases {
        let mut files = Files::demo(&[NORTH]);
        files.edit(path, from, to);
        let outcome = files.check();
        let told: Vec<&str> = outcome
            .findings
            .iter()
            .filter(|one| one.nature == Nature::Input)
            .map(|one| one.message.as_str())
            .collect();
        assert!(told.is_empty(), "{to}: {told:?}");
    }
}

#[test]
fn hulls_that_no_boat_has() {
    let (bow, waterline) = ("bow_length: 0.45 m", "waterline_length: 1.10 m");
    refused(&[
        (VESSEL, bow, "bow_length: 1.11 m", "`bow_length` is 1.11 m"),
        (VESSEL, bow, "bow_length: 50 m", "`bow_length` is 50 m"),
        (VESSEL, bow, "bow_length: 0.1 m", "`bow_length` is 0.1 m"),
        (
            VESSEL,
            waterline,
            "waterline_length: 1.21 m",
            "length overall, 1.2 m",
        ),
        (
            VESSEL,
            waterline,
            "waterline_length: 12 m",
            "length overall, 1.2 m",
        ),
        (
            VESSEL,
            "displacement: 20 kg",
            "displacement: 2 kg",
            "displaces 4.86 kg at least",
        ),
        (
            VESSEL,
            "roll_period: 0.6 s",
            "roll_period: 0.2 s",
            "rolls in 0.419 s to 5.92 s",
        ),
        (
            VESSEL,
            "roll_period: 0.6 s",
            "roll_period: 6 s",
            "rolls in 0.419 s to 5.92 s",
        ),
        (
            VESSEL,
            "roll_period: 0.6 s",
            "metacentric_height: 2 m",
            "has 0.0045 m to 0.9 m",
        ),
        (
            VESSEL,
            "turning_radius: 1.5 m",
            "turning_radius: 0 m",
            "sweeps 0.6 m",
        ),
        (
            VESSEL,
            "turning_radius: 1.5 m",
            "turning_radius: 0.5 m",
            "sweeps 0.6 m",
        ),
        (
            VESSEL,
            "  minimum_steerageway: 0.3 m/s",
            "  minimum_steerageway: 0 m/s",
            "below which no boat steers",
        ),
    ]);
    taken(&[
        (VESSEL, bow, "bow_length: 0.11 m"),
        (VESSEL, bow, "bow_length: 1.1 m"),
        (VESSEL, waterline, "waterline_length: 1.20 m"),
        (VESSEL, "roll_period: 0.6 s", "roll_period: 1.2 s"),
        (VESSEL, "roll_period: 0.6 s", "metacentric_height: 0.1 m"),
        (VESSEL, "turning_radius: 1.5 m", "turning_radius: 0.6 m"),
    ]);
}

#[test]
fn windage_drive_and_battery_that_no_boat_has() {
    let (drag, height) = ("drag_coefficient: 0.9", "  height: 0.3 m");
    refused(&[
        (VESSEL, drag, "drag_coefficient: 0.05", "drag_coefficient"),
        (VESSEL, drag, "drag_coefficient: 2.1", "drag_coefficient"),
        (
            VESSEL,
            "frontal_area: 0.08 m2",
            "frontal_area: 0.02 m2",
            "less than a freeboard of 10 cm",
        ),
        (
            VESSEL,
            height,
            "  height: 0.05 m",
            "is at least 0.0889 m above the water",
        ),
        (
            VESSEL,
            height,
            "  height: 3 m",
            "no higher above the water than",
        ),
        (
            VESSEL,
            "leeway: 4 %",
            "leeway: 16 %",
            "15 %, twice the most",
        ),
        (
            VESSEL,
            "propulsive_efficiency: 45 %",
            "propulsive_efficiency: 20 %",
            "a working propeller",
        ),
        (
            VESSEL,
            "motor_efficiency: 70 %",
            "motor_efficiency: 40 %",
            "a working motor",
        ),
        // Four cells of 200 Ah are some 3 kWh, 12 kg at 250 Wh/kg.
        (
            VESSEL,
            "measured_capacity: 9.3 Ah",
            "measured_capacity: 200 Ah",
            "more than half of a boat",
        ),
    ]);
    taken(&[
        (VESSEL, drag, "drag_coefficient: 0.5"),
        (VESSEL, drag, "drag_coefficient: 2"),
        (VESSEL, height, "  height: 1.2 m"),
    ]);
}

/// Thermal noise k T B at 290 K: -174 dBm in 1 Hz (ITU-R P.372), -123 dBm in 125 kHz.
#[test]
fn radios_and_antennas_that_nobody_has() {
    const LOW: &str = "antenna: { gain: 2 dBi, height: 6 m, polarisation: vertical }";
    const TURNED: &str = "gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: 40°";
    let noise = 10.0 * (1.380_649e-23_f64 * 290.0 * 125e3 * 1e3).log10();
    assert!((noise + 123.0).abs() < 0.1, "{noise}");
    refused(&[
        (
            VESSEL,
            "sensitivity: -97 dBm",
            "sensitivity: -150 dBm",
            "20 dB below the noise",
        ),
        (
            VESSEL,
            "frequency: 868 MHz",
            "frequency: 10 MHz",
            "the path loss model",
        ),
        (
            SITE,
            LOW,
            "antenna: { gain: 12 dBi, height: 6 m, polarisation: vertical }",
            "all round",
        ),
        (
            SITE,
            TURNED,
            "gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: 359°",
            "no antenna with that beam",
        ),
        (SITE, TURNED, "gain: 12 dBi, height: 6 m", "omnidirectional"),
    ]);
    taken(&[
        (VESSEL, "sensitivity: -97 dBm", "sensitivity: -137 dBm"),
        (
            SITE,
            LOW,
            "antenna: { gain: 8 dBi, height: 6 m, polarisation: vertical }",
        ),
        (
            SITE,
            TURNED,
            "gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: 120°",
        ),
        (
            SITE,
            "    title: Mast beside the slip",
            "    ground_height: 2 m",
        ),
    ]);
    refused(&[(
        SITE,
        "    title: Mast beside the slip",
        "    ground_height: 40 m",
        "the land is 12 m high",
    )]);
}

#[test]
fn sounders_that_make_no_errors() {
    refused(&[
        (
            VESSEL,
            "depth_error: 0.1 m",
            "depth_error: 0 m",
            "the resolution of a staff",
        ),
        (
            VESSEL,
            "draught_error: 0.03 m",
            "draught_error: 0 m",
            "the resolution of a staff",
        ),
        (
            VESSEL,
            "latency: 0.5 s",
            "latency: 0 s",
            "one clock that stamps both",
        ),
        (
            VESSEL,
            "tilt: 8°",
            "tilt: 0°",
            "anybody mounts a transducer",
        ),
        (VESSEL, "beam_angle: 20°", "beam_angle: 160°", "at most 90°"),
        (
            SITE,
            "  error: 0.2 m\n  longest_edge",
            "  error: 0 m\n  longest_edge",
            "the resolution of a staff",
        ),
        (
            SITE,
            "  error: 0.2 m # with",
            "  error: 0 m # with",
            "the resolution of a staff",
        ),
        (
            SITE,
            "longest_edge: 100 m",
            "longest_edge: 5 km",
            "at most 2 km",
        ),
    ]);
}

#[test]
fn depths_and_waters_that_contradict_each_other() {
    refused(&[
        (
            SITE,
            "mean_depth: 7 m",
            "mean_depth: 7 m\nleast_depth: 10 m",
            "more than the mean depth",
        ),
        (
            SITE,
            "depth: 1.1 m",
            "depth: 11 m",
            "more than the mean depth",
        ),
        (
            SITE,
            "mean_depth: 7 m",
            "mean_depth: 7 m\nleast_depth: 3 m",
            "The least depth expected is 2 m",
        ),
        (
            MISSION,
            "sound_speed: as set",
            "sound_speed: as set\n  salinity: 3 %",
            "is fresh",
        ),
        (
            SITE,
            "land_height: 12 m\n",
            "land_height: 12 m\ncasts:\n  - { at: [52.39, -24.3079], depth: 6.5 m, measured: 2027-05-02 }\n",
            "inland",
        ),
    ]);
    taken(&[(
        MISSION,
        "sound_speed: as set",
        "sound_speed: as set\n  salinity: 0.03 %",
    )]);
}

#[test]
fn days_that_cannot_be() {
    let cast = |day: &str| {
        format!(
            "land_height: 12 m\ncasts:\n  - {{ at: [52.400600, -24.307900], depth: 6.5 m, measured: {day} }}\n"
        )
    };
    let (later, long_ago) = (cast("2028-05-02"), cast("1950-05-02"));
    let land = "land_height: 12 m\n";
    refused(&[
        (
            SITE,
            "surveyed: 2026-09-03",
            "surveyed: 2030-09-03",
            "after the launch",
        ),
        (
            SITE,
            "surveyed: 2026-09-03",
            "surveyed: 1950-09-03",
            "years before the launch",
        ),
        (
            SITE,
            "surveyed: 2026-09-10",
            "surveyed: 2030-09-10",
            "after the launch",
        ),
        (
            SITE,
            "read: 2027-06-14",
            "read: 2028-06-14",
            "after the launch",
        ),
        (SITE, land, &later, "after the launch"),
        (SITE, land, &long_ago, "years before the launch"),
        (
            VESSEL,
            "date: 2027-04-22",
            "date: 2029-04-22",
            "after the launch",
        ),
        (
            VESSEL,
            "capacity_tested: 2027-04-10",
            "capacity_tested: 2029-04-10",
            "after the launch",
        ),
    ]);
    let own = mission(NORTH);
    taken(&[(
        own.as_str(),
        "time: 2027-06-15T09:30",
        "time: 2027-06-15T09:35",
    )]);
}

#[test]
fn a_lost_position_is_not_noticed_at_once() {
    refused(&[(
        MISSION,
        "on_lost_position: { action: stop, after: 5 s }",
        "on_lost_position: { action: stop, after: 0.1 s }",
        "the time from one fix to the next",
    )]);
}
