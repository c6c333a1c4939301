//! What a small boat's figures come to at the least or at the most, whatever its file says: bounds of
//! geometry and physics that a stated figure is held against.

use super::battery::Chemistry;
use super::constants::{G, Water};
use super::resistance::ittc57;
use crate::units::{Angle, Area, Force, Length, Level, Speed};

/// The Reynolds number below which the friction coefficient is kept, as in the resistance model. Our own
/// choice.
const LEAST_REYNOLDS: f64 = 5e4;

/// The least wetted surface of a slender hull that displaces a volume over a length: half of a slender
/// prolate spheroid, S = π²/8 / √(π/12) · √(∇ L) = 2.41 √(∇ L).
///
/// Source: geometry. Hulls that were built have 2.5 and more (Taylor's coefficient, from memory).
#[must_use]
pub(crate) fn least_wetted_surface(waterline_length: Length, displaced_cubic_metres: f64) -> Area {
    let pi = std::f64::consts::PI;
    let coefficient = pi * pi / 8.0 / (pi / 12.0).sqrt();
    Area::square_metres(coefficient * (displaced_cubic_metres * waterline_length.get()).sqrt())
}

/// The friction of water along a wetted surface as on a flat plate of its length; no displacement hull
/// has less resistance.
///
/// Source: ITTC 1957, R = ½ ρ S v² CF.
#[must_use]
pub(crate) fn friction(
    speed: Speed,
    waterline_length: Length,
    wetted: Area,
    water: Water,
) -> Force {
    let v = speed.get();
    let reynolds = v * waterline_length.get() / water.kinematic_viscosity();
    let coefficient = ittc57(reynolds.max(LEAST_REYNOLDS));
    Force::newtons(0.5 * water.density() * wetted.get() * v * v * coefficient)
}

/// The speed at which a hull's own wave is as long as its waterline, v = √(g L / 2π), a Froude number of
/// 0.40.
///
/// Source: Airy's waves in deep water.
#[must_use]
pub(crate) fn hull_speed(waterline_length: Length) -> Speed {
    Speed::metres_per_second((G * waterline_length.get() / std::f64::consts::TAU).sqrt())
}

/// The resistance of a cell times its capacity in Ω Ah, as cells made for high currents have it at their
/// best and as aged ones have it at their worst: a cell resists the less the more it holds, so that the
/// product tells little of its size.
///
/// Common practice, no source: data sheets of cells of 2 to 100 Ah give 0.015 to 0.15 Ω Ah, of sealed lead
/// 0.03 to 0.1 Ω Ah; half of that and three times are left for those that were not seen.
#[must_use]
pub(crate) fn cell_resistance(chemistry: Chemistry) -> (f64, f64) {
    match chemistry {
        Chemistry::Nmc | Chemistry::Nca | Chemistry::Lfp => (0.008, 0.5),
        Chemistry::LeadAcid => (0.015, 0.3),
    }
}

/// The height of the beam that an antenna's gain and its width in the horizontal leave: the narrower it
/// is, the less the boat or the mast may sway. Half a turn at most.
///
/// Source: Kraus (1950), directivity = 41 253 deg² / (width × height) for a beam; McDonald (1978) for one
/// that radiates all round, 101.5° / (height − 0.00272 height² / 1°).
#[must_use]
pub(crate) fn beam_height(gain: Level, width: Option<Angle>) -> Angle {
    let factor = 10_f64.powf(gain.get() / 10.0);
    let all_round = || {
        // The smaller root of 0.00272 h² − h + 101.5 / D; none where the gain is less than it can be.
        let rest = 1.0 - 4.0 * 0.00272 * 101.5 / factor;
        if rest <= 0.0 {
            180.0
        } else {
            (1.0 - rest.sqrt()) / (2.0 * 0.00272)
        }
    };
    let degrees = match width {
        Some(width) => 41_253.0 / (factor * width.get().to_degrees().max(f64::MIN_POSITIVE)),
        None => all_round(),
    };
    Angle::degrees(degrees.min(180.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, within: f64) {
        assert!((value - expected).abs() <= within, "{value} {expected}");
    }

    /// Half of a prolate spheroid by its exact surface, 2πb² + 2πab arcsin(e)/e: a textbook formula
    /// (Bronshtein & Semendyayev).
    #[test]
    fn no_slender_hull_wets_less_than_half_a_spheroid() {
        for slenderness in [5.0, 10.0, 40.0_f64] {
            let (a, b) = (1.0, 1.0 / slenderness);
            let e = (1.0 - b * b / (a * a)).sqrt();
            let pi = std::f64::consts::PI;
            let surface = pi * b * b + pi * a * b * e.asin() / e;
            let volume = 2.0 / 3.0 * pi * a * b * b;
            let least = least_wetted_surface(Length::metres(2.0 * a), volume).get();
            near(least / surface, 1.0, 0.03);
        }
    }

    /// Published with the 1957 line: CF = 0.00469 at Re = 10⁶ (ITTC table), so that 1 m at 1.139 m/s in
    /// fresh water of 15 °C drags 0.00469 · ½ · 999.1 · v² on each square metre.
    #[test]
    fn friction_of_a_plate_by_the_published_line() {
        let speed = Speed::metres_per_second(1.139);
        let force = friction(
            speed,
            Length::metres(1.0),
            Area::square_metres(1.0),
            Water::Fresh,
        );
        near(force.get(), 0.00469 * 0.5 * 999.1 * 1.139 * 1.139, 0.05);
    }

    /// The seaman's rule: 1.34 times the root of the waterline in feet, in knots; 6.7 kn for 25 ft.
    #[test]
    fn hull_speed_is_the_seamans_rule() {
        let speed = hull_speed(Length::metres(25.0 * 0.3048));
        near(speed.get() / 0.514_444, 1.34 * 25_f64.sqrt(), 0.03);
    }

    /// A half-wave dipole, the textbook's example: 2.15 dBi and 78° high. Of a pencil beam of 10° by 10°
    /// Kraus's formula gives 26.2 dBi.
    #[test]
    fn beams_of_known_antennas() {
        near(
            beam_height(Level::decibels(2.15), None).get().to_degrees(),
            78.0,
            6.0,
        );
        let pencil = beam_height(Level::decibels(26.15), Some(Angle::degrees(10.0)));
        near(pencil.get().to_degrees(), 10.0, 0.1);
        near(
            beam_height(Level::decibels(0.0), None).get().to_degrees(),
            180.0,
            1e-9,
        );
    }
}
