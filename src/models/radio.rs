//! Radio propagation over water.

use std::f64::consts::PI;

use super::constants::SPEED_OF_LIGHT;
use crate::units::{Angle, Frequency, Length, Level};

/// Effective radius of the earth in a standard atmosphere, m: 4/3 of its mean radius of 6371 km. ITU-R
/// P.526 gives 8500 km, rounded; the shorter bulges more. Arithmetic.
pub(crate) const EFFECTIVE_RADIUS: Length = Length::metres(8_495_000.0);

/// How the antennas are polarised.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Polarisation {
    /// The electric field is upright.
    Vertical,
    /// The electric field is level.
    Horizontal,
}

/// The ground, or the water, that waves run over.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Ground {
    /// Relative permittivity.
    pub permittivity: f64,
    /// Conductivity, S/m.
    pub conductivity: f64,
}

impl Ground {
    /// Fresh water (ITU-R P.527, from memory).
    pub(crate) const FRESH_WATER: Self = Self {
        permittivity: 80.0,
        conductivity: 0.01,
    };
    /// Sea water (ITU-R P.527, from memory).
    pub(crate) const SEA_WATER: Self = Self {
        permittivity: 80.0,
        conductivity: 5.0,
    };
}

/// The wavelength of a frequency.
#[must_use]
pub(crate) fn wavelength(frequency: Frequency) -> Length {
    Length::metres(SPEED_OF_LIGHT / frequency.get())
}

/// Loss in free space between isotropic antennas.
///
/// Source: ITU-R P.525, 20 log10(4π d/λ).
#[must_use]
pub(crate) fn free_space(frequency: Frequency, distance: Length) -> Level {
    Level::decibels(20.0 * (4.0 * PI * distance.get() / wavelength(frequency).get()).log10())
}

/// Loss of a direct and a reflected ray over flat ground, far off.
///
/// Source: 40 log10 d − 20 log10(h1 h2), the limit of the two rays for Γ = −1.
#[must_use]
pub(crate) fn two_ray_far(distance: Length, heights: (Length, Length)) -> Level {
    Level::decibels(
        40.0 * distance.get().log10() - 20.0 * (heights.0.get() * heights.1.get()).log10(),
    )
}

/// The distance at which two antennas see one another over the earth's bulge.
///
/// Source: ITU-R P.526-16 §3.2, √(2 a_e) (√h1 + √h2).
#[must_use]
pub(crate) fn horizon(heights: (Length, Length), effective_radius: Length) -> Length {
    let roots = heights.0.get().sqrt() + heights.1.get().sqrt();
    Length::metres((2.0 * effective_radius.get()).sqrt() * roots)
}

/// Loss over a knife edge, by its parameter ν; none below −0.78.
///
/// Source: ITU-R P.526-16 §4.1.
#[must_use]
pub(crate) fn knife_edge(nu: f64) -> Level {
    if nu <= -0.78 {
        return Level::ZERO;
    }
    let x = nu - 0.1;
    Level::decibels(6.9 + 20.0 * ((x * x + 1.0).sqrt() + x).log10())
}

/// The parameter ν of an edge `height` above the straight line between the antennas, negative
/// below it, at distances `d1` and `d2` from them.
///
/// Source: ITU-R P.526-16 §4.1.
#[must_use]
pub(crate) fn knife_edge_parameter(
    frequency: Frequency,
    height: Length,
    d1: Length,
    d2: Length,
) -> f64 {
    let lambda = wavelength(frequency).get();
    height.get() * (2.0 * (d1 + d2).get() / (lambda * d1.get() * d2.get())).sqrt()
}

/// How far the earth bulges above the straight line between its ends at distances `d1` and `d2`.
///
/// Source: d1 d2 / 2 a_e, the sagitta of an arc.
#[must_use]
pub(crate) fn bulge(d1: Length, d2: Length, effective_radius: Length) -> Length {
    Length::metres(d1.get() * d2.get() / (2.0 * effective_radius.get()))
}

/// Loss of an antenna off its axis by an angle, at most `floor`; `beamwidth` is the full width at
/// half power.
///
/// Source: the form of Report ITU-R M.2412 (2017), min(12 (φ/φ3dB)², A_m).
#[must_use]
pub(crate) fn antenna_pattern(off_axis: Angle, beamwidth: Angle, floor: Level) -> Level {
    let ratio = off_axis.wrapped() / beamwidth;
    Level::decibels(12.0 * ratio * ratio).min(floor)
}

/// Loss over a smooth earth, over free space, for any distance; never negative.
///
/// Source: ITU-R P.526-16 §3.1.1 beyond the horizon, §3.2 within it.
#[must_use]
pub(crate) fn smooth_earth(
    frequency: Frequency,
    distance: Length,
    heights: (Length, Length),
    effective_radius: Length,
    ground: Ground,
    polarisation: Polarisation,
) -> Level {
    let (d, ae) = (distance.get(), effective_radius.get());
    let (h1, h2) = (
        heights.0.get().max(heights.1.get()),
        heights.0.get().min(heights.1.get()),
    );
    let earth = |radius: f64| residue(frequency, d, (h1, h2), radius, ground, polarisation);
    if d >= horizon(heights, effective_radius).get() {
        return Level::decibels(earth(ae).max(0.0));
    }
    // The least clearance between the ray and the curved earth.
    let c = (h1 - h2) / (h1 + h2);
    let m = d * d / (4.0 * ae * (h1 + h2));
    let angle = (1.5 * c * (3.0 * m / (m + 1.0).powi(3)).sqrt())
        .clamp(-1.0, 1.0)
        .acos();
    let b = 2.0 * ((m + 1.0) / (3.0 * m)).sqrt() * (PI / 3.0 + angle / 3.0).cos();
    let d1 = 0.5 * d * (1.0 + b);
    let d2 = d - d1;
    let clearance = ((h1 - d1 * d1 / (2.0 * ae)) * d2 + (h2 - d2 * d2 / (2.0 * ae)) * d1) / d;
    let required = 0.552 * (d1 * d2 * wavelength(frequency).get() / d).sqrt();
    if clearance > required {
        return Level::ZERO;
    }
    // The earth on which these antennas would just see one another.
    let modified = 0.5 * (d / (h1.sqrt() + h2.sqrt())).powi(2);
    let loss = earth(modified);
    if loss <= 0.0 {
        return Level::ZERO;
    }
    Level::decibels((1.0 - clearance / required) * loss)
}

/// The first term of the residue series: loss in dB, negative where the field is stronger than in
/// free space.
fn residue(
    frequency: Frequency,
    d: f64,
    heights: (f64, f64),
    radius: f64,
    ground: Ground,
    polarisation: Polarisation,
) -> f64 {
    let (f, ae) = (frequency.get() / 1e6, radius / 1e3);
    // Normalised surface admittance.
    let loss = 18_000.0 * ground.conductivity / f;
    let epsilon = ground.permittivity;
    let horizontal =
        0.36 * (ae * f).powf(-1.0 / 3.0) * ((epsilon - 1.0).powi(2) + loss * loss).powf(-0.25);
    let k = match polarisation {
        Polarisation::Horizontal => horizontal,
        Polarisation::Vertical => horizontal * (epsilon * epsilon + loss * loss).sqrt(),
    };
    let (k2, k4) = (k * k, k.powi(4));
    let beta = (1.0 + 1.6 * k2 + 0.67 * k4) / (1.0 + 4.5 * k2 + 1.53 * k4);
    let x = 2.188 * beta * f.cbrt() * ae.powf(-2.0 / 3.0) * (d / 1e3);
    let far = if x >= 1.6 {
        11.0 + 10.0 * x.log10() - 17.6 * x
    } else {
        -20.0 * x.log10() - 5.6488 * x.powf(1.425)
    };
    let gain = |height: f64| {
        let y = 9.575e-3 * beta * f.powf(2.0 / 3.0) * ae.powf(-1.0 / 3.0) * height;
        let b = beta * y;
        let gain = if b > 2.0 {
            17.6 * (b - 1.1).sqrt() - 5.0 * (b - 1.1).log10() - 8.0
        } else {
            20.0 * (b + 0.1 * b.powi(3)).log10()
        };
        gain.max(2.0 + 20.0 * k.log10())
    };
    -(far + gain(heights.0) + gain(heights.1))
}

#[cfg(test)]
mod tests;
