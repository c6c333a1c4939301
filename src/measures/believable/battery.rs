//! The battery's figures against one another and against what packs like it have.

use crate::measures::reading::{Known, Reading};
use crate::measures::tell;
use crate::models::believable::cell_resistance;
use crate::passage::Passage;
use crate::plan::vessel::CalmForm;
use crate::units::{Power, Ratio, Resistance, Speed};

pub(super) fn over_nominal(passage: &Passage<'_>) -> Known {
    let battery = &passage.plan.vessel.battery;
    let (capacity, nominal) = (&battery.capacity, &battery.nominal);
    let share = capacity.value / nominal.value;
    let mut known = Known::of(
        tell::value(Ratio::fraction(share)),
        "the battery's capacity as a share of the nominal one",
        tell::label(capacity.span(), format!("capacity {}", capacity.value)),
    );
    known.because = vec![tell::label(
        nominal.span(),
        format!("nominal {}", nominal.value),
    )];
    known.steps = vec![format!(
        "{} / {} = {}",
        capacity.value,
        nominal.value,
        tell::share(share)
    )];
    known
}

pub(super) fn health(passage: &Passage<'_>) -> Vec<Reading> {
    let battery = &passage.plan.vessel.battery;
    let Some(health) = &battery.health_beside else {
        return Vec::new();
    };
    let measured = battery.capacity.value / battery.nominal.value;
    let error = (measured - health.value.get()).abs();
    let mut known = Known::of(
        tell::value(Ratio::fraction(error)),
        "the difference between the state of health and the measured capacity",
        tell::label(health.span(), format!("state of health {}", health.value)),
    );
    known.because = vec![
        tell::label(
            battery.capacity.span(),
            format!("measured {}", battery.capacity.value),
        ),
        tell::label(
            battery.nominal.span(),
            format!("nominal {}", battery.nominal.value),
        ),
    ];
    known.steps = vec![format!(
        "{} / {} = {}; {} stated",
        battery.capacity.value,
        battery.nominal.value,
        tell::share(measured),
        health.value
    )];
    tell::of_mission(Ok(known))
}

pub(super) fn over_least(passage: &Passage<'_>) -> Known {
    let (least, _) = cell_resistance(passage.plan.vessel.battery.chemistry.value);
    resistance(passage, least, "least")
}

pub(super) fn over_most(passage: &Passage<'_>) -> Known {
    let (_, most) = cell_resistance(passage.plan.vessel.battery.chemistry.value);
    resistance(passage, most, "greatest")
}

fn resistance(passage: &Passage<'_>, product: f64, which: &str) -> Known {
    let battery = &passage.plan.vessel.battery;
    let ampere_hours = battery.capacity.value.get() / 3600.0;
    let cells = battery.cells.value;
    let of_such = Resistance::ohms(product * f64::from(cells) / ampere_hours);
    let stated = &battery.resistance;
    let share = stated.value / of_such;
    let mut known = Known::of(
        tell::value(Ratio::fraction(share)),
        format!(
            "the battery's internal resistance as a share of the {which} that a pack like it has"
        ),
        tell::label(stated.span(), format!("resistance {}", stated.value)),
    );
    known.because = vec![
        tell::label(battery.cells.span(), format!("{cells} cells in series")),
        tell::label(
            battery.capacity.span(),
            format!("capacity {}", battery.capacity.value),
        ),
        tell::label(
            battery.chemistry.span(),
            format!("the {which} of such a cell: {product} Ω Ah"),
        ),
    ];
    known.steps = vec![
        format!(
            "{product} Ω Ah × {cells} cells / {} = {of_such}",
            battery.capacity.value
        ),
        format!("{} / {of_such} = {}", stated.value, tell::share(share)),
    ];
    known
}

/// The greatest power of the trial against what the pack gives when it is full and warm.
pub(super) fn trial(passage: &Passage<'_>) -> Vec<Reading> {
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
    let mut known = Known::of(
        tell::value(Ratio::fraction(share)),
        "the greatest power of the trial as a share of what the full battery gives",
        tell::label(
            vessel.propulsion.calm.span(),
            format!("{power} at {speed} in the trial"),
        ),
    );
    known.because = vec![
        tell::label(
            vessel.hotel_load.span(),
            format!("and {} beside it", vessel.hotel_load.value),
        ),
        tell::label(
            battery.resistance.span(),
            format!("resistance {}", battery.resistance.value),
        ),
        tell::label(
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
            tell::share(share)
        ),
    ];
    tell::of_mission(Ok(known))
}
