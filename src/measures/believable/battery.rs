//! The battery's figures against one another and against what packs like it have.

use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::models::believable::cell_resistance;
use crate::passage::Passage;
use crate::plan::vessel::CalmForm;
use crate::units::{Power, Ratio, Resistance, Speed};

pub(super) fn over_nominal(passage: &Passage<'_>) -> Measured {
    let battery = &passage.plan.vessel.battery;
    let (capacity, nominal) = (&battery.capacity, &battery.nominal);
    let share = capacity.value / nominal.value;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the battery's capacity as a share of the nominal one",
        evidence::label(capacity.span(), format!("capacity {}", capacity.value)),
    );
    known.because = vec![evidence::label(
        nominal.span(),
        format!("nominal {}", nominal.value),
    )];
    known.steps = vec![format!(
        "{} / {} = {}",
        capacity.value,
        nominal.value,
        evidence::share(share)
    )];
    known
}

pub(super) fn health(passage: &Passage<'_>) -> Vec<Measurement> {
    let battery = &passage.plan.vessel.battery;
    let Some(health) = &battery.health_beside else {
        return Vec::new();
    };
    let measured = battery.capacity.value / battery.nominal.value;
    let error = (measured - health.value.get()).abs();
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(error)),
        "the difference between the state of health and the measured capacity",
        evidence::label(health.span(), format!("state of health {}", health.value)),
    );
    known.because = vec![
        evidence::label(
            battery.capacity.span(),
            format!("measured {}", battery.capacity.value),
        ),
        evidence::label(
            battery.nominal.span(),
            format!("nominal {}", battery.nominal.value),
        ),
    ];
    known.steps = vec![format!(
        "{} / {} = {}; {} stated",
        battery.capacity.value,
        battery.nominal.value,
        evidence::share(measured),
        health.value
    )];
    evidence::of_mission(Ok(known))
}

pub(super) fn over_least(passage: &Passage<'_>) -> Measured {
    let (least, _) = cell_resistance(passage.plan.vessel.battery.chemistry.value);
    resistance(passage, least, "least")
}

pub(super) fn over_most(passage: &Passage<'_>) -> Measured {
    let (_, most) = cell_resistance(passage.plan.vessel.battery.chemistry.value);
    resistance(passage, most, "greatest")
}

fn resistance(passage: &Passage<'_>, product: f64, which: &str) -> Measured {
    let battery = &passage.plan.vessel.battery;
    let ampere_hours = battery.capacity.value.get() / 3600.0;
    let cells = battery.cells.value;
    let of_such = Resistance::ohms(product * f64::from(cells) / ampere_hours);
    let stated = &battery.resistance;
    let share = stated.value / of_such;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!("the battery's internal resistance as a share of the {which} for such a pack"),
        evidence::label(stated.span(), format!("resistance {}", stated.value)),
    );
    known.because = vec![
        evidence::label(battery.cells.span(), format!("{cells} cells in series")),
        evidence::label(
            battery.capacity.span(),
            format!("capacity {}", battery.capacity.value),
        ),
        evidence::label(
            battery.chemistry.span(),
            format!("the {which} of such a cell: {product} Ω Ah"),
        ),
    ];
    known.steps = vec![
        format!(
            "{product} Ω Ah × {cells} cells / {} = {of_such}",
            battery.capacity.value
        ),
        format!("{} / {of_such} = {}", stated.value, evidence::share(share)),
    ];
    known
}

/// The greatest power of the trial against what the pack gives when it is full and warm.
pub(super) fn trial(passage: &Passage<'_>) -> Vec<Measurement> {
    let vessel = &passage.plan.vessel;
    let CalmForm::Trial(table) = &vessel.propulsion.calm.value else {
        return Vec::new();
    };
    let (speed, power) = table.points().last().unwrap_or((Speed::ZERO, Power::ZERO));
    let battery = &vessel.battery;
    let full = battery.chemistry.value.open_circuit_voltage(1.0) * f64::from(battery.cells.value);
    let terminal = battery.cut_off.value.max(full * 0.5);
    let amperes = (full - terminal).get() / battery.resistance.value.get();
    let gives = Power::watts(amperes * terminal.get());
    let asked = power + vessel.hotel_load.value;
    let share = (asked / gives).min(100.0);
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the greatest power of the trial as a share of the full battery's",
        evidence::label(
            vessel.propulsion.calm.span(),
            format!("{power} at {speed} in the trial"),
        ),
    );
    known.because = vec![
        evidence::label(
            vessel.hotel_load.span(),
            format!("and {} beside it", vessel.hotel_load.value),
        ),
        evidence::label(
            battery.resistance.span(),
            format!("resistance {}", battery.resistance.value),
        ),
        evidence::label(
            battery.cut_off.span(),
            format!("cuts out at {}", battery.cut_off.value),
        ),
    ];
    known.steps = vec![
        format!(
            "full: {full}; down to {terminal} over {} it gives {gives}",
            battery.resistance.value
        ),
        format!(
            "({power} + {}) / {gives} = {}",
            vessel.hotel_load.value,
            evidence::share(share)
        ),
    ];
    evidence::of_mission(Ok(known))
}
