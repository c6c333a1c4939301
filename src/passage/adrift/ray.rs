//! Where the wind alone drives a boat from a sample: the same straight way for every strength of it, so that
//! it is looked at once.

use std::sync::OnceLock;

use super::Peril;
use super::first::{First, Obstacles, at_launch_site, ends_on};
use super::obstacle::Obstacle;
use super::path::{End, Piece, Start, to_next_edge};
use crate::models::drift::DIVERGING;
use crate::models::geometry::Frame;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::ending::{DRIFT_REACH, LONGEST_DRIFT, first_within};

/// Most ways that are kept for other winds.
const MOST_KEPT: usize = 100_000;

/// A straight way without any current, as far as a boat is followed at most.
#[derive(Debug)]
pub(super) struct Ray {
    start: Point,
    direction: Point,
    /// How far it is to land or open water, with what it ends at; `None` where neither is met.
    met: Option<(f64, End)>,
    /// How far a boat goes before it comes to a current; nothing where it begins in one.
    free: f64,
    /// Whether it ends ashore where people reach it, once that was requested.
    lands: OnceLock<bool>,
    /// Whether no land lies between its end and the safety boat, once that was requested.
    clear: OnceLock<bool>,
    /// Per kind: what lies ahead, the nearest first, once that was requested.
    ahead: [OnceLock<Box<[Ahead]>>; Peril::ALL.len()],
}

/// Something of a kind that lies ahead.
#[derive(Debug)]
struct Ahead {
    /// The least way at which it may be met, m.
    least: f64,
    /// Its number among all obstacles.
    obstacle: usize,
    /// The way at which it is met, once that was requested; `None` where it is not.
    met_at: OnceLock<Option<f64>>,
    /// Whether no land lies between there and the safety boat, once that was requested.
    clear: OnceLock<bool>,
}

impl Ray {
    fn new(passage: &Passage<'_>, start: Start, direction: Point) -> Self {
        let site = &passage.plan.site;
        let met = if start.afloat {
            let frame = Frame::along(direction);
            site.shore.first_along(&frame, start.at, DRIFT_REACH)
        } else {
            Some((0.0, usize::MAX))
        };
        let end = |edge: usize| site.edges.open_at(edge).map_or(End::Ashore, End::Open);
        let free = if start.current.is_some() {
            0.0
        } else {
            let edge = to_next_edge(passage, start.at, direction, DRIFT_REACH);
            edge.unwrap_or(f64::INFINITY)
        };
        Self {
            start: start.at,
            direction,
            met: met.map(|(length, edge)| (length, end(edge))),
            free,
            lands: OnceLock::new(),
            clear: OnceLock::new(),
            ahead: std::array::from_fn(|_| OnceLock::new()),
        }
    }

    /// The way along it at a speed, with the currents or without; `None` where it is another one: where a
    /// current bends it, or nothing is met within a day.
    pub(super) fn along(&self, speed: f64, current: bool) -> Option<Piece> {
        let (length, _) = self.met?;
        let within =
            length <= (speed * LONGEST_DRIFT).min(DRIFT_REACH) && speed > super::path::STILL;
        let straight = within && !(current && self.free <= length);
        straight.then_some(Piece {
            start: self.start,
            direction: self.direction,
            speed,
            length,
            time: 0.0,
            way: 0.0,
        })
    }

    fn end(&self) -> End {
        self.met.map_or(End::Afloat, |(_, end)| end)
    }

    /// Whether its way ends ashore where people reach it.
    pub(super) fn lands(&self, passage: &Passage<'_>, along: &Piece) -> bool {
        let lands = || at_launch_site(passage, Some(along.end()), self.end());
        *self.lands.get_or_init(lands)
    }

    /// What its way first drifts onto of one kind. Where that is met the strength of the wind has no part
    /// in, but in when.
    pub(super) fn first(
        &self,
        passage: &Passage<'_>,
        (along, obstacles): (&Piece, &Obstacles<'_>),
        peril: Peril,
        landed: bool,
    ) -> Option<First<'_>> {
        let site = &passage.plan.site;
        let ahead = self.ahead[peril as usize].get_or_init(|| all_ahead(along, obstacles, peril));
        let mut best: Option<(f64, &Ahead, &Obstacle)> = None;
        for one in ahead {
            if best.is_some_and(|(held, _, _)| one.least > held) {
                break;
            }
            let obstacle = &obstacles.all[one.obstacle];
            let within = || {
                first_within(along.start, along.direction, along.length, |line| {
                    obstacle.distance(site, line)
                })
            };
            if let Some(way) = *one.met_at.get_or_init(within)
                && obstacles.bars(obstacle, way / along.speed)
                && best.is_none_or(|(held, _, other)| {
                    way < held || (way <= held && obstacle.order < other.order)
                })
            {
                best = Some((way, one, obstacle));
            }
        }
        if let Some((way, one, obstacle)) = best {
            return Some(First {
                on_to: obstacle.on_to,
                at: along.start + along.direction.scale(way),
                time: way / along.speed,
                distance: way,
                clear: Some(&one.clear),
            });
        }
        let on_to = ends_on(peril, self.end(), landed)?;
        let time = along.length / along.speed;
        (time < LONGEST_DRIFT).then_some(First {
            on_to,
            at: along.end(),
            time,
            distance: along.length,
            clear: Some(&self.clear),
        })
    }
}

/// What of a kind lies ahead on a way, the nearest first; of what is met at once, the first in the order of
/// the site.
fn all_ahead(along: &Piece, obstacles: &Obstacles<'_>, peril: Peril) -> Box<[Ahead]> {
    let all = obstacles.all.iter().enumerate();
    let of_peril = all.filter(|(_, obstacle)| obstacle.peril == peril);
    let ahead = of_peril.filter_map(|(number, obstacle)| {
        Some(Ahead {
            least: obstacle.ahead(along)?,
            obstacle: number,
            met_at: OnceLock::new(),
            clear: OnceLock::new(),
        })
    });
    let mut ahead: Vec<Ahead> = ahead.collect();
    ahead.sort_by(|one, other| one.least.total_cmp(&other.least));
    ahead.into_boxed_slice()
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
            let rays = &passage.by_direction.rays;
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
        (sample, start): (usize, Start),
        number: usize,
        direction: Point,
    ) -> &Ray {
        let all = self.each.len() / self.of_sample.max(1);
        let sample = if all == 1 { 0 } else { sample };
        let ray = &self.each[sample * self.of_sample + number];
        ray.get_or_init(|| Ray::new(passage, start, direction))
    }

    /// How many were looked at.
    #[cfg(test)]
    pub(in crate::passage) fn count(&self) -> usize {
        self.each.iter().filter(|ray| ray.get().is_some()).count()
    }
}
