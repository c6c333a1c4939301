//! Figures of a vessel that cannot be true together: one of them is a slip.

use super::{Battery, Hull, Windage};
use crate::schema::{Fields, Problem};
use crate::units::{Area, Length, Mass, Resistance};

/// The densest water that a boat floats in, kg/m³: that of a warm sea of 4.5 % salt is less.
const DENSEST: f64 = 1035.0;
/// The least share of the box around its immersed hull that a boat fills, two or three slim hulls wide
/// apart among them. Common practice, no source.
const LEAST_FILLED: f64 = 0.02;
/// What the cells that are sold hold at most, Wh per kilogram of their own mass. From memory; common
/// practice, no source.
const MOST_SPECIFIC: f64 = 300.0;
/// The least resistance of a cell times its capacity, Ω Ah: a cell of 5 Ah that is made for the
/// greatest currents has some 1.5 mΩ, eight times as much. Common practice, no source.
const LEAST_RESISTANCE: f64 = 0.001;
/// The least height above the water of what the wind presses on, over the whole beam, m. Common
/// practice, no source.
const LEAST_HEIGHT: f64 = 0.01;

/// Tells of every two figures that cannot be true together.
pub(super) fn check(
    file: Fields<'_>,
    hull: &Hull,
    windage: Option<&Windage>,
    battery: Option<&Battery>,
) {
    let floats = displacement(file, hull);
    if let Some(windage) = windage {
        frontal_area(file, hull, windage);
    }
    if let Some(battery) = battery {
        if floats {
            energy(file, hull, battery);
        }
        resistance(file, battery);
    }
}

/// A hull displaces no more than the box around what of it is in the water (Archimedes), and fills
/// some of it. Whether it can.
fn displacement(file: Fields<'_>, hull: &Hull) -> bool {
    if !proportions(file, hull) {
        return false;
    }
    // The longer of the two, whichever it is: each is a length that the hull has.
    let (name, stated_length) = match hull.length_overall.value > hull.waterline_length.value {
        true => ("length_overall", &hull.length_overall),
        false => ("waterline_length", &hull.waterline_length),
    };
    let length: Length = stated_length.value;
    let (beam, draft) = (hull.beam.value, hull.draft.value);
    let volume = length.get() * beam.get() * draft.get();
    let stated = hull.displacement.value;
    let (most, least) = (volume * DENSEST, volume * 1000.0 * LEAST_FILLED);
    let about = format!("a hull of `{name}` {length}, `beam` {beam} and `draft` {draft}");
    let text = if stated.get() > most {
        let most = Mass::kilograms(most);
        format!("`displacement` is {stated}, and {about} displaces {most} at most")
    } else if stated.get() < least {
        let least = Mass::kilograms(least);
        format!("`displacement` is {stated}, and {about} displaces {least} at least")
    } else {
        return true;
    };
    file.problem(
        Problem::value(hull.displacement.span(), text)
            .with(stated_length.span(), "the length")
            .with(hull.beam.span(), "the beam")
            .with(hull.draft.span(), "the draught")
            .help("one of the four is a slip: look at their units and decimal points"),
    );
    false
}

/// No hull is wider than it is long, nor as deep as that. Common practice, no source. Whether this one
/// is neither.
fn proportions(file: Fields<'_>, hull: &Hull) -> bool {
    let length = &hull.length_overall;
    let mut sound = true;
    for (name, figure) in [("beam", &hull.beam), ("draft", &hull.draft)] {
        if figure.value > length.value {
            let text = format!(
                "`{name}` is {}, more than the whole length of the hull, {}",
                figure.value, length.value
            );
            file.problem(
                Problem::value(figure.span(), text)
                    .with(length.span(), "the length")
                    .help("look at the units and decimal points of both"),
            );
            sound = false;
        }
    }
    sound
}

/// The wind presses on something over the whole beam.
fn frontal_area(file: Fields<'_>, hull: &Hull, windage: &Windage) {
    let least = hull.beam.value.get() * LEAST_HEIGHT;
    let stated = &windage.frontal_area;
    if stated.value.get() < least {
        let text = format!(
            "`frontal_area` is {}, less than a deck one centimetre above the water over a beam of {}, {}",
            stated.value,
            hull.beam.value,
            Area::square_metres(least)
        );
        let problem = Problem::value(stated.span(), text);
        file.problem(problem.with(hull.beam.span(), "the beam"));
    }
}

/// No boat carries a battery that holds more than cells of its whole mass do.
fn energy(file: Fields<'_>, hull: &Hull, battery: &Battery) {
    let energy = battery.full_energy();
    let mass = hull.displacement.value;
    if energy.get() / 3600.0 > mass.get() * MOST_SPECIFIC {
        let text = format!(
            "this capacity makes {energy} in a boat of {mass}, more than cells of its whole mass hold, \
             {MOST_SPECIFIC} Wh/kg"
        );
        file.problem(
            Problem::value(battery.capacity.span(), text)
                .with(hull.displacement.span(), "the whole mass")
                .with(battery.cells.span(), "cells in series"),
        );
    }
}

/// A cell resists the more the less it holds.
fn resistance(file: Fields<'_>, battery: &Battery) {
    let ampere_hours = battery.capacity.value.get() / 3600.0;
    let least = LEAST_RESISTANCE * f64::from(battery.cells.value) / ampere_hours;
    let stated = &battery.resistance;
    if stated.value.get() < least {
        let text = format!(
            "`internal_resistance` is {}, and no pack of {} cells and {} has less than {}",
            stated.value,
            battery.cells.value,
            battery.capacity.value,
            Resistance::ohms(least)
        );
        file.problem(
            Problem::value(stated.span(), text)
                .with(battery.capacity.span(), "the capacity")
                .with(battery.cells.span(), "cells in series"),
        );
    }
}
