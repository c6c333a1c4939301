//! The places that the route and the return legs go through. Each lies in one cell of the sea's lattice and
//! in one current, so that what acts on the boat there is worked out once for all the steps in it; no
//! strength of wind makes others of them.

use std::collections::HashMap;

use super::Passage;
use super::current::{current_at, current_index};
use super::straight_return::{is_home, straight, straight_step};
use super::track::Step;
use crate::models::plane::Point;

/// A place, by its number.
pub(super) type Number = u32;

/// One place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    /// Where the first step that goes through it has its middle.
    pub at: Point,
    /// The current there (east, north), where currents run.
    pub current: (f64, f64),
}

/// A straight way, in equal steps: to the recovery point, or to a waypoint of the return leg.
#[derive(Clone, Copy, Debug)]
struct Straight {
    from: Point,
    to: Point,
    track: (f64, f64),
    /// The length of each step, m.
    length: f64,
    /// Its steps, by their numbers in [`Places::returning`].
    first: usize,
    last: usize,
}

/// The places of every step of a plan.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// Of each step of the route.
    route: Vec<Number>,
    /// The straight ways: from every sample, or from the launch point alone where the return leg goes back
    /// along the route.
    ways: Vec<Option<Straight>>,
    /// What follows each of them where the return leg goes by waypoints.
    onward: Vec<Straight>,
    /// Of each step of the straight ways, one way after the other.
    returning: Vec<Number>,
    all: Vec<Place>,
    /// Per sample: whether its return leg may run in a current.
    home_in_current: Vec<bool>,
    any_in_current: bool,
}

/// A step of a return leg.
#[derive(Clone, Copy, Debug)]
pub(super) struct HomeStep {
    /// Unit vector (east, north) of its track.
    pub track: (f64, f64),
    /// Its length, m.
    pub length: f64,
    /// Where it is.
    pub place: Number,
    /// Its number among the steps that return legs from several samples share; nothing for one of a straight
    /// way of its own.
    pub shared: Option<usize>,
    part: Part,
}

#[derive(Clone, Copy, Debug)]
enum Part {
    /// A step of the route, the other way.
    Route(usize),
    /// One of so many of a straight way between two points.
    Straight(Point, Point, (usize, usize)),
}

impl Places {
    /// The places of a passage, by the cell of each point.
    pub(super) fn from_passage(passage: &Passage<'_>, cell: impl Fn(Point) -> (i64, i64)) -> Self {
        let mut known: HashMap<((i64, i64), Option<usize>), Number> = HashMap::new();
        let mut all = Vec::new();
        let mut place = |at: Point| {
            let key = (cell(at), current_index(passage, at));
            *known.entry(key).or_insert_with(|| {
                let current = current_at(passage, at);
                all.push(Place { at, current });
                // No lattice has as many cells as this counts to, and a site a few currents.
                Number::try_from(all.len() - 1).unwrap_or(Number::MAX)
            })
        };
        let steps = passage.track.steps.iter();
        let route = steps.map(|step| place(step.middle())).collect();
        let along_route = passage.plan.mission.return_leg.along_route();
        let samples = &passage.track.samples;
        let begins = if along_route { 1 } else { samples.len() };
        let return_points = passage.plan.mission.return_points();
        let mut returning = Vec::new();
        let mut way = |from: Point, to: Point| {
            let first = returning.len();
            let (mut track, mut length) = ((0.0, 0.0), 0.0);
            for (middle, along, piece) in straight(from, to) {
                (track, length) = (along, piece);
                returning.push(place(middle));
            }
            let last = returning.len();
            (last > first).then_some(Straight {
                from,
                to,
                track,
                length,
                first,
                last,
            })
        };
        let next = return_points[0];
        let ways = samples.iter().take(begins);
        let ways = ways.map(|from| way(*from, next)).collect();
        let onward = return_points.windows(2);
        let onward = onward.filter_map(|pair| way(pair[0], pair[1])).collect();
        let places = Self {
            route,
            ways,
            onward,
            returning,
            all,
            home_in_current: Vec::new(),
            any_in_current: false,
        };
        let home_in_current = places.homes_in_current(samples.len());
        let mut all = (0..).zip(&places.all);
        let any_in_current = all.any(|(number, _)| places.is_in_current(number));
        Self {
            home_in_current,
            any_in_current,
            ..places
        }
    }

    fn homes_in_current(&self, samples: usize) -> Vec<bool> {
        let way_in_current = |way: &Straight| {
            let mut steps = self.returning[way.first..way.last].iter();
            steps.any(|place| self.is_in_current(*place))
        };
        let onward = self.onward.iter().any(way_in_current);
        let of_way = |way: &Option<Straight>| onward || way.as_ref().is_some_and(way_in_current);
        if self.ways.len() == samples {
            return self.ways.iter().map(of_way).collect();
        }
        // Back along the route, and then by the one way that there is.
        let mut any = self.ways.iter().any(of_way);
        let begin = std::iter::once(any);
        let along = self.route.iter().map(|place| {
            any |= self.is_in_current(*place);
            any
        });
        begin.chain(along).collect()
    }

    fn is_in_current(&self, place: Number) -> bool {
        let (east, north) = self.get(place).current;
        // A negative nought is not the nought of still water.
        east.to_bits() != 0 || north.to_bits() != 0
    }

    /// Whether any place lies in a current. Where none does, the boat fares there with the currents as without.
    pub(super) fn any_in_current(&self) -> bool {
        self.any_in_current
    }

    /// Whether the return leg from a sample may run in a current.
    pub(super) fn is_home_in_current(&self, sample: usize) -> bool {
        self.home_in_current.get(sample).copied().unwrap_or(true)
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.all.len()
    }

    /// A place.
    pub(super) fn get(&self, number: Number) -> Place {
        self.all[number as usize]
    }

    /// The place of a step of the route.
    pub(super) fn of_step(&self, step: usize) -> Number {
        self.route[step]
    }

    /// How many steps return legs from several samples may share, those that they do not share among them.
    pub(super) fn count_shared(&self) -> usize {
        // With a straight way from each sample and nothing behind it, none is shared.
        if self.onward.is_empty() && self.ways.len() > 1 {
            0
        } else {
            self.route.len() + self.returning.len()
        }
    }

    /// Every place once, in the order in which a boat comes through them on the route and then on the return leg
    /// from each sample.
    pub(super) fn in_order(&self, passage: &Passage<'_>) -> Vec<Number> {
        let mut seen = vec![false; self.count()];
        let samples = 0..passage.track.samples.len();
        let homes = samples.flat_map(|sample| self.home(passage, sample));
        let all = self
            .route
            .iter()
            .copied()
            .chain(homes.map(|step| step.place));
        all.filter(|place| !std::mem::replace(&mut seen[*place as usize], true))
            .collect()
    }

    /// The steps of the return leg from a sample.
    pub(super) fn home<'a>(
        &'a self,
        passage: &'a Passage<'_>,
        sample: usize,
    ) -> impl Iterator<Item = HomeStep> + 'a {
        let mission = &passage.plan.mission;
        let along_route = mission.return_leg.along_route();
        let recovery = mission.recovery.at.value;
        // Where it is home already it need not go back over its route to be there.
        let home = is_home(passage.track.samples[sample], recovery);
        let back = if along_route && !home { sample } else { 0 };
        let steps = passage.track.steps[..back].iter().enumerate().rev();
        let along = steps.map(|(index, step)| HomeStep {
            track: reversed(step),
            length: step.length,
            place: self.of_step(index),
            shared: Some(index),
            part: Part::Route(index),
        });
        let route = self.route.len();
        let begin = if along_route { 0 } else { sample };
        let way = self.ways.get(begin).copied().flatten().filter(|_| !home);
        let onward: &[Straight] = if home { &[] } else { &self.onward };
        let way = way.into_iter().map(move |way| (way, along_route));
        let line = way.chain(onward.iter().map(|way| (*way, true)));
        let line = line.flat_map(move |(way, shared)| {
            let count = way.last - way.first;
            (0..count).map(move |index| HomeStep {
                track: way.track,
                length: way.length,
                place: self.returning[way.first + index],
                shared: shared.then_some(route + way.first + index),
                part: Part::Straight(way.from, way.to, (index, count)),
            })
        });
        along.chain(line)
    }
}

impl HomeStep {
    /// Its middle.
    pub(super) fn middle(&self, passage: &Passage<'_>) -> Point {
        match self.part {
            Part::Route(step) => passage.track.steps[step].middle(),
            Part::Straight(from, to, step) => straight_step(from, to, step),
        }
    }
}

/// The track of a step walked the other way.
fn reversed(step: &Step) -> (f64, f64) {
    (-step.track.0, -step.track.1)
}
