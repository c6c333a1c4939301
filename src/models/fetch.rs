//! Fetch: straight against a direction, and in effect where waves do not run with the wind.

use super::geometry::{Frame, Shore};
use super::plane::Point;
use crate::units::{Angle, FromDirection, Length};

/// The longest fetch, for points with no shore upwind. Our own choice.
pub(crate) const LONGEST: Length = Length::metres(50_000.0);

/// Degrees between two radials. Our own choice: five of them span the 15° of a mean.
const STEP: f64 = 3.0;
/// Radials in a circle. Arithmetic: 360° over the step.
const CIRCLE: i64 = 120;
/// Widest angle between waves and wind, degrees. Numerical: it keeps the cosine well above nothing, and at
/// 78° only a fetch counts that is 46 times as long as the one along the wind (arithmetic, from the cosines
/// below).
const WIDEST: f64 = 78.0;
/// Radials on either side that a mean over 15° takes in, in part the outermost. Source: Smith (1991),
/// CERC-91-2, of the 15°; the count is arithmetic.
const EACH_SIDE: i64 = 3;
/// Weights of the radials in a mean of whole degrees over 15°, those between two radials in a straight
/// line, from the middle outwards; of 45. Arithmetic.
const WEIGHTS: [f64; 4] = [9.0, 9.0, 8.0, 1.0];
/// Height goes with F^0.45 cos^1.1 φ, and so with ln F + (22/9) ln cos φ. Arithmetic.
const COSINES: f64 = 22.0 / 9.0;
/// By how much the logarithm has to be greater for another direction to be taken. Numerical: rounding
/// chooses no direction.
const CLEARLY: f64 = 1e-6;

/// A direction that fetch is measured in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Radial {
    frame: Frame,
}

impl Radial {
    /// Against a wind that comes from a direction.
    #[must_use]
    pub fn new(bearing: FromDirection) -> Self {
        let (x, y) = bearing.angle().get().sin_cos();
        Self {
            frame: Frame::along(Point::new(x, y)),
        }
    }

    /// The distance from a point upwind to the first edge of the shore, and past one that is open
    /// by the fetch that it is marked with; at most [`LONGEST`]. Whether the point is on land is
    /// not asked.
    #[must_use]
    pub fn fetch(&self, shore: &Shore, point: Point) -> Length {
        shore
            .first_along(&self.frame, point, LONGEST.get())
            .map_or(LONGEST, |(distance, edge)| {
                let past = shore.open_fetch(edge).unwrap_or(0.0);
                Length::metres(distance + past).min(LONGEST)
            })
    }

    /// The edge that ends the fetch of a point, by its number; the open ones let it go on.
    #[must_use]
    pub fn ends_at(&self, shore: &Shore, point: Point) -> Option<usize> {
        let (_, edge) = shore.first_along(&self.frame, point, LONGEST.get())?;
        shore.open_fetch(edge).is_none().then_some(edge)
    }
}

/// The fetches of a place for one wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fetches {
    /// Along the wind.
    pub along: Length,
    /// Along which the wind raises the highest waves.
    pub chief: Length,
    /// Where those waves come from, clockwise off the wind.
    pub off_wind: Angle,
}

/// One wind, among the radials of a fan.
#[derive(Debug)]
struct Among {
    /// Place of the wind's own direction, in steps from the first radial.
    place: f64,
    /// Number of a radial off the wind, the angle in degrees, and (22/9) ln cos of it.
    aside: Vec<(usize, f64, f64)>,
}

/// Radials 3° apart, enough of them for a set of winds.
///
/// Means over 15° and the direction that waves come from follow Smith (1991), CERC-91-2: "Wind-wave
/// generation on restricted fetches". That the waves are those of the greatest height, and not of the
/// longest period, is our own choice, on the safe side.
#[derive(Debug)]
pub struct Fan {
    radials: Vec<Radial>,
    closed: bool,
    winds: Vec<Among>,
}

impl Fan {
    /// For winds from several directions. One radial runs in the direction of `base`.
    #[must_use]
    pub fn new(base: FromDirection, winds: &[FromDirection]) -> Self {
        let off = |wind: &FromDirection| (wind.angle() - base.angle()).wrapped().to_degrees();
        let least = winds.iter().map(off).fold(f64::INFINITY, f64::min);
        let most = winds.iter().map(off).fold(f64::NEG_INFINITY, f64::max);
        let mut low = ((least - WIDEST) / STEP).floor() as i64 - EACH_SIDE;
        let mut count = ((most + WIDEST) / STEP).ceil() as i64 + EACH_SIDE - low + 1;
        let closed = count >= CIRCLE;
        if closed {
            (low, count) = (-CIRCLE / 2, CIRCLE);
        }
        let bearing = |k: i64| base.veered(Angle::degrees((low + k) as f64 * STEP));
        Self {
            radials: (0..count).map(|k| Radial::new(bearing(k))).collect(),
            closed,
            winds: winds
                .iter()
                .map(|wind| Among::new(off(wind), low))
                .collect(),
        }
    }

    /// Its radials.
    #[must_use]
    pub fn radials(&self) -> &[Radial] {
        &self.radials
    }

    /// The fetches of a place, for each of the winds in turn.
    pub fn fetches(&self, shore: &Shore, point: Point) -> impl Iterator<Item = Fetches> + '_ {
        let lengths: Vec<f64> = self
            .radials
            .iter()
            .map(|radial| radial.fetch(shore, point).get())
            .collect();
        let means = self.means(&lengths);
        let logs: Vec<f64> = means.iter().map(|mean| mean.ln()).collect();
        self.winds.iter().map(move |wind| {
            let at = self.round(wind.place.floor() as i64);
            let next = self.round(at as i64 + 1);
            let along = means[at] + wind.place.fract() * (means[next] - means[at]);
            let mut best = (along.ln(), along, 0.0);
            for &(radial, off, cosines) in &wind.aside {
                let radial = self.round(radial as i64);
                let effect = logs[radial] + cosines;
                if effect > best.0 + CLEARLY {
                    best = (effect, means[radial], off);
                }
            }
            Fetches {
                along: Length::metres(along),
                chief: Length::metres(best.1),
                off_wind: Angle::degrees(best.2),
            }
        })
    }

    /// The mean over 15° about each radial; about the first and last few of a fan that is not
    /// closed, which no wind asks for, of those that there are.
    fn means(&self, lengths: &[f64]) -> Vec<f64> {
        (0..lengths.len() as i64)
            .map(|k| {
                let (mut sum, mut weights) = (0.0, 0.0);
                for j in -EACH_SIDE..=EACH_SIDE {
                    let at = self.round(k + j);
                    if let Some(length) = lengths.get(at) {
                        let weight = WEIGHTS[j.unsigned_abs() as usize];
                        sum += weight * length;
                        weights += weight;
                    }
                }
                sum / weights
            })
            .collect()
    }

    /// The number of a radial, once round where the fan is closed.
    fn round(&self, radial: i64) -> usize {
        let radial = if self.closed {
            radial.rem_euclid(CIRCLE)
        } else {
            radial
        };
        // What lies before the first is as far out as what lies past the last.
        usize::try_from(radial).unwrap_or(usize::MAX)
    }
}

impl Among {
    /// A wind so many degrees off the base, and the number of the first radial.
    fn new(off: f64, low: i64) -> Self {
        let place = off / STEP - low as f64;
        let reach = WIDEST / STEP + 1e-9;
        let (first, last) = ((place - reach).ceil(), (place + reach).floor());
        let aside = (first as i64..=last as i64).map(|k| {
            let aside = (k as f64 - place) * STEP;
            // Numbers below nought or past the circle are those of a closed fan.
            let number = if k < 0 { k + CIRCLE } else { k };
            let cosines = COSINES * aside.to_radians().cos().ln();
            (usize::try_from(number).unwrap_or(0), aside, cosines)
        });
        Self {
            place,
            aside: aside.collect(),
        }
    }
}

#[cfg(test)]
mod tests;
