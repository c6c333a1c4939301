//! Sums along the run: time, way and energy, and for how long they are not known.

use super::fix::Fix;
use super::power::{filled, power};
use crate::track::Cleaning;
use crate::units::Resistance;

/// A moment of the run: so far from one fix to the next.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Mark {
    pub index: usize,
    pub share: f64,
}

impl Mark {
    pub(super) fn at(index: usize) -> Self {
        Self { index, share: 0.0 }
    }

    fn interpolate(self, sums: &[f64]) -> f64 {
        let here = sums.get(self.index).copied().unwrap_or(0.0);
        let next = sums.get(self.index + 1).copied().unwrap_or(here);
        here + self.share * (next - here)
    }
}

/// Sums from the first fix on, one each.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Sums {
    time: Vec<f64>,
    unseen: Vec<f64>,
    energy: Vec<f64>,
    logged: Vec<f64>,
    delivered: Vec<f64>,
    unlogged: Vec<f64>,
    blank: Vec<f64>,
    breaks: Vec<f64>,
    path: Vec<f64>,
    /// Greatest power out of the store at any fix, W.
    greatest: f64,
}

/// What lies between two moments.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Between {
    /// Time, s.
    pub time: f64,
    /// Of it without a fix, s.
    pub unseen: f64,
    /// Stored energy that was taken, J. Power that was not logged is put in: in a straight line between
    /// two fixes that have it, elsewhere the mean of the rest.
    pub energy: f64,
    /// The same, with the greatest power of the run for as long as none was logged, J.
    pub energy_at_most: f64,
    /// Energy that the pack gave, put in likewise, J.
    pub delivered: f64,
    /// Time without voltage and current, s.
    pub unlogged: f64,
    /// Whether the clock was set.
    pub broken: bool,
    /// Way made from fix to fix, m.
    pub path: f64,
}

impl Sums {
    /// What lies between two moments.
    pub(super) fn between(&self, from: Mark, to: Mark) -> Between {
        let of = |sums: &[f64]| to.interpolate(sums) - from.interpolate(sums);
        // The clock may have been set on the very step that a moment lies on.
        let upto = |mark: Mark| mark.index + usize::from(mark.share > 0.0);
        let count = |index: usize| self.breaks.get(index).copied().unwrap_or(0.0);
        let (time, blank, unlogged) = (of(&self.time), of(&self.blank), of(&self.unlogged));
        let whole = if blank < time {
            time / (time - blank)
        } else {
            1.0
        };
        Between {
            time,
            unseen: of(&self.unseen),
            energy: of(&self.energy) * whole,
            energy_at_most: of(&self.logged) + unlogged * self.greatest,
            delivered: of(&self.delivered) * whole,
            unlogged,
            broken: count(upto(to)) - count(from.index) > 0.5,
            path: of(&self.path),
        }
    }

    /// The sums of a run.
    pub(super) fn from_fixes(fixes: &[Fix], cleaning: &Cleaning, resistance: Resistance) -> Self {
        let mut sums = Self::default();
        let power: Vec<Option<(f64, f64)>> = fixes
            .iter()
            .map(|fix| power(&fix.sample, resistance))
            .collect();
        let greatest = power.iter().flatten().map(|(stored, _)| *stored);
        sums.greatest = greatest.fold(0.0, f64::max);
        let power = filled(fixes, &power, cleaning.gap.get());
        let mut push = |step: [f64; 9]| {
            let all = [
                &mut sums.time,
                &mut sums.unseen,
                &mut sums.energy,
                &mut sums.logged,
                &mut sums.delivered,
                &mut sums.unlogged,
                &mut sums.blank,
                &mut sums.breaks,
                &mut sums.path,
            ];
            for (sum, more) in all.into_iter().zip(step) {
                let last = sum.last().copied().unwrap_or(0.0);
                sum.push(last + more);
            }
        };
        if !fixes.is_empty() {
            push([0.0; 9]);
        }
        for (index, pair) in fixes.windows(2).enumerate() {
            let seconds = pair[1]
                .sample
                .time
                .duration_since(pair[0].sample.time)
                .as_secs_f64();
            let set = seconds <= 0.0 || seconds >= cleaning.set_forward.get();
            let time = if set { 0.0 } else { seconds };
            let seen = pair[0].piece == pair[1].piece;
            let (energy, given, known, blank) = match (power[index], power[index + 1]) {
                (Some(a), Some(b)) => (
                    0.5 * (a.stored + b.stored) * time,
                    0.5 * (a.given + b.given) * time,
                    a.known_after && b.known_before,
                    false,
                ),
                _ => (0.0, 0.0, false, true),
            };
            push([
                time,
                if seen { 0.0 } else { time },
                energy,
                if known { energy } else { 0.0 },
                given,
                if known { 0.0 } else { time },
                if blank { time } else { 0.0 },
                if set { 1.0 } else { 0.0 },
                pair[0].at.distance(pair[1].at),
            ]);
        }
        sums
    }
}
