//! The runs under every scenario, and what follows from them where it is asked for.

use std::sync::{Arc, OnceLock};

use rayon::prelude::*;

use super::Passage;
use super::acting::{Acting, Along};
use super::boat::Boat;
use super::energy;
use super::headway::{self, Headway};
use super::home;
use super::once::once;
use super::run::{HomeCost, Run, Sample, Stop, StopCause};
use super::scenario::Scenarios;
use super::sea::{Raised, SeaField};
use super::upwind::{self, LongestRuns};
use crate::models::OutsideValidity;
use crate::models::plane::Point;
use crate::units::{Speed, Time};

/// What depends on the wind.
#[derive(Debug)]
pub struct Runs {
    /// The set of conditions.
    pub scenarios: Scenarios,
    /// The boat as the models want it.
    pub boat: Boat,
    /// One run a scenario.
    pub runs: Vec<Run>,
    pub(super) sea: Option<Arc<SeaField>>,
    headway: OnceLock<Vec<Result<Headway, OutsideValidity>>>,
    upwind: OnceLock<Vec<LongestRuns>>,
}

impl Runs {
    /// Runs every scenario on a sea; nothing where there is none.
    pub(super) fn calculate(
        passage: &Passage<'_>,
        scenarios: Scenarios,
        boat: Boat,
        sea: Option<Arc<SeaField>>,
    ) -> Self {
        let runs = match &sea {
            Some(sea) => energy::runs(passage, &scenarios, sea, &boat),
            None => Vec::new(),
        };
        Self {
            scenarios,
            boat,
            runs,
            sea,
            headway: OnceLock::new(),
            upwind: OnceLock::new(),
        }
    }

    /// The time that the longest of all runs takes, as far as it comes, with its scenario; the
    /// first of equals.
    #[must_use]
    pub fn longest(&self) -> (Time, usize) {
        let ends = self.runs.iter().enumerate();
        ends.filter_map(|(scenario, run)| Some((run.samples.last()?.time, scenario)))
            .max_by(|(a, i), (b, j)| a.get().total_cmp(&b.get()).then(j.cmp(i)))
            .unwrap_or((Time::ZERO, 0))
    }

    /// How the height of the waves at a point comes about; `None` where there are none.
    #[must_use]
    pub fn raised(&self, scenario: usize, at: Point) -> Option<Raised> {
        let direction = self.scenarios.all.get(scenario)?.direction;
        self.sea.as_ref()?.raised(direction, at)
    }

    /// Of each run the least headway at full power under the gust, on the route and the return legs.
    pub fn headway(&self, passage: &Passage<'_>) -> &[Result<Headway, OutsideValidity>] {
        let least = || {
            self.each(passage, |along, run| {
                headway::least(along, &self.boat, &run.samples)
            })
        };
        once(&self.headway, least).as_slice()
    }

    /// Of each run the longest runs against the wind.
    pub fn upwind(&self, passage: &Passage<'_>) -> &[LongestRuns] {
        let usable = self.boat.pack.usable_energy();
        let longest = || {
            self.each(passage, |along, run| {
                upwind::longest(along, &self.boat, run, usable)
            })
        };
        once(&self.upwind, longest).as_slice()
    }

    /// The return leg that takes most energy, begun at a given charge. Which sample it is follows from
    /// the run; only its cost is computed anew.
    pub(super) fn costliest_return_leg(
        &self,
        passage: &Passage<'_>,
        scenario: usize,
        charge: f64,
    ) -> Result<(usize, HomeCost), Stop> {
        let energy = |sample: &Sample| {
            sample
                .home
                .as_ref()
                .map_or(f64::INFINITY, |home| home.energy.get())
        };
        let nowhere = || Stop {
            cause: StopCause::NoHeadway {
                over_ground: Speed::ZERO,
            },
            at: passage.plan.mission.launch.at.value,
            leg: None,
        };
        let (Some(along), Some(run)) = (self.along(passage, scenario), self.runs.get(scenario))
        else {
            return Err(nowhere());
        };
        let samples = &run.samples;
        let costliest = (0..samples.len())
            .max_by(|a, b| {
                energy(&samples[*a])
                    .total_cmp(&energy(&samples[*b]))
                    .then(b.cmp(a))
            })
            .ok_or_else(nowhere)?;
        home::cost_from(&along, &self.boat, costliest, charge).map(|cost| (costliest, cost))
    }

    /// Whether headway, and runs against the wind, were worked out.
    #[cfg(test)]
    pub(crate) fn worked_out(&self) -> (bool, bool) {
        (self.headway.get().is_some(), self.upwind.get().is_some())
    }

    /// The scenario without the currents in which the boat fares the same all along, of one that has them.
    pub(super) fn same_without_current(&self, scenario: usize) -> Option<usize> {
        let still = !self.sea.as_ref()?.places().any_in_current();
        self.scenarios.without_current(scenario).filter(|_| still)
    }

    /// Something of every run; where two are the same, of the first of them.
    fn each<T: Clone + Send>(
        &self,
        passage: &Passage<'_>,
        of: impl Fn(&Along<'_>, &Run) -> T + Sync,
    ) -> Vec<T> {
        let runs = self.runs.par_iter().enumerate();
        let own: Vec<Option<T>> = runs
            .map(|(scenario, run)| {
                let along = match self.same_without_current(scenario) {
                    Some(_) => None,
                    None => self.along(passage, scenario),
                };
                along.map(|along| of(&along, run))
            })
            .collect();
        let of = |scenario| match self.same_without_current(scenario) {
            Some(other) => own[other].clone(),
            None => own[scenario].clone(),
        };
        (0..own.len()).filter_map(of).collect()
    }

    /// What acts on the boat along the way in one of the scenarios; `None` where there is no sea.
    pub(super) fn along<'a>(
        &'a self,
        passage: &'a Passage<'_>,
        scenario: usize,
    ) -> Option<Along<'a>> {
        let acting = Acting {
            passage,
            scenario: self.scenarios.all.get(scenario)?,
            sea: self.sea.as_ref()?,
        };
        Some(Along::new(acting, &self.boat))
    }
}
