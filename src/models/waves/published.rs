//! Published growth of wind waves with fetch, side by side.

use super::super::constants::G;
use super::raises_waves;
use crate::units::{Length, Speed, Time};

/// Peak period over significant period.
///
/// Source: ACES Technical Reference (1992); Goda (2003), T_s = 0.95 T_p (from memory).
const PEAK_OVER_SIGNIFICANT: f64 = 1.0 / 0.95;

/// What one method gives.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Growth {
    /// Significant wave height.
    pub height: Length,
    /// Peak period; zero where there are no waves.
    pub period: Time,
}

impl Growth {
    /// No waves.
    pub(crate) const NONE: Self = Self {
        height: Length::ZERO,
        period: Time::ZERO,
    };

    fn new(height: f64, period: f64) -> Self {
        Self {
            height: Length::metres(height),
            period: Time::seconds(period),
        }
    }
}

/// A method: wind at 10 m, fetch and depth, infinite in deep water, to waves.
pub(crate) type Method = fn(Speed, Length, Length) -> Growth;

/// The methods that [`breugem_holthuijsen`] is held against, with their names. Those of deep water
/// alone take no notice of the depth.
pub(crate) const OTHERS: [(&str, Method); 8] = [
    ("Wilson 1965", wilson),
    ("Hasselmann et al. 1973", jonswap),
    (
        "Sverdrup, Munk & Bretschneider",
        sverdrup_munk_bretschneider,
    ),
    ("Shore Protection Manual 1984", shore_protection_manual_deep),
    ("Donelan 1985", donelan),
    ("Kahma & Calkoen 1992", kahma_calkoen),
    ("Young & Verhagen 1996", young_verhagen),
    ("Coastal Engineering Manual", coastal_engineering_manual),
];

/// Wind, and its fetch and the depth in units of U²/g; `None` where no waves are raised.
fn scaled(u10: Speed, fetch: Length, depth: Length) -> Option<(f64, f64, f64)> {
    let (u, f, d) = (u10.get(), fetch.get(), depth.get());
    let u2 = u * u;
    (raises_waves(u, f) && d > 0.0).then_some((u, G * f / u2, G * d / u2))
}

/// tanh(a) tanh(b / tanh(a)): growth b held back by the depth's limit a.
fn held_back(a: f64, b: f64) -> f64 {
    let limit = a.tanh();
    limit * (b / limit).tanh()
}

/// Fetch- and depth-limited waves of a lake, which in deep water grow as Kahma & Calkoen have it.
///
/// Source: Breugem & Holthuijsen (2007), Generalized shallow water wave growth from Lake George,
/// J. Waterway, Port, Coastal, Ocean Eng. 133 (3) (from memory; held against the limits of Kahma &
/// Calkoen and of Young & Verhagen, which it joins).
#[must_use]
pub(crate) fn breugem_holthuijsen(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, delta)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    let height = held_back(0.343 * delta.powf(1.14), 4.41e-4 * chi.powf(0.79)).powf(0.572);
    let period = held_back(0.10 * delta.powf(2.01), 2.77e-7 * chi.powf(1.45)).powf(0.187);
    Growth::new(0.24 * height * u * u / G, 7.69 * period * u / G)
}

/// Fetch- and depth-limited waves by Young & Verhagen.
///
/// Source: Young & Verhagen (1996), Coastal Engineering 29, 47–78.
#[must_use]
pub(crate) fn young_verhagen(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, delta)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    let energy =
        3.64e-3 * held_back(0.493 * delta.powf(0.75), 0.003_13 * chi.powf(0.57)).powf(1.74);
    let frequency =
        0.133 * held_back(0.331 * delta.powf(1.01), 5.215e-4 * chi.powf(0.73)).powf(-0.37);
    Growth::new(4.0 * u * u / G * energy.sqrt(), u / (G * frequency))
}

/// Fetch-limited deep-water waves, the period limited by depth.
///
/// Source: Coastal Engineering Manual, EM 1110-2-1100, equations II-2-36 to II-2-38, and the
/// greatest period 9.78 √(d/g).
#[must_use]
pub(crate) fn coastal_engineering_manual(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let (u, f, d) = (u10.get(), fetch.get(), depth.get());
    if !(raises_waves(u, f) && d > 0.0) {
        return Growth::NONE;
    }
    let friction2 = 0.001 * (1.1 + 0.035 * u) * u * u;
    let x = G * f / friction2;
    let height = (0.0413 * x.sqrt()).min(211.5) * friction2 / G;
    let period = (0.651 * x.cbrt()).min(239.8) * friction2.sqrt() / G;
    Growth::new(height, period.min(9.78 * (d / G).sqrt()))
}

/// Fetch-limited waves of deep water.
///
/// Source: Hasselmann et al. (1973), the Joint North Sea Wave Project: ε = 1.6e-7 χ,
/// ν = 3.5 χ^−0.33.
#[must_use]
pub(crate) fn jonswap(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, _)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    Growth::new(
        4.0 * (1.6e-7 * chi).sqrt() * u * u / G,
        u / G * chi.powf(0.33) / 3.5,
    )
}

/// Fetch-limited waves of deep water, all data sets together.
///
/// Source: Kahma & Calkoen (1992), J. Phys. Oceanogr. 22, 1389–1405: ε = 5.2e-7 χ^0.9,
/// ω = 13.7 χ^−0.27.
#[must_use]
pub(crate) fn kahma_calkoen(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, _)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    Growth::new(
        4.0 * (5.2e-7 * chi.powf(0.9)).sqrt() * u * u / G,
        std::f64::consts::TAU / 13.7 * chi.powf(0.27) * u / G,
    )
}

/// Fetch-limited waves of deep water, from significant height and period.
///
/// Source: Wilson (1965), as Goda (2003) has it:
/// g H/U² = 0.30 {1 − [1 + 0.004 χ^½]^−2}, g T/2πU = 1.37 {1 − [1 + 0.008 χ^⅓]^−5}.
#[must_use]
pub(crate) fn wilson(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, _)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    let height = 0.30 * (1.0 - (1.0 + 0.004 * chi.sqrt()).powi(-2));
    let period = 1.37 * (1.0 - (1.0 + 0.008 * chi.cbrt()).powi(-5)) * std::f64::consts::TAU;
    Growth::new(height * u * u / G, period * PEAK_OVER_SIGNIFICANT * u / G)
}

/// Fetch- and depth-limited waves, from significant height and period.
///
/// Source: Shore Protection Manual, third edition (1977), after Sverdrup, Munk and Bretschneider
/// (from memory).
#[must_use]
pub(crate) fn sverdrup_munk_bretschneider(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, delta)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    let height = 0.283 * held_back(0.530 * delta.powf(0.75), 0.0125 * chi.powf(0.42));
    let period = 1.20 * held_back(0.833 * delta.powf(0.375), 0.077 * chi.powf(0.25));
    Growth::new(
        height * u * u / G,
        std::f64::consts::TAU * period * PEAK_OVER_SIGNIFICANT * u / G,
    )
}

/// Fetch-limited waves of deep water from the wind itself, whose stress the manual adjusts.
///
/// Source: Shore Protection Manual, fourth edition (1984): U_A = 0.71 U^1.23,
/// g H/U_A² = 0.0016 χ^½ ≤ 0.2433, g T/U_A = 0.2857 χ^⅓ ≤ 8.134.
#[must_use]
pub(crate) fn shore_protection_manual_deep(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let adjusted = Speed::metres_per_second(0.71 * u10.get().max(0.0).powf(1.23));
    let Some((u, chi, _)) = scaled(adjusted, fetch, depth) else {
        return Growth::NONE;
    };
    Growth::new(
        (0.0016 * chi.sqrt()).min(0.2433) * u * u / G,
        (0.2857 * chi.cbrt()).min(8.134) * u / G,
    )
}

/// Fetch-limited waves of a great lake.
///
/// Source: Donelan, Hamilton & Hui (1985), with the wind along the waves:
/// g H/U² = 0.00366 χ^0.38, g T/U = 0.542 χ^0.23 (from memory).
#[must_use]
pub(crate) fn donelan(u10: Speed, fetch: Length, depth: Length) -> Growth {
    let Some((u, chi, _)) = scaled(u10, fetch, depth) else {
        return Growth::NONE;
    };
    Growth::new(
        0.003_66 * chi.powf(0.38) * u * u / G,
        0.542 * chi.powf(0.23) * u / G,
    )
}

#[cfg(test)]
mod tests;
