//! What the boat meets among the waves, each kind of trouble at its worst.

use crate::models::plane::Point;
use crate::models::stability::Encounter;
use crate::models::waves::Sea;
use crate::units::{FromDirection, Speed, Time, Towards};

/// A step of the route or of a return leg, and the waves that the boat meets there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// Where.
    pub at: Point,
    /// Whether it is on a return leg.
    pub home: bool,
    /// Sample that the return leg begins at, or that the step leads from.
    pub sample: usize,
    /// Heading.
    pub heading: Towards,
    /// Speed through the water.
    pub speed: Speed,
    /// Angle to where the waves come from.
    pub encounter: Encounter,
    /// Where the waves come from.
    pub from: FromDirection,
    /// The sea.
    pub sea: Sea,
}

/// The worst of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// The figure, the greater the worse.
    pub value: f64,
    /// Index of the scenario.
    pub scenario: usize,
    /// Where, and in which waves.
    pub met: Met,
}

/// Time with waves on the beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnTheBeam {
    /// On the route up to a sample and on the return leg from there.
    pub time: Time,
    /// Of which on the route.
    pub on_route: Time,
    /// The sample.
    pub sample: usize,
    /// Index of the scenario.
    pub scenario: usize,
    /// The first step of all that counted.
    pub first: Met,
}

/// What the boat meets, each at its worst over all winds; `None` where nothing counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Seaway {
    /// Significant height, m.
    pub significant: Option<Worst>,
    /// Height of the highest wave of the run, m, that one run in ten exceeds.
    pub highest: Option<Worst>,
    /// Steepness of the sea, height over length, as far as it counts.
    pub steepest: Option<Worst>,
    /// Nearness of the period of encounter to that of roll, as far as the waves count; of a hull
    /// whose roll is not known, as if it were in step.
    pub roll: Option<Worst>,
    /// Speed over the speed above which waves carry the boat along, as far as they count.
    pub surfing: Option<Worst>,
    /// Nearness of the speed to that of groups of waves, as far as they count.
    pub groups: Option<Worst>,
    /// Time with waves on the beam, as far as they count.
    pub beam: Option<OnTheBeam>,
    /// Whether any wave counts in full that asks for the roll period.
    pub heels: bool,
    /// Time under way that the highest wave is the highest of, the longest of all winds.
    pub time: Time,
}

impl Seaway {
    pub(super) fn with(mut self, other: Self) -> Self {
        keep(&mut self.significant, other.significant);
        keep(&mut self.highest, other.highest);
        keep(&mut self.steepest, other.steepest);
        keep(&mut self.roll, other.roll);
        keep(&mut self.surfing, other.surfing);
        keep(&mut self.groups, other.groups);
        if let Some(beam) = other.beam
            && self
                .beam
                .is_none_or(|held| beam.time.get() > held.time.get() + 1e-9)
        {
            self.beam = Some(beam);
        }
        self.heels |= other.heels;
        self.time = self.time.max(other.time);
        self
    }
}

/// Values no farther apart are the same.
pub(super) const SAME: f64 = 1e-12;

/// Whether a value is worse than what is held.
pub(super) fn worse(held: Option<Worst>, value: f64) -> bool {
    held.is_none_or(|held| value > held.value + SAME)
}

/// Keeps the greater; of equal ones the first.
pub(super) fn keep(slot: &mut Option<Worst>, other: Option<Worst>) {
    if let Some(other) = other
        && worse(*slot, other.value)
    {
        *slot = Some(other);
    }
}
