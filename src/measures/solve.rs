//! What would make a plan pass: solved by varying the plan and measuring it again.

use super::reading::{Lever, Measure, Value};
use super::{energy, find, link};
use crate::finding::Side;
use crate::passage::links::margins_by_azimuth;
use crate::passage::{Passage, Variation};
use crate::units::{Angle, Length, Quantity, Towards};

/// The value that is wanted of a measure.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// The measure.
    pub measure: &'static Measure,
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

/// Every change to one thing that would make the plan pass, in words, each tried out.
#[must_use]
pub fn solve(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Vec<String> {
    wanted
        .measure
        .levers
        .iter()
        .filter_map(|lever| one(passage, wanted, *lever))
        .collect()
}

fn one(passage: &Passage<'_>, wanted: &Wanted<'_>, lever: Lever) -> Option<String> {
    match lever {
        Lever::Speed => {
            let share = largest_share(|k| {
                passes(
                    passage,
                    wanted,
                    Variation {
                        speed: k,
                        ..as_is()
                    },
                )
            })?;
            let fastest = passage
                .plan
                .mission
                .legs
                .iter()
                .map(crate::plan::route::Leg::speed);
            let fastest = fastest.fold(crate::units::Speed::ZERO, crate::units::Speed::max);
            let home = passage.plan.mission.way_home.speed.value;
            Some(format!(
                "Run every speed at {} of what is planned: at most {} on the route and {} on the way home.",
                Quantity::new(share, crate::units::Dimension::RATIO),
                fastest * share,
                home * share
            ))
        }
        Lever::Wind => {
            let share =
                largest_share(|k| passes(passage, wanted, Variation { wind: k, ..as_is() }))?;
            let wind = passage.plan.mission.wind.as_ref()?;
            Some(format!(
                "Plan for a wind of at most {} with gusts of {}.",
                wind.mean.value * share,
                wind.gust.value * share
            ))
        }
        Lever::Capacity => {
            let times = smallest_growth(|k| {
                passes(
                    passage,
                    wanted,
                    Variation {
                        capacity: k,
                        ..as_is()
                    },
                )
            })?;
            let capacity = passage.plan.vessel.battery.capacity.value * times;
            Some(format!(
                "Use a battery of at least {capacity}, its other figures unchanged."
            ))
        }
        Lever::TurnBack => turn_back(passage, wanted),
        Lever::Azimuth => azimuth(passage, wanted),
    }
}

fn as_is() -> Variation {
    Variation::default()
}

/// The value wanted of a varied plan; `None` where it has none.
fn measured(passage: &Passage<'_>, wanted: &Wanted<'_>, variation: Variation) -> Option<f64> {
    let varied = Passage::varied(passage.plan, variation);
    let entry = find(wanted.measure.name)?;
    let readings = (entry.read)(&varied);
    let reading = readings
        .iter()
        .find(|reading| reading.subject == wanted.subject)?;
    match reading.outcome.as_ref().ok()?.value {
        Value::Quantity(quantity) => Some(quantity.value),
        Value::Truth(_) => None,
    }
}

fn passes(passage: &Passage<'_>, wanted: &Wanted<'_>, variation: Variation) -> bool {
    measured(passage, wanted, variation)
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
    Some(
        rounded_down(low)
            .filter(|share| passes(*share))
            .unwrap_or(low),
    )
}

/// A share rounded down to whole percents, where that leaves anything.
fn rounded_down(share: f64) -> Option<f64> {
    let rounded = (share * 100.0).floor() / 100.0;
    (rounded > 0.0).then_some(rounded)
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

/// The farthest sample before which the reserve is kept in every scenario.
fn turn_back(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<String> {
    let runs = energy::complete(passage).ok()?;
    let kept = |sample: usize| {
        runs.runs.iter().all(|run| {
            wanted
                .side
                .margin(energy::reserve_at(runs, run, sample), wanted.limit.value)
                >= 0.0
        })
    };
    let samples = passage.track.samples.len();
    let first_bad = (0..samples).find(|sample| !kept(*sample))?;
    let last_good = first_bad.checked_sub(1).filter(|sample| *sample > 0)?;
    let along = Length::metres(passage.track.along[last_good]);
    let leg = &passage.plan.mission.legs[passage.track.leg_of_sample(last_good)];
    Some(format!(
        "Turn back for home no later than {along} along the route, on {}.",
        leg.name
    ))
}

/// The bearing of the station's antenna that leaves most margin, where it passes.
fn azimuth(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<String> {
    let (link, station, now) = link::binding_antenna(passage, wanted.subject)?;
    // Whole degrees from the present bearing on, so that a turned plan gives the same advice.
    let bearings: Vec<Towards> = (0..360)
        .map(|degree| Towards::new(now.angle() + Angle::degrees(f64::from(degree))))
        .collect();
    let margins = margins_by_azimuth(passage, link, station, &bearings).ok()?;
    let mut best: Option<(f64, Towards)> = None;
    for (value, bearing) in margins.into_iter().zip(bearings) {
        if best.is_none_or(|(held, _)| value > held + 1e-9) {
            best = Some((value, bearing));
        }
    }
    let (value, bearing) = best?;
    let margin = Quantity::new(value, wanted.limit.dimension);
    let id = &passage.plan.site.stations[station].id.value;
    (wanted.side.margin(value, wanted.limit.value) >= 0.0)
        .then(|| format!("Point the antenna of {id} at {bearing}, which leaves {margin}."))
}
