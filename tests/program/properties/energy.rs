//! Energy: what more wind, a longer way and a smaller battery do to the reserve, and whether the
//! books balance.

use offing::door::models::plane::Point;
use offing::door::passage::Run;
use proptest::prelude::*;

use super::draw::{bare, full, hold, shape, towards, wind};
use super::measured::{figure, loaded, measure, no_better, passage, read};
use super::scene::{Boat, Home, Scene, Stop};

const RESERVE: &str = "mission.reserve_at_turnaround";

/// Places off the axis of a run downwind: bearing off it in degrees and share of the lake.
fn downwind() -> impl Strategy<Value = Vec<(f64, f64)>> + Clone {
    prop::collection::vec((-40.0..40.0f64, 0.1..0.85f64), 1..4)
}

/// With the return leg against the wind, at least as fast as the way out, and one speed for the way
/// out, more wind always costs more: drag is convex in the wind, and to first order what the wind
/// gives on the way out it takes back on the return leg. A return leg slower than the way out, or a
/// recovery point downwind of the launch, would make a light wind a help.
#[test]
#[ignore = "slow"]
fn more_wind_against_the_way_home_never_leaves_more_reserve() {
    let drawn = (
        shape(),
        0.0..360.0f64,
        downwind(),
        wind(),
        1.05..2.0f64,
        0.0..0.3f64,
    );
    hold(40, &drawn, |(shape, from, stops, wind, more, faster)| {
        let stops: Vec<(f64, f64)> = stops
            .iter()
            .map(|(off, share)| (from + 180.0 + off, *share))
            .collect();
        let mut scene = bare(shape, from, &stops, wind);
        scene.wind.from = from;
        scene.home_speed += faster;
        let less = measure(&scene, RESERVE);
        scene.wind.mean *= more;
        scene.wind.gust *= more;
        let left = measure(&scene, RESERVE);
        prop_assert!(no_better(less, left, 1e-9), "{less:?} then {left:?}");
        Ok(())
    });
}

/// An excursion from a waypoint and back to it leaves every other sample where it was, with less
/// in the battery: it never leaves more reserve, whatever wind, sea and current.
#[test]
#[ignore = "slow"]
fn an_excursion_never_leaves_more_reserve() {
    let drawn = (full(), (0.0..360.0f64, 20.0..300.0f64));
    hold(32, &drawn, |(scene, (bearing, length))| {
        let before = measure(&scene, RESERVE);
        let mut longer = scene.clone();
        let Stop::To { at, speed, .. } = scene.route[0] else {
            panic!("the first entry is a waypoint");
        };
        let to = |at: Point| Stop::To {
            at,
            speed,
            pause: 0.0,
        };
        longer
            .route
            .insert(1, to(at + towards(bearing).scale(length)));
        longer.route.insert(2, to(at));
        let after = measure(&longer, RESERVE);
        prop_assert!(no_better(before, after, 1e-9), "{before:?} then {after:?}");
        Ok(())
    });
}

/// A detour between two waypoints is longer, but may find less sea or a fair current. A boat as
/// narrow as a reed, which waves hardly hold up, on still water, finds neither; the return leg is as
/// fast as the way out, or a leg that stays nearer to home might pay.
#[test]
fn a_detour_never_leaves_more_reserve_on_still_water() {
    let drawn = (
        shape(),
        0.0..360.0f64,
        prop::collection::vec((0.0..360.0f64, 0.1..0.8f64), 2..4),
        wind(),
        (0.2..0.8f64, -300.0..300.0f64),
    );
    hold(40, &drawn, |(shape, quay, stops, wind, (share, off))| {
        let mut scene = bare(shape, quay, &stops, wind);
        // As narrow as a hull of its mass can be: the less it is slowed by waves.
        scene.boat.beam = 0.11;
        let before = measure(&scene, RESERVE);
        let (a, b) = (*scene.waypoint_mut(0), *scene.waypoint_mut(1));
        let Some(along) = (b - a).unit() else {
            return Ok(());
        };
        let detour = Stop::To {
            at: a.lerp(b, share) + Point::new(along.y, -along.x).scale(off),
            speed: 1.1,
            pause: 0.0,
        };
        scene.route.insert(1, detour);
        let after = measure(&scene, RESERVE);
        prop_assert!(no_better(before, after, 1e-6), "{before:?} then {after:?}");
        Ok(())
    });
}

/// The reserve is a share of the usable energy. A smaller battery falls faster over every step,
/// so the charge that is left when the boat is home is less, and that charge alone says the
/// share. In watt-hours the share is taken of less besides, so that the energy falls too wherever
/// there is any left; below zero the overdraft in watt-hours may shrink, since a weaker boat that
/// has to slow down spends less.
#[test]
#[ignore = "slow"]
fn a_smaller_battery_never_leaves_more_reserve() {
    let drawn = (full(), 0.3..0.98f64);
    hold(32, &drawn, |(scene, smaller)| {
        let left = |scene: &Scene| {
            let loaded = loaded(scene);
            let passage = passage(&loaded);
            let share = read(&passage, RESERVE);
            let usable = figure(&passage, "usable_energy").unwrap();
            let trigger = read(&passage, "mission.low_battery_margin");
            (share, share.map(|share| share * usable), trigger)
        };
        let (share, energy, trigger) = left(&scene);
        let mut weaker = scene.clone();
        weaker.boat.capacity *= smaller;
        let (less, spared, fired) = left(&weaker);
        prop_assert!(no_better(share, less, 1e-9), "{share:?} then {less:?}");
        if spared.is_some_and(|energy| energy >= 0.0) {
            prop_assert!(
                no_better(energy, spared, 1e-6),
                "{energy:?} then {spared:?}"
            );
        }
        prop_assert!(
            no_better(trigger, fired, 1e-9),
            "{trigger:?} then {fired:?}"
        );
        Ok(())
    });
}

/// Energy between two charges by the trapezium rule over the cell's curve, J, worked here anew.
fn stored_between(run: &Pack, low: f64, high: f64) -> f64 {
    const STEPS: u32 = 4000;
    let width = (high - low) / f64::from(STEPS);
    let volts = |state: f64| run.cells * run.chemistry.open_circuit_voltage(state).get();
    let sum: f64 = (0..STEPS)
        .map(|index| {
            let at = low + width * f64::from(index);
            0.5 * (volts(at) + volts(at + width)) * width
        })
        .sum();
    run.coulombs * sum
}

/// What the books are kept with.
struct Pack {
    chemistry: offing::door::models::battery::Chemistry,
    cells: f64,
    coulombs: f64,
    ohms: f64,
    hotel: f64,
}

fn balanced(run: &Run, pack: &Pack, pauses: f64) -> Result<(), TestCaseError> {
    let (first, last) = (&run.samples[0], run.samples.last().unwrap());
    let moving: f64 = run.moving.iter().map(|(time, _)| time.get()).sum();
    let duration = last.time.get() - first.time.get();
    prop_assert!((moving + pauses - duration).abs() < 1e-6 * duration.max(1.0));
    for pair in run.samples.windows(2) {
        prop_assert!(pair[1].time >= pair[0].time);
        prop_assert!(pair[1].charge <= pair[0].charge);
        prop_assert!(pair[1].left <= pair[0].left);
    }
    let spent = first.left.get() - last.left.get();
    let stored = stored_between(pack, last.charge, first.charge);
    prop_assert!(
        (spent - stored).abs() < 2e-4 * stored,
        "{spent} J on the books, {stored} J out of the cells"
    );
    if pauses > 0.0 {
        let under_way: f64 = run.moving.iter().map(|(_, energy)| energy.get()).sum();
        prop_assert!(under_way < spent);
        return Ok(());
    }
    // Ohm's law step by step: what the loads take and what the resistance burns is what goes.
    let mut charge = first.charge;
    for (power, (time, _)) in run.power.iter().zip(&run.moving) {
        let load = power.get() + pack.hotel;
        let volts = pack.cells * pack.chemistry.open_circuit_voltage(charge).get();
        let amperes = (volts - (volts * volts - 4.0 * load * pack.ohms).sqrt()) / (2.0 * pack.ohms);
        charge -= amperes * time.get() / pack.coulombs;
    }
    prop_assert!(
        (charge - last.charge).abs() < 1e-9,
        "{charge} {}",
        last.charge
    );
    Ok(())
}

#[test]
#[ignore = "slow"]
fn times_and_energies_add_up() {
    hold(32, &(full(), any::<bool>()), |(mut scene, held)| {
        scene.boat = Boat::LITHIUM;
        let mut pauses = 0.0;
        if let Stop::To { pause, .. } = &mut scene.route[0] {
            *pause *= f64::from(u8::from(held));
            pauses = (*pause * 1e6).round() / 1e6 * 60.0;
        }
        let loaded = loaded(&scene);
        let passage = passage(&loaded);
        let runs = passage
            .runs()
            .map_err(|e| TestCaseError::fail(format!("{e:?}")))?;
        let boat = &runs.boat;
        let pack = Pack {
            chemistry: boat.pack.chemistry,
            cells: f64::from(boat.pack.cells_in_series),
            coulombs: boat.pack.capacity.get(),
            ohms: boat.pack.resistance.get(),
            hotel: boat.hotel.get(),
        };
        for run in runs.runs.iter().filter(|run| run.stop.is_none()) {
            balanced(run, &pack, pauses)?;
            prop_assert_eq!(run.samples.len(), run.power.len() + 1);
        }
        Ok(())
    });
}

/// A wind that may come from anywhere comes from ahead on every track. One that can only come from
/// behind may help a boat whose battery is the weaker there.
#[test]
#[ignore = "slow"]
fn headway_never_grows_with_the_gust() {
    let drawn = (full(), 1.0..2.0f64);
    hold(16, &drawn, |(mut scene, more)| {
        scene.wind.spread = 180.0;
        let name = "mission.headway_in_gusts";
        let before = measure(&scene, name);
        scene.wind.gust *= more;
        let after = measure(&scene, name);
        prop_assert!(no_better(before, after, 1e-9), "{before:?} then {after:?}");
        Ok(())
    });
}

/// The way back along the route is never nearer than straight, so that on still water and with no
/// sea to speak of it never leaves more.
#[test]
fn home_along_the_route_never_leaves_more_than_straight_on_still_water() {
    let drawn = (
        shape(),
        0.0..360.0f64,
        prop::collection::vec((0.0..360.0f64, 0.1..0.8f64), 1..4),
        wind(),
    );
    hold(24, &drawn, |(shape, quay, stops, wind)| {
        let mut scene = bare(shape, quay, &stops, wind);
        // As narrow as a hull of its mass can be: the less it is slowed by waves.
        scene.boat.beam = 0.11;
        let straight = measure(&scene, RESERVE);
        scene.home = Home::AlongRoute;
        let back = measure(&scene, RESERVE);
        prop_assert!(no_better(straight, back, 1e-3), "{straight:?} and {back:?}");
        Ok(())
    });
}
