//! Figures of a vessel that cannot be true together: one of them is a slip.

use super::{Battery, Hull, Navigation, Roll, Windage};
use crate::models::battery::Chemistry;
use crate::models::stability::roll_period;
use crate::schema::{Fields, Problem};
use crate::units::{Area, Length, Mass, Resistance};

/// The densest water that a boat floats in, kg/m³: that of a warm sea of 4.5 % salt is less.
const DENSEST: f64 = 1035.0;
/// The least share of the box around its immersed hull that a boat fills. One hull fills 0.3 of it and
/// more; of two slim hulls wide apart, each a sixth of the beam, with a propeller guard half as deep
/// again, 0.1 is left. Our own proposal.
const LEAST_FILLED: f64 = 0.06;
/// The most of a boat that its battery is. Our own proposal: hull, motors and payload take the other half.
const MOST_BATTERY: f64 = 0.5;
/// The bluntest bow, as a share of the waterline: the added resistance in waves (§6 of the models) was
/// fitted to no blunter one. Our own choice.
pub(super) const BLUNTEST: f64 = 0.1;
/// Metacentric heights over the beam, from the least of a hull that carries something on deck to the
/// most of two hulls wide apart. Our own proposal.
const STIFFNESS: (f64, f64) = (0.01, 2.0);
/// The least radius of a turn, as a share of the length: a boat that turns on the spot sweeps half of its
/// length all the same.
const LEAST_TURN: f64 = 0.5;
/// The least resistance of a cell times its capacity, Ω Ah: a cell of 5 Ah that is made for the
/// greatest currents has some 1.5 mΩ, eight times as much. Common practice, no source.
const LEAST_RESISTANCE: f64 = 0.001;
/// The least height above the water of what the wind presses on, over the whole beam, m: a freeboard of
/// less lets every wave over the deck. Common practice, no source.
const LEAST_HEIGHT: f64 = 0.1;

/// Tells of every two figures that cannot be true together.
pub(super) fn check(
    file: Fields<'_>,
    hull: &Hull,
    windage: Option<&Windage>,
    battery: Option<&Battery>,
) {
    let floats = displacement(file, hull);
    lengths(file, hull);
    if floats {
        stiffness(file, hull);
    }
    if let Some(windage) = windage.filter(|_| floats) {
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
            .help("one of the four is wrong: check their units and decimal points"),
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
                    .help("check the units and decimal points of both"),
            );
            sound = false;
        }
    }
    sound
}

/// A hull is no longer in the water than in all, and its bow no longer than its waterline and not
/// blunter than any.
fn lengths(file: Fields<'_>, hull: &Hull) {
    let (overall, waterline) = (&hull.length_overall, &hull.waterline_length);
    if waterline.value > overall.value {
        let text = format!(
            "`waterline_length` is {}, longer than the boat's length overall, {}",
            waterline.value, overall.value
        );
        let problem = Problem::value(waterline.span(), text);
        file.problem(problem.with(overall.span(), "the length overall"));
    }
    let bow = &hull.bow_length;
    let (least, most) = (waterline.value * BLUNTEST, waterline.value);
    // A hair's breadth, since the least is a product.
    if bow.value < least * (1.0 - 1e-9) || bow.value > most {
        let text = format!(
            "`bow_length` is {}; on a waterline of {most} the bow is between {least}, the bluntest, and \
             as long as that",
            bow.value
        );
        let problem = Problem::value(bow.span(), text);
        file.problem(problem.with(waterline.span(), "the waterline"));
    }
}

/// How a hull rolls follows from its beam and from how stiff it is.
fn stiffness(file: Fields<'_>, hull: &Hull) {
    let Some(roll) = &hull.roll else {
        return;
    };
    let (beam, draft, waterline) = (
        hull.beam.value,
        hull.draft.value,
        hull.waterline_length.value,
    );
    let (least, most) = (beam * STIFFNESS.0, beam * STIFFNESS.1);
    let text = match roll.value {
        Roll::MetacentricHeight(height) if height < least || height > most => format!(
            "`metacentric_height` is {height}; a hull with a beam of {beam} has {least} to {most}"
        ),
        Roll::MetacentricHeight(_) => return,
        Roll::Period(period) => {
            let rolls = |height| roll_period(beam, draft, waterline, height);
            let (Ok(quickest), Ok(slowest)) = (rolls(most), rolls(least)) else {
                return;
            };
            if period >= quickest && period <= slowest {
                return;
            }
            format!(
                "`roll_period` is {period}; a hull with a beam of {beam} rolls in {quickest} to {slowest}"
            )
        }
    };
    let problem = Problem::value(roll.span(), text).with(hull.beam.span(), "the beam");
    file.problem(problem.help("time ten rolls at the pontoon, and state a tenth of that"));
}

/// No boat turns in less than its own length.
pub(super) fn turn(file: Fields<'_>, hull: &Hull, navigation: &Navigation) {
    let length = hull.length_overall.value;
    let least = length * LEAST_TURN;
    let radius = &navigation.turning_radius;
    if radius.value < least {
        let text = format!(
            "`turning_radius` is {}, but a boat {length} long sweeps {least} even when it turns on \
             the spot",
            radius.value
        );
        let problem = Problem::value(radius.span(), text);
        file.problem(problem.with(hull.length_overall.span(), "the length"));
    }
}

/// The wind presses on something over the whole beam, the middle of which is no lower than half as high
/// as the area must be over that beam.
fn frontal_area(file: Fields<'_>, hull: &Hull, windage: &Windage) {
    let least = hull.beam.value.get() * LEAST_HEIGHT;
    let stated = &windage.frontal_area;
    if stated.value.get() < least {
        let text = format!(
            "`frontal_area` is {}, less than a freeboard of 10 cm over a beam of {}, {}",
            stated.value,
            hull.beam.value,
            Area::square_metres(least)
        );
        let problem = Problem::value(stated.span(), text);
        file.problem(problem.with(hull.beam.span(), "the beam"));
    }
    let height = &windage.height;
    let lowest = Length::metres(stated.value.get() / hull.beam.value.get() / 2.0);
    if height.value < lowest * (1.0 - 1e-9) {
        let text = format!(
            "`height` is {}, and the middle of {} over a beam of {} is at least {lowest} above the water",
            height.value, stated.value, hull.beam.value
        );
        let problem = Problem::value(height.span(), text);
        file.problem(problem.with(stated.span(), "the area"));
    }
}

/// What packs hold at most, Wh per kilogram of their own mass, case and wiring left out (from memory;
/// common practice, no source).
const fn most_specific(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::Nmc | Chemistry::Nca => 250.0,
        Chemistry::Lfp => 160.0,
        Chemistry::LeadAcid => 40.0,
    }
}

/// No boat carries a battery that is more than half of it.
fn energy(file: Fields<'_>, hull: &Hull, battery: &Battery) {
    let energy = battery.full_energy();
    let mass = hull.displacement.value;
    let specific = most_specific(battery.chemistry.value);
    if energy.get() / 3600.0 > mass.get() * MOST_BATTERY * specific {
        let pack = Mass::kilograms(energy.get() / 3600.0 / specific);
        let text = format!(
            "this capacity makes {energy}, a battery of {pack} at least ({specific} Wh/kg), more than half \
             of a boat of {mass}"
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
            "`internal_resistance` is {}, but no pack of {} cells and {} has less than {}",
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
