//! Wind waves on water of limited fetch and depth.

pub(crate) mod growth;
pub(crate) mod opposed;
pub(crate) mod published;
#[cfg(test)]
pub(crate) mod restricted;
pub(crate) mod validity;

use super::constants::G;
use crate::units::{Length, Speed, Time};
pub(crate) use published::{OTHERS, breugem_holthuijsen};

/// The chance that a run meets a higher wave than the highest that counts: one in ten.
/// Our own proposal; the likeliest height of the highest is exceeded in more than half of all runs.
pub(crate) const EXCEEDANCE: f64 = 0.10;

/// A sea state: its height, and the periods between which published methods put its peak.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sea {
    /// Significant wave height.
    pub height: Length,
    /// Shortest peak period; zero where there are no waves.
    pub shortest: Time,
    /// Longest peak period; zero where there are no waves.
    pub longest: Time,
}

impl Sea {
    /// No waves.
    pub const CALM: Self = Self {
        height: Length::ZERO,
        shortest: Time::ZERO,
        longest: Time::ZERO,
    };

    /// Waves of one height and one period.
    #[must_use]
    pub const fn with_period(height: Length, period: Time) -> Self {
        Self {
            height,
            shortest: period,
            longest: period,
        }
    }

    /// Whether there are waves at all.
    #[must_use]
    pub fn has_waves(self) -> bool {
        self.height.get() > 0.0
    }

    /// The greater height and all the periods of two seas; one without waves has no period to
    /// compare.
    #[must_use]
    pub fn envelope(self, other: Self) -> Self {
        match (self.has_waves(), other.has_waves()) {
            (true, true) => Self {
                height: self.height.max(other.height),
                shortest: self.shortest.min(other.shortest),
                longest: self.longest.max(other.longest),
            },
            (true, false) => self,
            (false, _) => other,
        }
    }
}

/// Whether wind and fetch raise waves at all; a NaN counts as none and is refused by the callers'
/// own inputs.
fn raises_waves(u: f64, fetch: f64) -> bool {
    u > 0.0 && fetch > 0.0
}

/// The significant height that a wind raises over a fetch, by [`breugem_holthuijsen`], which is not
/// below the middle of the [published methods](OTHERS).
#[must_use]
pub fn design_height(u10: Speed, fetch: Length, depth: Option<Length>) -> Length {
    let depth = depth.unwrap_or(Length::metres(f64::INFINITY));
    breugem_holthuijsen(u10, fetch, depth).height
}

/// The sea that a wind raises over a fetch: the [height](design_height), and the shortest and the
/// longest peak period of all [published methods](OTHERS).
#[must_use]
pub(crate) fn design_sea(u10: Speed, fetch: Length, depth: Option<Length>) -> Sea {
    let depth = depth.unwrap_or(Length::metres(f64::INFINITY));
    let own = breugem_holthuijsen(u10, fetch, depth);
    if own.height <= Length::ZERO {
        return Sea::CALM;
    }
    let mut sea = Sea::with_period(own.height, own.period);
    for (_, method) in OTHERS {
        let period = method(u10, fetch, depth).period;
        sea.shortest = sea.shortest.min(period);
        sea.longest = sea.longest.max(period);
    }
    sea
}

/// The wavelength of linear waves of a period in water of a depth, by Newton's method.
///
/// An infinite depth is deep water. Zero where the period or the depth is not positive.
///
/// Source: linear dispersion ω² = g k tanh(k d), Airy's theory.
#[must_use]
pub(crate) fn wavelength(period: Time, depth: Length) -> Length {
    let (t, d) = (period.get(), depth.get());
    if !(t > 0.0 && d > 0.0) {
        return Length::ZERO;
    }
    let omega2 = (std::f64::consts::TAU / t).powi(2);
    let deep = omega2 / G;
    let mut k = deep;
    if d.is_finite() {
        // A start on the shallow side of the root, from which the iteration does not overshoot.
        let y = deep * d;
        k = deep / y.tanh().sqrt();
        for _ in 0..30 {
            let tanh = (k * d).tanh();
            let value = k * tanh - deep;
            let slope = tanh + k * d * (1.0 - tanh * tanh);
            let step = value / slope;
            k -= step;
            if step.abs() <= 1e-14 * k {
                break;
            }
        }
    }
    Length::metres(std::f64::consts::TAU / k)
}

/// The height that the highest of a number of waves has no more than one chance in so many to
/// exceed, never below the significant height.
///
/// `exceedance` is that chance, 0 to 1: at 0.1 one run in ten meets a higher one.
///
/// Source: Rayleigh's distribution of heights (Longuet-Higgins 1952, in secondary literature), of which each of
/// N waves is one draw: Hmax/Hs = √(−½ ln(1 − (1 − p)^(1/N))).
#[must_use]
pub(crate) fn highest_exceeded(significant: Length, waves: f64, exceedance: f64) -> Length {
    let each = -((-exceedance).ln_1p() / waves.max(1.0)).exp_m1();
    let ratio = (-0.5 * each.ln()).sqrt();
    significant * ratio.max(1.0)
}

#[cfg(test)]
mod tests;
