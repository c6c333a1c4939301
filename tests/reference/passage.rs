//! The passage of every mission of the demo against an independent recomputation: Python with
//! numpy, pyproj (PROJ) and shapely (GEOS), written from docs/reference/models alone. The script and how
//! to run it again are in tests/reference/.

use std::path::Path;

use offing::door::check::{load, on_large_stacks};
use offing::door::measures::{self, Value};
use offing::door::passage::Passage;
use offing::door::plan::Plan;
use offing::door::source::{Tree, WorkTree};
use serde_json::Value as Json;

/// Measure, key of the recorded value, factor from the stored unit to the key's.
const COMPARED: &[(&str, &str, f64)] = &[
    (
        "mission.reserve_at_turnaround",
        "reserve_at_turnaround",
        1.0,
    ),
    (
        "mission.return_energy_ratio",
        "energy_ratio_at_turnaround",
        1.0,
    ),
    ("mission.low_battery_margin", "low_battery_margin", 1.0),
    ("mission.time_in_hand", "time_in_hand_s", 1.0),
    ("mission.gauge_error", "gauge_error", 1.0),
    ("mission.upwind_run_length", "upwind_run_m", 1.0),
    ("mission.upwind_run_time", "upwind_run_s", 1.0),
    ("mission.upwind_run_energy", "upwind_run_energy_share", 1.0),
    ("mission.headway_in_gusts", "headway_m_s", 1.0),
    ("mission.shoreline_clearance", "route_clearance_m", 1.0),
    ("mission.launch_site_clearance", "zone_clearance_m", 1.0),
    ("mission.hazard_clearance", "hazard_clearance_m", 1.0),
    ("mission.keep_out_clearance", "keep_out_clearance_m", 1.0),
    ("mission.under_keel_clearance", "under_keel", 1.0),
    ("mission.depth_unknown", "depth_unknown", 1.0),
    (
        "mission.drift_time_in_hand_weir",
        "drift_weir_in_hand_s",
        1.0,
    ),
    (
        "mission.drift_time_in_hand_keep_out",
        "drift_closed_in_hand_s",
        1.0,
    ),
    ("mission.drift_share_ashore", "drift_ashore_share", 1.0),
    ("end.stand_off", "stand_off_m", 1.0),
    ("end.approach_speed", "approach_speed_m_s", 1.0),
    (
        "end.approach_off_wind",
        "approach_heading_off_wind_deg",
        180.0 / std::f64::consts::PI,
    ),
    ("end.straight_length", "last_leg_m", 1.0),
    ("end.operator_distance", "operator_distance_m", 1.0),
    ("end.drift_time_ashore", "drift_to_shore_s", 1.0),
];

/// Figure, key of the recorded value, factor from the stored unit to the key's.
const FIGURES: &[(&str, &str, f64)] = &[
    ("length", "length_m", 1.0),
    ("duration", "duration_s", 1.0),
    ("energy", "energy_wh", 1.0 / 3600.0),
    ("usable_energy", "usable_energy_wh", 1.0 / 3600.0),
    ("reserve_at_end", "reserve_at_end", 1.0),
    ("turnaround", "turnaround_m", 1.0),
    ("farthest_from_recovery", "turnaround_from_recovery_m", 1.0),
];

/// Within a millionth, or a millionth of a unit. The time in hand of the safety boat within a thousandth: the
/// recomputation goes along a drift step by step.
fn agrees(key: &str, ours: f64, theirs: f64) -> bool {
    let in_hand = key.starts_with("drift_") && key.ends_with("_in_hand_s");
    let share: f64 = if in_hand { 1e-3 } else { 1e-6 };
    (ours - theirs).abs() <= (share * theirs.abs()).max(1e-6)
}

/// Every mission of a tree beside what was recorded of it: how many values were compared, and those that are apart.
pub fn compared(tree: &dyn Tree, recorded: &str) -> (usize, Vec<String>) {
    let recorded: Json = serde_json::from_str(recorded).unwrap();
    let recorded = recorded.get("missions").unwrap_or(&recorded);
    on_large_stacks(|| {
        let loaded = load(tree, None).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        let mut apart = Vec::new();
        let mut compared = 0;
        for plan in &loaded.linked.plans {
            compared += of_mission(plan, &recorded[plan.mission.id.value.as_str()], &mut apart);
        }
        (compared, apart)
    })
}

/// One of them.
fn of_mission(plan: &Plan, theirs: &Json, apart: &mut Vec<String>) -> usize {
    let mut compared = 0;
    let id = &plan.mission.id.value;
    let mut compare = |key: &str, ours: Option<f64>, theirs: &Json| {
        compared += 1;
        match (ours, theirs.as_f64()) {
            (Some(ours), Some(theirs)) if agrees(key, ours, theirs) => {}
            (None, None) => {}
            (ours, theirs) => apart.push(format!("{id}: {key}: {ours:?} against {theirs:?}")),
        }
    };
    let passage = Passage::from_plan(plan);
    for (measure, key, factor) in COMPARED {
        let reading = &measures::evaluate(measure, &passage)[0];
        let ours = reading
            .outcome
            .as_ref()
            .ok()
            .map(|known| match known.value {
                Value::Quantity(quantity) => quantity.value * factor,
                Value::Truth(_) => panic!("{measure} is no quantity"),
            });
        // Ours is the size of the error.
        let theirs = match *key {
            "gauge_error" => Json::from(theirs[*key].as_f64().unwrap().abs()),
            _ => theirs[*key].clone(),
        };
        compare(key, ours, &theirs);
    }
    for reading in measures::evaluate("link.margin", &passage) {
        let link = reading.subject.strip_suffix(" link").unwrap();
        let ours = reading
            .outcome
            .as_ref()
            .ok()
            .map(|known| match known.value {
                Value::Quantity(quantity) => quantity.value,
                Value::Truth(_) => panic!("a margin is a quantity"),
            });
        compare("links", ours, &theirs["links"][link]);
    }
    let overrun = &measures::evaluate("end.overrun_clearance", &passage)[0];
    let ours = overrun
        .outcome
        .as_ref()
        .ok()
        .map(|known| match known.value {
            Value::Quantity(quantity) => quantity.value,
            Value::Truth(_) => panic!("a clearance is a quantity"),
        });
    let least = ["overrun_clearance_m", "overrun_hazard_clearance_m"]
        .iter()
        .filter_map(|key| theirs[*key].as_f64())
        .fold(f64::INFINITY, f64::min);
    compare("overrun_clearance_m", ours, &Json::from(least));
    let figures = measures::figures(&passage);
    for (name, key, factor) in FIGURES {
        let ours = figures
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, q)| q.value * factor);
        compare(key, ours, &theirs[*key]);
    }
    compared
}

#[test]
fn every_mission_of_the_demo_agrees_with_the_independent_recomputation() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let tree = WorkTree::open(&root.join("plans")).unwrap();
    let recorded = std::fs::read_to_string(root.join("tests/reference/passage.json")).unwrap();
    let (compared, apart) = compared(&tree, &recorded);
    assert!(apart.is_empty(), "{}", apart.join("\n"));
    assert!(compared >= 7 * 26, "only {compared} values were compared");
}
