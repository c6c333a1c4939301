//! Waves that run into a current set against them.

use super::Sea;
use crate::models::constants::G;
use crate::units::{Length, Speed, Time};

/// The sea on a current that sets against it by `against`: shorter, higher waves, up to where they
/// break or cannot run up the current any more. A current that sets with the waves, or none, leaves
/// them as they are: that they grow longer and lower on it is not credited.
///
/// The periods are those in which the waves pass a boat that drifts with the water, so that their
/// length follows from them as in still water. The height grows as that of the shortest waves does,
/// which is most, and breaks as that of the longest.
///
/// Source: deep water, c/c0 = ½ (1 + √(1 − 4u/c0)) with c0 = gT/2π, and wave action kept:
/// H/H0 = c0/√(c (c − 2u)) (Longuet-Higgins & Stewart 1961, Journal of Fluid Mechanics 10, from
/// memory); no wave passes from u = c0/4 on. Higher than 0.142 of their length (Miche 1944) the
/// waves break.
#[must_use]
pub(crate) fn opposed(sea: Sea, against: Speed) -> Sea {
    let u = against.get();
    let calm = sea.shortest.get() * G / std::f64::consts::TAU;
    if !sea.has_waves() || calm <= 0.0 || u <= 0.0 {
        return sea;
    }
    let ratio = slowed(calm, u);
    let speed = ratio * calm;
    let group = (speed * (speed - 2.0 * u)).max(0.0).sqrt();
    let longest = sea.longest.get();
    let swift = longest * G / std::f64::consts::TAU;
    let breaking = 0.142 * longest * swift * slowed(swift, u).powi(2);
    let height = sea.height.get();
    let grown = if group > 0.0 {
        (height * calm / group).min(breaking)
    } else {
        breaking
    };
    Sea {
        height: Length::metres(grown.max(height)),
        shortest: Time::seconds(sea.shortest.get() * ratio),
        longest: Time::seconds(longest * slowed(swift, u)),
    }
}

/// The speed of crests on a current against them over that on still water, ½ where they stand.
fn slowed(calm: f64, against: f64) -> f64 {
    0.5 * (1.0 + (1.0 - 4.0 * against / calm).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sea(height: f64, period: f64) -> Sea {
        Sea::with_period(Length::metres(height), Time::seconds(period))
    }

    fn against(sea: Sea, u: f64) -> Sea {
        opposed(sea, Speed::metres_per_second(u))
    }

    /// Computed by hand: c0 = 9.80665 × 2 / 2π = 3.1216 m/s; 0.3 m/s against it leaves c/c0 = 0.8923,
    /// 2.7856 m/s, and heights 3.1216/√(2.7856 × 2.1856) = 1.2651 times as great.
    #[test]
    fn a_current_against_waves_steepens_them() {
        let met = against(sea(0.1, 2.0), 0.3);
        assert!((met.height.get() - 0.12651).abs() < 2e-5, "{}", met.height);
        assert!(
            (met.shortest.get() - 2.0 * 0.89233).abs() < 2e-4,
            "{}",
            met.shortest
        );
    }

    /// At a quarter of their speed (0.78 m/s here) nothing runs up the current any more: the waves
    /// are a quarter as long and break.
    #[test]
    fn waves_that_are_stopped_break() {
        let length = 2.0 * 3.121_55;
        for u in [0.781, 0.9, 5.0] {
            let met = against(sea(0.1, 2.0), u);
            assert!((met.shortest.get() - 1.0).abs() < 1e-6, "{u}");
            assert!(
                (met.height.get() - 0.142 * length / 4.0).abs() < 1e-4,
                "{u}"
            );
        }
    }

    #[test]
    fn a_current_with_the_waves_is_not_credited() {
        for u in [0.0, -0.1, -3.0] {
            assert_eq!(against(sea(0.1, 2.0), u), sea(0.1, 2.0));
        }
        assert_eq!(against(Sea::CALM, 0.5), Sea::CALM);
    }

    #[test]
    fn waves_never_grow_lower_or_longer_with_the_current_against_them() {
        for (height, period) in [(0.02, 0.8), (0.1, 1.4), (0.3, 2.0), (0.5, 1.2)] {
            let mut last = sea(height, period);
            for step in 1..40 {
                let met = against(sea(height, period), 0.05 * f64::from(step));
                assert!(met.height.get() >= height, "{height} {step}");
                assert!(met.shortest <= last.shortest, "{height} {step}");
                last = met;
            }
        }
    }
}
