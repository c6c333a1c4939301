//! What would make a plan pass: solved by varying the plan and measuring it again.

mod antenna;
mod clear;
mod fix;
mod place;
mod search;
mod sounder;
mod speed;
mod stated;

use std::cell::RefCell;
use std::rc::Rc;

use super::find;
use super::reading::{Change, Measure, Value};
use crate::finding::{Side, Who};
use crate::passage::{Passage, Variation};
use crate::plan::Plan;
use crate::units::{Charge, Dimension, Quantity, Speed};
pub(crate) use fix::{At, Fix, Setting};
use search::last_passing;

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

/// The least share of a speed or a wind that is worth proposing. Our own choice.
const LEAST_SHARE: f64 = 0.05;
/// The unit that a wind is brought down to, m/s. Numerical: what is proposed is stated so.
const TENTH: f64 = 0.1;
/// The most that a battery is enlarged. Our own choice.
const MOST_CAPACITY: f64 = 8.0;

/// A plan with the variations of it that were computed already, so that several rules that fail
/// by the same cause do not compute them again.
pub(crate) struct WhatIf<'p, 'plan> {
    passage: &'p Passage<'plan>,
    tried: RefCell<Vec<(Variation, Rc<Passage<'plan>>)>>,
}

impl Wanted<'_> {
    /// What a measure that is true or false has to be to pass, as one that is 1 or 0.
    #[must_use]
    pub(crate) fn truth<'a>(measure: &'a Measure, subject: &'a str, truth: bool) -> Wanted<'a> {
        Wanted {
            measure,
            subject,
            side: if truth { Side::AtLeast } else { Side::AtMost },
            limit: Quantity::new(f64::from(u8::from(truth)), Dimension::RATIO),
        }
    }
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
        let passage = Rc::new(self.passage.varied_by(variation).values_alone());
        tried.push((variation.clone(), Rc::clone(&passage)));
        passage
    }

    /// Every change to one thing that would make the plan pass, each tried out as it would be written.
    #[must_use]
    pub(crate) fn solve(&self, wanted: &Wanted<'_>) -> Vec<Fix> {
        let levers = wanted.measure.levers.iter();
        levers
            .filter_map(|lever| remedy(self, wanted, *lever))
            .collect()
    }
}

fn remedy(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>, lever: Change) -> Option<Fix> {
    let passage = trials.passage;
    let solved_by_varying = matches!(
        lever,
        Change::Speed | Change::Wind | Change::Capacity | Change::Charge
    );
    if solved_by_varying && !passage.may_be_varied() {
        return None;
    }
    match lever {
        Change::Speed => speed::slower(trials, wanted),
        Change::Faster => speed::faster(passage, wanted),
        Change::Wind => wind(trials, wanted),
        Change::Capacity => capacity(trials, wanted),
        Change::TurnBack => place::turn_back(passage, wanted),
        Change::BreakRun(by) => place::break_run(passage, wanted, by),
        Change::Shift(near) => place::shift(passage, wanted, near),
        Change::EndSooner => place::end_sooner(passage, wanted),
        Change::LastLeg => speed::last_leg(passage, wanted),
        Change::HomeAlong(near) => clear::home_along(passage, wanted, near),
        Change::ByWaypoint(near) => clear::by_waypoint(passage, wanted, near),
        Change::Threshold => stated::threshold(trials, wanted),
        Change::Antenna => antenna::point_or_raise(passage, wanted),
        Change::Bearing => antenna::point_at_far_end(passage, wanted),
        Change::SoundSpeed => sounder::speed_of_sound(passage, wanted),
        Change::Charge => stated::charge(passage, wanted),
        Change::AtEnd => stated::at_end(passage, wanted),
        Change::Overdue => stated::overdue(passage, wanted),
        Change::LatestReturn => stated::latest_return(passage, wanted),
    }
}

/// A weaker wind: as the plan states it where it states one, else as a forecast has to have it.
fn wind(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let passage = trials.passage;
    let wind = passage.plan.mission.wind.as_ref()?;
    let tried = |k| passes(trials, wanted, Variation { wind: k, ..as_is() });
    let (share, mean) = largest((wind.mean.value.get(), TENTH), tried)?;
    let gust = Speed::metres_per_second((wind.stated_gust * share / TENTH).get().floor() * TENTH);
    let mean = Speed::metres_per_second(mean);
    if passage.plan.mission.day.forecast.is_some() {
        let says = format!(
            "Plan for a mean wind of at most {mean} with gusts of at most {gust}, once a forecast has it."
        );
        return Some(Fix::deed(Who::Planner, says));
    }
    let gust_stated = wind.gust.assumption().is_none();
    let mut settings = vec![Setting::new(At::Stated(wind.mean.span()), mean.to_string())];
    if gust_stated {
        settings.push(Setting::new(At::Stated(wind.gust.span()), gust.to_string()));
    }
    let fix = Fix::set(settings).saying("Plan for less wind, and launch in no more");
    Some(fix)
}

fn capacity(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let passage = trials.passage;
    let now = passage.plan.vessel.battery.capacity.value;
    let tenth = Charge::ampere_hours(0.1);
    let tried = |tenths: i64| {
        let capacity = tenth * tenths as f64 / now;
        passes(
            trials,
            wanted,
            Variation {
                capacity,
                ..as_is()
            },
        )
    };
    // What is stated fails, to the tenth that is in it.
    let least = (now / tenth + 1e-9).floor() as i64;
    let most = (now * MOST_CAPACITY / tenth).ceil() as i64;
    if !tried(most) {
        return None;
    }
    let capacity = tenth * last_passing(most, least, tried) as f64;
    let says = format!(
        "Use a battery of at least {capacity}, as measured, with its gauge set to that capacity and its other \
         figures unchanged."
    );
    Some(Fix::deed(Who::BoatKeeper, says))
}

/// The largest figure below the one stated, in whole units, that passes, so that whoever takes the advice as it is
/// printed passes; with its share of what is stated. `None` where no whole unit passes.
fn largest((stated, unit): (f64, f64), passes: impl Fn(f64) -> bool) -> Option<(f64, f64)> {
    let units = |share: f64| stated * share / unit;
    let share = |units: i64| units as f64 * unit / stated;
    let least = (units(LEAST_SHARE).ceil() as i64).max(1);
    // What is stated fails.
    let most = (units(1.0) - 1e-9).ceil() as i64;
    if least >= most {
        return None;
    }
    let whole = if passes(share(least)) {
        last_passing(least, most, |units| passes(share(units)))
    } else {
        // A boat may be too slow to get anywhere in its least speed, and pass in between.
        let parts = (1..20).rev().map(|part| f64::from(part) * LEAST_SHARE);
        parts
            .map(|part| (units(part) + 1e-9).floor() as i64)
            .find(|units| *units > 0 && passes(share(*units)))?
    };
    Some((share(whole), whole as f64 * unit))
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
        Value::Truth(truth) => Some(f64::from(u8::from(truth))),
    }
}

/// A plan that is another in something.
fn altered(passage: &Passage<'_>, alter: impl FnOnce(&mut Plan)) -> Plan {
    let mut plan = passage.plan.clone();
    alter(&mut plan);
    plan
}

/// Whether another plan passes in place of a passage's own.
fn passes_as(wanted: &Wanted<'_>, passage: &Passage<'_>, plan: &Plan) -> bool {
    let varied = Passage::varied(plan, passage.variation.clone());
    passes_in(wanted, &varied.values_alone())
}

fn passes(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>, variation: Variation) -> bool {
    passes_in(wanted, &trials.varied(&variation))
}

fn passes_in(wanted: &Wanted<'_>, passage: &Passage<'_>) -> bool {
    value_in(wanted, passage)
        .is_some_and(|value| wanted.side.margin(value, wanted.limit.value) >= 0.0)
}
