//! The passage: a plan's route resolved in space and time under every scenario.
//!
//! It joins the single models as `docs/reference/models` describes. Everything here is computed from a
//! [`Plan`] and a set of [`Variation`]s of it; nothing knows of rules or limits.

pub(crate) mod abort;
mod acting;
pub(crate) mod adrift;
pub(crate) mod approaches;
pub(crate) mod boat;
pub(crate) mod clearance;
pub(crate) mod coverage;
mod current;
pub(crate) mod depth;
pub(crate) mod ending;
mod energy;
mod going;
mod headway;
pub(crate) mod holding;
mod home;
mod light;
pub(crate) mod links;
mod made;
pub mod missed_turn;
pub(crate) mod off_water;
mod once;
mod out;
mod places;
pub(crate) mod return_lines;
mod run;
mod runs;
pub(crate) mod scenario;
mod sea;
pub(crate) mod seaway;
mod shared;
pub(crate) mod sight;
pub(crate) mod sounding;
pub(crate) mod speeds;
pub(crate) mod straight;
mod straight_return;
pub(crate) mod track;
mod upwind;
mod variation;
pub(crate) mod wind_angle;

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

pub(crate) use headway::Headway;
pub(crate) use light::{Light, LightEnds, Sun, SunAt};
pub use run::Run;
pub(crate) use run::{HomeCost, Stop, StopCause};
pub(crate) use runs::Runs;
pub(crate) use sea::Waves;
pub(crate) use shared::OfDirections;
pub(crate) use upwind::{LongestRuns, UpwindRun};
pub use variation::Variation;

use crate::plan::Plan;
use crate::units::Towards;
use light::{Kept, kept_or_found};
use once::once;
use scenario::{NoScenarios, Scenarios};
use track::Track;

/// Most that may be computed for one plan, as steps times scenarios; about three seconds' worth.
pub(crate) const MOST_WORK: usize = 40_000_000;

/// Most work of a plan that is computed over and over to find what would pass; a tenth of a second
/// each time.
const MOST_WORK_VARIED: usize = 1_500_000;

/// Why nothing can be told of a plan's passage.
#[derive(Clone, Debug, PartialEq)]
pub enum NoPassage {
    /// There is no set of conditions.
    NoScenarios(NoScenarios),
    /// The plan asks for more steps than are computed.
    TooMuch {
        /// Steps times scenarios asked for.
        asked: usize,
        /// The most that are computed.
        limit: usize,
    },
}

/// A plan resolved. Each part is computed when it is first asked for.
pub struct Passage<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// How it is varied.
    pub variation: Variation,
    /// The route in steps.
    pub track: Track,
    scenarios: OnceLock<Result<Scenarios, NoPassage>>,
    // What another time of launch, or another strength of wind, changes nothing about is shared.
    runs: Arc<OnceLock<Result<Runs, NoPassage>>>,
    links: Arc<OnceLock<Vec<links::LinkReading>>>,
    clearance: Arc<OnceLock<clearance::Clearances>>,
    watched: Arc<OnceLock<Vec<sight::Watched>>>,
    ashore: Arc<OnceLock<off_water::Ashore>>,
    open_approaches: Arc<OnceLock<Vec<Towards>>>,
    sea: OnceLock<Option<Arc<sea::SeaField>>>,
    seaway: Arc<OnceLock<Option<seaway::Seaway>>>,
    adrift: Arc<adrift::Kept>,
    /// Whether runs, and what a boat drifts onto, were requested of this passage itself.
    asks_runs: AtomicBool,
    asks_adrift: AtomicBool,
    /// What is kept of it in other winds from the same directions.
    adrift_in: Option<Arc<adrift::OfWinds>>,
    depth: Arc<OnceLock<Result<depth::UnderKeel, NoPassage>>>,
    bed: Arc<OnceLock<Result<depth::UnderKeel, NoPassage>>>,
    light: Arc<Kept<(i64, i64), Light>>,
    sun: Arc<Kept<i64, SunAt>>,
    missed_turn: Arc<missed_turn::Kept>,
    by_direction: Arc<shared::ByDirection>,
    without_wind: Arc<adrift::WithoutWind>,
    fetched_over: Arc<OnceLock<Vec<f64>>>,
    of_values: bool,
}

/// How much was worked out.
#[cfg(test)]
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct WorkedOut {
    /// Straight ways of a boat adrift.
    pub ways_adrift: usize,
    /// Times and closures that a boat was sent straight on for.
    pub straight_on: usize,
}

impl<'a> Passage<'a> {
    /// Prepares the passage of a plan.
    #[must_use]
    pub fn from_plan(plan: &'a Plan) -> Self {
        Self::varied(plan, Variation::default())
    }

    /// Prepares the passage of a varied plan.
    #[must_use]
    pub fn varied(plan: &'a Plan, variation: Variation) -> Self {
        Self::laid(plan, variation, Track::from_legs(&plan.mission.legs))
    }

    fn laid(plan: &'a Plan, variation: Variation, track: Track) -> Self {
        Self {
            plan,
            variation,
            track,
            scenarios: OnceLock::new(),
            runs: Arc::default(),
            links: Arc::default(),
            clearance: Arc::default(),
            watched: Arc::default(),
            ashore: Arc::default(),
            open_approaches: Arc::default(),
            sea: OnceLock::new(),
            seaway: Arc::default(),
            adrift: Arc::default(),
            asks_runs: AtomicBool::new(false),
            asks_adrift: AtomicBool::new(false),
            adrift_in: None,
            depth: Arc::default(),
            bed: Arc::default(),
            light: Arc::default(),
            sun: Arc::default(),
            missed_turn: Arc::default(),
            by_direction: Arc::default(),
            without_wind: Arc::default(),
            fetched_over: Arc::default(),
            of_values: false,
        }
    }

    /// Whether nothing but the values of measures is wanted of it.
    pub(crate) fn is_of_values(&self) -> bool {
        self.of_values
    }

    /// The conditions that the plan is checked against.
    ///
    /// # Errors
    /// [`NoPassage`] where there is no wind to take.
    pub fn scenarios(&self) -> Result<&Scenarios, &NoPassage> {
        let compute =
            || Scenarios::from_plan(self.plan, &self.variation).map_err(NoPassage::NoScenarios);
        self.scenarios.get_or_init(compute).as_ref()
    }

    /// Steps of the route and of all return legs, times scenarios: how much there is to compute.
    #[must_use]
    pub fn asked(&self) -> usize {
        let scenarios = self.scenarios().map_or(0, |all| all.all.len());
        self.work().saturating_mul(scenarios)
    }

    /// What was requested so far of what depends on the wind, in steps times scenarios; ways of a boat
    /// adrift as the steps that take as long.
    #[must_use]
    pub fn computed(&self) -> usize {
        let runs = if self.asks_runs.load(Ordering::Relaxed) {
            self.asked()
        } else {
            0
        };
        let adrift = if self.asks_adrift.load(Ordering::Relaxed) {
            self.asked_adrift()
        } else {
            0
        };
        runs.saturating_add(adrift)
    }

    /// The ways of a boat adrift, as the steps that take as long: an edge that it may drift onto takes an
    /// eighth of the time of a step.
    #[must_use]
    pub fn asked_adrift(&self) -> usize {
        adrift::work(self) / 8
    }

    /// Whether the plan is small enough to be computed over and over, varied.
    pub fn may_be_varied(&self) -> bool {
        let scenarios = self.runs().map_or(0, |runs| runs.scenarios.all.len());
        self.work().saturating_mul(scenarios) <= MOST_WORK_VARIED
    }

    /// Everything that depends on the wind.
    ///
    /// # Errors
    /// [`NoPassage`] where there is no wind to take, or too much to compute.
    pub fn runs(&self) -> Result<&Runs, &NoPassage> {
        self.asks_runs.store(true, Ordering::Relaxed);
        once(&self.runs, || self.compute_runs()).as_ref()
    }

    /// The radio links that the mission needs.
    pub fn links(&self) -> &[links::LinkReading] {
        once(&self.links, || links::all(self)).as_slice()
    }

    /// Who has the boat in sight at every sample of the route; nothing where no operator is stated.
    pub fn watched(&self) -> &[sight::Watched] {
        self.watched.get_or_init(|| sight::along_route(self))
    }

    /// The site's soundings that lie off its water.
    pub fn soundings_ashore(&self) -> &off_water::Ashore {
        self.ashore.get_or_init(|| off_water::soundings(self))
    }

    /// Courses on which the shore leaves an approach to the recovery point open.
    pub(super) fn open_approaches(&self) -> &[Towards] {
        self.open_approaches.get_or_init(|| approaches::open(self))
    }

    /// Of each straight stretch of shore that nothing is said about, the first sample whose fetch it ends.
    fn seen_from(&self, scenarios: &Scenarios) -> &[Option<usize>] {
        let known = &self.by_direction.seen_from;
        known.get_or_init(|| straight::seen_from(self, scenarios))
    }

    /// Clearances from land, hazards and keep-outs.
    pub fn clearances(&self) -> &clearance::Clearances {
        self.clearance.get_or_init(|| clearance::all(self))
    }

    /// What the boat meets of waves; `None` where the route spreads over more water than the sea
    /// can be computed for.
    ///
    /// # Errors
    /// [`NoPassage`] where there is no wind to take, or too much to compute.
    pub fn seaway(&self) -> Result<Option<&seaway::Seaway>, &NoPassage> {
        let runs = self.runs()?;
        let met = once(&self.seaway, || seaway::all(self, runs));
        Ok(met.as_ref())
    }

    /// What of one kind a disabled boat drifts onto, from every sample.
    ///
    /// # Errors
    /// [`NoPassage`] where there is no wind to take, or too much to compute.
    pub fn adrift(&self, onto: adrift::Peril) -> Result<&adrift::Adrift, &NoPassage> {
        self.asks_adrift.store(true, Ordering::Relaxed);
        self.adrift.of(self, onto)
    }

    /// Follows a disabled boat for every kind of thing that it may drift onto, where several are requested.
    pub(crate) fn follow_adrift(&self) {
        self.asks_adrift.store(true, Ordering::Relaxed);
        self.adrift.complete(self);
    }

    /// The water under the keel along the route and the return legs.
    ///
    /// # Errors
    /// [`NoPassage`] where there is no wind to take, or too much to compute.
    pub fn under_keel(&self) -> Result<&depth::UnderKeel, &NoPassage> {
        let compute = || {
            let runs = self.runs().map_err(Clone::clone)?;
            let bed = once(&self.bed, || depth::bed(self)).clone()?;
            Ok(depth::in_waves(self, runs, bed))
        };
        once(&self.depth, compute).as_ref()
    }

    /// The light between two moments at the launch point, which is worked out by `find` for the first
    /// two that are asked for and kept: most winds ask for the same ones.
    pub fn light(&self, between: (i64, i64), find: impl Fn() -> Light) -> Light {
        kept_or_found(&self.light, between, find)
    }

    /// Where a moment lies in the light of its day at the launch point, which is worked out by `find` for the
    /// first one that is asked for and kept: it is the launch.
    pub fn sun(&self, at: i64, find: impl Fn() -> SunAt) -> SunAt {
        kept_or_found(&self.sun, at, find)
    }

    /// The return leg that takes most energy in a scenario, over all samples, begun at a given
    /// charge: its sample and its cost.
    ///
    /// # Errors
    /// [`Stop`] where the boat does not get home from there at that charge.
    pub fn costliest_return_leg(
        &self,
        runs: &Runs,
        scenario: usize,
        charge: f64,
    ) -> Result<(usize, HomeCost), Stop> {
        runs.costliest_return_leg(self, scenario, charge)
    }

    fn compute_runs(&self) -> Result<Runs, NoPassage> {
        let scenarios = self.scenarios().map_err(Clone::clone)?.clone();
        let asked = self.work().saturating_mul(scenarios.all.len());
        if asked > MOST_WORK {
            return Err(NoPassage::TooMuch {
                asked,
                limit: MOST_WORK,
            });
        }
        let boat = boat::Boat::from_plan(self.plan, &self.variation);
        let sea = self.sea(&scenarios);
        Ok(Runs::calculate(self, scenarios, boat, sea))
    }

    /// The sea in every scenario; `None` where the route spreads over more water than it can be computed for.
    fn sea(&self, scenarios: &Scenarios) -> Option<Arc<sea::SeaField>> {
        let lay = || {
            let laid = self
                .by_direction
                .laid_for
                .as_deref()
                .unwrap_or(&scenarios.directions);
            energy::lattice(self, scenarios.planned, laid).map(Arc::new)
        };
        let own = || energy::lattice(self, scenarios.planned, &scenarios.directions).map(Arc::new);
        let of = |lattice: &Arc<sea::Lattice>| energy::sea(self, lattice, scenarios);
        let compute = || {
            let lattice = self.by_direction.lattice.get_or_init(lay).as_ref()?;
            let sea = of(lattice).or_else(|| of(&own()?));
            sea.map(Arc::new)
        };
        self.sea.get_or_init(compute).clone()
    }

    /// The significant height of the waves at its greatest, m, as [`seaway`](Self::seaway) has it, where no run is
    /// wanted; nothing where there are no waves. `None` where it cannot be determined so.
    pub(crate) fn highest_waves(&self) -> Option<Option<f64>> {
        let scenarios = self.scenarios().ok()?;
        self.asks_runs.store(true, Ordering::Relaxed);
        if self.asked() > MOST_WORK {
            return None;
        }
        let sea = self.sea(scenarios)?;
        Some(seaway::highest(self, scenarios, &sea))
    }

    /// What was worked out so far of what winds share.
    #[cfg(test)]
    pub(crate) fn worked_out(&self) -> WorkedOut {
        WorkedOut {
            ways_adrift: self.by_direction.rays.get().map_or(0, adrift::Rays::count),
            straight_on: self.missed_turn.count(),
        }
    }

    /// Steps of the route and of all return legs.
    fn work(&self) -> usize {
        let return_points = self.plan.mission.return_points();
        let along = self.plan.mission.return_leg.along_route();
        let onward = return_points.windows(2);
        let onward: usize = onward
            .map(|pair| track::pieces(pair[0].distance(pair[1]), track::HOME_STEP))
            .sum();
        let homes: usize = self
            .track
            .samples
            .iter()
            .enumerate()
            .map(|(index, point)| {
                if along {
                    index + 1
                } else {
                    track::pieces(point.distance(return_points[0]), track::HOME_STEP) + onward
                }
            })
            .sum();
        self.track.steps.len() + homes
    }
}
