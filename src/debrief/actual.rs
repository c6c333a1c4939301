//! The run along its route: what was passed of each leg, and by when.

use super::fix::Fix;
use super::sums::{Between, Mark, Sums};
use crate::track::{Cleaning, Counts};
use crate::units::Length;

/// What was passed of a leg.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(super) struct Passed {
    /// Length that fixes tell of, m.
    pub seen: f64,
    /// Length that was gone along while there was no fix, m.
    pub unseen: f64,
    /// Length of the leg, m.
    pub length: f64,
    /// Length that may be missing, m.
    pub may_miss: f64,
}

impl Passed {
    /// Whether the boat went along it, seen or not.
    pub(super) fn run(self) -> bool {
        self.length - self.seen - self.unseen <= self.may_miss
    }
}

/// The run.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct ActualRun {
    pub fixes: Vec<Fix>,
    /// What was taken out of the track, and where it was split.
    pub counts: Counts,
    /// Fixes that lie too far off for the plane of the site.
    pub far: usize,
    /// How it was cleaned.
    pub cleaning: Cleaning,
    /// Distance along the route at which each leg ends, m.
    pub ends: Vec<f64>,
    /// What was passed of each leg.
    pub passed: Vec<Passed>,
    /// The last fix at the launch point; `None` where the track begins on the way.
    pub begun: Option<usize>,
    /// The first fix at the recovery point at the end of it all.
    pub arrived: Option<usize>,
    /// The leg on which the run was left, and the last fix on the route.
    pub left: Option<(usize, usize)>,
    /// Distances along the route of the ends of legs at which the boat is to pause, m.
    pub pauses: Vec<f64>,
    /// Errors of position and track together, m.
    pub errors: f64,
    /// How near is at a place.
    pub near: Length,
    /// Whether voltage and current were recorded at all.
    pub powered: bool,
    pub sums: Sums,
}

impl ActualRun {
    /// Length of the route, m.
    pub(super) fn length(&self) -> f64 {
        self.ends.last().copied().unwrap_or(0.0)
    }

    /// Distance along the route at which a leg begins, m.
    pub(super) fn begins(&self, leg: usize) -> f64 {
        leg.checked_sub(1)
            .and_then(|before| self.ends.get(before))
            .copied()
            .unwrap_or(0.0)
    }

    /// The first fix of the run.
    pub(super) fn first(&self) -> usize {
        self.begun.unwrap_or(0)
    }

    /// The last fix of the run.
    pub(super) fn last(&self) -> usize {
        self.arrived.unwrap_or(self.fixes.len() - 1)
    }

    /// The last fix that is on the route: where it was left, or where it ended.
    pub(super) fn last_on_route(&self) -> usize {
        self.left.map_or(self.last(), |(_, index)| index)
    }

    /// The moment at which the boat passes a distance along the route; `None` where it never does.
    pub(super) fn passing(&self, distance: f64) -> Option<Mark> {
        let (first, last) = (self.first(), self.last_on_route());
        if distance <= 0.0 {
            return self.begun.map(Mark::at);
        }
        if distance >= self.length() - 1e-6 {
            return self.arrived.filter(|_| self.left.is_none()).map(Mark::at);
        }
        let run = self.fixes.get(first..=last)?;
        if self.pauses.iter().any(|end| (end - distance).abs() < 0.5)
            && let Some(index) = self.holding(distance, (first, last))
        {
            return Some(Mark::at(index));
        }
        let next = first + run.partition_point(|fix| fix.on.along.get() <= distance);
        if next > last || next == first {
            return None;
        }
        let (a, b) = (
            self.fixes[next - 1].on.along.get(),
            self.fixes[next].on.along.get(),
        );
        Some(Mark {
            index: next - 1,
            share: (distance - a) / (b - a),
        })
    }

    /// The last fix of a boat that holds where it is to pause: the first one that is found is gone on
    /// from as long as the next is no farther off than the errors.
    fn holding(&self, distance: f64, (first, last): (usize, usize)) -> Option<usize> {
        let near =
            |index: &usize| (self.fixes[*index].on.along.get() - distance).abs() <= self.errors;
        let at = (first..=last).find(near)?;
        (at..=last).take_while(near).last()
    }

    /// Time from one fix to another, s; a step over which the clock was set has none.
    pub(super) fn seconds(&self, from: usize, to: usize) -> f64 {
        self.between(Mark::at(from), Mark::at(to)).time
    }

    /// Whether the clock was set somewhere in the track.
    pub(super) fn clock_was_set(&self) -> bool {
        let ends = self.fixes.len().saturating_sub(1);
        self.between(Mark::at(0), Mark::at(ends)).broken
    }

    /// What lies between two moments.
    pub(super) fn between(&self, from: Mark, to: Mark) -> Between {
        self.sums.between(from, to)
    }

    /// Whether a fix follows another: in the same piece of the track, and no farther apart in time than
    /// fixes of one piece are.
    pub(super) fn follows(&self, last: usize, next: usize) -> bool {
        let (a, b) = (&self.fixes[last], &self.fixes[next]);
        let seconds = b.sample.time.duration_since(a.sample.time).as_secs_f64();
        a.piece == b.piece && seconds <= self.cleaning.gap.get()
    }
}
