//! The internal resistance of the pack, out of its voltage at different currents and like charge.

use super::driving_power::CONDITION;
use super::estimate::{Estimate, Kept};
use super::figure::Figure;
use super::power::WIDEST;
use super::squares::{NoFit, least_squares};
use super::stretch::Stretch;
use crate::plan::vessel::Vessel;

/// Fewest stretches of a piece that is used.
const STRETCHES: usize = 8;
/// Least ratio of the greatest current of a piece to the least.
const CURRENTS: f64 = 1.5;
/// Least range of a piece's voltage as a share of its mean.
const VOLTAGES: f64 = 0.01;
/// Greatest share of the capacity that a piece may draw, so that a parabola follows its rest.
const CHARGE: f64 = 0.4;

/// What became of the resistance.
pub(super) struct Resistances {
    /// The estimate, or why there is none.
    pub found: Result<Estimate, Kept>,
    /// Stretches that it rests on.
    pub stretches: usize,
}

/// Fits the resistance: within a piece without a gap, U = a + b q + c q² − I R, with q the charge drawn
/// so far. The parabola stands for the resting voltage, so that neither its curve nor the charge at
/// launch needs to be known.
#[must_use]
pub(super) fn fit(stretches: &[Stretch], vessel: &Vessel) -> Resistances {
    let kept = |why: String| Resistances {
        found: Err(Kept {
            figure: Figure::Resistance,
            why,
            run: super::CURRENTS,
        }),
        stretches: 0,
    };
    let mut pieces: Vec<Vec<&Stretch>> = Vec::new();
    for stretch in stretches.iter().filter(|one| one.drawn.is_some()) {
        match pieces.last_mut() {
            Some(piece) if piece[0].piece == stretch.piece => piece.push(stretch),
            _ => pieces.push(vec![stretch]),
        }
    }
    let usable = |piece: &Vec<&Stretch>| unusable(piece, vessel).is_none();
    let first_why = pieces.iter().find_map(|piece| unusable(piece, vessel));
    pieces.retain(usable);
    if pieces.is_empty() {
        return kept(first_why.unwrap_or_else(|| {
            "no piece of a run has its current recorded throughout".to_owned()
        }));
    }
    let used: Vec<&Stretch> = pieces.iter().flatten().copied().collect();
    let mut columns = Vec::new();
    for piece in &pieces {
        let number = piece[0].piece;
        let charges: Vec<f64> = piece.iter().filter_map(|one| charge(one)).collect();
        let middle = 0.5 * (charges[0] + charges[charges.len() - 1]);
        let half = (0.5 * (charges[charges.len() - 1] - charges[0])).max(f64::MIN_POSITIVE);
        // Legendre's polynomials, nearly at right angles to one another.
        for power in 0..3 {
            let column = used.iter().map(|one| {
                let q = charge(one).map_or(0.0, |charge| (charge - middle) / half);
                match (one.piece == number, power) {
                    (false, _) => 0.0,
                    (true, 0) => 1.0,
                    (true, 1) => q,
                    (true, _) => 1.5 * q * q - 0.5,
                }
            });
            columns.push(column.collect::<Vec<f64>>());
        }
    }
    columns.push(used.iter().map(|one| -one.current.get()).collect());
    let index = columns.len() - 1;
    let volts: Vec<f64> = used.iter().map(|one| one.voltage.get()).collect();
    let legs: Vec<usize> = used.iter().map(|one| one.leg).collect();
    let fit = match least_squares(&columns, &volts, &legs) {
        Ok(fit) => fit,
        Err(NoFit::TooFew) => {
            return kept(format!(
                "{} stretches on so few legs do not show it",
                used.len()
            ));
        }
        Err(_) => return kept("voltage and current do not show it".to_owned()),
    };
    if fit.condition > CONDITION {
        return kept(format!(
            "current and charge changed together: condition number {:.0} (limit: at most \
             {CONDITION})",
            fit.condition
        ));
    }
    let (value, (low, high)) = (fit.estimates[index], fit.interval(index));
    if value <= 0.0 {
        return kept(
            "the voltage does not fall as the current rises; the current may have the wrong sign"
                .to_owned(),
        );
    }
    let share = (high - value) / value;
    if share > WIDEST {
        return kept(format!(
            "its interval is ± {:.0} % of it (limit: at most ± {:.0} %)",
            100.0 * share,
            100.0 * WIDEST
        ));
    }
    Resistances {
        found: Ok(Estimate {
            figure: Figure::Resistance,
            stated: Figure::Resistance.stated(vessel),
            value,
            low,
            high,
            by_wind: None,
        }),
        stretches: used.len(),
    }
}

fn charge(stretch: &Stretch) -> Option<f64> {
    stretch.drawn.map(|drawn| drawn.get())
}

/// Why a piece does not tell the resistance, if it does not.
fn unusable(piece: &[&Stretch], vessel: &Vessel) -> Option<String> {
    if piece.len() < STRETCHES {
        return Some(format!(
            "no unbroken piece of a run has {STRETCHES} steady stretches or more"
        ));
    }
    let range = |of: &dyn Fn(&Stretch) -> f64| {
        let values = piece.iter().map(|one| of(one));
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
            (low.min(one), high.max(one))
        })
    };
    let current = range(&|one| one.current.get());
    if current.1 < CURRENTS * current.0 {
        return Some(format!(
            "the current was about the same throughout, {:.2} to {:.2} A",
            current.0, current.1
        ));
    }
    let voltage = range(&|one| one.voltage.get());
    if voltage.1 - voltage.0 < VOLTAGES * voltage.1 {
        return Some(format!(
            "the voltage hardly changed, {:.2} to {:.2} V",
            voltage.0, voltage.1
        ));
    }
    let drawn = range(&|one| charge(one).unwrap_or(0.0));
    let capacity = vessel.battery.capacity.value.get();
    if drawn.1 - drawn.0 > CHARGE * capacity {
        return Some(format!(
            "a piece draws more than {:.0} % of the capacity, over which the resting voltage is \
             not a parabola",
            100.0 * CHARGE
        ));
    }
    None
}
