//! What would make a plan pass: solved by varying the plan and measuring it again.

mod antenna;
mod place;
mod stated;

use std::cell::RefCell;
use std::rc::Rc;

use super::find;
use super::reading::{Change, Measure, Value};
use crate::finding::Side;
use crate::passage::{Passage, Variation};
use crate::plan::route::Leg;
use crate::units::{Charge, Quantity, Ratio, Speed};

/// The value that is wanted of a measure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted<'a> {
    /// The measure.
    pub measure: &'a Measure,
    /// The subject of the reading, empty for the mission as a whole.
    pub subject: &'a str,
    /// Which side passes.
    pub side: Side,
    /// The limit.
    pub limit: Quantity,
}

/// How often an interval is halved; a thousandth of it is left.
const HALVINGS: usize = 10;
/// The least share of a speed or a wind that is worth proposing.
const LEAST_SHARE: f64 = 0.05;
/// The most that a battery is enlarged.
const MOST_CAPACITY: f64 = 8.0;

/// A plan with the variations of it that were computed already, so that several rules that fail
/// by the same cause do not compute them again.
pub(crate) struct WhatIf<'p, 'plan> {
    passage: &'p Passage<'plan>,
    tried: RefCell<Vec<(Variation, Rc<Passage<'plan>>)>>,
}

impl<'p, 'plan> WhatIf<'p, 'plan> {
    /// Nothing tried yet.
    #[must_use]
    pub(crate) fn new(passage: &'p Passage<'plan>) -> Self {
        Self {
            passage,
            tried: RefCell::new(Vec::new()),
        }
    }

    fn varied(&self, variation: &Variation) -> Rc<Passage<'plan>> {
        let mut tried = self.tried.borrow_mut();
        if let Some((_, passage)) = tried.iter().find(|(other, _)| other == variation) {
            return Rc::clone(passage);
        }
        let passage = Rc::new(self.passage.varied_by(variation));
        tried.push((variation.clone(), Rc::clone(&passage)));
        passage
    }

    /// Every change to one thing that would make the plan pass, in words, each tried out.
    #[must_use]
    pub(crate) fn solve(&self, wanted: &Wanted<'_>) -> Vec<String> {
        let levers = wanted.measure.levers.iter();
        levers
            .filter_map(|lever| remedy(self, wanted, *lever))
            .collect()
    }
}

fn remedy(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>, lever: Change) -> Option<String> {
    let passage = trials.passage;
    let solved_by_varying = matches!(lever, Change::Speed | Change::Wind | Change::Capacity);
    if solved_by_varying && !passage.may_be_varied() {
        return None;
    }
    match lever {
        Change::Speed => speed(trials, wanted),
        Change::Wind => wind(trials, wanted),
        Change::Capacity => capacity(trials, wanted),
        Change::TurnBack => place::turn_back(passage, wanted),
        Change::BreakRun(by) => place::break_run(passage, wanted, by),
        Change::Shift(near) => place::shift(passage, wanted, near),
        Change::EndSooner => place::end_sooner(passage, wanted),
        Change::LastLeg => Some(format!(
            "Command at most {} over ground on the last leg.",
            wanted.limit
        )),
        Change::HomeAlong => stated::home_along(trials, wanted),
        Change::Threshold => stated::threshold(trials, wanted),
        Change::Antenna => antenna::point_or_raise(passage, wanted),
    }
}

fn speed(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<String> {
    let passage = trials.passage;
    let tried = |k| {
        passes(
            trials,
            wanted,
            Variation {
                speed: k,
                ..as_is()
            },
        )
    };
    let legs = passage.plan.mission.legs.iter().map(Leg::speed);
    let fastest = legs.fold(Speed::ZERO, Speed::max);
    let (share, at_most) = in_whole_units(largest_share(tried)?, fastest.get(), 0.01, tried)?;
    let home = passage.plan.mission.return_leg.speed.value * share;
    Some(format!(
        "Run every speed at {} of what is planned: at most {} on the route, and {home} on the return leg.",
        Ratio::fraction(share),
        Speed::metres_per_second(at_most)
    ))
}

fn wind(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<String> {
    let passage = trials.passage;
    let wind = passage.plan.mission.wind.as_ref()?;
    let tried = |k| passes(trials, wanted, Variation { wind: k, ..as_is() });
    let (share, mean) = in_whole_units(largest_share(tried)?, wind.mean.value.get(), 0.1, tried)?;
    Some(format!(
        "Plan for a mean wind of at most {} with gusts of {}.",
        Speed::metres_per_second(mean),
        wind.gust.value * share
    ))
}

fn capacity(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<String> {
    let passage = trials.passage;
    let tried = |k| {
        passes(
            trials,
            wanted,
            Variation {
                capacity: k,
                ..as_is()
            },
        )
    };
    let now = passage.plan.vessel.battery.capacity.value;
    let tenth = Charge::ampere_hours(0.1);
    let needed = (now * smallest_growth(tried)? / tenth).ceil();
    let capacity = tenth * needed;
    tried(capacity / now).then(|| {
        format!(
            "Use a battery of at least {capacity}, as measured, with its gauge set to that \
             capacity and its other figures unchanged."
        )
    })
}

/// A share of a figure brought down to a whole number of units, so that whoever takes the advice
/// as it is printed passes; with the figure. `None` where no whole unit passes.
fn in_whole_units(
    share: f64,
    figure: f64,
    unit: f64,
    passes: impl Fn(f64) -> bool,
) -> Option<(f64, f64)> {
    let units = (figure * share / unit + 1e-9).floor();
    let rounded = units * unit;
    (units > 0.0 && passes(rounded / figure)).then_some((rounded / figure, rounded))
}

fn as_is() -> Variation {
    Variation::default()
}

/// The value wanted of a passage; `None` where it has none.
fn value_in(wanted: &Wanted<'_>, passage: &Passage<'_>) -> Option<f64> {
    let entry = find(wanted.measure.name)?;
    let readings = (entry.read)(passage);
    let reading = readings
        .iter()
        .find(|reading| reading.subject == wanted.subject)?;
    match reading.outcome.as_ref().ok()?.value {
        Value::Quantity(quantity) => Some(quantity.value),
        Value::Truth(_) => None,
    }
}

fn passes(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>, variation: Variation) -> bool {
    passes_in(wanted, &trials.varied(&variation))
}

fn passes_in(wanted: &Wanted<'_>, passage: &Passage<'_>) -> bool {
    value_in(wanted, passage)
        .is_some_and(|value| wanted.side.margin(value, wanted.limit.value) >= 0.0)
}

/// The largest share below one that passes; `None` where not even the least one does.
fn largest_share(passes: impl Fn(f64) -> bool) -> Option<f64> {
    if !passes(LEAST_SHARE) {
        // A boat may be too slow to get anywhere in its least speed, and pass in between.
        return (1..20)
            .rev()
            .map(|i| f64::from(i) * 0.05)
            .find(|share| passes(*share));
    }
    let (mut low, mut high) = (LEAST_SHARE, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if passes(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

/// The smallest growth that passes; `None` where not even the most does.
fn smallest_growth(passes: impl Fn(f64) -> bool) -> Option<f64> {
    if !passes(MOST_CAPACITY) {
        return None;
    }
    let (mut low, mut high) = (1.0, MOST_CAPACITY);
    for _ in 0..HALVINGS + 3 {
        let middle = f64::midpoint(low, high);
        if passes(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
