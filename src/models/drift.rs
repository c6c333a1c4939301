//! A boat without power, and one that coasts to a stop.

use super::constants::AIR_DENSITY;
use crate::units::{Area, Density, Force, Length, Mass, Ratio, Speed};

/// Leeway as a share of the wind at 10 m where none is stated: the upper edge of the rates
/// tabulated for small craft.
///
/// Source: Allen & Plourde (1999), Review of Leeway, CG-D-08-99.
pub const DEFAULT_LEEWAY: f64 = 0.07;

/// The speed at which a coasting boat counts as stopped, m/s. Our own choice.
pub const STOPPED: f64 = 0.1;

/// The speed with which the wind drives a dead boat through the water: a share of the wind at
/// 10 m, and an offset.
///
/// Source: the linear leeway model of Allen & Plourde (1999), CG-D-08-99.
#[must_use]
pub fn leeway(u10: Speed, rate: Ratio, offset: Speed) -> Speed {
    u10 * rate.get() + offset
}

/// Leeway over wind where the drag of the air and that of the water are in balance.
///
/// Source: r/(1 + r) with r = √(ρ_a C_a A_a / (ρ_w C_w A_w)), the drag equation twice.
#[must_use]
pub fn force_balance_ratio(
    air_area: Area,
    air_coefficient: f64,
    water_area: Area,
    water_coefficient: f64,
    water: Density,
) -> Ratio {
    let air = AIR_DENSITY * air_coefficient * air_area.get();
    let below = water.get() * water_coefficient * water_area.get();
    let r = (air / below).sqrt();
    Ratio::fraction(r / (1.0 + r))
}

/// The way a boat coasts from a speed to 0.1 m/s against a resistance that goes with the square of
/// the speed, its added mass taken as a tenth.
///
/// `resistance` is that at `speed`. Infinite where there is none; zero below 0.1 m/s.
///
/// Source: 1.1 m dV/dt = −R (V/V0)², integrated over the way.
#[must_use]
pub fn coasting_distance(speed: Speed, resistance: Force, displacement: Mass) -> Length {
    let v = speed.get();
    if v <= STOPPED {
        return Length::ZERO;
    }
    if resistance.get() <= 0.0 {
        return Length::metres(f64::INFINITY);
    }
    Length::metres(1.1 * displacement.get() * v * v / resistance.get() * (v / STOPPED).ln())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Allen & Plourde (1999), CG-D-08-99, downwind slopes and offsets as tabulated in open
    /// trajectory software: skiff with a V-hull, the same swamped, sport boat.
    #[test]
    fn leeway_of_tabulated_craft() {
        let at_ten = |percent: f64, offset: f64| {
            leeway(
                Speed::metres_per_second(10.0),
                Ratio::fraction(percent / 100.0),
                Speed::metres_per_second(offset / 100.0),
            )
            .get()
        };
        assert!((at_ten(2.87, 3.98) - 0.327).abs() < 5e-4);
        assert!((at_ten(1.65, 0.0) - 0.165).abs() < 5e-4);
        assert!(at_ten(6.54, 0.0) <= 10.0 * DEFAULT_LEEWAY);
    }

    /// Computed from the drag equation: equal areas and coefficients in the sea give 3.3 %, in a
    /// lake 3.4 % of the wind; r alone in fresh water is 3.50 %.
    #[test]
    fn equal_areas_drift_at_a_thirtieth_of_the_wind() {
        let one = Area::square_metres(1.0);
        let fresh = Density::kilograms_per_cubic_metre(1000.0);
        let ratio = force_balance_ratio(one, 1.0, one, 1.0, fresh).get();
        assert!((ratio / (1.0 - ratio) - 0.0350).abs() < 5e-5, "{ratio}");
        assert!((ratio - 0.0338).abs() < 5e-5, "{ratio}");
    }

    /// Held against a numerical integration of the equation of motion.
    #[test]
    fn coasting_agrees_with_integration() {
        let (mut v, mut x, dt) = (1.2_f64, 0.0, 1e-4);
        let (mass, resistance) = (18.0, 6.0);
        while v > 0.1 {
            let slower = v - resistance * (v / 1.2).powi(2) / (1.1 * mass) * dt;
            x += 0.5 * (v + slower) * dt;
            v = slower;
        }
        let way = coasting_distance(
            Speed::metres_per_second(1.2),
            Force::newtons(resistance),
            Mass::kilograms(mass),
        );
        assert!((way.get() / x - 1.0).abs() < 1e-3, "{way} {x}");
        let none = coasting_distance(
            Speed::metres_per_second(0.05),
            Force::newtons(1.0),
            Mass::kilograms(mass),
        );
        assert_eq!(none, Length::ZERO);
    }
}
