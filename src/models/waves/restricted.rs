//! The published means of a restricted fetch, which tests hold the program's own against.

use super::super::OutsideValidity;
use crate::units::{Angle, FromDirection, Length};

const MODEL: &str = "the restricted fetch";

/// Degrees on either side over which radials are averaged. Source: Smith (1991), CERC-91-2: 15° in whole
/// degrees.
const HALF_WINDOW: i32 = 7;

/// Distances to the shore in directions an equal step apart.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Radials {
    first: FromDirection,
    step: f64,
    lengths: Vec<f64>,
}

/// The fetch along which a wind raises the most waves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RestrictedFetch {
    /// Its length.
    pub fetch: Length,
    /// Where the waves come from.
    pub waves: FromDirection,
    /// The angle between waves and wind, −90° to 90°.
    pub off_wind: Angle,
}

impl Radials {
    /// From the direction of the first radial, the step to the next one, clockwise, and their
    /// lengths.
    ///
    /// # Errors
    /// No radial, a length that is negative or not a number, a step that is not above zero, or
    /// more radials than there are in a circle.
    pub(crate) fn new(
        first: FromDirection,
        step: Angle,
        lengths: &[Length],
    ) -> Result<Self, OutsideValidity> {
        let step = step.to_degrees();
        let refuse = |detail: String| Err(OutsideValidity::new(MODEL, detail));
        if lengths.is_empty() {
            return refuse("it takes at least one radial".to_owned());
        }
        if !(step > 0.0 && step * lengths.len() as f64 <= 360.0 + 1e-6) {
            return refuse(format!(
                "{} radials {step}° apart do not fit in a circle",
                lengths.len()
            ));
        }
        if let Some(bad) = lengths
            .iter()
            .find(|length| !(length.get() >= 0.0 && length.get().is_finite()))
        {
            return refuse(format!("a radial is zero or more long, not {bad}"));
        }
        Ok(Self {
            first,
            step,
            lengths: lengths.iter().map(|length| length.get()).collect(),
        })
    }

    /// Whether the last radial is one step from the first.
    fn is_closed(&self) -> bool {
        (self.step * self.lengths.len() as f64 - 360.0).abs() <= 1e-6
    }

    /// The length at an angle past the first radial, 0 ≤ a < 360°, in a straight line between its
    /// neighbours; `None` where there are no radials.
    fn at(&self, degrees: f64) -> Option<f64> {
        let along = degrees / self.step;
        let below = along.floor();
        let share = along - below;
        let below = below as usize;
        let low = *self.lengths.get(below)?;
        let high = match self.lengths.get(below + 1) {
            Some(&high) => high,
            None if self.is_closed() => self.lengths[0],
            None => return (share <= 1e-9).then_some(low),
        };
        Some(low + share * (high - low))
    }

    /// The mean over 15° of the lengths about a direction, to the whole degree past the first
    /// radial; `None` where there are no radials.
    #[must_use]
    pub(crate) fn mean_at(&self, direction: FromDirection) -> Option<Length> {
        let past = (direction.angle() - self.first.angle()).to_degrees();
        let mean = *self
            .averages()
            .get(past.round().rem_euclid(360.0) as usize)?;
        (mean > 0.0).then_some(Length::metres(mean))
    }

    /// The mean over 15° of the lengths at whole degrees past the first radial; only those count
    /// that lie among the radials.
    fn averages(&self) -> Vec<f64> {
        let every: Vec<Option<f64>> = (0..360).map(|a| self.at(f64::from(a))).collect();
        (0..360_i32)
            .map(|a| {
                let window = (-HALF_WINDOW..=HALF_WINDOW)
                    .filter_map(|k| every[(a + k).rem_euclid(360) as usize]);
                let (count, sum) =
                    window.fold((0_u32, 0.0), |(count, sum), x| (count + 1, sum + x));
                // No fetch is known of in a direction without radials of its own.
                if count > 0 && every[a as usize].is_some() {
                    sum / f64::from(count)
                } else {
                    0.0
                }
            })
            .collect()
    }

    /// The fetch along which a wind raises the most waves, and where they come from.
    ///
    /// Of the whole degrees past the first radial within 90° of the wind it is the one with the
    /// greatest F^0.28 cos^0.44 φ, F the mean of the radials over 15° and φ the angle off the
    /// wind; the first one where several are equal. The fetch is zero where no radial lies within
    /// 90° of the wind.
    ///
    /// Source: Smith (1991), CERC-91-2, as the ACES Technical Reference (1992) applies it.
    #[must_use]
    pub(crate) fn restricted_fetch(&self, wind: FromDirection) -> RestrictedFetch {
        let mut best = RestrictedFetch {
            fetch: Length::ZERO,
            waves: wind,
            off_wind: Angle::ZERO,
        };
        let mut greatest = 0.0;
        for (a, fetch) in (0_u32..).zip(self.averages()) {
            let waves = self.first.veered(Angle::degrees(f64::from(a)));
            let off_wind = (waves.angle() - wind.angle()).wrapped();
            let cosine = off_wind.get().cos();
            if cosine <= 0.0 {
                continue;
            }
            let power = fetch.powf(0.28) * cosine.powf(0.44);
            if power > greatest {
                greatest = power;
                best = RestrictedFetch {
                    fetch: Length::metres(fetch),
                    waves,
                    off_wind,
                };
            }
        }
        best
    }
}

impl RestrictedFetch {}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const MILE: f64 = 1609.344;

    fn from(degrees: f64) -> FromDirection {
        FromDirection::new(Angle::degrees(degrees))
    }
    fn radials(first: f64, step: f64, lengths: &[f64]) -> Result<Radials, OutsideValidity> {
        let lengths: Vec<Length> = lengths.iter().map(|&x| Length::metres(x)).collect();
        Radials::new(from(first), Angle::degrees(step), &lengths)
    }

    /// Automated Coastal Engineering System, User's Guide §1-1, example 3: fourteen radials 12°
    /// apart from 0°, wind from 125°: fetch 26.61 mi, waves from 93°.
    #[test]
    fn a_narrow_lake_turns_the_waves() {
        let miles = [
            3.7, 12.3, 13.4, 12.2, 13.2, 36.0, 35.6, 28.7, 26.8, 13.0, 10.4, 10.1, 6.4, 5.7,
        ]
        .map(|x| x * MILE);
        let fetch = radials(0.0, 12.0, &miles)
            .unwrap()
            .restricted_fetch(from(125.0));
        let long = fetch.fetch.get() / MILE;
        assert!((long - 26.61).abs() < 0.005, "{long}");
        assert!((fetch.waves.angle().to_degrees() - 93.0).abs() < 1e-9);
        assert!((fetch.off_wind.to_degrees() + 32.0).abs() < 1e-9);
    }

    #[test]
    fn radials_all_round_are_joined_at_the_end() {
        // Open to the north alone, between the last radial and the first.
        let mut lengths = [500.0; 36];
        lengths[0] = 4000.0;
        lengths[35] = 4000.0;
        let fetch = radials(0.0, 10.0, &lengths)
            .unwrap()
            .restricted_fetch(from(355.0));
        assert!(
            (fetch.waves.angle().to_degrees() - 355.0).abs() < 1.5,
            "{fetch:?}"
        );
        assert!(fetch.fetch.get() > 3500.0, "{fetch:?}");
        assert!(fetch.off_wind.get().abs() < 0.03);
    }

    #[test]
    fn no_fetch_is_guessed_where_there_are_no_radials() {
        let north = radials(340.0, 10.0, &[1000.0; 5]).unwrap();
        let fetch = north.restricted_fetch(from(180.0));
        assert_eq!(fetch.fetch, Length::ZERO);
        let one = radials(90.0, 5.0, &[800.0]).unwrap();
        let fetch = one.restricted_fetch(from(80.0));
        assert!((fetch.fetch.get() - 800.0).abs() < 1e-9);
        assert!((fetch.waves.angle().to_degrees() - 90.0).abs() < 1e-9);
    }

    #[test]
    fn radials_that_cannot_be_are_refused() {
        assert!(radials(0.0, 10.0, &[]).is_err());
        assert!(radials(0.0, 0.0, &[1.0]).is_err());
        assert!(radials(0.0, -5.0, &[1.0]).is_err());
        assert!(radials(0.0, f64::NAN, &[1.0]).is_err());
        assert!(radials(0.0, 10.0, &[1.0; 37]).is_err());
        assert!(radials(0.0, 10.0, &[1.0; 36]).is_ok());
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(radials(0.0, 10.0, &[1.0, bad]).is_err());
        }
    }

    proptest! {
        #[test]
        fn on_round_water_waves_run_with_the_wind(
            wind in 0_u32..360, radius in 50.0..20_000.0f64
        ) {
            let fetch = radials(0.0, 12.0, &[radius; 30])
                .unwrap()
                .restricted_fetch(from(f64::from(wind)));
            prop_assert!((fetch.fetch.get() / radius - 1.0).abs() < 1e-9);
            prop_assert!(fetch.off_wind.get().abs() < 1e-6);
        }
    }
}
