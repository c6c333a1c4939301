//! The return leg by waypoints: where it leads, what it costs, and how it is stated.

use offing::door::check::{load, on_large_stacks};
use offing::door::measures::{self, Value};
use offing::door::passage::Passage;
use offing::door::plan::Plan;

use crate::shared::demo_tree::{Files, SITE, mission, orders};

const ISLAND: &str = "past-the-island";
const NORTH: &str = "a-day-too-late";
/// Off the dam quay, in open water.
const OPEN: &str = "{ id: open-water, at: [52.403, -24.2905] }";

/// A mission of the demo with a return leg of its own.
fn files(id: &str, leg: &str) -> Files {
    let mut files = Files::demo(&[id]);
    let text = files.text(&mission(id)).to_owned();
    files.write(&mission(id), format!("{text}return_leg: {leg}\n"));
    files
}

fn plan(id: &str, leg: &str) -> Plan {
    let loaded = on_large_stacks(|| load(&files(id, leg).in_memory(), None)).unwrap();
    assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
    let named = |plan: &Plan| plan.mission.id.value == id;
    loaded.linked.plans.into_iter().find(named).unwrap()
}

/// Length and energy of the return leg from every sample in every scenario.
fn returning(plan: &Plan) -> Vec<(f64, f64)> {
    let passage = Passage::from_plan(plan);
    let runs = passage.runs().unwrap();
    let samples = runs.runs.iter().flat_map(|run| &run.samples);
    let homes = samples.map(|sample| sample.home.as_ref().unwrap());
    homes
        .map(|home| (home.length.get(), home.energy.get()))
        .collect()
}

fn measured(plan: &Plan, name: &str) -> f64 {
    let passage = Passage::from_plan(plan);
    let readings = measures::evaluate(name, &passage);
    match readings[0].outcome.as_ref().unwrap().value {
        Value::Quantity(quantity) => quantity.value,
        Value::Truth(_) => panic!("{name} is no quantity"),
    }
}

#[test]
fn a_return_by_the_recovery_point_itself_is_the_straight_one() {
    let straight = plan(NORTH, "{ path: straight }");
    let by = "{ path: by waypoints, via: [{ id: pontoon, at: [52.396063, -24.310462] }] }";
    let by = plan(NORTH, by);
    assert_eq!(returning(&straight), returning(&by));
    for name in [
        "mission.shoreline_clearance",
        "mission.upwind_run_length",
        "mission.reserve_at_turnaround",
        "mission.under_keel_clearance",
    ] {
        let (one, other) = (measured(&straight, name), measured(&by, name));
        assert!((one - other).abs() < 1e-9, "{name}: {one}, {other}");
    }
}

#[test]
fn it_leads_from_every_place_to_the_first_waypoint_and_on_in_order() {
    let leg = format!("{{ path: by waypoints, via: [{OPEN}, {{ waypoint: inbound }}] }}");
    let by = plan(ISLAND, &leg);
    let passage = Passage::from_plan(&by);
    let home = by.mission.recovery.at.value;
    let via: Vec<_> = by
        .mission
        .return_leg
        .via()
        .iter()
        .map(|one| one.at.value)
        .collect();
    let on = via[0].distance(via[1]) + via[1].distance(home);
    let returning = returning(&by);
    let samples = &passage.track.samples;
    for (index, (length, energy)) in returning.iter().enumerate() {
        let at = samples[index % samples.len()];
        if at.distance(home) < 1e-3 {
            assert!(*length < 1e-9 && energy.abs() < 1e-9, "home is home");
        } else {
            let whole = at.distance(via[0]) + on;
            assert!((length - whole).abs() < 1e-6, "{index}: {length}, {whole}");
        }
    }
}

#[test]
fn a_waypoint_brings_the_return_clear_of_what_lies_straight_ahead() {
    let straight = plan(ISLAND, "{ path: straight }");
    let by = plan(ISLAND, &format!("{{ path: by waypoints, via: [{OPEN}] }}"));
    let clearance = |plan: &Plan| measured(plan, "mission.shoreline_clearance");
    // The line from behind the holm crosses it: −0.61 m less the corridor.
    assert!(clearance(&straight) < 0.0);
    assert!(
        clearance(&by) > clearance(&straight) + 1.0,
        "{}",
        clearance(&by)
    );
    let longer = returning(&by)
        .iter()
        .zip(returning(&straight))
        .all(|(by, straight)| by.0 >= straight.0);
    assert!(longer, "no detour is shorter than the straight line");
}

#[test]
fn one_that_is_stated_by_halves_is_an_error_of_the_input() {
    for (leg, says) in [
        ("{ path: by waypoints }", "`via` does not state them"),
        (
            "{ path: straight, via: [{ waypoint: inbound }] }",
            "`path` does not say",
        ),
        ("{ via: [{ waypoint: inbound }] }", "`path` does not say"),
        (
            "{ path: by waypoints, via: [{ waypoint: imbound }] }",
            "`imbound` is not a waypoint of the route",
        ),
        (
            "{ path: by waypoints, via: [{ waypoint: inbound, at: [52.403, -24.2905] }] }",
            "has its position there",
        ),
        (
            "{ path: by waypoints, via: [{ id: far-off, at: [52.43, -24.2905] }] }",
            "`far-off` lies",
        ),
        ("{ path: by waypoints, via: [] }", "via"),
    ] {
        let outcome = files(ISLAND, leg).check();
        let all: Vec<&str> = outcome
            .findings
            .iter()
            .map(|one| one.message.as_str())
            .collect();
        assert!(all.iter().any(|one| one.contains(says)), "{leg}: {all:?}");
        assert!(
            outcome.checked.is_empty(),
            "{leg}: it was judged all the same"
        );
    }
}

#[test]
fn a_mission_with_a_path_of_its_own_leaves_the_waypoints_of_its_orders_alone() {
    let mut files = files(ISLAND, "{ path: along the route }");
    let path = orders("from-the-dam");
    files.edit(
        &path,
        "  path: straight\n",
        &format!("  path: by waypoints\n  via: [{OPEN}]\n"),
    );
    let outcome = files.check();
    assert!(
        outcome
            .findings
            .iter()
            .all(|one| !one.message.contains("via"))
    );
    assert_eq!(outcome.checked.len(), 1);
}

/// A current that sets against one of the stretches between the waypoints costs every return leg, though
/// neither the route, nor the line to the first waypoint, nor the other stretches lie in it.
#[test]
fn a_current_on_one_stretch_costs_every_return() {
    let via = "{ path: by waypoints, via: [{ id: narrows, at: [52.3985, -24.3030] }, \
               { id: off-the-bay-head, at: [52.3972, -24.3060] }] }";
    let mut files = files(NORTH, via);
    let site = files.text(SITE).to_owned();
    let (begin, end) = (site.find("currents:\n"), site.find("launch_sites:\n"));
    let between = "currents:\n  - id: between\n    area: [[52.39755, -24.3051], [52.39755, -24.3039], \
                   [52.39815, -24.3039], [52.39815, -24.3051]]\n    set: 070°\n    drift: 0.3 m/s\n\n";
    files.edit(SITE, &site[begin.unwrap()..end.unwrap()], between);
    let loaded = on_large_stacks(|| load(&files.in_memory(), None)).unwrap();
    assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
    let plan = &loaded.linked.plans[0];
    let passage = Passage::from_plan(plan);
    let scenarios = &passage.scenarios().unwrap().all;
    let runs = &passage.runs().unwrap().runs;
    let mut compared = 0;
    for pair in (0..runs.len()).collect::<Vec<_>>().chunks(2) {
        let [still, against] = pair else {
            panic!("each wind without the current and with it");
        };
        assert!(!scenarios[*still].current && scenarios[*against].current);
        for (one, other) in runs[*still].samples.iter().zip(&runs[*against].samples) {
            let (one, other) = (one.home.as_ref().unwrap(), other.home.as_ref().unwrap());
            if one.length.get() > 0.0 {
                assert!(other.energy > one.energy && other.time > one.time);
                compared += 1;
            }
        }
    }
    assert!(compared > 100, "{compared}");
}

/// A response that nobody states may be to return, and its line counts as one: only where every response is
/// another one does the boat leave the route by none.
#[test]
fn a_response_that_is_not_stated_may_be_to_return() {
    let link = "on_lost_link: { action: return, after: 10 s }";
    let battery = "on_low_battery: { action: return, below_charge: 45 % }\n";
    let position = "on_lost_position: { action: stop, after: 5 s }\n";
    let clearance = |edits: &[(&str, &str)]| {
        let mut files = files(ISLAND, "{ path: straight }");
        files.edit(
            &mission(ISLAND),
            link,
            "on_lost_link: { action: hold, after: 10 s }",
        );
        for (from, to) in edits {
            files.edit(&mission(ISLAND), from, to);
        }
        let loaded = on_large_stacks(|| load(&files.in_memory(), None)).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        measured(&loaded.linked.plans[0], "mission.shoreline_clearance")
    };
    let holds = (
        battery,
        "on_low_battery: { action: hold, below_charge: 45 % }\n",
    );
    let returning = clearance(&[]);
    let staying = clearance(&[holds]);
    assert!(staying > returning + 1.0, "{staying} m, {returning} m");
    for unstated in [&[(battery, "")][..], &[holds, (position, "")]] {
        let found = clearance(unstated);
        assert!((found - returning).abs() < 1e-9, "{unstated:?}: {found} m");
    }
}
