//! Where the wave models were measured, and where a sea lies outside of that.

use super::super::OutsideValidity;
use super::super::constants::G;
use crate::units::{Length, Speed};

/// Fetch over wind, g F/U², between which growth with fetch was measured on open water.
///
/// Source: the field data behind the growth curves of JONSWAP and of the Coastal Engineering
/// Manual, about 10² to 10⁴ (from memory).
pub(crate) const FETCH_RANGE: (f64, f64) = (1e2, 1e4);

/// Depth over wind, g d/U², above which growth in shallow water was measured.
///
/// Source: Young & Verhagen (1996), a lake about 2 m deep in winds up to about 15 m/s (from
/// memory), so that g d/U² is 0.09 and more.
pub(crate) const LEAST_DEPTH: f64 = 0.09;

const GROWTH: &str = "the growth of waves with fetch";
const SHALLOW: &str = "the growth of waves in shallow water";

/// In what way a sea lies outside what the models of [`design_sea`](super::design_sea) were
/// measured in; nothing where it lies within.
///
/// The models go on smoothly there, and the sea is reported all the same: a caution, not a refusal.
/// A sea without wind or fetch has no waves and no caution.
#[must_use]
pub(crate) fn cautions(u10: Speed, fetch: Length, depth: Option<Length>) -> Vec<OutsideValidity> {
    let (u2, f) = (u10.get() * u10.get(), fetch.get());
    if !super::raises_waves(u10.get(), f) {
        return Vec::new();
    }
    let mut all = Vec::new();
    let (least, most) = (FETCH_RANGE.0 * u2 / G, FETCH_RANGE.1 * u2 / G);
    if !(least..=most).contains(&f) {
        all.push(OutsideValidity::new(
            GROWTH,
            format!(
                "in a wind of {u10} it was measured over fetches from {} to {}, and this one is \
                 {fetch}",
                Length::metres(least),
                Length::metres(most)
            ),
        ));
    }
    if let Some(depth) = depth {
        let shallowest = LEAST_DEPTH * u2 / G;
        if depth.get() < shallowest {
            all.push(OutsideValidity::new(
                SHALLOW,
                format!(
                    "in a wind of {u10} it was measured in water of {} and more, and this is {depth} \
                     deep",
                    Length::metres(shallowest)
                ),
            ));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(u10: f64, fetch: f64, depth: Option<f64>) -> Vec<&'static str> {
        let depth = depth.map(Length::metres);
        let found = cautions(Speed::metres_per_second(u10), Length::metres(fetch), depth);
        found.iter().map(|outside| outside.model).collect()
    }

    /// Computed from the ranges: 10 m/s asks for 1.02 to 102 km and, in shallow water, 0.92 m.
    #[test]
    fn a_sea_outside_what_was_measured_is_told() {
        assert!(told(10.0, 5000.0, Some(5.0)).is_empty());
        assert!(told(10.0, 5000.0, None).is_empty());
        assert_eq!(told(10.0, 1000.0, Some(5.0)), [GROWTH]);
        assert_eq!(told(10.0, 103_000.0, None), [GROWTH]);
        assert_eq!(told(10.0, 5000.0, Some(0.9)), [SHALLOW]);
        assert_eq!(told(10.0, 900.0, Some(0.9)), [GROWTH, SHALLOW]);
        assert!(told(10.0, 0.0, Some(0.9)).is_empty());
        assert!(told(0.0, 1000.0, Some(0.9)).is_empty());
    }
}
