//! What the water, the air and the waves ask of a hull.

use super::OutsideValidity;
use super::constants::{AIR_DENSITY, G, Water};
use super::waves::Sea;
use crate::units::{Area, Force, Length, Power, Speed, Typed};

const TRIAL: &str = "the speed trial";
const HULL: &str = "the resistance model";
const WAVES: &str = "the added resistance in waves";

/// The Reynolds number below which the friction coefficient is kept. Our own choice: it bounds the line
/// where it is steepest, and a small hull comes to it below a few cm/s.
const LEAST_REYNOLDS: f64 = 5e4;

/// How often a speed is corrected to find the one that belongs to a thrust. Numerical: bounds the work.
const MOST_ROUNDS: usize = 60;

/// Friction coefficient by the model–ship correlation line.
///
/// Source: ITTC 1957, CF = 0.075 / (log10 Re − 2)². Falls with Re; meant for Re above 100 only.
#[must_use]
pub(crate) fn ittc57(reynolds: f64) -> f64 {
    let x = reynolds.log10() - 2.0;
    0.075 / (x * x)
}

/// Wetted surface of a displacement hull, S = 1.7 L T + ∇ / T.
///
/// Source: Denny–Mumford, as handbooks of naval architecture have it.
#[must_use]
pub(crate) fn wetted_surface(
    waterline_length: Length,
    draft: Length,
    displaced_cubic_metres: f64,
) -> Area {
    let (l, t) = (waterline_length.get(), draft.get());
    Area::square_metres(1.7 * l * t + displaced_cubic_metres / t)
}

/// Why a table of trial points is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrialTableError {
    /// No point at all.
    #[error("a trial table needs at least one point")]
    Empty,
    /// A value that is not a positive number; the index counts from 0.
    #[error("point {} of the trial table is not a positive speed and power", .0 + 1)]
    NotPositive(usize),
    /// A speed that is not above the one before it; the index counts from 0.
    #[error("the speed of point {} of the trial table is not above the one before it", .0 + 1)]
    SpeedNotAscending(usize),
    /// A power that is not above the one before it; the index counts from 0.
    #[error("the power of point {} of the trial table is not above the one before it", .0 + 1)]
    PowerNotIncreasing(usize),
}

impl TrialTableError {
    /// The point that is at fault, counted from 0; `None` where it is no one point.
    #[must_use]
    pub fn point(&self) -> Option<usize> {
        match *self {
            Self::Empty => None,
            Self::NotPositive(at) | Self::SpeedNotAscending(at) | Self::PowerNotIncreasing(at) => {
                Some(at)
            }
        }
    }
}

/// Electrical propulsion power in calm water, measured against the speed through the water.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialTable {
    points: Vec<(f64, f64)>,
    /// Power over speed at each point.
    pushes: Vec<f64>,
}

impl TrialTable {
    /// From points in ascending order of speed.
    ///
    /// # Errors
    /// No point, a value that is not positive and finite, or speeds or powers that do not rise.
    pub fn new(points: Vec<(Speed, Power)>) -> Result<Self, TrialTableError> {
        if points.is_empty() {
            return Err(TrialTableError::Empty);
        }
        let positive = |value: f64| value > 0.0 && value.is_finite();
        let mut last = (0.0, 0.0);
        for (i, (speed, power)) in points.iter().enumerate() {
            let (v, p) = (speed.get(), power.get());
            if !(positive(v) && positive(p)) {
                return Err(TrialTableError::NotPositive(i));
            }
            if v <= last.0 {
                return Err(TrialTableError::SpeedNotAscending(i));
            }
            if p <= last.1 {
                return Err(TrialTableError::PowerNotIncreasing(i));
            }
            last = (v, p);
        }
        Ok(Self {
            pushes: points.iter().map(|(v, p)| p.get() / v.get()).collect(),
            points: points.iter().map(|(v, p)| (v.get(), p.get())).collect(),
        })
    }

    /// The points, in ascending order of speed.
    pub fn points(&self) -> impl Iterator<Item = (Speed, Power)> + '_ {
        self.points
            .iter()
            .map(|&(v, p)| (Speed::metres_per_second(v), Power::watts(p)))
    }

    /// The same table, every power multiplied by a positive factor.
    #[must_use]
    pub fn times(mut self, factor: f64) -> Self {
        for (_, power) in &mut self.points {
            *power *= factor;
        }
        for push in &mut self.pushes {
            *push *= factor;
        }
        self
    }

    fn top(&self) -> f64 {
        self.points.last().map_or(0.0, |point| point.0)
    }

    /// Watts for a push: what the propeller has to give, as watts per m/s of the way that the
    /// trial made with it. `None` where the trial never showed as much. Where the table falls in
    /// between, the faster of the speeds that showed the push counts.
    fn watts_for_push(&self, push: f64) -> Option<f64> {
        let most = *self.pushes.last()?;
        if push > most * (1.0 + 1e-12) || push.is_nan() {
            return None;
        }
        let Some(i) = self.pushes.iter().rposition(|shown| *shown < push) else {
            // Nothing was shown below the first point: no push takes less than it did.
            return Some(self.points[0].1);
        };
        let Some((v1, p1)) = self.points.get(i + 1).copied() else {
            return self.points.last().map(|point| point.1);
        };
        let (v0, p0) = self.points[i];
        let slope = (p1 - p0) / (v1 - v0);
        let start = p0 - slope * v0;
        Some(push * (start / (push - slope)).clamp(v0, v1))
    }

    /// Watts at a speed within the table: straight lines between the points; below the first its push
    /// is kept, since nothing less was shown.
    fn watts(&self, v: f64) -> f64 {
        let i = self.points.partition_point(|point| point.0 < v);
        if i == 0 {
            let (v1, p1) = self.points[0];
            return p1 * (v / v1);
        }
        let (v0, p0) = self.points[i - 1];
        let (v1, p1) = self.points[i.min(self.points.len() - 1)];
        if v1 > v0 {
            p0 + (p1 - p0) * (v - v0) / (v1 - v0)
        } else {
            p0
        }
    }
}

/// A resistance model of a displacement hull in calm water.
///
/// Source: ITTC 1957 friction line with a form factor and a constant residuary coefficient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HullModel {
    /// The water it floats in.
    pub water: Water,
    /// Length of the waterline.
    pub waterline_length: Length,
    /// Wetted surface.
    pub wetted_surface: Area,
    /// Form factor k.
    pub form_factor: f64,
    /// Residuary coefficient CR.
    pub residuary: f64,
    /// Thrust power per electrical power: propulsive times motor efficiency.
    pub efficiency: f64,
}

impl HullModel {
    /// The speed at a Froude number of 0.5, beyond which wave-making is not in the model.
    fn top(&self) -> f64 {
        0.5 * (G * self.waterline_length.get()).sqrt()
    }

    /// Watts for a thrust; `None` above that of the top speed.
    fn watts_for(&self, thrust: f64) -> Option<f64> {
        let top = self.top();
        let most = self.newtons(top);
        if thrust > most * (1.0 + 1e-12) || thrust.is_nan() {
            return None;
        }
        // The resistance goes with about the square of the speed, so this closes in quickly.
        let mut v = top * (thrust / most).max(0.0).sqrt();
        for _ in 0..MOST_ROUNDS {
            let off = thrust / self.newtons(v);
            if (off - 1.0).abs() < 1e-13 || !off.is_finite() {
                break;
            }
            v *= off.sqrt();
        }
        Some(thrust * v / self.efficiency)
    }

    /// Newtons at a speed through the water.
    fn newtons(&self, v: f64) -> f64 {
        if v <= 0.0 {
            return 0.0;
        }
        let reynolds = v * self.waterline_length.get() / self.water.kinematic_viscosity();
        let friction = ittc57(reynolds.max(LEAST_REYNOLDS));
        let coefficient = friction * (1.0 + self.form_factor) + self.residuary;
        0.5 * self.water.density() * v * v * self.wetted_surface.get() * coefficient
    }
}

/// What calm water asks for, by speed through it.
#[derive(Clone, Debug, PartialEq)]
pub enum CalmWater {
    /// Measured in a trial.
    Trial(TrialTable),
    /// Computed from the hull.
    Model(HullModel),
}

impl CalmWater {
    /// Calm water that asks for a positive factor times the power at each speed, as where a trial
    /// or a model may be off.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        match self {
            Self::Trial(table) => Self::Trial(table.times(factor)),
            Self::Model(hull) => Self::Model(HullModel {
                wetted_surface: hull.wetted_surface * factor,
                ..hull
            }),
        }
    }

    /// The greatest speed that is within the validity.
    #[must_use]
    pub fn top_speed(&self) -> Speed {
        Speed::metres_per_second(match self {
            Self::Trial(table) => table.top(),
            Self::Model(hull) => hull.top(),
        })
    }

    /// Electrical propulsion power at a speed through calm water.
    ///
    /// # Errors
    /// A speed above [`Self::top_speed`], negative or not a number.
    pub fn power(&self, speed: Speed) -> Result<Power, OutsideValidity> {
        if self.covers(speed) {
            Ok(Power::watts(self.watts(speed.get())))
        } else {
            Err(self.outside(speed))
        }
    }

    /// Resistance at a speed through calm water, where `efficiency` is thrust power per
    /// electrical power.
    ///
    /// # Errors
    /// As [`Self::power`].
    pub fn resistance(&self, speed: Speed, efficiency: f64) -> Result<Force, OutsideValidity> {
        if self.covers(speed) {
            Ok(Force::newtons(self.newtons(speed.get(), efficiency)))
        } else {
            Err(self.outside(speed))
        }
    }

    /// Whether a speed is within the validity; the top speed is taken with a hair's breadth, so
    /// that a speed commanded at the end of the table is within it.
    pub(super) fn covers(&self, speed: Speed) -> bool {
        let v = speed.get();
        v >= 0.0 && v <= self.top_speed().get() * (1.0 + 1e-9)
    }

    /// Watts at a speed that is known to be covered.
    pub(super) fn watts(&self, v: f64) -> f64 {
        match self {
            Self::Trial(table) => table.watts(v),
            Self::Model(hull) => hull.newtons(v) * v / hull.efficiency,
        }
    }

    /// Newtons at a speed that is known to be covered.
    pub(super) fn newtons(&self, v: f64, efficiency: f64) -> f64 {
        if v <= 0.0 {
            return 0.0;
        }
        match self {
            Self::Trial(table) => efficiency * table.watts(v) / v,
            Self::Model(hull) => hull.newtons(v),
        }
    }

    /// Watts for a thrust, whatever the boat's speed: those of the speed through calm water whose
    /// resistance is that thrust. `None` where no speed within the validity shows as much.
    ///
    /// At a lower speed a propeller takes somewhat less for the same thrust, so that this is an
    /// upper estimate. Our own choice.
    pub(super) fn watts_for(&self, thrust: f64, efficiency: f64) -> Option<f64> {
        if thrust <= 0.0 {
            return Some(0.0);
        }
        match self {
            Self::Trial(table) => table.watts_for_push(thrust / efficiency),
            Self::Model(hull) => hull.watts_for(thrust),
        }
    }

    /// Says that a speed is not within the validity.
    pub(super) fn outside(&self, speed: Speed) -> OutsideValidity {
        let (asked, top) = speed.quantity().beside(self.top_speed().quantity());
        let (model, detail) = match self {
            Self::Trial(_) => (
                TRIAL,
                format!("the plan needs {asked} through the water, and its last point is at {top}"),
            ),
            Self::Model(_) => (
                HULL,
                format!(
                    "the plan needs {asked} through the water, and it holds to {top} (Froude \
                     number 0.5)"
                ),
            ),
        };
        OutsideValidity::new(model, detail)
    }
}

/// The air's drag against the heading.
///
/// `apparent` is the wind felt on board as a movement (east, north) in m/s, `heading` a unit
/// vector. A wind from behind is not credited.
///
/// Source: F = ½ ρ Cd A |a| max(0, −a·ĥ), the drag equation resolved along the heading.
#[must_use]
pub(crate) fn air_force(
    apparent: (f64, f64),
    heading: (f64, f64),
    frontal_area: Area,
    drag_coefficient: f64,
) -> Force {
    air_force_either_way(apparent, heading, frontal_area, drag_coefficient).max(Force::ZERO)
}

/// The air's drag against the heading, negative where a wind from behind pushes: what was measured
/// under such a wind has the push in it. Otherwise as [`air_force`].
///
/// Source: F = −½ ρ Cd A |a| a·ĥ, the drag equation resolved along the heading; that the
/// coefficient is the same from behind is our own choice.
#[must_use]
pub(crate) fn air_force_either_way(
    apparent: (f64, f64),
    heading: (f64, f64),
    frontal_area: Area,
    drag_coefficient: f64,
) -> Force {
    let size = apparent.0.hypot(apparent.1);
    let against = -(apparent.0 * heading.0 + apparent.1 * heading.1);
    let area = frontal_area.get() * drag_coefficient;
    Force::newtons(0.5 * AIR_DENSITY * area * size * against)
}

/// The mean added resistance in head seas.
///
/// `bow_length` runs from the bow to where the waterline has 95 % of the beam. A lower bound for a
/// small hull that pitches.
///
/// Source: STAWAVE-1, ISO 15016:2015 and ITTC procedure 7.5-04-01-01.1 (2017): R = ρ g Hs² B √(B/L_BWL) / 16.
///
/// # Errors
/// A significant wave height above 2.25 √(L/100 m) m, with L the length of the waterline.
pub(crate) fn wave_force(
    sea: Sea,
    beam: Length,
    bow_length: Length,
    waterline_length: Length,
    water: Water,
) -> Result<Force, OutsideValidity> {
    let height = sea.height.get();
    let limit = greatest_wave(waterline_length);
    if height > limit.get() || height.is_nan() {
        return Err(OutsideValidity::new(
            WAVES,
            format!(
                "significant wave height {}, and it holds to {limit} for a waterline of {waterline_length}",
                sea.height
            ),
        ));
    }
    let shape = beam.get() * (beam / bow_length).sqrt();
    Ok(Force::newtons(
        water.density() * G * height * height * shape / 16.0,
    ))
}

/// The greatest significant wave height for which [`wave_force`] holds.
#[must_use]
pub(crate) fn greatest_wave(waterline_length: Length) -> Length {
    Length::metres(2.25 * (waterline_length.get() / 100.0).sqrt())
}

/// [`heading_share`] from the cosine and the sine (its size) of the angle.
pub(super) fn share(cos: f64, sin: f64) -> f64 {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    if cos >= half {
        1.0
    } else if cos <= -half {
        0.0
    } else {
        // cos(μ − 45°)
        (half * (cos + sin)).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests;
