//! A fit held against what it was not fitted to.

use std::collections::BTreeMap;

use super::driving_power::{CONDITION, DrivingPower};
use super::figure::Figure;
use super::stretch::Stretch;
use crate::plan::vessel::Vessel;
use crate::units::Power;

/// How well a run that was left out is predicted.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct HeldOut {
    /// Whether whole runs were left out, one at a time; else every fifth leg.
    pub runs: bool,
    /// Root of the mean square of what was predicted less what was drawn.
    pub error: Power,
    /// The mean of it; positive where more was predicted.
    pub bias: Power,
    /// The error as a share of the mean power.
    pub share: f64,
}

/// Predicts what was left out: each run by the others, or where that cannot be determined every fifth
/// leg by the rest.
pub(super) fn held_out(
    asked: &DrivingPower,
    unknown: &[Figure],
    vessel: &Vessel,
    stretches: &[Stretch],
) -> Option<HeldOut> {
    let by_run: Vec<usize> = stretches.iter().map(|one| one.run).collect();
    if let Some(found) = predicted(asked, unknown, vessel, &by_run) {
        return Some(HeldOut {
            runs: true,
            ..found
        });
    }
    let mut numbers = BTreeMap::new();
    for leg in &asked.legs {
        let next = numbers.len();
        numbers.entry(*leg).or_insert(next);
    }
    let by_leg: Vec<usize> = asked.legs.iter().map(|leg| numbers[leg] % 5).collect();
    predicted(asked, unknown, vessel, &by_leg)
}

fn predicted(
    asked: &DrivingPower,
    unknown: &[Figure],
    vessel: &Vessel,
    parts: &[usize],
) -> Option<HeldOut> {
    let mut names = parts.to_vec();
    names.sort_unstable();
    names.dedup();
    if names.len() < 2 {
        return None;
    }
    let (mut squares, mut sum) = (0.0, 0.0);
    for name in names {
        let fit = asked.fit(unknown, vessel, |row| parts[row] != name).ok()?;
        if fit.condition > CONDITION {
            return None;
        }
        let residuals = asked.residuals(unknown, vessel, &fit.estimates);
        for (residual, _) in residuals
            .iter()
            .zip(parts)
            .filter(|(_, part)| **part == name)
        {
            squares += residual * residual;
            sum -= residual;
        }
    }
    let count = parts.len() as f64;
    let error = (squares / count).sqrt();
    let mean = asked.measured.iter().sum::<f64>() / count;
    Some(HeldOut {
        runs: false,
        error: Power::watts(error),
        bias: Power::watts(sum / count),
        share: error / mean,
    })
}
