//! The route cut into steps and samples.

use crate::models::plane::Point;
use crate::plan::route::Leg;

/// Longest step along the route, m.
pub(crate) const STEP: f64 = 25.0;
/// Longest step on a return leg, m.
pub(crate) const HOME_STEP: f64 = 100.0;

/// One step along the route.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// Index of its leg.
    pub leg: usize,
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Unit vector (east, north) of its track.
    pub track: (f64, f64),
    /// Its length, m.
    pub length: f64,
    /// Whether it is the last of its leg.
    pub ends_leg: bool,
}

impl Step {
    /// The middle, where what acts on the step is taken.
    #[must_use]
    pub fn middle(&self) -> Point {
        self.from.lerp(self.to, 0.5)
    }
}

/// The route in steps; sample `i` is where step `i - 1` ends, sample 0 the launch point.
#[derive(Clone, Debug, Default)]
pub struct Track {
    /// Steps in order.
    pub steps: Vec<Step>,
    /// Sample points, one more than steps.
    pub samples: Vec<Point>,
    /// Distance along the route of each sample, m.
    pub along: Vec<f64>,
}

impl Track {
    /// Cuts legs into steps.
    #[must_use]
    pub fn from_legs(legs: &[Leg]) -> Self {
        let start = legs.first().map_or(Point::ZERO, |leg| leg.from);
        let mut track = Self {
            steps: Vec::new(),
            samples: vec![start],
            along: vec![0.0],
        };
        let mut along = 0.0;
        for (index, leg) in legs.iter().enumerate() {
            let length = leg.length();
            let Some(unit) = (leg.to - leg.from).unit() else {
                continue;
            };
            for (from, to, step_length) in cut(leg.from, leg.to, STEP) {
                along += step_length;
                track.steps.push(Step {
                    leg: index,
                    from,
                    to,
                    track: unit.components(),
                    length: step_length,
                    ends_leg: false,
                });
                track.samples.push(to);
                track.along.push(along);
            }
            if length > 0.0
                && let Some(last) = track.steps.last_mut()
            {
                last.ends_leg = true;
            }
        }
        track
    }

    /// Length of the route, m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.along.last().copied().unwrap_or(0.0)
    }

    /// Index of the leg that leads to a sample.
    #[must_use]
    pub fn leg_of_sample(&self, sample: usize) -> usize {
        self.steps
            .get(sample.saturating_sub(1))
            .map_or(0, |step| step.leg)
    }
}

/// Equal pieces of a line, none longer than `longest`: from, to, length.
pub(crate) fn cut(
    from: Point,
    to: Point,
    longest: f64,
) -> impl Iterator<Item = (Point, Point, f64)> {
    let length = from.distance(to);
    let count = pieces(length, longest);
    let share = move |index: usize| index as f64 / count as f64;
    (0..count).map(move |index| {
        let piece = length / count as f64;
        (
            from.lerp(to, share(index)),
            from.lerp(to, share(index + 1)),
            piece,
        )
    })
}

/// How many pieces a line is cut into.
#[must_use]
pub(crate) fn pieces(length: f64, longest: f64) -> usize {
    // Rounding must not turn an exact multiple into one piece more.
    ((length / longest - 1e-9).ceil() as usize).max(1)
}
