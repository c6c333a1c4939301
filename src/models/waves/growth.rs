//! Waves that the wind has not blown long enough to raise in full.

use super::super::constants::G;
use crate::units::{Length, Speed, Time};

/// The fetch on which waves are as high as after the wind has blown for a time over any fetch: the time
/// until the fetch limits them, t = 77.23 X^0.67/(U^0.34 g^0.33), turned round.
///
/// The manual's own equation II-2-38, gX/u*² = 5.23e-3 (gt/u*)^1.5, gives a shorter fetch and
/// lower waves; it is not used.
///
/// Source: Coastal Engineering Manual, EM 1110-2-1100, part II-2.
#[must_use]
pub(crate) fn equivalent_fetch(u10: Speed, duration: Time) -> Length {
    let (u, t) = (u10.get(), duration.get());
    if u > 0.0 && t > 0.0 {
        Length::metres((t * u.powf(0.34) * G.powf(0.33) / 77.23).powf(1.0 / 0.67))
    } else {
        Length::ZERO
    }
}

/// The fetch that counts after the wind has blown for a time: the shorter of the fetch itself
/// and its [equivalent](equivalent_fetch).
#[must_use]
pub(crate) fn fetch_after(u10: Speed, fetch: Length, duration: Time) -> Length {
    fetch.min(equivalent_fetch(u10, duration))
}

#[cfg(test)]
mod tests {
    use super::super::published::coastal_engineering_manual;
    use super::*;
    use proptest::prelude::*;

    const DEEP: Length = Length::metres(f64::INFINITY);

    fn speed(value: f64) -> Speed {
        Speed::metres_per_second(value)
    }
    fn metres(value: f64) -> Length {
        Length::metres(value)
    }
    fn seconds(value: f64) -> Time {
        Time::seconds(value)
    }

    /// Coastal Engineering Manual, as computed by the open Python package scientimate: 83.3 min at
    /// 10 m/s over 5 km.
    #[test]
    fn the_time_until_the_fetch_limits() {
        let limited = |minutes: f64| equivalent_fetch(speed(10.0), seconds(60.0 * minutes));
        assert!(limited(83.25) < metres(5000.0) && metres(5000.0) < limited(83.35));
        assert_eq!(equivalent_fetch(speed(0.0), seconds(60.0)), Length::ZERO);
        assert_eq!(equivalent_fetch(speed(5.0), seconds(0.0)), Length::ZERO);
    }

    proptest! {
        #[test]
        fn the_equivalent_fetch_turns_the_time_round(
            u in 0.5..30.0f64, f in 10.0..50_000.0f64,
        ) {
            let until = 77.23 * f.powf(0.67) / (u.powf(0.34) * G.powf(0.33));
            let back = equivalent_fetch(speed(u), seconds(until));
            prop_assert!((back.get() / f - 1.0).abs() < 1e-9);
        }

        /// Coastal Engineering Manual, equation II-2-38.
        #[test]
        fn the_manuals_own_equivalent_fetch_is_shorter(
            u in 1.0..30.0f64, t in 300.0..86_400.0f64,
        ) {
            let friction = u * (0.001 * (1.1 + 0.035 * u)).sqrt();
            let own = 5.23e-3 * (G * t / friction).powf(1.5) * friction * friction / G;
            let ours = equivalent_fetch(speed(u), seconds(t)).get();
            prop_assert!(own < ours, "{} {}", own, ours);
            prop_assert!(own > 0.5 * ours, "{} {}", own, ours);
        }

        #[test]
        fn waves_grow_with_time_up_to_the_fetch(
            u in 1.0..30.0f64, f in 100.0..50_000.0f64, t in 60.0..40_000.0f64,
        ) {
            let height = |t: f64| {
                let fetch = fetch_after(speed(u), metres(f), seconds(t));
                coastal_engineering_manual(speed(u), fetch, DEEP).height
            };
            prop_assert!(height(t) <= height(1.1 * t));
            prop_assert!(height(1e9) <= coastal_engineering_manual(speed(u), metres(f), DEEP).height);
            prop_assert!(fetch_after(speed(u), metres(f), seconds(1e9)) >= metres(f));
        }
    }
}
