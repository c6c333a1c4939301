//! What the boat meets of waves: against the independent recomputation, by hand on one leg, and with
//! figures left out.

use crate::shared::demo_tree as tree;

use std::path::Path;
use std::sync::Arc;

use offing::door::check::{load, on_large_stacks};
use offing::door::finding::Nature;
use offing::door::measures::{self, Measured, NotMeasured, Value};
use offing::door::models::geodesy::{Position, inverse};
use offing::door::models::waves::design_height;
use offing::door::passage::{Passage, Variation};
use offing::door::source::WorkTree;
use offing::door::units::{Length, Speed};
use serde_json::Value as Json;
use tree::{Files, VESSEL, mission};

/// Reads a measure of the one mission of a set of files.
fn read(files: &Files, measure: &str) -> Result<Measured, NotMeasured> {
    let folder = files.lay_out();
    on_large_stacks(|| {
        let loaded = load(&WorkTree::open(folder.path()).unwrap(), None).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        let passage = Passage::from_plan(&loaded.linked.plans[0]);
        measures::evaluate(measure, &passage).remove(0).outcome
    })
}

fn value(outcome: Result<Measured, NotMeasured>) -> f64 {
    match outcome.unwrap().value {
        Value::Quantity(quantity) => quantity.value,
        Value::Truth(_) => panic!("a quantity"),
    }
}

/// Of the recomputation in Python (tests/reference) only the route is recorded; the return legs may
/// meet more, never less.
#[test]
fn heights_are_those_of_the_independent_recomputation() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let recorded = std::fs::read_to_string(root.join("tests/reference/passage.json")).unwrap();
    let recorded: Json = serde_json::from_str(&recorded).unwrap();
    let mut on_route = 0;
    on_large_stacks(|| {
        let loaded = load(&WorkTree::open(&root.join("plans")).unwrap(), None).unwrap();
        for plan in &loaded.linked.plans {
            let id = &plan.mission.id.value;
            let theirs = recorded[id.as_str()]["wave_height_mean_m"]
                .as_f64()
                .unwrap();
            let passage = Passage::from_plan(plan);
            let worst = passage.seaway().unwrap().unwrap().significant.unwrap();
            assert!(
                worst.value > theirs * 0.999,
                "{id}: {} {theirs}",
                worst.value
            );
            if !worst.met.home {
                on_route += 1;
                assert!((worst.value / theirs - 1.0).abs() < 1e-3, "{id}");
            }
        }
    });
    assert!(on_route >= 5, "only {on_route} are worst on the route");
}

/// The equivalent fetch of the Coastal Engineering Manual, turned round by hand: after 20 min of
/// 3.8 m/s, (1200 · 3.8^0.34 · g^0.33 / 77.23)^(1/0.67) = 364 m. So short a fetch lies along the wind
/// itself: off it the wind is weaker, and its waves have not come as far.
#[test]
fn a_wind_that_has_not_blown_long_raises_less() {
    let id = "headwind-return";
    let mut files = Files::demo(&[id]);
    let share = |files: &Files| value(read(files, "mission.wave_height_share"));
    let long = share(&files);
    let file = mission(id);
    files.edit(&file, "  latest_return: 2027-07-13T11:30\n", "");
    files.edit(&file, "height: 10 m }", "height: 10 m, duration: 20 min }");
    let short = share(&files);
    let fetch = (1200.0 * 3.8_f64.powf(0.34) * 9.80665_f64.powf(0.33) / 77.23).powf(1.0 / 0.67);
    assert!((fetch - 363.7).abs() < 1.0, "{fetch}");
    let metres = Length::metres;
    let height = design_height(
        Speed::metres_per_second(3.8),
        metres(fetch),
        Some(metres(7.0)),
    );
    assert!((short - height.get() / 0.15).abs() < 1e-9, "{short}");
    assert!(long > 1.5 * short, "{long} {short}");
    files.edit(&file, "duration: 20 min", "duration: 20 h");
    assert!((share(&files) - long).abs() < 1e-9);
}

/// From one wind to the next, a twentieth of a metre a second stronger, nothing of what a boat meets
/// jumps: not the screenings that count from a height, an angle or a length on. The winds go from a
/// calm to past every gate, one of them the 5.9 to 6.0 m/s at which a screening once went from nothing
/// to more than its limit.
#[test]
fn no_screening_jumps_as_the_wind_rises() {
    let measures = [
        ("mission.wave_height_share", 0.03),
        ("mission.highest_wave_share", 0.03),
        ("mission.wave_steepness", 0.006),
        ("mission.synchronous_roll", 0.05),
        ("mission.surf_riding_share", 0.06),
        ("mission.wave_group_pace", 0.05),
        ("mission.beam_sea_time", 90.0),
    ];
    for id in [
        "headwind-return",
        "lines-across-the-wind",
        "long-run-downwind",
    ] {
        let folder = Files::demo(&[id]).lay_out();
        on_large_stacks(|| {
            let loaded = load(&WorkTree::open(folder.path()).unwrap(), None).unwrap();
            let plan = &loaded.linked.plans[0];
            let mean = plan.mission.wind.as_ref().unwrap().mean.value.get();
            let mut before: Vec<Option<f64>> = vec![None; measures.len()];
            let mut rose = vec![0.0_f64; measures.len()];
            let base = Passage::from_plan(plan);
            for step in 20..=140 {
                let wind = f64::from(step) * 0.05;
                let passage = base.varied_by(&Variation {
                    wind: wind / mean,
                    ..Variation::default()
                });
                for (index, (measure, most)) in measures.iter().enumerate() {
                    let now = value(measures::evaluate(measure, &passage).remove(0).outcome);
                    if let Some(before) = before[index] {
                        let jump = (now - before).abs();
                        assert!(
                            jump <= *most,
                            "{id} {measure} at {wind} m/s: {before} to {now}"
                        );
                    }
                    before[index] = Some(now);
                    rose[index] = rose[index].max(now);
                }
            }
            // The property says nothing where nothing moves.
            assert!(
                rose.iter().filter(|most| **most > 0.05).count() >= 6,
                "{id} {rose:?}"
            );
        });
    }
}

/// One leg to the north and back in a westerly, by hand: all of it lies beam on, and takes its
/// length over its speed. Where the return is the slower of the two ways back, it counts in place of the route.
#[test]
fn a_leg_across_the_wind_is_all_on_the_beam() {
    let id = "north-bay-lines";
    let mut files = Files::demo(&[id]);
    let file = mission(id);
    let text = files.text(&file).to_owned();
    let (start, end) = (
        text.find("route:\n").unwrap(),
        text.find("return_leg:").unwrap(),
    );
    let route = "route:\n  - { id: out, to: [52.398000, -24.310484] }\n\n";
    files.write(&file, format!("{}{route}{}", &text[..start], &text[end..]));
    files.edit(&file, "from: 240°, spread: 20°", "from: 270°, spread: 0°");
    let place = Position::from_degrees;
    let out = inverse(place(52.395_812, -24.310_484), place(52.398, -24.310_484));
    let back = inverse(place(52.398, -24.310_484), place(52.396_063, -24.310_462));
    for (stated, speed) in [("1.1 m/s", 0.6), ("0.4 m/s", 0.4)] {
        let mut files = files.clone();
        let returning = "return_leg:\n  path: straight\n  speed: ";
        let (from, to) = (
            format!("{returning}1.1 m/s"),
            format!("{returning}{stated}"),
        );
        files.edit(&file, &from, &to);
        let by_hand = out.distance.get() / 0.6 + back.distance.get() / speed;
        let folder = files.lay_out();
        let found = value(on_large_stacks(|| {
            let mut loaded = load(&WorkTree::open(folder.path()).unwrap(), None).unwrap();
            let plan = &mut loaded.linked.plans[0];
            // Every ripple counts for a hull of a few centimetres, which no file may state.
            Arc::make_mut(&mut plan.vessel).hull.length_overall.value = Length::metres(0.02);
            let passage = Passage::from_plan(plan);
            measures::evaluate("mission.beam_sea_time", &passage)
                .remove(0)
                .outcome
        }));
        assert!(
            (found / by_hand - 1.0).abs() < 0.02,
            "{stated}: {found} {by_hand}"
        );
    }
}

#[test]
fn what_is_left_out_is_unknown_where_it_matters() {
    let id = "lines-across-the-wind";
    let mut files = Files::demo(&[id]);
    files.edit(
        VESSEL,
        "  roll_period: 0.6 s # two slim hulls, wide apart; timed over ten rolls at the pontoon\n",
        "",
    );
    let unknown = read(&files, "mission.synchronous_roll").unwrap_err();
    assert!(unknown.remedy.contains("`roll_period`"), "{unknown:?}");
    // In a sea in which no wave counts it is not needed.
    let mut calm = Files::demo(&["north-bay-lines"]);
    calm.write(VESSEL, files.text(VESSEL));
    assert!(value(read(&calm, "mission.synchronous_roll")).abs() < 1e-12);
    // No limits: neither wind nor waves are judged; what would stand in for the height is reported.
    let text = files.text(VESSEL).to_owned();
    let cut = text.find("limits:").unwrap();
    calm.write(VESSEL, &text[..cut]);
    assert!(read(&calm, "mission.wind_share").is_err());
    assert!(read(&calm, "mission.gust_share").is_err());
    let waves = read(&calm, "mission.wave_height_share").unwrap_err();
    assert!(waves.remedy.contains("`wave_height`"), "{waves:?}");
    let assumed = waves.assumptions.iter().any(|text| text.contains("0.12 m"));
    assert!(assumed, "{:?}", waves.assumptions);
    let outcome = calm.check();
    let found: Vec<_> = outcome
        .findings
        .iter()
        .map(|f| (f.rule.as_str(), f.nature))
        .collect();
    let unknown = Nature::NotEvaluated;
    let limits = ["gust-limit", "wind-limit", "wave-height"];
    assert_eq!(found, limits.map(|rule| (rule, unknown)));
}
