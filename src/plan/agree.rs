//! What a mission and its vessel state that cannot both hold.

use super::actions::Threshold;
use super::mission::{LinkUse, Mission};
use super::radio::Link;
use super::vessel::Vessel;
use crate::schema::{Fields, Problem};

/// A plan that counts on soundings logged aboard needs a sounder that records them there.
pub(super) fn soundings_are_recorded(fields: Fields<'_>, mission: &Mission, vessel: &Vessel) {
    let logged = mission
        .link_use(Link::SonarData)
        .filter(|usage| usage.value == LinkUse::LoggedAboard);
    let sonar = vessel.sonar.as_ref().map(|sonar| &sonar.records_aboard);
    let ashore = sonar.filter(|aboard| !aboard.value);
    if let (Some(usage), Some(ashore)) = (logged, ashore) {
        fields.problem(
            Problem::value(
                usage.span(),
                "the soundings are not logged aboard: the vessel's sonar records ashore",
            )
            .with(ashore.span(), "recorded ashore")
            .help("write `sonar-data: needed`, or record aboard"),
        );
    }
}

/// A low-battery voltage is that of the pack: one below the cut-off never fires, and one of a cell is the
/// usual slip. What lies nearer the cut-off is judged by the rules.
pub(super) fn threshold_is_the_packs(fields: Fields<'_>, mission: &Mission, vessel: &Vessel) {
    let Some(Threshold::Voltage(voltage)) =
        mission.on_low_battery.as_ref().map(|low| &low.threshold)
    else {
        return;
    };
    let battery = &vessel.battery;
    let cells = f64::from(battery.cells.value);
    let chemistry = battery.chemistry.value;
    let (one, most) = (voltage.value, chemistry.open_circuit_voltage(1.0));
    if battery.cells.value < 2 || one >= battery.cut_off.value || one > most {
        return;
    }
    fields.problem(
        Problem::value(
            voltage.span(),
            format!(
                "`below_voltage` is {one}, below the cut-off of {}, so it never fires; was the voltage of one \
                 cell meant?",
                battery.cut_off.value
            ),
        )
        .labelled("acts below this voltage of the pack")
        .with(battery.cut_off.span(), "the cut-off")
        .with(battery.cells.span(), "cells in series")
        .help(format!(
            "write the voltage of the pack: {} cells at {one} are {}",
            battery.cells.value,
            one * cells
        )),
    );
}
