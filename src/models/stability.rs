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
pub(crate) const BREAKING_SHARE: f64 = 0.3;

/// The greatest height over depth of a wave on a flat bed.
///
/// Source: McCowan (1894), the limit of a solitary wave, 0.78 (from memory).
pub(crate) const DEPTH_SHARE: f64 = 0.78;

/// The greatest steepness of a wave in deep water.
///
/// Source: Miche (1944), 0.142, one in seven (in secondary literature).
pub(crate) const GREATEST_STEEPNESS: f64 = 0.142;

/// The share of the length overall that waves may be high, by their significant height, for a
/// hull of which nobody has tried more.
///
/// Source: our own proposal, the lower end of 0.10 to 0.15 m for a hull of 1 m.
pub(crate) const UNTRIED_SHARE: f64 = 0.10;

/// The share of the length overall below which waves do not count at all; between it and
/// [`UNTRIED_SHARE`] they count in part. Our own choice, above the 0.04 of MSC.1/Circ.1228.
pub(crate) const RIPPLE_SHARE: f64 = 0.05;

/// Waves from within this of ahead or astern, degrees, do not heel a hull to speak of. Our own
/// choice.
const ALONG_DEGREES: f64 = 30.0;

/// Waves from within this of abeam, degrees, are on the beam. Our own choice.
const ABEAM_DEGREES: f64 = 30.0;

/// Waves from within this of astern, degrees, are from astern.
///
/// Source: MSC.1/Circ.1228 (2007), following and quartering seas.
const ASTERN_DEGREES: f64 = 45.0;

/// How far past a sector, degrees, waves count in part. Our own choice.
const EDGE_DEGREES: f64 = 10.0;

/// Wavelengths over the length overall between which waves from astern come to count: in full from
/// 0.8 (MSC.1/Circ.1228, 2007), in part from 0.6 (our own choice).
const LONG_ENOUGH: (f64, f64) = (0.6, 0.8);

/// 0 up to a lower bound, 1 from an upper one, and a straight line between them; 0 for a NaN.
fn ramp(value: f64, low: f64, high: f64) -> f64 {
    let share = (value - low) / (high - low);
    if share > 0.0 { share.min(1.0) } else { 0.0 }
}

/// How far waves of a significant height count against a hull, 0 to 1: not below a twentieth of
/// its length, in full from a tenth, and in part between, so that nothing jumps as the wind rises.
///
/// Source: as [`UNTRIED_SHARE`].
#[must_use]
pub(crate) fn counts(height: Length, length_overall: Length) -> f64 {
    ramp(height / length_overall, RIPPLE_SHARE, UNTRIED_SHARE)
}

/// How far waves of a length count from astern, 0 to 1.
///
/// Source: MSC.1/Circ.1228 (2007), successive high-wave attack: longer than 0.8 of the hull.
#[must_use]
pub(crate) fn counts_astern(wavelength: Length, length_overall: Length) -> f64 {
    ramp(wavelength / length_overall, LONG_ENOUGH.0, LONG_ENOUGH.1)
}

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

    /// How far the waves are on the beam, 0 to 1: in full within 30° of abeam, in part up to 40°.
    #[must_use]
    pub fn abeam(self) -> f64 {
        let off = (self.0.to_degrees() - 90.0).abs();
        ramp(-off, -ABEAM_DEGREES - EDGE_DEGREES, -ABEAM_DEGREES)
    }

    /// How far the waves heel the hull, 0 to 1: in full from 30° off ahead or astern, in part from
    /// 20°.
    #[must_use]
    pub fn heels(self) -> f64 {
        let off = self.0.to_degrees().min(180.0 - self.0.to_degrees());
        ramp(off, ALONG_DEGREES - EDGE_DEGREES, ALONG_DEGREES)
    }

    /// How far the waves come from astern or the quarter, 0 to 1: in full within 45° of astern, in
    /// part within 55°.
    ///
    /// Source: MSC.1/Circ.1228 (2007), following and quartering seas.
    #[must_use]
    pub fn astern(self) -> f64 {
        let off = 180.0 - self.0.to_degrees();
        ramp(-off, -ASTERN_DEGREES - EDGE_DEGREES, -ASTERN_DEGREES)
    }
}

/// The significant height up to which a hull is taken to bear waves untried.
///
/// Source: as [`UNTRIED_SHARE`].
#[must_use]
pub(crate) fn untried_height(length_overall: Length) -> Length {
    length_overall * UNTRIED_SHARE
}

/// The lesser of two figures over the greater: 1 where they are the same, 0 where either is not a
/// positive number.
#[must_use]
pub(crate) fn nearness(one: f64, other: f64) -> Ratio {
    let nearness = (one / other).min(other / one);
    Ratio::fraction(if one > 0.0 && other > 0.0 && nearness.is_finite() {
        nearness
    } else {
        0.0
    })
}

/// How near a figure is to a range, both of what can be had at some point of it: 1 within it,
/// [`nearness`] to its nearer end outside, 0 where any is not a positive number.
#[must_use]
pub(crate) fn nearness_to_range(figure: f64, low: f64, high: f64) -> Ratio {
    if low <= figure && figure <= high && figure > 0.0 {
        return Ratio::fraction(1.0);
    }
    nearness(figure, low).max(nearness(figure, high))
}

/// How near the speed with which a hull follows the waves is to that of their groups, which run
/// between two speeds: 1 where it is among them, [`nearness`] to the nearer one elsewhere; 0 where
/// the waves are from ahead.
///
/// A hull that keeps pace with a group meets one high wave after another, and each lifts its stern
/// for long. Source: MSC.1/Circ.1228 (2007), successive high-wave attack, where V in knots over
/// the period in seconds is 1.3 to 2.0, which is 0.86 to 1.32 of the group's speed in deep water
/// (from memory).
#[must_use]
pub(crate) fn group_nearness(groups: (Speed, Speed), speed: Speed, encounter: Encounter) -> Ratio {
    let following = -speed.get() * encounter.angle().get().cos();
    nearness_to_range(following, groups.0.get(), groups.1.get())
}

/// How near the period in which a hull meets waves comes to its natural period of roll, over the
/// whole range of their periods, as [`nearness`] has it: 1 where one of the range is met in step.
///
/// `waves` are periods and lengths, from the shortest to the longest; between two of them the
/// frequency of encounter is taken to pass through everything that lies between theirs.
#[must_use]
pub(crate) fn roll_nearness(
    waves: &[(Time, Length)],
    speed: Speed,
    encounter: Encounter,
    roll: Time,
) -> Ratio {
    let ahead = encounter.angle().get().cos() * speed.get();
    let own = 1.0 / roll.get();
    let mut before: Option<f64> = None;
    let mut nearest = Ratio::ZERO;
    for &(period, length) in waves {
        if period.get() <= 0.0 || length.get() <= 0.0 {
            continue;
        }
        // Signed: where it changes its sign the hull runs with the waves.
        let often = 1.0 / period.get() + ahead / length.get();
        if let Some(before) = before {
            let (low, high) = (before.min(often), before.max(often));
            if (low..=high).contains(&own) || (low..=high).contains(&-own) {
                return Ratio::fraction(1.0);
            }
        }
        before = Some(often);
        nearest = nearest.max(nearness(often.abs(), own));
    }
    nearest
}

/// The height of a breaking wave on the beam that may capsize a hull: 30 % of its length overall
/// or its beam, the lower.
///
/// Source: as [`BREAKING_SHARE`]; the beam as a limit after Van Dorn, as summed up in secondary
/// literature.
#[must_use]
pub(crate) fn breaking_wave_limit(length_overall: Length, beam: Length) -> Length {
    (length_overall * BREAKING_SHARE).min(beam)
}

/// The height at which waves of a period break in water of a depth for want of length: Miche's
/// limit.
///
/// Zero where the period or the depth is not positive; an infinite depth is deep water.
///
/// Source: Miche (1944): H = 0.142 L tanh(k d).
#[must_use]
pub(crate) fn miche_limit(period: Time, depth: Length) -> Length {
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
pub(crate) fn depth_limit(depth: Length) -> Length {
    depth.max(Length::ZERO) * DEPTH_SHARE
}

/// The greatest height that a wave of a period can have in water of a depth: the lower of
/// [`miche_limit`] and [`depth_limit`]. A higher one breaks.
#[must_use]
pub(crate) fn breaking_height(period: Time, depth: Length) -> Length {
    miche_limit(period, depth).min(depth_limit(depth))
}

/// Height over length of the shortest waves of a sea, and no more than that of a wave that breaks
/// in that water: there is none that is steeper. Zero where there are no waves.
#[must_use]
pub(crate) fn steepness(sea: Sea, depth: Length) -> Ratio {
    let length = wavelength(sea.shortest, depth);
    if sea.has_waves() && length.get() > 0.0 {
        Ratio::fraction(sea.height.min(miche_limit(sea.shortest, depth)) / length)
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
pub(crate) fn roll_period(
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
pub(crate) fn phase_speed(period: Time, depth: Length) -> Speed {
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
pub(crate) fn group_speed(period: Time, depth: Length) -> Speed {
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
pub(crate) fn encounter_frequency(
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
pub(crate) fn encounter_period(
    period: Time,
    depth: Length,
    speed: Speed,
    encounter: Encounter,
) -> Time {
    Time::seconds(1.0 / encounter_frequency(period, depth, speed, encounter).get())
}

/// The speed above which a hull may be carried along by waves from astern, and broach; `None`
/// where the waves do not come from [astern](Encounter::astern) at all.
///
/// Source: MSC.1/Circ.1228 (2007), surf-riding and broaching-to: 135° < α < 225° and
/// V > 1.8 √L/cos(180° − α), V in knots and L in metres (the formula from memory).
#[must_use]
pub(crate) fn surf_riding_speed(length: Length, encounter: Encounter) -> Option<Speed> {
    let off_astern = std::f64::consts::PI - encounter.angle().get();
    (encounter.astern() > 0.0).then(|| {
        let knots = 1.8 * length.get().max(0.0).sqrt() / off_astern.cos();
        Speed::metres_per_second(knots * 1852.0 / 3600.0)
    })
}

#[cfg(test)]
mod tests;
