//! Unbroken upwind runs.

use super::assumed;
use std::collections::BTreeMap;

use super::energy::complete;
use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{Change, Cost, Measure, Measured, NotMeasured, RunBy, Scope, Type};
use crate::finding::{ONE_PLACE, Other};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::passage::{LongestRuns, Passage, Runs, UpwindRun};
use crate::units::{Dimension, Length, Ratio, Time, Typed};

const MEANING: &str = "An upwind run is an unbroken stretch of the route or of a return leg whose \
                       track is within 45° of where the wind comes from. A start downwind makes \
                       the return leg an upwind run. The greatest over all winds.";
const NEEDS: &[&str] = &["wind", "route", "return leg", "propulsion", "battery"];

pub(super) const LENGTH: Entry = Entry {
    measure: Measure {
        name: "mission.upwind_run_length",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::LENGTH),
        title: "Length of the longest unbroken upwind run",
        meaning: MEANING,
        needs: NEEDS,
        levers: &[Change::BreakRun(RunBy::Length)],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| {
        evidence::of_mission(longest::<Length>(
            passage,
            "length",
            |l| l.by_length.as_ref(),
            |r| r.length,
        ))
    },
};

pub(super) const TIME: Entry = Entry {
    measure: Measure {
        name: "mission.upwind_run_time",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::TIME),
        title: "Duration of the longest-lasting unbroken upwind run",
        meaning: MEANING,
        needs: NEEDS,
        levers: &[Change::BreakRun(RunBy::Time), Change::Wind],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| {
        evidence::of_mission(longest::<Time>(
            passage,
            "time",
            |l| l.by_time.as_ref(),
            |r| r.time,
        ))
    },
};

pub(super) const ENERGY: Entry = Entry {
    measure: Measure {
        name: "mission.upwind_run_energy",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::RATIO),
        title: "Energy of the costliest unbroken upwind run, as a share of usable energy",
        meaning: MEANING,
        needs: NEEDS,
        levers: &[
            Change::BreakRun(RunBy::Energy),
            Change::Speed,
            Change::Wind,
            Change::Capacity,
        ],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| {
        evidence::of_mission(longest::<Ratio>(
            passage,
            "energy",
            |l| l.by_energy.as_ref(),
            |r| r.energy,
        ))
    },
};

fn longest<T: Typed>(
    passage: &Passage<'_>,
    what: &str,
    pick: impl Fn(&LongestRuns) -> Option<&UpwindRun>,
    figure: impl Fn(&UpwindRun) -> T,
) -> Result<Measured, NotMeasured> {
    let runs = complete(passage)?;
    let mut longest: Option<(&UpwindRun, usize)> = None;
    for (scenario, upwind) in runs.upwind(passage).iter().enumerate() {
        if let Some(run) = pick(upwind)
            && longest.is_none_or(|(held, _)| figure(run).stored() > figure(held).stored() + 1e-9)
        {
            longest = Some((run, scenario));
        }
    }
    let value = longest.map_or(T::from_stored(0.0), |(run, _)| figure(run));
    if let Some(alone) = evidence::value_alone(passage, evidence::value(value)) {
        return Ok(alone);
    }
    Ok(match longest {
        Some((run, scenario)) => {
            let mut known = known(passage, runs, run, scenario, what, figure(run));
            if let Some(place) = &mut known.place {
                place.others = elsewhere(passage, runs, run, &pick, &figure);
            }
            known
        }
        None => none(passage, T::from_stored(0.0), what),
    })
}

/// The longest runs that begin on other legs. A return leg that begins on the longest run is a part of it, and
/// a run of the route is one of its own, wherever it lies.
fn elsewhere<T: Typed>(
    passage: &Passage<'_>,
    runs: &Runs,
    longest: &UpwindRun,
    pick: &impl Fn(&LongestRuns) -> Option<&UpwindRun>,
    figure: &impl Fn(&UpwindRun) -> T,
) -> Vec<Other> {
    let name = |run: &UpwindRun| evidence::name_at(passage, run.samples.0);
    let but = name(longest);
    let mut greatest: BTreeMap<&str, &UpwindRun> = BTreeMap::new();
    let all = runs.upwind(passage).iter();
    for run in all.flat_map(|upwind| upwind.by_leg.values()) {
        let Some(run) = pick(run) else { continue };
        let place = name(run);
        if place == but || run.home && begins_on(passage, run, longest) {
            continue;
        }
        let held = greatest.entry(place).or_insert(run);
        if figure(run).stored() > figure(held).stored() {
            *held = run;
        }
    }
    let others = greatest.into_iter().map(|(name, run)| Other {
        name: name.to_owned(),
        danger: None,
        value: figure(run).quantity(),
    });
    others.collect()
}

/// Whether a run begins on another one.
fn begins_on(passage: &Passage<'_>, run: &UpwindRun, other: &UpwindRun) -> bool {
    let samples = &passage.track.samples;
    let begin = samples[run.samples.0];
    let (a, b) = other.samples;
    let mut track: Vec<Point> = samples[a.min(b)..=a.max(b)].to_vec();
    if other.home && !passage.plan.mission.return_leg.along_route() {
        track = [
            &[samples[a]],
            passage.plan.mission.return_points().as_slice(),
        ]
        .concat();
    }
    track.windows(2).any(|pair| {
        let line = Segment {
            a: pair[0],
            b: pair[1],
        };
        line.nearest_to(begin).distance(begin) <= ONE_PLACE
    })
}

fn none<T: Typed>(passage: &Passage<'_>, zero: T, what: &str) -> Measured {
    Measured {
        value: evidence::value(zero),
        sentence: format!("the {what} of the longest upwind run"),
        primary: evidence::label(passage.plan.mission.route_span, "nothing here runs upwind"),
        because: evidence::wind_lines(passage.plan),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    }
}

fn known<T: Typed>(
    passage: &Passage<'_>,
    runs: &Runs,
    run: &UpwindRun,
    scenario: usize,
    what: &str,
    figure: T,
) -> Measured {
    let plan = passage.plan;
    let (first, last) = run.samples;
    let begins = evidence::at_sample(passage, first);
    let mut because = evidence::wind_lines(plan);
    let (sentence, which, primary) = if run.home {
        because.push(evidence::home_line(plan));
        (
            format!(
                "the {what} of {}, all of it upwind,",
                if plan.mission.return_leg.via().is_empty() {
                    format!("the return leg from {}", evidence::spot(&begins))
                } else {
                    format!(
                        "a stretch of the return leg from {}",
                        evidence::spot(&begins)
                    )
                }
            ),
            "the return leg",
            evidence::leg_span(passage, first),
        )
    } else {
        let names = leg_names(passage, first, last);
        (
            format!("the {what} of the upwind run, {names},"),
            "the run",
            evidence::leg_span(passage, (first + 1).min(last)),
        )
    };
    let mut steps = vec![format!(
        "{which} is within 45° of where the wind comes from for {}",
        run.length
    )];
    steps.push(format!(
        "it takes {} and {} of the usable energy ({})",
        run.time,
        run.energy,
        runs.boat.pack.usable_energy()
    ));
    if let Some(scenario) = runs.scenarios.all.get(scenario) {
        let (east, north) = scenario.from.towards().unit_vector();
        let start = plan
            .mission
            .legs
            .first()
            .map(|leg| (leg.to - leg.from).unit());
        if run.home
            && let Some(Some(unit)) = start
            && unit.x * east + unit.y * north > 0.0
        {
            steps.push(
                "the start runs downwind, which makes the return leg an upwind run".to_owned(),
            );
        }
    }
    Measured {
        value: evidence::value(figure),
        sentence,
        primary: evidence::label(
            primary,
            if run.home {
                "home from here"
            } else {
                "against the wind"
            },
        ),
        because,
        place: Some(begins),
        scenario: Some(runs.scenarios.describe(scenario, false)),
        steps,
        assumptions: assumed::of_plan(plan),
    }
}

/// The legs of a run in words.
fn leg_names(passage: &Passage<'_>, first: usize, last: usize) -> String {
    let legs = &passage.plan.mission.legs;
    let from = passage.track.leg_of_sample(first + 1);
    let to = passage.track.leg_of_sample(last);
    if from == to {
        format!("on {}", legs[from].name)
    } else {
        format!("from {} to {}", legs[from].name, legs[to].name)
    }
}
