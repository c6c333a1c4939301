//! What the plan says of a stretch of the route: in the wind planned for, and in any wind of its
//! band.

use crate::passage::{Passage, Run, Runs};
use crate::units::{Energy, Length, Time};

/// A figure of the plan.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Band<T> {
    /// In the wind planned for, from the middle of its band; with or without current, whichever
    /// takes more energy.
    pub planned: T,
    /// The least in any wind of the band.
    pub least: T,
    /// The most in any; `None` where the boat does not get so far in some.
    pub most: Option<T>,
}

/// Time, energy and way of a stretch.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Stretch {
    pub time: Band<Time>,
    pub energy: Band<Energy>,
    pub length: Length,
}

/// The plan's own figures.
pub(super) struct Planned<'a> {
    runs: &'a Runs,
    along: &'a [f64],
    middle: usize,
}

impl<'a> Planned<'a> {
    /// Those of a passage; `None` where it has no run.
    pub(super) fn from_passage(passage: &'a Passage<'_>) -> Option<Self> {
        let runs = passage.runs().ok()?;
        let direction = runs.scenarios.directions.len() / 2;
        let used = |run: &Run| Some(run.samples.first()?.left - run.samples.last()?.left);
        let middle = (0..runs.runs.len())
            .filter(|index| runs.scenarios.all[*index].direction == direction)
            .max_by(|a, b| {
                let of = |index: usize| {
                    let run = &runs.runs[index];
                    (run.samples.len(), used(run).map_or(0.0, Energy::get))
                };
                let (a, b) = (of(*a), of(*b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            })?;
        Some(Self {
            runs,
            along: &passage.track.along,
            middle,
        })
    }

    /// The wind planned for, in words.
    pub(super) fn wind(&self) -> String {
        self.runs.scenarios.describe(self.middle, false)
    }

    /// Energy above empty at the launch.
    pub(super) fn charged(&self) -> Option<Energy> {
        Some(self.runs.runs.get(self.middle)?.samples.first()?.left)
    }

    /// Energy above empty at every sample of the route, in the wind planned for.
    pub(super) fn left(&self) -> Vec<(f64, f64)> {
        let run = self.runs.runs.get(self.middle);
        let samples = run.into_iter().flat_map(|run| &run.samples);
        let each = self.along.iter().zip(samples);
        each.map(|(along, sample)| (*along, sample.left.get()))
            .collect()
    }

    /// A stretch of the route from one distance to another; `None` where the boat does not get so
    /// far in the wind planned for.
    pub(super) fn between(&self, from: f64, to: f64) -> Option<Stretch> {
        let of = |run: &Run| -> Option<(f64, f64)> {
            let (a, b) = (self.upto(run, from)?, self.upto(run, to)?);
            Some((b.0 - a.0, b.1 - a.1))
        };
        self.stretch(of, to - from)
    }

    /// The return leg from the sample that is nearest to a distance along the route.
    pub(super) fn home(&self, from: f64) -> Option<Stretch> {
        let near = |index: &usize| (self.along[*index] - from).abs();
        let sample = (0..self.along.len()).min_by(|a, b| near(a).total_cmp(&near(b)))?;
        let cost = |run: &Run| run.samples.get(sample)?.home.as_ref().ok().cloned();
        let length = cost(self.runs.runs.get(self.middle)?)?.length;
        let of = |run: &Run| cost(run).map(|cost| (cost.time.get(), cost.energy.get()));
        self.stretch(of, length.get())
    }

    fn stretch(&self, of: impl Fn(&Run) -> Option<(f64, f64)>, length: f64) -> Option<Stretch> {
        let planned = of(self.runs.runs.get(self.middle)?)?;
        let (mut least, mut most) = (planned, Some(planned));
        for run in &self.runs.runs {
            let Some((time, energy)) = of(run) else {
                most = None;
                continue;
            };
            least = (least.0.min(time), least.1.min(energy));
            most = most.map(|(t, e)| (t.max(time), e.max(energy)));
        }
        Some(Stretch {
            time: Band {
                planned: Time::seconds(planned.0),
                least: Time::seconds(least.0),
                most: most.map(|most| Time::seconds(most.0)),
            },
            energy: Band {
                planned: Energy::joules(planned.1),
                least: Energy::joules(least.1),
                most: most.map(|most| Energy::joules(most.1)),
            },
            length: Length::metres(length),
        })
    }

    /// Time and energy from the launch to a distance along the route; `None` where the run stops
    /// before.
    fn upto(&self, run: &Run, distance: f64) -> Option<(f64, f64)> {
        let next = self.along.partition_point(|along| *along < distance - 1e-6);
        let begin = run.samples.first()?.left;
        let at = |index: usize| {
            let sample = run.samples.get(index)?;
            Some((sample.time.get(), (begin - sample.left).get()))
        };
        let (before, here) = (next.saturating_sub(1), next.min(self.along.len() - 1));
        let (a, b) = (at(before)?, at(here)?);
        let step = self.along[here] - self.along[before];
        let share = if step > 0.0 {
            ((distance - self.along[before]) / step).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some((a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)))
    }
}
