//! A disabled boat, and one that coasts to a stop.

use crate::units::{Force, Length, Mass, Ratio, Speed};

/// How far to either side of downwind a disabled boat is followed, degrees.
///
/// Source: arctan of the crosswind over the downwind slope of leeway, Allen & Plourde (1999),
/// CG-D-08-99, and Allen (2005), as tabulated in open trajectory software. The small motor boats
/// of that table lie at 12° to 23°, their scatter of one standard deviation in 5 m/s of wind at up
/// to 29°. Our own choice, above both.
pub(crate) const DIVERGENCE: f64 = 30.0;

/// The directions off downwind that a disabled boat is followed in, degrees, so close that nothing
/// lies between two of them that a wind of the band would not take in. Our own choice.
pub(crate) const DIVERGING: [f64; 5] = [
    0.0,
    -DIVERGENCE,
    -DIVERGENCE / 2.0,
    DIVERGENCE / 2.0,
    DIVERGENCE,
];

/// The speed of the water at the surface as a share of the wind at 10 m.
///
/// Source: 2.5 to 3.0 % of the wind (American Meteorological Society, Glossary of Meteorology),
/// about 3.5 % over very long fetches (Wu 1975, Journal of Fluid Mechanics 68, 49–70).
pub(crate) const SURFACE_DRIFT: f64 = 0.03;

/// How a distance to a stop grows with speed: the square of the speed over that at which the stop
/// was tried, and never less than the distance that was tried.
///
/// Source: a body with the kinetic energy ½ m V² against one steady force. The water's resistance,
/// which falls as the boat slows, makes the distance grow more slowly than that.
#[must_use]
pub(crate) fn scaled_stop(tried: Length, tried_from: Speed, speed: Speed) -> Length {
    let over = (speed / tried_from).max(1.0);
    tried * (over * over)
}

/// The speed at which a coasting boat counts as stopped, m/s. Our own choice.
pub(crate) const STOPPED: f64 = 0.1;

/// The speed with which the wind drives a disabled boat through the water: a share of the wind at
/// 10 m, and an offset.
///
/// Source: the linear leeway model of Allen & Plourde (1999), CG-D-08-99.
#[must_use]
pub(crate) fn leeway(u10: Speed, rate: Ratio, offset: Speed) -> Speed {
    u10 * rate.get() + offset
}

/// The way a boat coasts from a speed to 0.1 m/s against a resistance that goes with the square of
/// the speed, its added mass taken as a tenth.
///
/// `resistance` is that at `speed`. Infinite where there is none; zero below 0.1 m/s.
///
/// Source: 1.1 m dV/dt = −R (V/V0)², integrated over the way.
#[must_use]
pub(crate) fn coasting_distance(speed: Speed, resistance: Force, displacement: Mass) -> Length {
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
    /// trajectory software: skiff with a V-hull, the same swamped.
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
    }

    /// Allen & Plourde (1999) and Allen (2005), downwind and crosswind slopes as tabulated in open
    /// trajectory software: runabout with an outboard, V-hull skiff (to the left), the same swamped,
    /// aluminium V-hull, sport boat, sport fisher, sea kayak.
    #[test]
    fn a_small_motor_boat_diverges_no_farther_than_it_is_followed() {
        let hulls = [
            (3.15, 1.29, 22.3),
            (2.87, 0.62, 12.2),
            (1.65, 0.39, 13.3),
            (2.52, 1.07, 23.0),
            (6.54, 2.19, 18.5),
            (5.55, 2.27, 22.2),
            (1.16, 0.41, 19.5),
        ];
        for (down, across, degrees) in hulls {
            let off = f64::atan2(across, down).to_degrees();
            assert!((off - degrees).abs() < 0.1, "{off}");
            assert!(off < DIVERGENCE, "{off}");
        }
        // One standard deviation of the runabout's, 2.2 cm/s, on top in 5 m/s of wind.
        let scattered = f64::atan2(1.29 * 5.0 + 2.2, 3.15 * 5.0).to_degrees();
        assert!((28.0..DIVERGENCE).contains(&scattered), "{scattered}");
        let widest = DIVERGING
            .iter()
            .fold(0.0, |held: f64, off| held.max(off.abs()));
        assert!((widest - DIVERGENCE).abs() < 1e-12);
    }

    /// By hand: 3 m from 0.8 m/s are 5.67 m from 1.1 m/s. Held against a boat that its motors brake with
    /// a steady force beside the water's resistance, which needs no more than that.
    #[test]
    fn a_stop_is_scaled_up_with_the_square_of_the_speed() {
        let speed = Speed::metres_per_second;
        let tried = Length::metres(3.0);
        let from = speed(0.8);
        let scaled = |v: f64| scaled_stop(tried, from, speed(v)).get();
        assert!((scaled(1.1) - 5.671_875).abs() < 1e-9);
        for v in [0.0, 0.3, 0.8] {
            assert!((scaled(v) - 3.0).abs() < 1e-12, "never down: {v}");
        }
        let braked = |v: f64, steady: f64| {
            let (mut v, mut way) = (v, 0.0);
            while v > 0.0 {
                way += v * 1e-4;
                v -= (steady + 0.6 * v * v) * 1e-4;
            }
            way
        };
        for steady in [0.02, 0.2, 1.0] {
            let stated = braked(0.8, steady);
            for v in [0.9, 1.1, 1.6, 2.4] {
                let needed = braked(v, steady);
                let scaled = scaled_stop(Length::metres(stated), from, speed(v)).get();
                assert!(
                    scaled >= needed * (1.0 - 1e-3),
                    "{v}, {steady}: {scaled}, {needed}"
                );
            }
        }
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
