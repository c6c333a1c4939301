//! A passage made of another: what of the one holds for the other is shared, and computed once.

use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

use super::scenario::spread_out;
use super::track::Track;
use super::{Passage, Variation, adrift, sea};
use crate::plan::Plan;
use crate::units::{Angle, FromDirection};

/// What follows from the directions of the wind and the way that the boat goes, each worked out once.
#[derive(Default)]
pub(super) struct ByDirection {
    pub lattice: Arc<OnceLock<Option<Arc<sea::Lattice>>>>,
    /// The directions that the lattice is laid for, where they are more than those of the wind.
    pub laid_for: Option<Arc<[FromDirection]>>,
    pub rays: OnceLock<adrift::Rays>,
    pub seen_from: OnceLock<Vec<Option<usize>>>,
}

/// What winds from the same directions share, however strong they are and however the boat is varied that
/// goes the same way.
#[derive(Clone, Default)]
pub(crate) struct OfDirections {
    by_direction: Arc<ByDirection>,
    adrift: Arc<adrift::OfWinds>,
}

impl OfDirections {
    /// Of the wind from one direction alone, and beside it of the wind from there with a spread: they have their
    /// fetches in common.
    pub(crate) fn alone_and_spread(from: FromDirection, spread: Angle) -> (Self, Self) {
        let lattice = Arc::default();
        let laid_for: Arc<[FromDirection]> = spread_out(from, spread).into();
        let with_lattice = || Self {
            by_direction: Arc::new(ByDirection {
                lattice: Arc::clone(&lattice),
                laid_for: Some(Arc::clone(&laid_for)),
                ..ByDirection::default()
            }),
            ..Self::default()
        };
        (with_lattice(), with_lattice())
    }
}

/// What holds for another passage under a condition, or else one to be worked out anew.
fn shared_if<T: Default>(holds: bool, kept: &Arc<T>) -> Arc<T> {
    if holds {
        Arc::clone(kept)
    } else {
        Arc::default()
    }
}

impl Passage<'_> {
    /// The same passage, of which nothing is reported but the values of measures, as of one that is only tried.
    #[must_use]
    pub(crate) fn values_alone(self) -> Self {
        Self {
            of_values: true,
            ..self
        }
    }

    /// The same passage varied further.
    #[must_use]
    pub fn varied_by(&self, variation: &Variation) -> Self {
        let varied = Self::varied(self.plan, self.variation.and(variation));
        let same = variation.veer.is_none();
        Self {
            // Another strength of the wind or another boat has the same fetches, and drifts the same ways.
            by_direction: shared_if(same, &self.by_direction),
            open_approaches: Arc::clone(&self.open_approaches),
            without_wind: Arc::clone(&self.without_wind),
            fetched_over: Arc::clone(&self.fetched_over),
            of_values: self.of_values,
            ..varied
        }
    }

    /// The passage of the same plan with another threshold of its low-battery action, which shares
    /// what was computed of this one. `plan` must differ from this one's in nothing else.
    #[must_use]
    pub fn with_threshold<'b>(&self, plan: &'b Plan) -> Passage<'b> {
        self.relaunched(plan)
    }

    /// The passage of the same plan launched at another time into the same wind, which shares what
    /// was computed of this one. `plan` must differ from this one's in nothing but its launch.
    #[must_use]
    pub fn relaunched<'b>(&self, plan: &'b Plan) -> Passage<'b> {
        let mut relaunched = Passage {
            plan,
            variation: self.variation.clone(),
            track: self.track.clone(),
            scenarios: OnceLock::new(),
            runs: Arc::clone(&self.runs),
            links: Arc::clone(&self.links),
            clearance: Arc::clone(&self.clearance),
            watched: Arc::clone(&self.watched),
            ashore: Arc::clone(&self.ashore),
            open_approaches: Arc::clone(&self.open_approaches),
            sea: self.sea.clone(),
            seaway: Arc::clone(&self.seaway),
            adrift: Arc::clone(&self.adrift),
            asks_runs: AtomicBool::new(false),
            asks_adrift: AtomicBool::new(false),
            adrift_in: None,
            depth: Arc::clone(&self.depth),
            bed: Arc::clone(&self.bed),
            light: Arc::clone(&self.light),
            sun: Arc::clone(&self.sun),
            missed_turn: Arc::clone(&self.missed_turn),
            by_direction: Arc::clone(&self.by_direction),
            without_wind: Arc::clone(&self.without_wind),
            fetched_over: Arc::clone(&self.fetched_over),
            of_values: self.of_values,
        };
        if !self.finds_the_same_closed(&relaunched) {
            relaunched.adrift = Arc::default();
        }
        relaunched
    }

    /// The passage of the same plan in another wind, which shares what no wind changes: clearances,
    /// links, the bed below the route, and, where the wind has the same directions and differs in
    /// strength alone, the fetches. `plan` must differ from this one's in nothing but its wind.
    #[must_use]
    pub fn in_wind<'b>(&self, plan: &'b Plan) -> Passage<'b> {
        let directions = |plan: &Plan| {
            let wind = plan.mission.wind.as_ref()?;
            Some((wind.from.value, wind.spread.value))
        };
        let same = directions(self.plan) == directions(plan);
        let adrift_in = self.adrift_in.as_ref().filter(|_| same).map(Arc::clone);
        let wind = plan.mission.wind.as_ref();
        let adrift = adrift_in
            .as_ref()
            .zip(wind)
            .map(|(kept, wind)| kept.of(wind));
        Passage {
            adrift: adrift.unwrap_or_default(),
            adrift_in,
            links: Arc::clone(&self.links),
            clearance: Arc::clone(&self.clearance),
            watched: Arc::clone(&self.watched),
            ashore: Arc::clone(&self.ashore),
            open_approaches: Arc::clone(&self.open_approaches),
            bed: Arc::clone(&self.bed),
            light: Arc::clone(&self.light),
            sun: Arc::clone(&self.sun),
            missed_turn: Arc::clone(&self.missed_turn),
            without_wind: Arc::clone(&self.without_wind),
            fetched_over: Arc::clone(&self.fetched_over),
            by_direction: shared_if(same, &self.by_direction),
            track: self.track.clone(),
            of_values: self.of_values,
            ..Passage::laid(plan, self.variation.clone(), Track::default())
        }
    }

    /// As [`in_wind`](Self::in_wind), with what is known already of the directions of that wind. They must be
    /// those of a passage whose boat goes the same way.
    #[must_use]
    pub(crate) fn in_wind_of<'b>(&self, plan: &'b Plan, known: &OfDirections) -> Passage<'b> {
        Passage {
            by_direction: Arc::clone(&known.by_direction),
            adrift_in: adrift::OfWinds::are_shared(plan).then(|| Arc::clone(&known.adrift)),
            ..self.in_wind(plan)
        }
    }

    /// What is known of the directions of its wind.
    pub(crate) fn of_directions(&self) -> OfDirections {
        OfDirections {
            by_direction: Arc::clone(&self.by_direction),
            adrift: Arc::default(),
        }
    }
}
