//! A figure as the runs tell it, or why they do not.

use super::figure::Figure;

/// A figure as it was fitted, in its stored unit.
#[derive(Clone, PartialEq, Debug)]
pub struct Estimate {
    /// Which.
    pub figure: Figure,
    /// What the vessel states.
    pub stated: f64,
    /// The estimate.
    pub value: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// What it would be with every wind a tenth lighter, and a tenth stronger; none where the wind has
    /// nothing to do with it, and where no fit tells it in those winds.
    pub by_wind: Option<(f64, f64)>,
}

impl Estimate {
    /// Its cautious end: the upper end of its interval, or what it would be if every wind had been a
    /// tenth off, whichever is more. An interval knows of scatter, and not of a wind that was read
    /// amiss all along. None where the wind has to do with it, and those winds do not tell it.
    #[must_use]
    pub fn cautious(&self) -> Option<f64> {
        match self.by_wind {
            Some((lighter, stronger)) => Some(self.high.max(lighter).max(stronger)),
            None if self.figure.of_power() => None,
            None => Some(self.high),
        }
    }
}

/// A figure that is not told, and stays as the vessel states it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Kept {
    /// Which.
    pub figure: Figure,
    /// Why.
    pub why: String,
    /// What would tell it.
    pub run: &'static str,
}
