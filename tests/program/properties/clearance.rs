//! Clearance: what moving a waypoint does to it. The turning radius is nil here, since a waypoint
//! that moves makes its neighbours' turns sharper or blunter and with them what is run on there.

use offing::door::models::plane::Point;
use proptest::prelude::*;

use super::draw::{bare, full, hold, shape, towards, wind};
use super::measured::{measure, no_better};
use super::scene::{Home, Scene};

const CLEARANCE: &str = "mission.shoreline_clearance";

/// A lake without a bend inwards, launched from its middle.
fn convex() -> impl Strategy<Value = Scene> + Clone {
    let places = prop::collection::vec((0.0..360.0f64, 0.3..0.97f64), 1..4);
    (shape(), places, wind()).prop_map(|(mut shape, places, wind)| {
        // A curve r(θ) with these lobes is convex: r² + 2r'² > r r''.
        shape.two.0 = shape.two.0.min(0.15);
        shape.three.0 = 0.0;
        let mut scene = bare(shape, 0.0, &places, wind);
        (scene.launch, scene.recovery) = (Point::ZERO, Point::ZERO);
        scene.quay = Point::ZERO;
        scene.zone = 1.0;
        scene.boat.turning_radius = 0.0;
        scene
    })
}

/// The nearest point of the outline.
fn nearest_shore(scene: &Scene, at: Point) -> Point {
    let outline = &scene.outline;
    (0..outline.len())
        .map(|index| {
            let (a, b) = (outline[index], outline[(index + 1) % outline.len()]);
            let share = (at - a).dot(b - a) / (b - a).dot(b - a);
            a.lerp(b, share.clamp(0.0, 1.0))
        })
        .min_by(|p, q| at.distance(*p).total_cmp(&at.distance(*q)))
        .unwrap()
}

/// On a lake without a bend inwards the distance to the shore is a concave function of the place,
/// so that a line comes nearest at one of its ends. A waypoint that moves straight to the shore
/// comes nearer, and no other end moves.
#[test]
fn a_waypoint_moved_shoreward_never_gains_clearance() {
    let drawn = (convex(), any::<prop::sample::Index>(), 0.02..0.98f64);
    hold(40, &drawn, |(mut scene, which, share)| {
        let before = measure(&scene, CLEARANCE);
        prop_assert!(before.is_some());
        let index = which.index(scene.route.len());
        let at = *scene.waypoint_mut(index);
        *scene.waypoint_mut(index) = at.lerp(nearest_shore(&scene, at), share);
        let after = measure(&scene, CLEARANCE);
        prop_assert!(no_better(before, after, 1e-4), "{before:?} then {after:?}");
        Ok(())
    });
}

/// Moving a waypoint by so many metres moves no place of its two legs by more, so the clearances
/// of the legs from land, hazards and keep-outs change by no more. Return legs are left out: how
/// many there are changes with the length of a leg. Depths inland are found to half a metre.
#[test]
#[ignore = "slow"]
fn clearances_change_no_more_than_a_waypoint_moves() {
    let drawn = (
        full(),
        any::<prop::sample::Index>(),
        (0.0..360.0f64, 0.0..60.0f64),
    );
    hold(40, &drawn, |(mut scene, which, (bearing, by))| {
        scene
            .route
            .retain(|stop| matches!(stop, super::scene::Stop::To { .. }));
        scene.home = Home::Never;
        scene.boat.turning_radius = 0.0;
        scene.zone = 45.0;
        let mut moved = scene.clone();
        let index = which.index(scene.route.len());
        let at = *scene.waypoint_mut(index);
        *moved.waypoint_mut(index) = at + towards(bearing).scale(by);
        for name in [
            CLEARANCE,
            "mission.hazard_clearance",
            "mission.keep_out_clearance",
        ] {
            let (before, after) = (measure(&scene, name), measure(&moved, name));
            let (Some(before), Some(after)) = (before, after) else {
                return Err(TestCaseError::fail(format!("{name} is not known")));
            };
            let inland = if before.min(after) < 0.0 { 1.0 } else { 0.0 };
            prop_assert!(
                (before - after).abs() <= by + inland + 1e-4,
                "{name}: {before} to {after} by a move of {by}"
            );
        }
        Ok(())
    });
}

/// More error, more beam or more of a hazard's own stand-off leaves less.
#[test]
fn what_is_taken_off_is_taken_off_in_full() {
    let drawn = (full(), 0.5..30.0f64, 0.05..0.17f64);
    hold(16, &drawn, |(scene, stand_off, beam)| {
        let mut wider = scene.clone();
        wider.boat.beam += 2.0 * beam;
        for name in [CLEARANCE, "mission.keep_out_clearance"] {
            let (before, after) = (measure(&scene, name), measure(&wider, name));
            let lost = before.zip(after).map(|(before, after)| before - after);
            prop_assert!(
                lost.is_some_and(|lost| (lost - beam).abs() < 1e-6),
                "{name}: {lost:?} lost, {beam} wider either side"
            );
        }
        let mut farther = scene.clone();
        for hazard in &mut farther.hazards {
            hazard.clearance += stand_off;
        }
        let name = "mission.hazard_clearance";
        let lost = measure(&scene, name).unwrap() - measure(&farther, name).unwrap();
        prop_assert!((lost - stand_off).abs() < 1e-5, "{lost} of {stand_off}");
        Ok(())
    });
}
