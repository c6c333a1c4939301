//! The battery's cut-off against its cells, and against what the motors ask for.

use crate::measures::evidence;
use crate::measures::reading::Measured;
use crate::passage::{Passage, Variation, boat::Boat};
use crate::units::Ratio;

pub(super) fn cut_off(passage: &Passage<'_>) -> Measured {
    let battery = &passage.plan.vessel.battery;
    let cell = battery.cut_off.value / f64::from(battery.cells.value);
    let least = battery.chemistry.value.least_voltage();
    let over = cell - least;
    let mut known = Measured::new(
        evidence::value(over),
        "the cut-off voltage per cell, above the lowest that the cell tolerates,",
        evidence::label(
            battery.cut_off.span(),
            format!("cuts out at {}", battery.cut_off.value),
        ),
    );
    known.because = vec![
        evidence::label(
            battery.cells.span(),
            format!("{} cells in series", battery.cells.value),
        ),
        evidence::label(
            battery.chemistry.span(),
            format!("a cell tolerates no less than {least}"),
        ),
    ];
    known.steps = vec![format!(
        "{} / {} = {cell} a cell; {cell} − {least} = {over}",
        battery.cut_off.value, battery.cells.value
    )];
    known
}

pub(super) fn full_power(passage: &Passage<'_>) -> Measured {
    let vessel = &passage.plan.vessel;
    let battery = &vessel.battery;
    let pack = Boat::from_plan(passage.plan, &Variation::default()).pack;
    let state = 1.0 - battery.usable.value.get();
    let gives = pack.available_power(state);
    let motors = &vessel.propulsion.maximum_power;
    let hotel = &vessel.hotel_load;
    let asked = motors.value + hotel.value;
    // A pack without resistance gives whatever is requested; a finite figure is reported all the same.
    let share = (gives / asked).min(100.0);
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the power that the battery gives at the end of its usable energy, as a share of full \
         power,",
        evidence::label(motors.span(), format!("maximum power {}", motors.value)),
    );
    known.because = vec![
        evidence::label(hotel.span(), format!("and {} beside it", hotel.value)),
        evidence::label(
            battery.cut_off.span(),
            format!("cuts out at {}", battery.cut_off.value),
        ),
        evidence::label(
            battery.resistance.span(),
            format!("resistance {}", battery.resistance.value),
        ),
    ];
    known.steps = vec![
        format!(
            "open-circuit voltage at {} charge: {}",
            evidence::share(state),
            pack.open_circuit_voltage(state)
        ),
        format!(
            "down to {} over {} it gives {gives}",
            battery.cut_off.value, battery.resistance.value
        ),
        format!(
            "{gives} / ({} + {}) = {}",
            motors.value,
            hotel.value,
            evidence::share(share)
        ),
    ];
    known.assumptions = battery
        .usable
        .assumption()
        .map(str::to_owned)
        .into_iter()
        .collect();
    known
}
