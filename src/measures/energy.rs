//! Energy left over once the return leg is paid for.

use super::assumed;
use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{Change, Cost, Lack, Measure, Measured, NotMeasured, Scope, Type};
use super::unmeasured;
use crate::passage::{Passage, Run, Runs, Stop, StopCause};
use crate::plan::Plan;
use crate::units::{Dimension, Energy, Length, Ratio};

/// Samples nearer to the recovery point than this are left out of the ratio: with no way to go, any energy
/// is infinitely many times enough. A route that never goes so far counts from its farthest sample. Our own
/// choice.
const RATIO_FROM: f64 = 100.0;

/// What the energy of a run out and home needs.
const NEEDS: &[&str] = &[
    "wind",
    "battery",
    "propulsion",
    "windage",
    "hull",
    "hotel load",
    "route",
    "speeds",
];

pub(super) const RESERVE_AT_TURNAROUND: Entry = Entry {
    measure: Measure {
        name: "mission.reserve_at_turnaround",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::RATIO),
        title: "Least energy left over after the return leg, wherever the boat turns back",
        meaning: "At every sample of the route: stored energy left, less the energy of the return \
                  leg from there, as a share of the usable energy; at the end of the route, the \
                  energy left. The least of these over all winds, with and without current.",
        needs: NEEDS,
        levers: &[
            Change::TurnBack,
            Change::Charge,
            Change::Speed,
            Change::Wind,
            Change::Capacity,
        ],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(reserve(passage)),
};

pub(super) const RETURN_ENERGY_RATIO: Entry = Entry {
    measure: Measure {
        name: "mission.return_energy_ratio",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::RATIO),
        title: "Least ratio of the energy left to the energy of the return leg",
        meaning: "At every sample at least 100 m from the recovery point: stored energy left, over \
                  the energy of the return leg from there. 200 % covers the return leg twice. The \
                  least over all winds.",
        needs: NEEDS,
        levers: &[
            Change::Charge,
            Change::Speed,
            Change::Wind,
            Change::Capacity,
        ],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(ratio(passage)),
};

/// The first thing that stops any run or any return leg; then no reserve can be determined.
fn first_stop(passage: &Passage<'_>, runs: &Runs) -> Option<NotMeasured> {
    for (index, run) in runs.runs.iter().enumerate() {
        let home = run
            .samples
            .iter()
            .find_map(|sample| sample.home.as_ref().err());
        if let Some(stop) = run.stop.as_ref().or(home) {
            let mut unknown = unmeasured::stopped(passage, runs, index, stop);
            if !leaves_open(stop)
                && let Some(along) = point_of_no_return(passage, runs)
            {
                let point = format!("; the point of no return is {along} along the route");
                unknown.reason.push_str(&point);
            }
            return Some(unknown);
        }
    }
    None
}

/// Runs that all reach their end, with all return legs.
pub(super) fn complete<'p>(passage: &'p Passage<'_>) -> Result<&'p Runs, NotMeasured> {
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(passage.plan, why))?;
    if runs.runs.is_empty() {
        return Err(NotMeasured {
            lack: Lack::Statement,
            reason: "the route covers more water than the sea can be calculated for".to_owned(),
            remedy: "split the mission".to_owned(),
            primary: evidence::label(passage.plan.mission.route_span, "too wide"),
            because: Vec::new(),
            assumptions: Vec::new(),
        });
    }
    match first_stop(passage, runs) {
        Some(unknown) => Err(unknown),
        None => Ok(runs),
    }
}

/// Energy of the return leg from a sample of a complete run.
pub(super) fn home_energy(run: &Run, sample: usize) -> Energy {
    run.samples[sample]
        .home
        .as_ref()
        .map_or(Energy::joules(f64::INFINITY), |home| home.energy)
}

/// The least of a figure over all runs and samples, with where it is.
pub(super) fn least(
    runs: &Runs,
    figure: impl Fn(&Run, usize) -> Option<f64>,
) -> Option<(f64, usize, usize)> {
    let mut least: Option<(f64, usize, usize)> = None;
    for (scenario, run) in runs.runs.iter().enumerate() {
        for sample in 0..run.samples.len() {
            if let Some(value) = figure(run, sample)
                && least.is_none_or(|(held, _, _)| value < held)
            {
                least = Some((value, scenario, sample));
            }
        }
    }
    least
}

/// The reserve at one sample of a complete run, as a share of usable energy.
pub(super) fn reserve_at(runs: &Runs, run: &Run, sample: usize) -> f64 {
    let left = run.samples[sample].left - home_energy(run, sample);
    evidence::share_of(left, runs.boat.pack.usable_energy())
}

/// Distance along the route of the first sample from which the boat does not get home in some
/// wind, or of the last one that it comes to where it does not get on; `None` where it always does.
pub(super) fn point_of_no_return(passage: &Passage<'_>, runs: &Runs) -> Option<Length> {
    let of_run = |run: &Run| {
        let below = (0..run.samples.len()).find(|sample| reserve_at(runs, run, *sample) < 0.0);
        below.or_else(|| {
            run.stop
                .as_ref()
                .map(|_| run.samples.len().saturating_sub(1))
        })
    };
    runs.runs
        .iter()
        .filter_map(of_run)
        .min()
        .map(|sample| Length::metres(passage.track.along[sample]))
}

/// Whether a stop leaves open what the passage would take.
fn leaves_open(stop: &Stop) -> bool {
    matches!(stop.cause, StopCause::Outside(_))
}

fn steps(passage: &Passage<'_>, runs: &Runs, scenario: usize, sample: usize) -> Vec<String> {
    let run = &runs.runs[scenario];
    let here = &run.samples[sample];
    let usable = runs.boat.pack.usable_energy();
    let spent = run.samples[0].left - here.left;
    let mut steps = vec![
        evidence::usable_step(runs),
        format!("at launch: {} above empty", run.samples[0].left),
        format!(
            "spent to here: {spent} in {}; left: {}",
            here.time, here.left
        ),
    ];
    if let Ok(home) = &here.home
        && home.length.get() > 0.0
    {
        let mean = home.energy / home.time;
        steps.push(format!(
            "{}: {} in {} at {} on average: {}",
            return_leg(passage.plan),
            home.length,
            home.time,
            mean,
            home.energy
        ));
        steps.push(format!(
            "left over: {} − {} = {}, which is {} of the usable energy",
            here.left,
            home.energy,
            here.left - home.energy,
            evidence::share((here.left - home.energy) / usable)
        ));
    } else {
        steps.push(format!(
            "left at the end: {} of the usable energy",
            evidence::share(here.left / usable)
        ));
    }
    steps.push(match point_of_no_return(passage, runs) {
        Some(along) => format!("point of no return: {along} along the route"),
        None => {
            "point of no return: none; the charge covers the return leg from everywhere".to_owned()
        }
    });
    steps
}

/// The return leg in words, with its path.
fn return_leg(plan: &Plan) -> String {
    let via = plan.mission.return_leg.via();
    if plan.mission.return_leg.along_route() {
        "return leg, back along the route past the launch point".to_owned()
    } else if via.is_empty() {
        "return leg".to_owned()
    } else {
        let names: Vec<&str> = via.iter().map(|via| via.id.as_str()).collect();
        format!("return leg by {}", names.join(", "))
    }
}

fn known(
    passage: &Passage<'_>,
    runs: &Runs,
    (value, scenario, sample): (f64, usize, usize),
    sentence: impl Fn(&str) -> String,
) -> Measured {
    let plan = passage.plan;
    let value = evidence::value(Ratio::fraction(value));
    if let Some(alone) = evidence::value_alone(passage, value) {
        return alone;
    }
    let place = evidence::at_sample(passage, sample);
    let mut because = evidence::wind_lines(plan);
    because.extend(evidence::battery_lines(plan));
    because.push(evidence::home_line(plan));
    Measured {
        value,
        sentence: sentence(&evidence::spot(&place)),
        primary: evidence::label(evidence::leg_span(passage, sample), "least on the way here"),
        because,
        place: Some(place),
        scenario: Some(runs.scenarios.describe(scenario, false)),
        steps: steps(passage, runs, scenario, sample),
        assumptions: assumed::of_plan(plan),
    }
}

fn reserve(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let runs = complete(passage)?;
    let least = least(runs, |run, sample| Some(reserve_at(runs, run, sample)));
    let least = least.unwrap_or((f64::NEG_INFINITY, 0, 0));
    Ok(known(passage, runs, least, |spot| {
        format!("the energy left over after the return leg, if the boat turns back at {spot},")
    }))
}

fn ratio(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let runs = complete(passage)?;
    let home = passage.plan.mission.recovery.at.value;
    let away = |sample: usize| passage.track.samples[sample].distance(home);
    let farthest = (0..passage.track.samples.len())
        .map(away)
        .fold(0.0, f64::max);
    let from = RATIO_FROM.min(farthest);
    let least = least(runs, |run, sample| {
        let energy = home_energy(run, sample);
        (away(sample) >= from && energy.get() > 0.0).then(|| run.samples[sample].left / energy)
    });
    let least = least.unwrap_or((f64::INFINITY, 0, 0));
    Ok(known(passage, runs, least, |spot| {
        format!(
            "the energy left, as a share of the return leg's, if the boat turns back at \
                 {spot},"
        )
    }))
}
