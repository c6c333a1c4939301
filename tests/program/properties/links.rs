//! Radio links: what power, pointing and antennas do to the margin.

use offing::door::measures::{self, Value};
use offing::door::models::plane::Point;
use proptest::prelude::*;

use super::draw::{bare, full, hold, shape, wind};
use super::measured::{loaded, passage};
use super::scene::Scene;

/// The least margin of the control link, dB.
fn margin(scene: &Scene) -> f64 {
    let loaded = loaded(scene);
    let passage = passage(&loaded);
    let readings = measures::evaluate("link.margin", &passage);
    assert_eq!(readings.len(), 1);
    match readings[0].outcome.as_ref().unwrap().value {
        Value::Quantity(quantity) => quantity.value,
        Value::Truth(_) => panic!("a margin is a quantity"),
    }
}

#[test]
fn less_power_on_either_side_never_leaves_more_margin() {
    let drawn = (full(), 0.0..12.0f64, 0.0..12.0f64);
    hold(24, &drawn, |(scene, ashore, aboard)| {
        let before = margin(&scene);
        let mut weaker = scene.clone();
        for station in &mut weaker.stations {
            station.transmit_power -= ashore;
        }
        let ashore_weaker = margin(&weaker);
        prop_assert!(ashore_weaker <= before + 1e-9);
        weaker.boat.transmit_power -= aboard;
        let both_weaker = margin(&weaker);
        prop_assert!(both_weaker <= ashore_weaker + 1e-9);
        // Both directions are equally strong to begin with, so the margin falls by the greater.
        let fall = before - both_weaker;
        prop_assert!((fall - ashore.max(aboard)).abs() < 1e-4, "{fall} dB");
        Ok(())
    });
}

/// Every direction of the boat lies to one side of the axis, within half a turn. Turned away from
/// all of them, the antenna is farther off each.
#[test]
fn an_antenna_turned_away_never_leaves_more_margin() {
    let drawn = (
        shape(),
        0.0..360.0f64,
        prop::collection::vec((0.0..360.0f64, 0.1..0.8f64), 1..4),
        wind(),
        (20.0..90.0f64, any::<bool>()),
        prop::collection::vec(0.0..70.0f64, 2..5),
    );
    hold(
        24,
        &drawn,
        |(shape, quay, stops, wind, (width, left), turns)| {
            let mut scene = bare(shape, quay, &stops, wind);
            // Far enough out that the whole lake lies within a right angle, middle straight ahead.
            let station = shape.point(quay, 1.0) + shape.point(quay, 1.0).scale(0.6);
            scene.stations[0].at = station;
            let ahead = station.bearing_to(Point::ZERO).angle().to_degrees();
            let side = if left { -1.0 } else { 1.0 };
            let mut last = f64::INFINITY;
            let mut off = 46.0;
            for turn in turns {
                off = (off + turn).min(134.0);
                scene.stations[0].beam = Some((ahead + side * off, width));
                let now = margin(&scene);
                prop_assert!(
                    now <= last + 1e-6,
                    "{now} dB at {off}° off, {last} dB before"
                );
                last = now;
            }
            Ok(())
        },
    );
}

/// A station more, or one antenna with a wider beam at the same gain, never hurts; nor does a route that
/// leaves places out.
#[test]
fn more_stations_and_fewer_places_never_leave_less_margin() {
    hold(24, &full(), |scene| {
        let with_both = margin(&scene);
        let mut one = scene.clone();
        one.stations.truncate(1);
        prop_assert!(margin(&one) <= with_both + 1e-9);
        let mut wider = scene.clone();
        for station in &mut wider.stations {
            station.beam = station.beam.map(|(azimuth, _)| (azimuth, 180.0));
        }
        prop_assert!(margin(&wider) >= with_both - 1e-9);
        Ok(())
    });
}
