//! What a vessel file can have wrong. A mission that names such a vessel is not checked, and says
//! so on its own line.

use super::cases::{Case, case, run};
use super::tree::{Files, VESSEL, mission};

const ID: &str = "long-run-downwind";

fn told(cases: Vec<Case>) -> String {
    let mut base = Files::demo(&[ID]);
    base.edit(&mission(ID), "vessel: goosander", "vessel: §goosander");
    run(&base, &cases)
}

fn one(name: &'static str, from: &str, to: &str) -> Case {
    case(name, VESSEL, from, to)
}

#[test]
fn figures() {
    let told = told(vec![
        one("a misspelt field", "drag_coefficient:", "§drag_coeficient:"),
        one(
            "a missing field",
            "  draft: 0.15 m # to the lower edge of the propeller guards\n",
            "",
        )
        .and(VESSEL, "hull:", "§hull:"),
        one(
            "a missing part",
            "hotel_load: 9 W # computer, radios, receiver, echo sounder\n",
            "",
        )
        .and(VESSEL, "kind: vessel", "§kind: vessel"),
        one(
            "a roll that is stated twice",
            "roll_period: 0.6 s",
            "metacentric_height: §0.4 m\n  roll_period: 0.6 s",
        ),
        one(
            "a roll of no time",
            "roll_period: 0.6 s",
            "roll_period: §0 s",
        ),
        one(
            "a limit of gusts below that of the wind",
            "  gust: 12 m/s",
            "  gust: §7 m/s",
        ),
        one(
            "waves of no height as a limit",
            "wave_height: 0.15 m",
            "wave_height: §0 m",
        ),
        one(
            "limits that say nothing",
            "limits: # tried off the slip with the rowing boat beside\n  wave_height: 0.15 m\n  wind: 8 m/s\n  gust: 12 m/s\n",
            "§limits: {}\n",
        ),
        one("a bare number", "displacement: 20 kg", "displacement: §20"),
        one(
            "a bare number for an area",
            "frontal_area: 0.08 m2",
            "frontal_area: §0.08",
        ),
        one(
            "another dimension",
            "maximum_power: 180 W",
            "maximum_power: §180 Wh",
        ),
        one(
            "a mass of nothing",
            "displacement: 20 kg",
            "displacement: §0 kg",
        ),
        one(
            "a mass past any boat's",
            "displacement: 20 kg",
            "displacement: §20000000 kg",
        ),
        one(
            "a speed of sound in air",
            "sound_speed: 1480 m/s",
            "sound_speed: §340 m/s",
        ),
        one("a negative length", "beam: 0.45 m", "beam: §-0.45 m"),
        one(
            "an efficiency past one",
            "motor_efficiency: 70 %",
            "motor_efficiency: §170 %",
        ),
        one(
            "a coefficient of nothing",
            "drag_coefficient: 0.9",
            "drag_coefficient: §0",
        ),
        one(
            "a coefficient past any shape's",
            "drag_coefficient: 0.9",
            "drag_coefficient: §9",
        ),
        one(
            "a coefficient in words",
            "drag_coefficient: 0.9",
            "drag_coefficient: §small",
        ),
        one(
            "a coefficient that is not a number",
            "drag_coefficient: 0.9",
            "drag_coefficient: §.nan",
        ),
        one(
            "a leeway less than any craft's",
            "leeway: 4 %",
            "leeway: §0.5 %",
        ),
        one(
            "a leeway that is a speed",
            "leeway: 4 %",
            "leeway: §0.3 m/s",
        ),
    ]);
    insta::assert_snapshot!(told);
}

/// Two figures of a boat that are not true together, and figures past what there is. Volumes and
/// energies worked out by hand: 1.2 m × 0.45 m × 0.15 m is 81 litres, and 600 Ah at some 3.7 V on four
/// cells is 8.8 kWh.
#[test]
fn figures_that_no_boat_has() {
    let told = told(vec![
        one(
            "more mass than the hull floats",
            "displacement: 20 kg",
            "displacement: §84.1 kg",
        ),
        one(
            "a mass a thousand times too small",
            "displacement: 20 kg",
            "displacement: §0.020 kg",
        ),
        one(
            "a length in kilometres",
            "length_overall: 1.20 m",
            "length_overall: §1.20 km",
        ),
        one(
            "a battery that weighs more than the boat",
            "measured_capacity: 9.3 Ah",
            "measured_capacity: §600 Ah",
        ),
        one(
            "a pack of next to no resistance",
            "internal_resistance: 60 mohm",
            "internal_resistance: §0.060 mohm",
        ),
        one(
            "a windage in the wrong unit",
            "frontal_area: 0.08 m2",
            "frontal_area: §0.00008 m2",
        ),
        one(
            "a transmitter of a power station",
            "transmit_power: 14 dBm",
            "transmit_power: §114 dBm",
        ),
        one(
            "a receiver below the thermal noise",
            "    sensitivity: -103 dBm\n",
            "    sensitivity: §-203 dBm\n",
        ),
        one(
            "an antenna in the clouds",
            "antenna: { gain: 2 dBi, height: 0.5 m, polarisation: vertical }",
            "antenna: { gain: 2 dBi, height: §3 km, polarisation: vertical }",
        ),
        one(
            "a position in millimetres",
            "position_error: 2.0 m",
            "position_error: §2 mm",
        ),
        one(
            "a track in millimetres",
            "cross_track_error: 2.0 m",
            "cross_track_error: §2 mm",
        ),
        one(
            "a storm as a limit",
            "  wind: 8 m/s\n  gust: 12 m/s",
            "  wind: §70 m/s\n  gust: §100 m/s",
        ),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn propulsion() {
    let points = "    points:\n";
    let told = told(vec![
        one(
            "speeds that do not rise",
            "speed: 0.8 m/s, power: 15 W",
            "§speed: 0.6 m/s, power: 15 W",
        ),
        one(
            "powers that do not rise",
            "speed: 0.8 m/s, power: 15 W",
            "§speed: 0.8 m/s, power: 5 W",
        ),
        one(
            "a point without power",
            "{ speed: 0.8 m/s, power: 15 W }",
            "{ §speed: 0.8 m/s }",
        ),
        one("a power of nothing", "power: 15 W", "power: §0 W"),
        one(
            "one point",
            points,
            "    points: §[{ speed: 0.4 m/s, power: 2.1 W }]\n    rest:\n",
        )
        .and(VESSEL, "    rest:", "    §rest:"),
        one(
            "a day that is none",
            "date: 2027-04-22",
            "date: §last spring",
        ),
        one("neither a trial nor a model", "  trial:\n", "  §tryal:\n").and(
            VESSEL,
            "propulsion:",
            "§propulsion:",
        ),
        one(
            "a trial and a model",
            "  maximum_power:",
            "  resistance: { form_factor: 0.2, residuary_coefficient: 0.01 }\n  maximum_power:",
        )
        .and(VESSEL, "propulsion:", "§propulsion:"),
        one(
            "a model with a negative form factor",
            "  trial:\n",
            "  resistance: { form_factor: §-0.2, residuary_coefficient: 0.01 }\n  §tryal:\n",
        ),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn battery() {
    let gauge = "    counts: charge\n    capacity_set: 9.0 Ah\n";
    let told = told(vec![
        one(
            "a cut-off above the full pack",
            "cut_off_voltage: 12.8 V",
            "cut_off_voltage: §18 V",
        ),
        one(
            "an unknown chemistry",
            "chemistry: nmc",
            "chemistry: §nickel",
        ),
        one(
            "part of a cell",
            "cells_in_series: 4",
            "cells_in_series: §4.5",
        ),
        one("no cells", "cells_in_series: 4", "cells_in_series: §0"),
        one(
            "cells as text",
            "cells_in_series: 4",
            "cells_in_series: §'4'",
        ),
        one(
            "energy for charge",
            "nominal_capacity: 10 Ah",
            "nominal_capacity: §148 Wh",
        ),
        one(
            "more than healthy",
            "state_of_health: 93 %",
            "state_of_health: §193 %",
        ),
        one(
            "a day that is none",
            "capacity_tested: 2027-04-10",
            "capacity_tested: §2027-04-31",
        ),
        one(
            "a gauge that counts charge of no capacity",
            "    capacity_set: 9.0 Ah\n",
            "",
        )
        .and(VESSEL, "  gauge:", "  §gauge:"),
        one(
            "a gauge that is full below empty",
            gauge,
            "    counts: voltage\n    empty: 4.2 V\n    full: §3.5 V\n",
        ),
        one(
            "a gauge of voltage without a scale",
            gauge,
            "    counts: voltage\n    empty: 3.5 V\n",
        )
        .and(VESSEL, "  gauge:", "  §gauge:"),
        one(
            "a gauge with the scale of another",
            gauge,
            "    counts: charge\n    capacity_set: 9.0 Ah\n    empty: §3.5 V\n",
        ),
        one(
            "a gauge with the capacity of another",
            gauge,
            "    counts: voltage\n    empty: 3.5 V\n    full: 4.2 V\n    capacity_set: §9.0 Ah\n",
        ),
        one(
            "a gauge that counts something else",
            "counts: charge",
            "counts: §time",
        ),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn radios() {
    let told = told(vec![
        one(
            "two radios for one link",
            "- link: telemetry",
            "- link: §control",
        ),
        one("an unknown link", "- link: telemetry", "- link: §telemetri"),
        one(
            "a power in watts",
            "transmit_power: 14 dBm",
            "transmit_power: §25 mW",
        ),
        one(
            "a level for a power",
            "transmit_power: 14 dBm",
            "transmit_power: §14 dB",
        ),
        one(
            "a frequency of nothing",
            "frequency: 868 MHz",
            "frequency: §0 MHz",
        ),
        one(
            "an antenna below the water",
            "antenna: { gain: 2 dBi, height: 0.5 m, polarisation: vertical }",
            "antenna: { gain: 2 dBi, height: §-0.5 m, polarisation: vertical }",
        ),
        one(
            "an antenna of no gain",
            "antenna: { gain: 2 dBi, height: 0.5 m, polarisation: vertical }",
            "§antenna: { height: 0.5 m }",
        ),
        one(
            "a beam aboard",
            "antenna: { gain: 2 dBi, height: 0.5 m, polarisation: vertical }",
            "antenna: { gain: 2 dBi, height: 0.5 m, §beamwidth: 60° }",
        ),
        one(
            "negative losses",
            "    losses: 0 dB # the antennas",
            "    losses: §-1 dB # the antennas",
        ),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn lights() {
    let put = |name, to: &str| one(name, "lights: []", to);
    let told = told(vec![
        put(
            "a light of no kind that is known",
            "lights: [{ kind: §strobe, arc: 360°, range: 2 nmi }]",
        ),
        put(
            "a light without its arc",
            "lights: [{ §kind: all-round white, range: 2 nmi }]",
        ),
        put(
            "an arc past the whole horizon",
            "lights: [{ kind: stern, arc: §400°, range: 2 nmi }]",
        ),
        put(
            "a range of nothing",
            "lights: [{ kind: stern, arc: 135°, range: §0 m }]",
        ),
        put("a light by itself", "lights: §all-round white"),
    ]);
    insta::assert_snapshot!(told);
}
