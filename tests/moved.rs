//! What a measure says that it follows from, against what moves it: winds, charges, delays and the like
//! are changed over the whole demo, and no measure comes out otherwise that did not say so.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

use std::collections::BTreeSet;

use offing::check::{load, on_large_stacks};
use offing::measures::{CATALOGUE, Value};
use offing::passage::Passage;
use offing::plan::Plan;
use offing::source::WorkTree;
use offing::units::{Angle, FromDirection, Ratio, Speed, Time};
use rayon::prelude::*;

fn in_wind(plan: &Plan, from: f64, spread: f64, mean: f64, gust: f64) -> Plan {
    let mut plan = plan.clone();
    if let Some(wind) = &mut plan.mission.wind {
        wind.from.value = FromDirection::new(Angle::degrees(from));
        wind.spread.value = Angle::degrees(spread);
        wind.mean.value = Speed::metres_per_second(mean);
        wind.gust.value = Speed::metres_per_second(gust);
    }
    plan
}

/// The plan with one thing changed, in several ways.
fn changed(plan: &Plan, what: &str) -> Vec<Plan> {
    let with = |change: &dyn Fn(&mut Plan)| {
        let mut plan = plan.clone();
        change(&mut plan);
        plan
    };
    match what {
        "wind" => (0..8)
            .map(|eighth| {
                let mean = [0.0, 2.0, 4.5, 8.0][eighth % 4];
                let spread = [0.0, 35.0, 90.0][eighth % 3];
                in_wind(plan, 45.0 * eighth as f64, spread, mean, mean * 1.5 + 0.5)
            })
            .collect(),
        "battery" => vec![
            with(&|plan| plan.mission.charge_at_launch.value = Ratio::fraction(0.5)),
            with(&|plan| plan.mission.charge_at_launch.value = Ratio::fraction(0.1)),
        ],
        "home" => vec![
            with(&|plan| plan.mission.way_home.along_route.value ^= true),
            with(&|plan| plan.mission.way_home.speed.value = Speed::metres_per_second(0.5)),
            with(&|plan| plan.mission.way_home.speed.value = Speed::metres_per_second(1.6)),
        ],
        "delay" => vec![with(&|plan| {
            plan.mission.launch.delay.value = Time::seconds(14_400.0)
        })],
        "reaction" => vec![with(&|plan| {
            if let Some(operator) = &mut plan.mission.operator {
                operator.reaction_time.value = Time::seconds(90.0);
            }
        })],
        "currents" | "keep out" => {
            let mut none = plan.clone();
            let mut more = plan.clone();
            for (plan, times) in [(&mut none, 0.0), (&mut more, 6.0)] {
                let mut site = (*plan.site).clone();
                if what == "currents" {
                    for current in &mut site.currents {
                        current.drift.value = current.drift.value * times;
                    }
                } else if times < 1.0 {
                    site.keep_out.clear();
                } else {
                    for area in &mut site.keep_out {
                        area.closed.clear();
                    }
                    let outline = site.currents[0].outline.clone();
                    site.keep_out[0].outline = outline;
                }
                plan.site = site.into();
            }
            vec![none, more]
        }
        _ => unreachable!("{what}"),
    }
}

type Told = Vec<(String, Option<Value>)>;

fn told(plan: &Plan) -> Vec<Told> {
    let passage = Passage::of(plan);
    let of_entry = |entry: &offing::measures::Entry| {
        let readings = (entry.read)(&passage).into_iter();
        let values = readings.map(|one| (one.subject, one.outcome.ok().map(|known| known.value)));
        values.collect()
    };
    CATALOGUE.iter().map(of_entry).collect()
}

#[test]
fn nothing_moves_a_measure_that_did_not_say_so() {
    on_large_stacks(|| {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let loaded = load(&WorkTree::open(&root).unwrap(), None).unwrap();
        let plans = &loaded.linked.plans;
        let all = [
            "wind", "battery", "home", "currents", "keep out", "delay", "reaction",
        ];
        let moved: BTreeSet<(usize, &str)> = plans
            .par_iter()
            .flat_map_iter(|plan| {
                let before = told(plan);
                let mut moved = BTreeSet::new();
                for what in all {
                    for other in changed(plan, what) {
                        let after = told(&other);
                        let pairs = before.iter().zip(&after).enumerate();
                        let differing = pairs.filter(|(_, (one, other))| one != other);
                        moved.extend(differing.map(|(at, _)| (at, what)));
                    }
                }
                moved
            })
            .collect();
        for (at, entry) in CATALOGUE.iter().enumerate() {
            let by: Vec<&str> = all
                .iter()
                .copied()
                .filter(|what| moved.contains(&(at, *what)))
                .collect();
            println!("{} {by:?}", entry.measure.name);
        }
    });
}
