//! What each run tells by itself. Runs that are fitted together agree on one answer even where one of
//! them hardly says anything; a figure is made better by runs that each say so.

use super::figure::Figure;
use super::stretch::Stretch;
use super::{Estimate, Wind, pack, power};
use crate::models::OutsideValidity;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;

/// The figures that each run, fitted without the others, tells and finds better than stated; for each
/// wind of a run, in their order.
///
/// # Errors
/// A calm-water model outside its validity.
pub(super) fn better(
    stretches: &[Stretch],
    winds: &[Wind],
    boat: (&Vessel, &Site),
) -> Result<Vec<Vec<Figure>>, OutsideValidity> {
    let mut told = Vec::new();
    for run in 0..winds.len() {
        let of_run = stretches.iter().filter(|one| one.run == run);
        let own: Vec<Stretch> = of_run.copied().collect();
        let mut estimates: Vec<Estimate> = power::fit(&own, winds, boat)?.estimates;
        estimates.extend(pack::fit(&own, boat.0).found.ok());
        let better = estimates.iter().filter(|one| one.value < one.stated);
        told.push(better.map(|one| one.figure).collect());
    }
    Ok(told)
}
