//! Symmetry: a plan that is turned or mirrored with everything in it is the same plan.

use std::collections::BTreeMap;

use offing::door::measures;
use offing::door::models::plane::Point;
use offing::door::rules::{Judgement, judge};
use offing::door::units::Dimension;
use proptest::prelude::*;

use super::draw::{Shape, bare, full, hold, shape, wind};
use super::measured::{figure, loaded, passage, read};
use super::scene::{Scene, Stop};

/// Turning moves the middle of the box about the shoreline, and with it the plane, by up to some
/// hundred metres: bearings and lengths shift in the fifth digit.
fn close(one: f64, other: f64, dimension: Dimension) -> bool {
    let absolute: f64 = if dimension == Dimension::LENGTH {
        0.2
    } else {
        1e-6
    };
    (one - other).abs() <= absolute.max(0.005 * one.abs().max(other.abs()))
}

fn same_judgement(one: &Judgement, other: &Judgement) -> bool {
    let (Some(a), Some(b)) = (&one.comparison, &other.comparison) else {
        return one.verdict == other.verdict
            && one.comparison.is_some() == other.comparison.is_some();
    };
    let (a, b, limit) = (a.measured, b.measured, a.limit.value);
    // A value on the very limit may fall to either side of it.
    let on_the_limit = close(a.value, limit, a.dimension);
    close(a.value, b.value, a.dimension) && (one.verdict == other.verdict || on_the_limit)
}

/// Judgements by rule and subject, as a check judges a plan by the built-in policy.
fn judged(scene: &Scene) -> BTreeMap<(String, String), Judgement> {
    let loaded = loaded(scene);
    let passage = passage(&loaded);
    let lookup = |name: &str| measures::evaluate(name, &passage);
    let rules = &loaded.policies.builtin().rules;
    rules
        .iter()
        .flat_map(|rule| {
            judge(rule, &lookup)
                .into_iter()
                .map(|one| ((rule.rule.id.value.to_string(), one.subject.clone()), one))
        })
        .collect()
}

/// Whether two plans get the same findings, and every figure alike.
fn same_findings(scene: &Scene, other: &Scene) -> Result<(), TestCaseError> {
    let (before, after) = (judged(scene), judged(other));
    prop_assert!(before.len() >= 20, "only {} were judged", before.len());
    let told = before.values().filter(|one| one.comparison.is_some());
    prop_assert!(told.count() >= 10, "too few figures are told");
    prop_assert_eq!(
        before.keys().collect::<Vec<_>>(),
        after.keys().collect::<Vec<_>>()
    );
    for (key, judgement) in &before {
        let same = same_judgement(judgement, &after[key]);
        let words = |one: &Judgement| {
            let figure = one.comparison.as_ref().map(|c| c.measured.value);
            format!("{:?} {figure:?}", one.verdict)
        };
        prop_assert!(
            same,
            "{key:?}: {} became {}",
            words(judgement),
            words(&after[key])
        );
    }
    Ok(())
}

#[test]
#[ignore = "slow"]
fn turning_the_whole_plan_changes_no_finding() {
    let drawn = (full(), 0.0..360.0f64, any::<bool>());
    hold(24, &drawn, |(mut scene, by, along_a_leg)| {
        if along_a_leg {
            // As planners like to draw it: straight against the wind and back with it.
            let to = *scene.waypoint_mut(0);
            scene.wind.from = scene.launch.bearing_to(to).angle().to_degrees();
        }
        same_findings(&scene, &scene.turned(by))
    });
}

/// A survey is left out: its first line is the lowest of those equally near, which is another one
/// in the mirror.
#[test]
#[ignore = "slow"]
fn mirroring_the_whole_plan_changes_no_finding() {
    hold(24, &(full(), 0.0..360.0f64), |(mut scene, axis)| {
        scene.route.retain(|stop| matches!(stop, Stop::To { .. }));
        same_findings(&scene, &scene.mirrored(axis))
    });
}

/// From A to B with the wind from one side, or from B to A with the wind from the other: the same
/// passage in the mirror, on a lake that is its own mirror image.
#[test]
fn a_straight_way_reversed_with_the_wind_is_the_same_passage() {
    let drawn = (
        shape(),
        0.0..360.0f64,
        0.3..0.85f64,
        wind(),
        prop_oneof![Just(0.0), -40.0..40.0f64],
    );
    hold(32, &drawn, |(mut shape, along, share, wind, off)| {
        // Lobes that lie along the way, so that the lake is the same seen from either end.
        shape.two.1 = -2.0 * along.to_radians();
        shape.three.0 = 0.0;
        let end = shape.point(along, share);
        let start = Point::ZERO - end;
        let one_way = |from: Point, to: Point, wind_from: f64| {
            let mut scene = bare(shape, along, &[], wind);
            let middle = from.lerp(to, 0.5);
            scene.route = vec![Stop::To {
                at: middle,
                speed: 1.1,
                pause: 1.0,
            }];
            (scene.launch, scene.recovery) = (from, to);
            (scene.quay, scene.far_quay) = (from, Some(to));
            scene.wind.from = wind_from;
            even(scene, &shape, along)
        };
        let there = one_way(start, end, along + off);
        let back = one_way(end, start, along + 180.0 - off);
        let (there, back) = (loaded(&there), loaded(&back));
        let (there, back) = (passage(&there), passage(&back));
        for name in ["duration", "energy", "reserve_at_end", "length"] {
            let (one, other) = (figure(&there, name), figure(&back, name));
            let same = match (one, other) {
                (Some(one), Some(other)) => (one - other).abs() <= 1e-4 * one.abs().max(1e-3),
                (one, other) => one.is_none() && other.is_none(),
            };
            prop_assert!(same, "{name}: {one:?} and {other:?}");
        }
        for name in [
            "mission.reserve_at_turnaround",
            "mission.return_energy_ratio",
            "mission.headway_in_gusts",
            "mission.upwind_run_length",
            "mission.upwind_run_energy",
        ] {
            let (one, other) = (read(&there, name), read(&back, name));
            let same = match (one, other) {
                (Some(one), Some(other)) => (one - other).abs() <= 1e-4 * one.abs().max(1e-2),
                (one, other) => one.is_none() && other.is_none(),
            };
            prop_assert!(same, "{name}: {one:?} and {other:?}");
        }
        Ok(())
    });
}

/// The same plan on an outline that is its own mirror image, corner for corner.
fn even(mut scene: Scene, shape: &Shape, along: f64) -> Scene {
    scene.outline = (0..48)
        .map(|index| shape.point(along + 360.0 * f64::from(index) / 48.0, 1.0))
        .collect();
    scene
}
