//! Speeds that a plan commands through the water, in a current: what they come to over ground, by the
//! triangle of boat, current and track (The American Practical Navigator, chapter on dead reckoning).

use crate::shared::demo_tree as tree;

use offing::door::check::{load, on_large_stacks};
use offing::door::measures::{self, Value};
use offing::door::passage::Passage;
use offing::door::passage::ending::approach;
use offing::door::plan::Plan;
use tree::{Files, SITE, mission};

const ID: &str = "north-bay-lines";

/// The north bay mission, one of its speeds commanded through the water, in one current everywhere.
fn plan(over_ground: &str, through_water: &str, set: f64, drift: f64) -> Plan {
    let mut files = Files::demo(&[ID]);
    let name = mission(ID);
    let text = files.text(&name).replace(over_ground, through_water);
    files.write(&name, text);
    let site = files.text(SITE).to_owned();
    let (begin, end) = (site.find("currents:\n"), site.find("launch_sites:\n"));
    let everywhere = format!(
        "currents:\n  - id: everywhere\n    area: [[52.39, -24.33], [52.39, -24.27], [52.42, -24.27], \
         [52.42, -24.33]]\n    set: {set}°\n    drift: {drift} m/s\n\n"
    );
    files.edit(SITE, &site[begin.unwrap()..end.unwrap()], &everywhere);
    let loaded = on_large_stacks(|| load(&files.in_memory(), None)).unwrap();
    assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
    loaded.linked.plans.into_iter().next().unwrap()
}

/// The speed over ground at which the speed through the water, |u t̂ − c|, is the one commanded: found by
/// halving, u being at least where that is least.
fn over_ground(track: (f64, f64), current: (f64, f64), commanded: f64) -> f64 {
    let through = |u: f64| (u * track.0 - current.0).hypot(u * track.1 - current.1);
    let mut low = track.0 * current.0 + track.1 * current.1;
    let mut high = low + commanded + 1.0;
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if through(middle) > commanded {
            high = middle;
        } else {
            low = middle;
        }
    }
    low
}

/// A current along with the boat carries it faster to the recovery point, and so farther past it: left
/// out, or taken the other way, the overrun would come out short.
#[test]
fn an_approach_through_the_water_is_faster_over_ground_with_a_current_along() {
    let commanded = ("speed: { over_ground: 0.6", "speed: { through_water: 0.6");
    let mut faster = 0;
    for degrees in (0..360).step_by(45) {
        let degrees = f64::from(degrees);
        let plan = plan(commanded.0, commanded.1, degrees, 0.4);
        let passage = Passage::from_plan(&plan);
        let track = passage.track.steps.last().unwrap().track;
        let (east, north) = degrees.to_radians().sin_cos();
        let with = over_ground(track, (0.4 * east, 0.4 * north), 0.6);
        // The current may also fail to run.
        let due = with.max(0.6);
        let found = approach(&passage).unwrap();
        assert!(
            (found.over_ground.get() - due).abs() < 1e-9,
            "{degrees}°: {found:?}, not {due}"
        );
        assert!((found.through_water.get() - 0.6).abs() < 1e-9, "{degrees}°");
        faster += usize::from(due > 0.61);
    }
    assert!((2..=4).contains(&faster), "{faster}");
}

/// Lines run at 1.1 m/s through the water with 0.3 m/s along the lines: the pings lie as far apart as at
/// 1.4 m/s over ground.
#[test]
fn soundings_lie_farther_apart_with_a_current_along_the_lines() {
    let coverage = |set: f64, drift: f64| {
        let plan = plan("over_ground: 1.1", "through_water: 1.1", set, drift);
        let passage = Passage::from_plan(&plan);
        let reading = measures::evaluate("soundings.along_track_coverage", &passage).remove(0);
        match reading.outcome.unwrap().value {
            Value::Quantity(quantity) => quantity.value,
            Value::Truth(_) => panic!("no quantity"),
        }
    };
    let still = coverage(70.0, 0.0);
    // Lines are run both ways, so that a current either way along them is along with some.
    for set in [70.0, 250.0] {
        let slower = still / coverage(set, 0.3);
        assert!((slower - 1.4 / 1.1).abs() < 1e-3, "{set}°: {slower}");
    }
}
