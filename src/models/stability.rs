//! Screening of a hull against waves: whether they may overpower it, never that they cannot.
//!
//! None of these limits is proof of stability. Those of MSC.1/Circ.1228 and of the 2008 IS Code
//! were written for conventional ships, many times longer than the hulls that a plan names.

use std::f64::consts::TAU;

use super::OutsideValidity;
use super::waves::{Sea, wavelength};
use crate::units::{Angle, Frequency, FromDirection, Length, Ratio, Speed, Time, Towards};

/// The share of the length overall that a breaking wave on the beam may be high before it can
/// roll a hull past its range of stability.
///
/// Source: the tank tests at Southampton that followed the 1979 Fastnet race, as summed up in
/// secondary literature.
pub const BREAKING_SHARE: f64 = 0.3;

/// The greatest height over depth of a wave on a flat bed.
///
/// Source: McCowan (1894), the limit of a solitary wave, 0.78 (from memory).
pub const DEPTH_SHARE: f64 = 0.78;

/// The greatest steepness of a wave in deep water.
///
/// Source: Miche (1944), 0.142, one in seven (from memory).
pub const GREATEST_STEEPNESS: f64 = 0.142;

/// The share of the length overall that waves may be high, by their significant height, for a
/// hull of which nobody has tried more.
///
/// Source: our own proposal, the lower end of 0.10 to 0.15 m for a hull of 1 m.
pub const UNTRIED_SHARE: f64 = 0.10;

/// Waves from within this of ahead or astern, degrees, do not heel a hull to speak of. Our own
/// choice.
const ALONG_DEGREES: f64 = 30.0;

/// Waves from within this of abeam, degrees, are on the beam. Our own choice.
const ABEAM_DEGREES: f64 = 30.0;

const ROLL: &str = "the roll period";

/// The angle between a heading and where the waves come from, 0 to 180°: 0 is a head sea, 180° a
/// following sea, as IMO's guidance counts it.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug)]
pub struct Encounter(Angle);

impl Encounter {
    /// Between a heading and waves.
    #[must_use]
    pub fn between(heading: Towards, waves: FromDirection) -> Self {
        Self((waves.angle() - heading.angle()).wrapped().abs())
    }

    /// The angle, 0 to 180°.
    #[must_use]
    pub fn angle(self) -> Angle {
        self.0
    }

    /// Whether the waves are on the beam: within 30° of abeam.
    #[must_use]
    pub fn is_abeam(self) -> bool {
        (self.0.to_degrees() - 90.0).abs() <= ABEAM_DEGREES
    }

    /// Whether the waves heel the hull: not within 30° of ahead or astern.
    #[must_use]
    pub fn heels(self) -> bool {
        (ALONG_DEGREES..=180.0 - ALONG_DEGREES).contains(&self.0.to_degrees())
    }

    /// Whether the waves come from astern or the quarter: above 135°.
    ///
    /// Source: MSC.1/Circ.1228 (2007), following and quartering seas.
    #[must_use]
    pub fn is_from_astern(self) -> bool {
        std::f64::consts::PI - self.0.get() < std::f64::consts::FRAC_PI_4
    }
}

/// The significant height up to which a hull is taken to bear waves untried.
///
/// Source: as [`UNTRIED_SHARE`].
#[must_use]
pub fn untried_height(length_overall: Length) -> Length {
    length_overall * UNTRIED_SHARE
}

/// The lesser of two figures over the greater: 1 where they are the same, 0 where either is not a
/// positive number.
#[must_use]
pub fn nearness(one: f64, other: f64) -> Ratio {
    let nearness = (one / other).min(other / one);
    Ratio::fraction(if one > 0.0 && other > 0.0 && nearness.is_finite() {
        nearness
    } else {
        0.0
    })
}

/// How near the speed with which a hull follows the waves is to that of their groups, as
/// [`nearness`] has it; 0 where the waves are not from astern.
///
/// A hull that keeps pace with a group meets one high wave after another, and each lifts its stern
/// for long. Source: MSC.1/Circ.1228 (2007), successive high-wave attack, where V in knots over
/// the period in seconds is 1.3 to 2.0, which is 0.86 to 1.32 of the group's speed in deep water
/// (from memory).
#[must_use]
pub fn group_nearness(group: Speed, speed: Speed, encounter: Encounter) -> Ratio {
    if encounter.is_from_astern() {
        let following = -speed.get() * encounter.angle().get().cos();
        nearness(following, group.get())
    } else {
        Ratio::ZERO
    }
}

/// The height of a breaking wave on the beam that may capsize a hull: 30 % of its length overall
/// or its beam, the lower.
///
/// Source: as [`BREAKING_SHARE`]; the beam as a limit after Van Dorn, as summed up in secondary
/// literature.
#[must_use]
pub fn breaking_wave_limit(length_overall: Length, beam: Length) -> Length {
    (length_overall * BREAKING_SHARE).min(beam)
}

/// The height at which waves of a period break in water of a depth for want of length: Miche's
/// limit.
///
/// Zero where the period or the depth is not positive; an infinite depth is deep water.
///
/// Source: Miche (1944): H = 0.142 L tanh(k d).
#[must_use]
pub fn miche_limit(period: Time, depth: Length) -> Length {
    let length = wavelength(period, depth);
    if length.get() > 0.0 {
        length * (GREATEST_STEEPNESS * (TAU / length.get() * depth.get()).tanh())
    } else {
        Length::ZERO
    }
}

/// The height at which waves break for want of depth.
///
/// Source: as [`DEPTH_SHARE`].
#[must_use]
pub fn depth_limit(depth: Length) -> Length {
    depth.max(Length::ZERO) * DEPTH_SHARE
}

/// The greatest height that a wave of a period can have in water of a depth: the lower of
/// [`miche_limit`] and [`depth_limit`]. A higher one breaks.
#[must_use]
pub fn breaking_height(period: Time, depth: Length) -> Length {
    miche_limit(period, depth).min(depth_limit(depth))
}

/// Height over wavelength; zero where there are no waves.
#[must_use]
pub fn steepness(sea: Sea, depth: Length) -> Ratio {
    let length = wavelength(sea.period, depth);
    if sea.has_waves() && length.get() > 0.0 {
        Ratio::fraction(sea.height / length)
    } else {
        Ratio::ZERO
    }
}

/// The natural period of roll from the metacentric height.
///
/// Source: International Code on Intact Stability, 2008, part A, 2.3: T = 2 C B/√GM with
/// C = 0.373 + 0.023 B/d − 0.043 L/100, lengths in metres.
///
/// # Errors
/// A beam, draught, waterline length or metacentric height that is not a positive number, and a
/// hull so long and narrow that C is not positive.
pub fn roll_period(
    beam: Length,
    draught: Length,
    waterline: Length,
    metacentric_height: Length,
) -> Result<Time, OutsideValidity> {
    for (name, value) in [
        ("the beam", beam),
        ("the draught", draught),
        ("the waterline length", waterline),
        ("the metacentric height", metacentric_height),
    ] {
        if !(value.get() > 0.0 && value.get().is_finite()) {
            return Err(OutsideValidity::new(
                ROLL,
                format!("{name} is above zero, not {value}"),
            ));
        }
    }
    let c = 0.373 + 0.023 * (beam / draught) - 0.043 * (waterline.get() / 100.0);
    if c <= 0.0 {
        return Err(OutsideValidity::new(
            ROLL,
            format!("a hull of {waterline} is too long for it"),
        ));
    }
    Ok(Time::seconds(
        2.0 * c * beam.get() / metacentric_height.get().sqrt(),
    ))
}

/// The speed of a wave's crest, zero where there are no waves.
///
/// Source: linear wave theory, L/T.
#[must_use]
pub fn phase_speed(period: Time, depth: Length) -> Speed {
    if period.get() > 0.0 {
        Speed::metres_per_second(wavelength(period, depth).get() / period.get())
    } else {
        Speed::ZERO
    }
}

/// The speed of a group of waves and of their energy, zero where there are no waves.
///
/// Source: linear wave theory, ½ (1 + 2kd/sinh 2kd) L/T.
#[must_use]
pub fn group_speed(period: Time, depth: Length) -> Speed {
    let length = wavelength(period, depth).get();
    if length <= 0.0 {
        return Speed::ZERO;
    }
    let twice = 2.0 * TAU / length * depth.get();
    // Past this the hyperbolic sine is without bound and the water deep.
    let share = if twice < 700.0 {
        0.5 * (1.0 + twice / twice.sinh())
    } else {
        0.5
    };
    phase_speed(period, depth) * share
}

/// How often waves are met by a boat that moves through the water; zero where it runs with them
/// at their own speed.
///
/// Source: |ω − k U cos μ| with μ = 0 in a following sea; in deep water k = ω²/g.
#[must_use]
pub fn encounter_frequency(
    period: Time,
    depth: Length,
    speed: Speed,
    encounter: Encounter,
) -> Frequency {
    let length = wavelength(period, depth).get();
    if length <= 0.0 {
        return Frequency::ZERO;
    }
    // The angle of encounter is 180° where the waves follow.
    let overtaken = -encounter.angle().get().cos() * speed.get() / length;
    Frequency::hertz((1.0 / period.get() - overtaken).abs())
}

/// The time between two waves that are met; infinite where none is.
///
/// Source: one over [`encounter_frequency`].
#[must_use]
pub fn encounter_period(period: Time, depth: Length, speed: Speed, encounter: Encounter) -> Time {
    Time::seconds(1.0 / encounter_frequency(period, depth, speed, encounter).get())
}

/// The period of encounter over the natural period of roll: a hull rolls in step with the waves
/// where it is near 1, and in step with every other wave where it is near ½.
///
/// Source: MSC.1/Circ.1228 (2007), synchronous and parametric rolling.
#[must_use]
pub fn roll_ratio(encounter: Time, roll: Time) -> Ratio {
    Ratio::fraction(encounter / roll)
}

/// The speed above which a hull may be carried along by waves from astern, and broach; `None`
/// where the angle of encounter is not above 135°.
///
/// Source: MSC.1/Circ.1228 (2007), surf-riding and broaching-to: 135° < α < 225° and
/// V > 1.8 √L/cos(180° − α), V in knots and L in metres (the formula from memory).
#[must_use]
pub fn surf_riding_speed(length: Length, encounter: Encounter) -> Option<Speed> {
    let off_astern = std::f64::consts::PI - encounter.angle().get();
    encounter.is_from_astern().then(|| {
        let knots = 1.8 * length.get().max(0.0).sqrt() / off_astern.cos();
        Speed::metres_per_second(knots * 1852.0 / 3600.0)
    })
}

/// Whether waves are long and high enough against a hull for the guidance on following seas to
/// matter: longer than 0.8 and higher than 0.04 of its length.
///
/// Source: MSC.1/Circ.1228 (2007), successive high-wave attack.
#[must_use]
pub fn waves_matter_astern(length: Length, sea: Sea, depth: Length) -> bool {
    wavelength(sea.period, depth) > length * 0.8 && sea.height > length * 0.04
}

/// Whether a hull is in the zone in which waves from astern may carry it along: faster than
/// [`surf_riding_speed`] in waves that [matter](waves_matter_astern).
///
/// Source: as those; that waves must be so long and high is our own choice of gate for a hull so
/// short that the speed alone would stop every boat.
#[must_use]
pub fn in_surf_riding_zone(
    length: Length,
    speed: Speed,
    encounter: Encounter,
    sea: Sea,
    depth: Length,
) -> bool {
    surf_riding_speed(length, encounter).is_some_and(|limit| speed > limit)
        && waves_matter_astern(length, sea, depth)
}

#[cfg(test)]
mod tests;
