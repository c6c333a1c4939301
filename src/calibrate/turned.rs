//! Whether winds were turned round: where a wind comes from taken for where it blows to.

use super::air::{Change, at_hull};
use super::driving_power::{DrivingPower, STRETCHES};
use super::figure::Figure;
use super::squares::least_squares;
use super::stretch::Stretch;
use super::wind::Wind;
use crate::models::OutsideValidity;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::units::Power;

/// Turned round, runs leave less than this share of the squares unexplained where the winds were turned. P.
const SHARE: f64 = 0.5;

/// Winds that seem to have been turned round.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Turned {
    /// Numbers of the runs.
    pub runs: Vec<usize>,
    /// Root of the mean square that is left unexplained with the winds as given.
    pub given: Power,
    /// And with those turned round.
    pub turned: Power,
}

/// Holds the winds as given against the same turned round, of all runs and of each by itself. A drag is
/// not negative, which else would make up for it.
///
/// # Errors
/// A model outside its validity.
pub(super) fn round(
    stretches: &[Stretch],
    winds: &[Wind],
    boat: (&Vessel, &Site),
) -> Result<Option<Turned>, OutsideValidity> {
    if stretches.len() < STRETCHES {
        return Ok(None);
    }
    let left = |change: &Change<'_>| -> Result<Option<f64>, OutsideValidity> {
        let blown = at_hull(stretches, winds, boat.0, change)?;
        Ok(unexplained(&DrivingPower::from_stretches(
            stretches, &blown, boat,
        )?))
    };
    let Some(given) = left(&Change::NONE)? else {
        return Ok(None);
    };
    let mut runs: Vec<usize> = stretches.iter().map(|one| one.run).collect();
    runs.dedup();
    let mut sets = vec![runs.clone()];
    if runs.len() > 1 {
        sets.extend(runs.into_iter().map(|run| vec![run]));
    }
    let mut best: Option<(f64, Vec<usize>)> = None;
    for runs in sets {
        let of = |run: usize| runs.contains(&run);
        let turned = left(&Change::turning(&of))?;
        if let Some(turned) = turned.filter(|turned| *turned < SHARE * given)
            && best.as_ref().is_none_or(|(held, _)| turned < *held)
        {
            best = Some((turned, runs));
        }
    }
    let root = |squares: f64| Power::watts((squares / stretches.len() as f64).sqrt());
    Ok(best.map(|(turned, runs)| Turned {
        runs,
        given: root(given),
        turned: root(turned),
    }))
}

/// The sum of the squares that hotel load, hull and a drag of nothing or more leave unexplained.
fn unexplained(asked: &DrivingPower) -> Option<f64> {
    let drawn = asked.measured.iter().zip(&asked.fixed);
    let values: Vec<f64> = drawn.map(|(drawn, fixed)| drawn - fixed).collect();
    let alone: Vec<usize> = (0..values.len()).collect();
    let of = |columns: &[Vec<f64>]| least_squares(columns, &values, &alone).ok();
    let sum = |residuals: &[f64]| residuals.iter().map(|one| one * one).sum::<f64>();
    let all: Vec<Vec<f64>> = asked
        .columns
        .iter()
        .map(|(_, column)| column.clone())
        .collect();
    let drag = asked
        .columns
        .iter()
        .position(|(figure, _)| *figure == Figure::Drag)?;
    match of(&all) {
        Some(fit) if fit.estimates[drag] >= 0.0 => Some(sum(&fit.residuals)),
        _ => {
            let without: Vec<Vec<f64>> = all
                .into_iter()
                .enumerate()
                .filter(|(index, _)| *index != drag)
                .map(|(_, column)| column)
                .collect();
            of(&without).map(|fit| sum(&fit.residuals))
        }
    }
}
