//! Where the wind alone drives a boat from a sample: the same straight way for every strength of it, so that
//! it is looked at once.

use std::sync::OnceLock;

use super::path::{End, Piece, Way, to_next_edge};
use crate::models::drift::DIVERGING;
use crate::models::geometry::Frame;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::current::current_index;
use crate::passage::ending::{DRIFT_REACH, LONGEST_DRIFT};

/// Most ways that are kept for other winds.
const MOST_KEPT: usize = 100_000;

/// A straight way without any current, as far as a boat is followed at most.
#[derive(Debug)]
pub(super) struct Ray {
    start: Point,
    direction: Point,
    /// How far it is to land or open water, with the edge of the shoreline; `None` where neither is met.
    met: Option<(f64, usize)>,
    /// How far a boat goes before it comes to a current; nothing where it begins in one.
    free: f64,
    /// Whether no land lies between its end and the safety boat, once that was asked for.
    pub(super) clear: OnceLock<bool>,
}

impl Ray {
    fn new(passage: &Passage<'_>, (start, afloat): (Point, bool), direction: Point) -> Self {
        let shore = &passage.plan.site.shore;
        let met = if afloat {
            shore.first_along(&Frame::along(direction), start, DRIFT_REACH)
        } else {
            Some((0.0, usize::MAX))
        };
        let free = if current_index(passage, start).is_some() {
            0.0
        } else {
            let edge = to_next_edge(passage, start, direction, DRIFT_REACH);
            edge.unwrap_or(f64::INFINITY)
        };
        Self {
            start,
            direction,
            met,
            free,
            clear: OnceLock::new(),
        }
    }

    /// The way along it at a speed, with the currents or without; `None` where it is another one: where a
    /// current bends it, or nothing is met within a day.
    pub(super) fn way(&self, passage: &Passage<'_>, speed: f64, current: bool) -> Option<Way> {
        let (length, edge) = self.met?;
        let within =
            length <= (speed * LONGEST_DRIFT).min(DRIFT_REACH) && speed > super::path::STILL;
        if !within || (current && self.free <= length) {
            return None;
        }
        let piece = Piece {
            start: self.start,
            direction: self.direction,
            speed,
            length,
            time: 0.0,
            way: 0.0,
        };
        let open = passage.plan.site.edges.open_at(edge);
        Some(Way {
            pieces: vec![piece],
            end: open.map_or(End::Ashore, End::Open),
        })
    }
}

/// The ways of a passage, by sample and direction.
#[derive(Debug)]
pub(in crate::passage) struct Rays {
    /// Directions from each sample.
    of_sample: usize,
    each: Vec<OnceLock<Ray>>,
}

impl Rays {
    fn unasked(samples: usize, of_sample: usize) -> Self {
        let count = samples * of_sample;
        Self {
            of_sample,
            each: std::iter::repeat_with(OnceLock::new).take(count).collect(),
        }
    }

    /// Those of every sample of a passage, where there are not too many to keep.
    pub(super) fn kept<'p>(passage: &'p Passage<'_>, directions: usize) -> Option<&'p Self> {
        let (samples, of_sample) = (passage.track.samples.len(), directions * DIVERGING.len());
        let few = samples.saturating_mul(of_sample) <= MOST_KEPT;
        few.then(|| {
            let rays = &passage.rays;
            rays.get_or_init(|| Self::unasked(samples, of_sample))
        })
    }

    /// Those of one sample.
    pub(super) fn of_one(directions: usize) -> Self {
        Self::unasked(1, directions * DIVERGING.len())
    }

    /// The way from a sample in a direction, by its number.
    pub(super) fn from(
        &self,
        passage: &Passage<'_>,
        (sample, start, afloat): (usize, Point, bool),
        number: usize,
        direction: Point,
    ) -> &Ray {
        let all = self.each.len() / self.of_sample.max(1);
        let sample = if all == 1 { 0 } else { sample };
        let ray = &self.each[sample * self.of_sample + number];
        ray.get_or_init(|| Ray::new(passage, (start, afloat), direction))
    }

    /// How many were looked at.
    #[cfg(test)]
    pub(in crate::passage) fn count(&self) -> usize {
        self.each.iter().filter(|ray| ray.get().is_some()).count()
    }
}
