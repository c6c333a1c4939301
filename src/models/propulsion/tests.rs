use super::*;
use crate::models::resistance::{HullModel, TrialTable};
use crate::units::{Angle, Time};
use proptest::prelude::*;

const NORTH: Vector = (0.0, 1.0);

fn speed(value: f64) -> Speed {
    Speed::metres_per_second(value)
}

fn trial() -> CalmWater {
    let points = [(0.5, 6.0), (1.0, 35.0), (1.5, 120.0), (2.0, 300.0)];
    CalmWater::Trial(
        TrialTable::new(
            points
                .iter()
                .map(|&(v, p)| (speed(v), Power::watts(p)))
                .collect(),
        )
        .unwrap(),
    )
}

fn boat() -> Propulsion {
    Propulsion {
        calm: trial(),
        maximum_power: Power::watts(250.0),
        propulsive_efficiency: 0.5,
        motor_efficiency: 0.8,
        frontal_area: Area::square_metres(0.1),
        drag_coefficient: 0.9,
        beam: Length::metres(0.4),
        waterline_length: Length::metres(1.2),
        bow_length: Length::metres(0.6),
        water: Water::Fresh,
        steerage_speed: speed(0.3),
    }
}

fn calm() -> Surroundings {
    Surroundings {
        wind: (0.0, 0.0),
        current: (0.0, 0.0),
        sea: Sea::CALM,
        waves_from: FromDirection::default(),
    }
}

fn wind_from_north(metres_per_second: f64) -> Surroundings {
    Surroundings {
        wind: (0.0, -metres_per_second),
        ..calm()
    }
}

const PLENTY: Power = Power::watts(1e6);

#[test]
fn calm_water_takes_what_the_trial_measured() {
    let advance = boat()
        .advance(NORTH, Command::ThroughWater(speed(1.0)), &calm(), PLENTY)
        .unwrap();
    // The boat's own wind, 1 m/s, is all that comes on top.
    let own = 0.5 * 1.225 * 0.09 * 1.0 / 0.4;
    assert!((advance.power.get() - 35.0 - own).abs() < 1e-9);
    assert!((advance.over_ground.get() - 1.0).abs() < 1e-12);
    assert!(!advance.slowed);
}

#[test]
fn a_headwind_costs_its_drag_times_the_speed() {
    let advance = boat()
        .advance(
            NORTH,
            Command::OverGround(speed(1.0)),
            &wind_from_north(8.0),
            PLENTY,
        )
        .unwrap();
    let air = 0.5 * 1.225 * 0.09 * 81.0;
    assert!((advance.air_force.get() - air).abs() < 1e-9);
    assert!((advance.power.get() - 35.0 - air / 0.4).abs() < 1e-9);
    let astern = boat()
        .advance(
            (0.0, -1.0),
            Command::OverGround(speed(1.0)),
            &wind_from_north(8.0),
            PLENTY,
        )
        .unwrap();
    let still = 0.5 * 1.225 * 0.09;
    assert!(
        (astern.power.get() - 35.0 - still / 0.4).abs() < 1e-9,
        "no credit, not even of still air"
    );
}

#[test]
fn a_current_is_added_as_vectors() {
    let with = |current: Vector| Surroundings { current, ..calm() };
    let go = |command, current| boat().advance(NORTH, command, &with(current), PLENTY);
    let through = Command::ThroughWater(speed(1.0));
    // Abeam: 0.6 of 1 m/s goes into holding the track.
    let abeam = go(through, (0.6, 0.0)).unwrap();
    assert!((abeam.over_ground.get() - 0.8).abs() < 1e-12);
    let ahead = go(through, (0.0, -0.4)).unwrap();
    assert!((ahead.over_ground.get() - 0.6).abs() < 1e-12);
    let over = go(Command::OverGround(speed(0.6)), (0.0, -0.4)).unwrap();
    assert!((over.through_water.get() - 1.0).abs() < 1e-12);
    assert!((over.power.get() - ahead.power.get()).abs() < 1e-9);
    for current in [(1.01, 0.0), (0.0, -1.0), (0.0, -1.2), (0.0, -0.96)] {
        assert!(
            matches!(go(through, current), Err(Stuck::NoHeadway { .. })),
            "{current:?}"
        );
    }
    // Past the trial's last point nothing is known.
    assert!(matches!(
        go(Command::OverGround(speed(1.5)), (0.0, -0.6)),
        Err(Stuck::Outside(_))
    ));
    assert!(matches!(
        go(Command::ThroughWater(speed(2.1)), (0.0, 0.0)),
        Err(Stuck::Outside(_))
    ));
}

#[test]
fn a_boat_short_of_power_slows_to_what_it_has() {
    let around = wind_from_north(12.0);
    let command = Command::OverGround(speed(1.4));
    let slow = boat()
        .advance(NORTH, command, &around, Power::watts(60.0))
        .unwrap();
    assert!(slow.slowed);
    assert!((slow.power.get() - 60.0).abs() < 1e-6);
    assert!(slow.over_ground.get() < 1.4);
    let headway = boat()
        .full_power_speed(NORTH, &around, Power::watts(60.0))
        .unwrap();
    assert!((headway.get() - slow.over_ground.get()).abs() < 1e-9);
    // Below the steerage speed it is lost.
    let lost = boat().advance(NORTH, command, &around, Power::watts(1.0));
    assert!(matches!(lost, Err(Stuck::NoHeadway { .. })));
    let none = boat().advance(NORTH, command, &around, Power::ZERO);
    assert!(matches!(none, Err(Stuck::NoHeadway { .. })));
}

#[test]
fn headway_stops_at_the_end_of_the_trial() {
    let mut strong = boat();
    strong.maximum_power = Power::watts(5000.0);
    let headway = strong.full_power_speed(NORTH, &calm(), PLENTY).unwrap();
    assert!((headway.get() - 2.0).abs() < 1e-12);
    let set_back = Surroundings {
        current: (0.0, -2.5),
        ..calm()
    };
    let none = strong.full_power_speed(NORTH, &set_back, PLENTY).unwrap();
    assert_eq!(none, Speed::ZERO);
}

#[test]
fn a_sea_past_its_limit_leaves_the_power_unknown() {
    let around = Surroundings {
        sea: Sea::of(Length::metres(0.3), Time::seconds(1.6)),
        ..calm()
    };
    let command = Command::ThroughWater(speed(1.0));
    let result = boat().advance(NORTH, command, &around, PLENTY);
    assert!(matches!(result, Err(Stuck::Outside(_))));
    assert!(boat().full_power_speed(NORTH, &around, PLENTY).is_err());
    assert!(boat().can_hold(NORTH, speed(0.1), &around, PLENTY).is_err());
    assert!(boat().holding_power(&around).is_err());
}

#[test]
fn holding_a_place_takes_the_sum_of_what_pushes() {
    let boat = boat();
    assert_eq!(boat.holding_power(&calm()).unwrap(), Power::ZERO);
    let current = Surroundings {
        current: (0.6, -0.8),
        ..calm()
    };
    let only = boat.holding_power(&current).unwrap();
    assert!((only.get() - 35.0).abs() < 1e-6, "{only}");
    let windy = Surroundings {
        wind: (6.0, 8.0),
        ..current
    };
    let both = boat.holding_power(&windy).unwrap().get();
    // 14 N of the current and 5.5125 N of the wind: on the straight line from 35 W at 1 m/s to
    // 120 W at 1.5 m/s the thrust is 0.4 P/V.
    let needed = 14.0 + 0.5 * 1.225 * 0.09 * 100.0;
    let v = 0.4 * 135.0 / (0.4 * 170.0 - needed);
    assert!((both - (170.0 * v - 135.0)).abs() < 1e-6, "{both}");
    let storm = wind_from_north(60.0);
    assert!(boat.holding_power(&storm).is_err());
}

fn surroundings() -> impl Strategy<Value = Surroundings> {
    (
        (-15.0..15.0f64, -15.0..15.0f64),
        (-0.5..0.5f64, -0.5..0.5f64),
        0.0..0.24f64,
        0.0..360.0f64,
    )
        .prop_map(|(wind, current, height, from)| Surroundings {
            wind,
            current,
            sea: Sea::of(Length::metres(height), Time::seconds(1.4)),
            waves_from: FromDirection::new(Angle::degrees(from)),
        })
}

proptest! {
    #[test]
    fn one_evaluation_tells_whether_a_headway_is_reached(
        around in surroundings(), degrees in 0.0..360.0f64, watts in 5.0..250.0f64,
    ) {
        let boat = boat();
        let track = degrees.to_radians().sin_cos();
        let power = Power::watts(watts);
        let headway = boat.full_power_speed(track, &around, power).unwrap();
        if headway.get() > 0.01 {
            let hold = |v: f64| boat.can_hold(track, speed(v), &around, power).unwrap();
            prop_assert!(hold(headway.get() * (1.0 - 1e-9)));
            prop_assert!(!hold(headway.get() * (1.0 + 1e-6)));
        }
    }

    #[test]
    fn turning_everything_changes_nothing_but_rounding(
        around in surroundings(), degrees in 0.0..360.0f64, turn in 0.0..360.0f64,
    ) {
        let boat = boat();
        let turned = |v: Vector| {
            let (sin, cos) = turn.to_radians().sin_cos();
            (v.0 * cos + v.1 * sin, v.1 * cos - v.0 * sin)
        };
        let track = degrees.to_radians().sin_cos();
        let other = Surroundings {
            wind: turned(around.wind),
            current: turned(around.current),
            sea: around.sea,
            waves_from: around.waves_from.veered(Angle::degrees(turn)),
        };
        let command = Command::ThroughWater(speed(1.2));
        let here = boat.advance(track, command, &around, PLENTY);
        let there = boat.advance(turned(track), command, &other, PLENTY);
        match (here, there) {
            (Ok(a), Ok(b)) => {
                prop_assert!((a.power.get() - b.power.get()).abs() < 1e-6);
                prop_assert!((a.over_ground.get() - b.over_ground.get()).abs() < 1e-6);
            }
            (Err(Stuck::NoHeadway { .. }), Err(Stuck::NoHeadway { .. })) => {}
            (a, b) => prop_assert!(false, "{a:?} {b:?}"),
        }
    }

    #[test]
    fn power_rises_with_the_headwind(u in 0.0..10.0f64, du in 0.1..5.0f64) {
        let hull = Propulsion {
            calm: CalmWater::Model(HullModel {
                water: Water::Fresh,
                waterline_length: Length::metres(1.2),
                wetted_surface: Area::square_metres(0.45),
                form_factor: 0.2,
                residuary: 0.002,
                efficiency: 0.4,
            }),
            ..boat()
        };
        for boat in [boat(), hull] {
            let power = |u: f64| {
                boat.power_needed(NORTH, speed(1.0), &wind_from_north(u)).unwrap().power
            };
            prop_assert!(power(u + du) > power(u));
        }
    }
}
