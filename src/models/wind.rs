//! The wind over open water at other heights, and its gusts.

mod as_read;

pub(crate) use as_read::{BY_HAND, Steady, as_read};

use super::OutsideValidity;
use crate::units::{Length, Ratio, Speed};

/// Roughness length of open water, m (from memory, common in the trade).
pub(crate) const ROUGHNESS: f64 = 2e-4;

/// What the wind has blown over before it comes to where it is measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Terrain {
    /// Land all round.
    InLand,
    /// Off the land on to the water.
    OffLand,
}

impl Terrain {
    /// The 3-s gust to be expected over the 10-min mean.
    ///
    /// Source: Harper, Kepert & Ginger (2010), WMO/TD-No. 1555, recommended factors, read in
    /// secondary literature.
    #[must_use]
    pub(crate) const fn gust_factor(self) -> f64 {
        match self {
            Self::InLand => 1.66,
            Self::OffLand => 1.52,
        }
    }
}

/// Gust over sustained wind where a plan states no gust: the roughest terrain's.
pub(crate) const DEFAULT_GUST_FACTOR: f64 = Terrain::InLand.gust_factor();

/// Gust over sustained wind that no statement gets below: a boat that is launched from a shore has
/// land upwind of it in some wind of every band. Our own choice.
pub(crate) const LEAST_GUST_FACTOR: f64 = Terrain::OffLand.gust_factor();

const TO_TEN: &str = "the wind profile up to 10 m";
const TO_HULL: &str = "the wind profile down to the hull";

/// The speed at `wanted` over the speed at `stated` by the power law with exponent 1/7.
///
/// Source: Coastal Engineering Manual, EM 1110-2-1100, equation II-2-9 (near-neutral air).
#[must_use]
pub(crate) fn power_law(stated: Length, wanted: Length) -> Ratio {
    Ratio::fraction((wanted / stated).powf(1.0 / 7.0))
}

/// The speed at `wanted` over the speed at `stated` by the logarithmic law over open water.
///
/// Source: U(z) = (u*/κ) ln(z/z0) with z0 = 2e-4 m, from memory, common in the trade.
#[must_use]
pub(crate) fn log_law(stated: Length, wanted: Length) -> Ratio {
    Ratio::fraction((wanted.get() / ROUGHNESS).ln() / (stated.get() / ROUGHNESS).ln())
}

/// The wind at 10 m from the wind at a stated height: the larger of the two laws.
///
/// # Errors
/// A height below 1 m or above 30 m, or a speed that is not a number or is negative.
pub(crate) fn to_ten_metres(speed: Speed, height: Length) -> Result<Speed, OutsideValidity> {
    if !(1.0..=30.0).contains(&height.get()) {
        return Err(OutsideValidity::new(
            TO_TEN,
            format!("it holds for heights from 1 m to 30 m, and the wind is stated at {height}"),
        ));
    }
    check_speed(TO_TEN, speed)?;
    let ten = Length::metres(10.0);
    let factor = power_law(height, ten).max(log_law(height, ten));
    Ok(speed * factor.get())
}

/// The wind at the hull's height from the wind at 10 m: the logarithmic law, which gives the
/// larger value of the two laws below 10 m.
///
/// # Errors
/// A height below 0.1 m or above 10 m, or a speed that is not a number or is negative.
pub(crate) fn at_height(u10: Speed, height: Length) -> Result<Speed, OutsideValidity> {
    if !(0.1..=10.0).contains(&height.get()) {
        return Err(OutsideValidity::new(
            TO_HULL,
            format!("it holds for heights from 0.1 m to 10 m, and the hull's is {height}"),
        ));
    }
    check_speed(TO_HULL, u10)?;
    Ok(u10 * log_law(Length::metres(10.0), height).get())
}

/// The gust at 10 m from mean and gust at a stated height: as [`to_ten_metres`], and never with a
/// smaller excess over the mean than where it was stated, since turbulence falls off with height
/// far more slowly than the mean grows.
///
/// # Errors
/// As [`to_ten_metres`].
pub(crate) fn gust_to_ten_metres(
    mean: Speed,
    gust: Speed,
    height: Length,
) -> Result<Speed, OutsideValidity> {
    let excess = (gust - mean).max(Speed::ZERO);
    Ok(to_ten_metres(gust, height)?.max(to_ten_metres(mean, height)? + excess))
}

/// The gust at the hull's height from mean and gust at 10 m: the mean by the logarithmic law, and
/// the gust's whole excess over it.
///
/// Source: the standard deviation of the wind along itself is about 2.4 u* at every height of the
/// surface layer (Panofsky & Dutton 1984, from memory), so that what a gust adds does not shrink
/// towards the water as the mean does.
///
/// # Errors
/// As [`at_height`].
pub(crate) fn gust_at_height(
    mean: Speed,
    gust: Speed,
    height: Length,
) -> Result<Speed, OutsideValidity> {
    check_speed(TO_HULL, gust)?;
    Ok(at_height(mean, height)? + (gust - mean).max(Speed::ZERO))
}

fn check_speed(model: &'static str, speed: Speed) -> Result<(), OutsideValidity> {
    if speed.get() >= 0.0 && speed.get().is_finite() {
        Ok(())
    } else {
        Err(OutsideValidity::new(
            model,
            format!("a wind speed is zero or more, not {speed}"),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metres(value: f64) -> Length {
        Length::metres(value)
    }

    /// Computed from the two laws with an independent program.
    #[test]
    fn profiles_give_their_known_factors() {
        let ten = metres(10.0);
        assert!((log_law(ten, metres(0.5)).get() - 0.723).abs() < 5e-4);
        assert!((power_law(ten, metres(0.5)).get() - 0.652).abs() < 5e-4);
        assert!((power_law(metres(2.0), ten).get() - 1.2585).abs() < 5e-5);
        assert!((log_law(metres(2.0), ten).get() - 1.1747).abs() < 5e-5);
    }

    #[test]
    fn the_larger_law_is_taken_up_and_the_larger_law_is_taken_down() {
        let one = Speed::metres_per_second(1.0);
        let low = to_ten_metres(one, metres(2.0)).unwrap();
        assert!((low.get() - 1.2585).abs() < 5e-5);
        let high = to_ten_metres(one, metres(20.0)).unwrap();
        assert!(high.get() >= power_law(metres(20.0), metres(10.0)).get());
        assert!(high.get() >= log_law(metres(20.0), metres(10.0)).get());
        let hull = at_height(one, metres(0.5)).unwrap();
        assert!(hull.get() > power_law(metres(10.0), metres(0.5)).get());
    }

    #[test]
    fn heights_outside_the_published_range_are_refused() {
        let u = Speed::metres_per_second(5.0);
        for z in [0.99, 30.01, f64::NAN, -1.0, 0.0] {
            assert!(to_ten_metres(u, metres(z)).is_err(), "{z}");
        }
        for z in [0.099, 10.01, f64::NAN, 0.0] {
            assert!(at_height(u, metres(z)).is_err(), "{z}");
        }
        assert!(to_ten_metres(Speed::metres_per_second(f64::NAN), metres(10.0)).is_err());
        assert!(at_height(Speed::metres_per_second(-1.0), metres(1.0)).is_err());
    }

    /// Harper, Kepert & Ginger (2010), WMO/TD-No. 1555: 3 s over 10 min, in-land 1.66, off-land
    /// 1.52. The curve of the Coastal Engineering Manual, EM 1110-2-1100, part II-2, for averaging times up to
    /// an hour gives 1.437, which neither is below.
    #[test]
    fn gust_factors_by_terrain() {
        for (terrain, factor) in [(Terrain::InLand, 1.66), (Terrain::OffLand, 1.52)] {
            assert!(
                (terrain.gust_factor() - factor).abs() < 1e-12,
                "{terrain:?}"
            );
        }
        let over_hourly = |t: f64| 1.277 + 0.296 * (0.9 * (45.0 / t).log10()).tanh();
        let curve = over_hourly(3.0) / over_hourly(600.0);
        assert!((curve - 1.437).abs() < 1e-3, "{curve}");
        assert!(DEFAULT_GUST_FACTOR >= LEAST_GUST_FACTOR && LEAST_GUST_FACTOR >= curve);
    }

    /// At 0.3 m the mean is 0.676 of that at 10 m; the gust's excess is what it was. A gust as
    /// strong as the mean adds nothing, and a stronger one adds all that it is stronger by.
    #[test]
    fn a_gust_keeps_its_excess_at_the_hull() {
        let speed = Speed::metres_per_second;
        for (mean, gust) in [(4.5, 7.0), (3.0, 5.0), (0.0, 4.0), (6.0, 6.0)] {
            let hull = gust_at_height(speed(mean), speed(gust), metres(0.3)).unwrap();
            let own = at_height(speed(mean), metres(0.3)).unwrap();
            assert!((hull.get() - own.get() - (gust - mean)).abs() < 1e-12);
            assert!(hull >= at_height(speed(gust), metres(0.3)).unwrap());
        }
        assert!(gust_at_height(speed(3.0), speed(f64::NAN), metres(0.3)).is_err());
    }

    #[test]
    fn a_gust_keeps_its_excess_on_the_way_to_ten_metres() {
        let speed = Speed::metres_per_second;
        for z in [1.0, 2.0, 10.0, 20.0, 30.0] {
            let (mean, gust) = (speed(4.0), speed(7.0));
            let ten = gust_to_ten_metres(mean, gust, metres(z)).unwrap();
            let own = to_ten_metres(mean, metres(z)).unwrap();
            assert!(ten.get() - own.get() >= 3.0 - 1e-12, "{z}: {ten}");
        }
    }
}
