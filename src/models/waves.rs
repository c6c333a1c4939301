//! Wind waves on water of limited fetch and depth.

pub mod growth;
pub mod restricted;
pub mod validity;

use super::constants::G;
use crate::units::{Length, Speed, Time};

/// A sea state.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sea {
    /// Significant wave height.
    pub height: Length,
    /// Peak period; zero where there are no waves.
    pub period: Time,
}

impl Sea {
    /// No waves.
    pub const CALM: Self = Self {
        height: Length::ZERO,
        period: Time::ZERO,
    };

    /// Whether there are waves at all.
    #[must_use]
    pub fn has_waves(self) -> bool {
        self.height.get() > 0.0
    }

    /// The greater height and the shorter period of two seas; one without waves has no period to
    /// compare.
    #[must_use]
    pub fn envelope(self, other: Self) -> Self {
        match (self.has_waves(), other.has_waves()) {
            (true, true) => Self {
                height: self.height.max(other.height),
                period: self.period.min(other.period),
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

/// Fetch- and depth-limited waves by Young & Verhagen.
///
/// `u10` is the wind at 10 m, `fetch` the straight distance to the shore upwind, `depth` the mean
/// depth; an infinite depth is deep water.
///
/// Source: Young & Verhagen (1996), Coastal Engineering 29, 47–78.
#[must_use]
pub fn young_verhagen(u10: Speed, fetch: Length, depth: Length) -> Sea {
    let (u, f, d) = (u10.get(), fetch.get(), depth.get());
    if !(raises_waves(u, f) && d > 0.0) {
        return Sea::CALM;
    }
    let u2 = u * u;
    let delta = G * d / u2;
    let chi = G * f / u2;
    let saturation = |a: f64, b: f64| {
        let t = a.tanh();
        t * (b / t).tanh()
    };
    let energy =
        3.64e-3 * saturation(0.493 * delta.powf(0.75), 0.003_13 * chi.powf(0.57)).powf(1.74);
    let frequency =
        0.133 * saturation(0.331 * delta.powf(1.01), 5.215e-4 * chi.powf(0.73)).powf(-0.37);
    Sea {
        height: Length::metres(4.0 * u2 / G * energy.sqrt()),
        period: Time::seconds(u / (G * frequency)),
    }
}

/// Fetch-limited deep-water waves, the period limited by depth.
///
/// Source: Coastal Engineering Manual, EM 1110-2-1100, equations II-2-36 to II-2-38, and the
/// greatest period 9.78 √(d/g).
#[must_use]
pub fn coastal_engineering_manual(u10: Speed, fetch: Length, depth: Option<Length>) -> Sea {
    let (u, f) = (u10.get(), fetch.get());
    let wet = depth.is_none_or(|d| d.get() > 0.0);
    if !(raises_waves(u, f) && wet) {
        return Sea::CALM;
    }
    let friction2 = 0.001 * (1.1 + 0.035 * u) * u * u;
    let x = G * f / friction2;
    let height = (0.0413 * x.sqrt()).min(211.5) * friction2 / G;
    let mut period = (0.651 * x.cbrt()).min(239.8) * friction2.sqrt() / G;
    if let Some(d) = depth {
        period = period.min(9.78 * (d.get() / G).sqrt());
    }
    Sea {
        height: Length::metres(height),
        period: Time::seconds(period),
    }
}

/// Shallow-water waves by the Shore Protection Manual, from the adjusted wind speed U_A.
///
/// Kept as a held check against a published worked example; [`design_sea`] does not use it. The
/// period is the manual's, which the ACES Technical Reference prints as the peak period.
///
/// Source: Shore Protection Manual (1984); ACES Technical Reference (1992), chapter 1-1.
#[must_use]
pub fn shore_protection_manual(adjusted: Speed, fetch: Length, depth: Length) -> Sea {
    let (u, f, d) = (adjusted.get(), fetch.get(), depth.get());
    if !(raises_waves(u, f) && d > 0.0) {
        return Sea::CALM;
    }
    let u2 = u * u;
    let delta = G * d / u2;
    let chi = G * f / u2;
    let a = (0.53 * delta.powf(0.75)).tanh();
    let b = (0.833 * delta.powf(0.375)).tanh();
    Sea {
        height: Length::metres(u2 / G * 0.283 * a * (0.005_65 * chi.sqrt() / a).tanh()),
        period: Time::seconds(u / G * 7.54 * b * (0.0379 * chi.cbrt() / b).tanh()),
    }
}

/// The sea that a plan is checked against: the greater height and the shorter period of
/// [`young_verhagen`] and [`coastal_engineering_manual`].
#[must_use]
pub fn design_sea(u10: Speed, fetch: Length, depth: Option<Length>) -> Sea {
    let deep = Length::metres(f64::INFINITY);
    young_verhagen(u10, fetch, depth.unwrap_or(deep))
        .envelope(coastal_engineering_manual(u10, fetch, depth))
}

/// The wavelength of linear waves of a period in water of a depth, by Newton's method.
///
/// An infinite depth is deep water. Zero where the period or the depth is not positive.
///
/// Source: linear dispersion ω² = g k tanh(k d), Airy's theory.
#[must_use]
pub fn wavelength(period: Time, depth: Length) -> Length {
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

/// The height that the highest of a number of waves most likely has, never below the significant
/// height.
///
/// Source: Longuet-Higgins (1952), Rayleigh's distribution of heights: Hmax/Hs = √(½ ln N) (the
/// author from memory).
#[must_use]
pub fn likely_highest(significant: Length, waves: f64) -> Length {
    let ratio = (0.5 * waves.max(1.0).ln()).sqrt();
    significant * ratio.max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn speed(value: f64) -> Speed {
        Speed::metres_per_second(value)
    }
    fn metres(value: f64) -> Length {
        Length::metres(value)
    }
    const FOOT: f64 = 0.3048;

    /// The packages and manuals that the checks come from take g as 9.81 m/s², which alone moves
    /// heights and periods by up to 0.05 %.
    fn close(sea: Sea, height: f64, period: f64) -> bool {
        (sea.height.get() / height - 1.0).abs() < 6e-4
            && (sea.period.get() / period - 1.0).abs() < 6e-4
    }

    /// Young & Verhagen (1996), as computed by the open Python package scientimate.
    #[test]
    fn young_and_verhagen_on_a_small_lake() {
        for (u, f, d, height, period) in [
            (10.0, 5000.0, 5.0, 0.3378, 2.465),
            (10.0, 2000.0, 5.0, 0.2201, 1.940),
            (8.0, 1000.0, 2.0, 0.1238, 1.449),
        ] {
            let sea = young_verhagen(speed(u), metres(f), metres(d));
            assert!(close(sea, height, period), "{sea:?}");
        }
    }

    /// Coastal Engineering Manual II-2-36 to 38, as computed by the open Python package scientimate.
    #[test]
    fn the_coastal_engineering_manual_in_deep_water() {
        let sea = coastal_engineering_manual(speed(10.0), metres(5000.0), None);
        assert!(close(sea, 0.3550, 1.761), "{sea:?}");
    }

    /// Automated Coastal Engineering System, User's Guide §1-1, example 1: U_A 67.92 mph, fetch
    /// 26 mi, depth 13 ft give 4.23 ft and 4.77 s.
    #[test]
    fn the_shore_protection_manuals_shallow_example() {
        let sea = shore_protection_manual(
            speed(67.92 * 0.447_04),
            metres(26.0 * 1609.344),
            metres(13.0 * FOOT),
        );
        assert!((sea.height.get() / FOOT - 4.23).abs() < 0.005, "{sea:?}");
        assert!((sea.period.get() - 4.77).abs() < 0.005, "{sea:?}");
    }

    /// Automated Coastal Engineering System, User's Guide §2-1: T = 8 s, d = 20 ft: L = 189.90 ft.
    #[test]
    fn dispersion_follows_the_published_example() {
        let l = wavelength(Time::seconds(8.0), metres(20.0 * FOOT));
        assert!((l.get() / FOOT - 189.90).abs() < 0.02, "{}", l.get() / FOOT);
        // Deep water, L = g T²/2π.
        let deep = wavelength(Time::seconds(2.0), metres(f64::INFINITY)).get();
        let nearly = wavelength(Time::seconds(2.0), metres(500.0)).get();
        assert!((deep - G * 4.0 / std::f64::consts::TAU).abs() < 1e-9);
        assert!((deep - nearly).abs() < 1e-9);
    }

    #[test]
    fn the_design_sea_takes_the_worse_of_each() {
        let (u, f, d) = (speed(10.0), metres(5000.0), metres(5.0));
        let sea = design_sea(u, f, Some(d));
        assert!(close(sea, 0.3550, 1.761), "{sea:?}");
        assert_eq!(design_sea(speed(0.0), f, None), Sea::CALM);
        assert_eq!(design_sea(u, metres(0.0), None), Sea::CALM);
        assert_eq!(Sea::CALM.envelope(sea), sea);
    }

    /// Computed from Rayleigh's distribution: 1.858 Hs among a thousand waves.
    #[test]
    fn the_highest_of_a_thousand_waves() {
        let highest = |n: f64| likely_highest(metres(1.0), n).get();
        assert!((highest(1000.0) - 1.858).abs() < 5e-4);
        for n in [f64::NAN, -1.0, 0.0, 1.0, 7.0] {
            assert!((highest(n) - 1.0).abs() < 1e-12, "{n}");
        }
    }

    proptest! {
        #[test]
        fn waves_grow_with_wind_fetch_and_depth(
            u in 0.5..30.0f64, f in 10.0..50_000.0f64, d in 0.5..100.0f64, more in 1.0..2.0f64,
        ) {
            let height = |u, f, d| design_sea(speed(u), metres(f), d).height.get();
            let base = height(u, f, Some(metres(d)));
            prop_assert!(base > 0.0 && base.is_finite());
            prop_assert!(height(u * more, f, Some(metres(d))) >= base * (1.0 - 1e-12));
            prop_assert!(height(u, f * more, Some(metres(d))) >= base * (1.0 - 1e-12));
            prop_assert!(height(u, f, Some(metres(d * more))) >= base * (1.0 - 1e-12));
            prop_assert!(height(u, f, None) >= base * (1.0 - 1e-12));
        }

        #[test]
        fn the_wavelength_solves_the_dispersion_relation(t in 0.3..20.0f64, d in 0.05..200.0f64) {
            let k = std::f64::consts::TAU / wavelength(Time::seconds(t), metres(d)).get();
            let omega = std::f64::consts::TAU / t;
            prop_assert!((G * k * (k * d).tanh() / (omega * omega) - 1.0).abs() < 1e-9);
        }
    }
}
