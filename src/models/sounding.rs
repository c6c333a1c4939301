//! What an echo sounder covers, how sure its depths are, and the speed of sound that they rest on.

use super::OutsideValidity;
use crate::units::{Angle, Frequency, Length, Ratio, Speed, Temperature, Time};

/// The 95 % limit of one dimension over its standard deviation.
///
/// Source: IHO S-44, edition 6 (2020): 1.96 for a depth.
pub(crate) const NINETY_FIVE_1D: f64 = 1.96;

/// No water carries sound more slowly: fresh water at 0 °C, rounded down.
///
/// Source: Marczak (1997) at 0 °C, 1402.4 m/s.
pub(crate) const SLOWEST_SOUND: Speed = Speed::metres_per_second(1402.0);

const FRESH: &str = "the speed of sound in fresh water";
const SEA: &str = "the speed of sound in sea water";

/// The width on the bed that a beam of a full opening angle lights up; none from 180° on.
///
/// Source: arithmetic, 2 d tan(θ/2), over a flat bed.
#[must_use]
pub(crate) fn footprint(depth: Length, beam: Angle) -> Length {
    let half = beam.get() / 2.0;
    if half < std::f64::consts::FRAC_PI_2 {
        depth * (2.0 * half.tan())
    } else {
        Length::metres(f64::INFINITY)
    }
}

/// The distance between lines whose swaths overlap by a share of their width.
///
/// Source: arithmetic, w (1 − overlap).
#[must_use]
pub(crate) fn line_spacing(swath: Length, overlap: Ratio) -> Length {
    swath * (1.0 - overlap.get())
}

/// The distance between two soundings along a line; infinite without pings.
///
/// Source: arithmetic, V over the rate.
#[must_use]
pub(crate) fn along_track_spacing(speed: Speed, ping_rate: Frequency) -> Length {
    Length::metres(speed.get() / ping_rate.get())
}

/// The greatest rate at which each echo is back before the next ping; infinite in no water.
///
/// Source: arithmetic, c/2d.
#[must_use]
pub(crate) fn greatest_ping_rate(depth: Length, sound_speed: Speed) -> Frequency {
    Frequency::hertz(sound_speed.get() / (2.0 * depth.get()))
}

/// The survey orders of IHO S-44.
#[expect(clippy::enum_variant_names, reason = "the standard calls them so")]
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Order {
    /// A general picture of the bed.
    Order2,
    /// Depths that shipping does not depend on.
    Order1b,
    /// Depths that shipping may depend on.
    Order1a,
    /// Under-keel clearance is critical.
    Special,
    /// The strictest.
    Exclusive,
}

impl Order {
    /// Every order, the least strict first.
    pub const ALL: [Self; 5] = [
        Self::Order2,
        Self::Order1b,
        Self::Order1a,
        Self::Special,
        Self::Exclusive,
    ];

    /// How often over the bed is to be covered; 0 where lines with gaps between them will do.
    ///
    /// Source: IHO S-44, edition 6 (2020), table 1, bathymetric coverage. Order 1a asks for at most 100 %
    /// of it and for a search of the whole bed for features, which a beam does by full coverage only.
    #[must_use]
    pub const fn times_covered(self) -> u32 {
        match self {
            Self::Order2 | Self::Order1b => 0,
            Self::Order1a | Self::Special => 1,
            Self::Exclusive => 2,
        }
    }

    /// The share of the bed that is to be lit up, more than all of it where it is covered again.
    ///
    /// Source: IHO S-44, edition 6 (2020), table 1, bathymetric coverage: 5 %, 5 %, at most 100 %,
    /// 100 %, 200 %. Of order 1a the whole is taken, see [`times_covered`](Self::times_covered).
    #[must_use]
    pub const fn coverage(self) -> Ratio {
        Ratio::fraction(match self {
            Self::Order2 | Self::Order1b => 0.05,
            Self::Order1a | Self::Special => 1.0,
            Self::Exclusive => 2.0,
        })
    }

    /// The part of the vertical uncertainty that does not depend on depth, m, and that which does,
    /// per metre.
    const fn vertical(self) -> (f64, f64) {
        match self {
            Self::Order2 => (1.0, 0.023),
            Self::Order1b | Self::Order1a => (0.5, 0.013),
            Self::Special => (0.25, 0.0075),
            Self::Exclusive => (0.15, 0.0075),
        }
    }

    /// The same of the horizontal uncertainty.
    const fn horizontal(self) -> (f64, f64) {
        match self {
            Self::Order2 => (20.0, 0.1),
            Self::Order1b | Self::Order1a => (5.0, 0.05),
            Self::Special => (2.0, 0.0),
            Self::Exclusive => (1.0, 0.0),
        }
    }

    /// The greatest total vertical uncertainty at a depth, 95 %.
    ///
    /// Source: IHO S-44, edition 6 (2020), table 1: √(a² + (b d)²).
    #[must_use]
    pub fn vertical_limit(self, depth: Length) -> Length {
        let (a, b) = self.vertical();
        Length::metres(a.hypot(b * depth.get()))
    }

    /// The greatest total horizontal uncertainty at a depth, 95 %.
    ///
    /// Source: IHO S-44, edition 6 (2020), table 1: a part and a share of the depth, added.
    #[must_use]
    pub fn horizontal_limit(self, depth: Length) -> Length {
        let (a, b) = self.horizontal();
        Length::metres(a + b * depth.get().abs())
    }
}

/// The greatest distance between lines whose beams light up so much of the bed as an order asks
/// for; a bed that is covered more than once takes lines as much closer.
///
/// Source: IHO S-44, edition 6 (2020), table 1, bathymetric coverage.
#[must_use]
pub(crate) fn spacing_for_coverage(footprint: Length, order: Order) -> Length {
    footprint / order.coverage().get()
}

/// The greatest distance between depths where an order leaves gaps in the coverage.
///
/// Source: IHO S-44, edition 6 (2020), chapters 1.1 and 3.5: three times the depth or 25 m, whichever is
/// greater, where less than the whole bed is covered. Edition 5 (2008) had the same for lines.
#[must_use]
pub(crate) fn greatest_gap(depth: Length) -> Length {
    (depth * 3.0).max(Length::metres(25.0))
}

/// The greatest distance between lines that an order allows: for its coverage and, where gaps are left,
/// between depths.
#[must_use]
pub(crate) fn greatest_line_spacing(footprint: Length, depth: Length, order: Order) -> Length {
    let covered = spacing_for_coverage(footprint, order);
    match order.times_covered() {
        0 => covered.min(greatest_gap(depth)),
        _ => covered,
    }
}

/// How far apart two lines may come to be run that are planned a distance apart, where the boat
/// keeps each of them to within `cross_track` (95 %).
///
/// Source: independent errors add by their squares (IHO S-44), those of two lines here.
#[must_use]
pub(crate) fn widest_gap(spacing: Length, cross_track: Length) -> Length {
    spacing + cross_track * std::f64::consts::SQRT_2
}

/// How far a sounder is lifted and let down that follows the surface of a sea, 95 %.
///
/// Source: the elevation is taken as normal with a standard deviation of a quarter of the
/// significant wave height (its definition, Hm0 = 4 √m0).
#[must_use]
pub(crate) fn heave(significant_height: Length) -> Length {
    significant_height * (NINETY_FIVE_1D / 4.0)
}

/// What makes a depth unsure, each at 95 %.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(crate) struct VerticalErrors {
    /// The sounder's own.
    pub sounder: Length,
    /// The speed of sound, as a share of it.
    pub sound_speed: Ratio,
    /// The water level against the datum.
    pub water_level: Length,
    /// The transducer's draught, settlement and squat.
    pub draught: Length,
    /// Heave, and what roll and pitch do to the beam.
    pub motion: Length,
}

impl VerticalErrors {
    /// The total vertical uncertainty at a depth, 95 %.
    ///
    /// Source: IHO S-44: independent errors add by their squares; the speed of sound acts in
    /// proportion to depth.
    #[must_use]
    pub(crate) fn total(&self, depth: Length) -> Length {
        root_sum_square(&[
            self.sounder.get(),
            self.sound_speed.get() * depth.get(),
            self.water_level.get(),
            self.draught.get(),
            self.motion.get(),
        ])
    }
}

/// What makes the place of a depth unsure, each at 95 %.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(crate) struct HorizontalErrors {
    /// The antenna's position.
    pub position: Length,
    /// The way from antenna to transducer, where it is not corrected for.
    pub lever_arm: Length,
    /// The time by which position and depth are apart.
    pub latency: Time,
    /// The beam's tilt off the vertical by roll, pitch and mounting; below 90°.
    pub tilt: Angle,
}

impl HorizontalErrors {
    /// The total horizontal uncertainty at a depth and a speed over ground, 95 %.
    ///
    /// Source: IHO S-44: independent errors add by their squares; the latency acts over the way
    /// made, the tilt over d tan of it.
    #[must_use]
    pub(crate) fn total(&self, depth: Length, speed: Speed) -> Length {
        root_sum_square(&[
            self.position.get(),
            self.lever_arm.get(),
            (speed * self.latency).get(),
            depth.get() * self.tilt.get().tan(),
        ])
    }
}

fn root_sum_square(parts: &[f64]) -> Length {
    Length::metres(parts.iter().map(|part| part * part).sum::<f64>().sqrt())
}

/// How far off every depth is when it is taken with a speed of sound that is not the water's, as
/// a share of the true depth: positive where depths read too great.
///
/// Source: depth is c t/2, so that the share is assumed over actual, less one.
#[must_use]
pub(crate) fn depth_scale_error(assumed: Speed, actual: Speed) -> Ratio {
    Ratio::fraction(assumed / actual - 1.0)
}

/// The speed of sound in pure water at the surface, 0 to 95 °C.
///
/// Source: Marczak (1997), Journal of the Acoustical Society of America 102, 2776–2779.
///
/// # Errors
/// A temperature outside those limits.
pub(crate) fn sound_speed_fresh(temperature: Temperature) -> Result<Speed, OutsideValidity> {
    let t = temperature.get();
    within(FRESH, "temperatures", t, 0.0, 95.0, "°C")?;
    let terms = [
        1402.385,
        5.038_813,
        -5.799_136e-2,
        3.287_156e-4,
        -1.398_845e-6,
        2.787_860e-9,
    ];
    Ok(Speed::metres_per_second(
        terms.iter().rev().fold(0.0, |sum, term| sum * t + term),
    ))
}

/// The speed of sound in brackish and sea water: 0 to 35 °C, a salinity of 0 to 45 g/kg, depths
/// of 0 to 4000 m.
///
/// `salinity` is a share of mass: 35 g/kg is 0.035.
///
/// Source: Coppens (1981), Journal of the Acoustical Society of America 69, 862–863; taken because
/// it holds down to fresh water, where others begin at 25 g/kg.
///
/// # Errors
/// A value outside those limits.
pub(crate) fn sound_speed_sea(
    temperature: Temperature,
    salinity: Ratio,
    depth: Length,
) -> Result<Speed, OutsideValidity> {
    let grams = salinity.get() * 1000.0;
    within(SEA, "temperatures", temperature.get(), 0.0, 35.0, "°C")?;
    within(SEA, "salinities", grams, 0.0, 45.0, "g/kg")?;
    within(SEA, "depths", depth.get(), 0.0, 4000.0, "m")?;
    let t = temperature.get() / 10.0;
    let d = depth.get() / 1000.0;
    let s = grams - 35.0;
    let surface =
        1449.05 + t * (45.7 + t * (-5.21 + 0.23 * t)) + (1.333 + t * (-0.126 + 0.009 * t)) * s;
    Ok(Speed::metres_per_second(
        surface
            + d * (16.23 + 0.253 * t + d * (0.213 - 0.1 * t))
            + (0.016 + 0.0002 * s) * s * t * d,
    ))
}

/// The depth from which the water below is taken to be stratified unless it was measured: shallower
/// lakes are mixed down to the bed by moderate winds (common practice, no source).
pub(crate) const MIXED_DEPTH: Length = Length::metres(5.0);

/// What the water at the bed is taken to be where nobody measured it: fresh water is densest at
/// 4 °C (common practice, no source), and sound slower in cold water.
pub(crate) const COLD_BOTTOM: Temperature = Temperature::celsius(4.0);

fn within(
    model: &'static str,
    what: &str,
    value: f64,
    low: f64,
    high: f64,
    unit: &str,
) -> Result<(), OutsideValidity> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(OutsideValidity::new(
            model,
            format!("it holds for {what} from {low} to {high} {unit}, not for {value} {unit}"),
        ))
    }
}

#[cfg(test)]
mod tests;
