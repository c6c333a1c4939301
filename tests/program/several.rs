//! Of several things of a kind the worst counts, wherever it stands in the files.

use crate::shared::demo_tree as tree;

use offing::door::check::{load, on_large_stacks};
use offing::door::measures::{self, Value};
use offing::door::passage::Passage;
use tree::{Files, SITE, mission};

const ID: &str = "north-bay-lines";

/// A measure of the mission, in the stored unit.
fn figure(files: &Files, measure: &str) -> f64 {
    let loaded = on_large_stacks(|| load(&files.in_memory(), None)).unwrap();
    assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
    let passage = Passage::from_plan(&loaded.linked.plans[0]);
    let reading = measures::evaluate(measure, &passage).remove(0);
    match reading.outcome.unwrap().value {
        Value::Quantity(quantity) => quantity.value,
        Value::Truth(_) => panic!("no quantity"),
    }
}

/// The nearest of the areas that are closed is the one that the mission must keep clear of.
#[test]
fn the_nearest_closed_area_counts() {
    const MEASURE: &str = "mission.keep_out_clearance";
    let bed = "  - id: reed-bed\n";
    let near = "  - id: nets\n    area: [[52.39900, -24.30700], [52.39910, -24.30700], [52.39910, \
                -24.30680]]\n";
    let far = "  - id: far-nets\n    area: [[52.40300, -24.29000], [52.40310, -24.29000], [52.40310, \
               -24.28980]]\n";
    let with = |before: &str, after: &str| {
        let mut files = Files::demo(&[ID]);
        files.edit(SITE, bed, &format!("{before}{bed}"));
        files.edit(SITE, "\ncurrents:\n", &format!("{after}\ncurrents:\n"));
        figure(&files, MEASURE)
    };
    let (alone, nearest) = (with("", ""), with(near, ""));
    assert!(nearest < alone - 10.0, "{nearest} m, {alone} m without");
    let same = |one: f64, other: f64| assert!((one - other).abs() < 1e-9, "{one} m, {other} m");
    same(with("", near), nearest);
    same(with(far, near), nearest);
    same(with(near, far), nearest);
    same(with(far, ""), alone);
}

/// Where the zones of launch and recovery overlap, the water is no deeper than the shallower of the two
/// depths that are stated for it: 0.5 m less in one zone is 0.5 m less under the keel.
#[test]
fn the_shallower_of_two_zones_that_overlap_counts() {
    const MEASURE: &str = "mission.under_keel_clearance";
    let steps = |depth: &str| {
        format!(
            "launch_sites:\n  - {{ id: steps, at: [52.396063, -24.310462], zone: 15 m, depth: {depth}, \
             accessible: yes }}\n"
        )
    };
    let launched = "launch:\n  place: west-slip\n  at: [52.395812, -24.310484]";
    let from_steps = "launch:\n  place: steps\n  at: [52.396063, -24.310462]";
    let recovered = "recovery:\n  place: west-slip\n";
    let to_steps = "recovery:\n  place: steps\n";
    // The steps' zone of 15 m lies within the slip's of 50 m.
    for (from, to) in [(launched, from_steps), (recovered, to_steps)] {
        let with = |depth: &str| {
            let mut files = Files::demo(&[ID]);
            files.edit(SITE, "launch_sites:\n", &steps(depth));
            files.edit(&mission(ID), from, to);
            figure(&files, MEASURE)
        };
        let lost = with("1.1 m") - with("0.6 m");
        assert!((lost - 0.5).abs() < 1e-9, "{to}: {lost} m");
    }
}
