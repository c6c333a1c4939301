//! How far it is for the safety boat to a boat adrift, over water.

use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::links::OWN_GROUND;
use crate::plan::safety_boat::SafetyBoat;

/// Land at the far end of a line that may be rounding, m.
const ROUNDING: f64 = 0.5;

/// The craft, with its way over water to every sample of the route.
pub(super) struct Reach<'a> {
    passage: &'a Passage<'a>,
    craft: &'a SafetyBoat,
    to_sample: &'a [f64],
    /// Time from the failure until the craft is under way, s.
    under_way: f64,
}

/// What it takes the craft to come to a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fetch {
    pub(super) way: f64,
    pub(super) time: f64,
    /// Whether straight, and not by way of where the power was lost.
    pub(super) straight: bool,
}

impl<'a> Reach<'a> {
    pub(super) fn new(passage: &'a Passage<'a>, craft: &'a SafetyBoat) -> Self {
        let under_way = passage.plan.mission.reaction_time() + craft.ready_within.value;
        Self {
            passage,
            craft,
            to_sample: passage
                .fetched_over
                .get_or_init(|| to_each_sample(passage, craft)),
            under_way: under_way.get(),
        }
    }

    /// By way of where the power was lost and then after the boat.
    pub(super) fn after(&self, sample: usize, drifted: f64) -> Fetch {
        self.fetch(self.to_sample[sample] + drifted, false)
    }

    /// Straight to a place, where no land lies between.
    pub(super) fn straight(&self, to: Point) -> Option<Fetch> {
        self.clear(to).then(|| self.straight_to(to))
    }

    /// Whether no land lies between the craft and a place.
    pub(super) fn clear(&self, to: Point) -> bool {
        clear(self.passage, self.craft.at.value, to)
    }

    /// Straight to a place that no land lies before.
    pub(super) fn straight_to(&self, to: Point) -> Fetch {
        self.fetch(self.craft.at.value.distance(to), true)
    }

    fn fetch(&self, way: f64, straight: bool) -> Fetch {
        Fetch {
            way,
            time: self.under_way + way / self.craft.calculated().get(),
            straight,
        }
    }
}

/// The craft's way over water to every sample, which no wind changes: straight where no land lies
/// between, else along the route, which is water, from where it is.
fn to_each_sample(passage: &Passage<'_>, craft: &SafetyBoat) -> Vec<f64> {
    let from = craft.at.value;
    let straight = |at: &Point| {
        let clear = clear(passage, from, *at);
        if clear {
            from.distance(*at)
        } else {
            f64::INFINITY
        }
    };
    let mut ways: Vec<f64> = passage.track.samples.iter().map(straight).collect();
    let steps = &passage.track.steps;
    for (i, step) in steps.iter().enumerate() {
        ways[i + 1] = ways[i + 1].min(ways[i] + step.length);
    }
    for (i, step) in steps.iter().enumerate().rev() {
        ways[i] = ways[i].min(ways[i + 1] + step.length);
    }
    ways
}

/// Whether no land lies on a line, but for the ground that the craft lies at.
fn clear(passage: &Passage<'_>, from: Point, to: Point) -> bool {
    let line = Segment { a: from, b: to };
    let length = line.length();
    let land = passage.plan.site.shore.land_intervals(line);
    land.iter().all(|(begin, end)| {
        (*begin <= 1e-9 && end * length <= OWN_GROUND) || (end - begin) * length <= ROUNDING
    })
}
