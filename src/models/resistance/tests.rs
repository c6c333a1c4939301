use super::*;
use proptest::prelude::*;

fn speed(v: f64) -> Speed {
    Speed::metres_per_second(v)
}

/// ITTC 1957 model–ship correlation line, values as tabulated for the line.
#[test]
fn the_friction_line_has_its_tabulated_values() {
    for (re, cf) in [
        (1e5, 0.008_333),
        (5e5, 0.005_482),
        (1e6, 0.004_688),
        (5e6, 0.003_397),
        (1e7, 0.003_000),
        (1e8, 0.002_083_3),
    ] {
        assert!((ittc57(re) - cf).abs() < 6e-7, "{re}: {}", ittc57(re));
    }
}

/// Computed from Denny–Mumford: L 1 m, T 0.1 m, 0.02 m³.
#[test]
fn the_wetted_surface_of_a_small_hull() {
    let s = wetted_surface(Length::metres(1.0), Length::metres(0.1), 0.02);
    assert!((s.get() - 0.37).abs() < 1e-12);
}

/// Computed from the drag equation with air of 1.225 kg/m³ (ISO 2533).
#[test]
fn air_drag() {
    let force = |wind: f64, boat: f64, area: f64, cd: f64| {
        air_force(
            (0.0, -wind - boat),
            (0.0, 1.0),
            Area::square_metres(area),
            cd,
        )
        .get()
    };
    assert!((force(10.0, 0.0, 0.2, 0.8) - 9.80).abs() < 1e-9);
    assert!((force(8.0, 1.0, 0.15, 1.0) - 7.44).abs() < 0.05);
    assert!(force(-10.0, 1.0, 0.2, 0.8).abs() < 1e-12);
}

/// Computed from STAWAVE-1 (ISO 15016:2015, ITTC procedure 7.5-04-01-01.1) with g = 9.81 m/s².
#[test]
fn added_resistance_in_head_seas() {
    let m = Length::metres;
    let sea = |h: f64| Sea::with_period(m(h), crate::units::Time::seconds(1.5));
    let force = |h: f64| wave_force(sea(h), m(0.4), m(0.5), m(1.0), Water::Fresh);
    assert!((force(0.2).unwrap().get() * 9.81 / G - 8.774).abs() < 5e-4);
    // The limit of a 1 m hull is 0.225 m.
    assert!(force(0.225).is_ok());
    assert!(force(0.226).is_err());
    assert!(force(f64::NAN).is_err());
}

#[test]
fn the_share_by_heading() {
    for (degrees, share) in [
        (0.0, 1.0),
        (45.0, 1.0),
        (-30.0, 1.0),
        (90.0, std::f64::consts::FRAC_1_SQRT_2),
        (-90.0, std::f64::consts::FRAC_1_SQRT_2),
        (135.0, 0.0),
        (180.0, 0.0),
        (315.0, 1.0),
    ] {
        let angle = f64::to_radians(degrees);
        let got = super::share(angle.cos(), angle.sin().abs());
        assert!((got - share).abs() < 1e-12, "{degrees}: {got}");
    }
}

fn table() -> TrialTable {
    TrialTable::new(vec![
        (speed(0.5), Power::watts(6.0)),
        (speed(1.0), Power::watts(35.0)),
        (speed(1.5), Power::watts(120.0)),
    ])
    .unwrap()
}

#[test]
fn a_trial_table_is_read_between_its_points_and_never_past_them() {
    let calm = CalmWater::Trial(table());
    let watts = |v: f64| calm.power(speed(v)).unwrap().get();
    assert!((watts(0.5) - 6.0).abs() < 1e-12);
    assert!((watts(0.75) - 20.5).abs() < 1e-12);
    assert!((watts(1.5) - 120.0).abs() < 1e-12);
    assert!((watts(0.25) - 3.0).abs() < 1e-12);
    assert!(watts(0.0).abs() < 1e-12);
    for v in [1.501, -0.1, f64::NAN, f64::INFINITY] {
        assert!(calm.power(speed(v)).is_err(), "{v}");
    }
    let message = calm.power(speed(1.7)).unwrap_err().to_string();
    assert!(message.contains("1.7 m/s"), "{message}");
    assert!((calm.top_speed().get() - 1.5).abs() < 1e-12);
}

/// Common practice, no source: power goes with the cube of the speed, a factor of 13.8 from 0.5 m/s to
/// 1.2 m/s. A table that leaves its lowest point out never asks for less than one that has it.
#[test]
fn nothing_less_than_the_first_point_is_credited() {
    let table = |from: usize| {
        let cube = [0.5, 0.8, 1.2].map(|v: f64| (speed(v), Power::watts(80.0 * v.powi(3))));
        CalmWater::Trial(TrialTable::new(cube[from..].to_vec()).unwrap())
    };
    let (whole, short) = (table(0), table(2));
    let ratio = whole.power(speed(1.2)).unwrap() / whole.power(speed(0.5)).unwrap();
    assert!((ratio - 13.8).abs() < 0.05);
    for hundredths in 1..=120 {
        let v = f64::from(hundredths) / 100.0;
        let more = 1.0 + 1e-12;
        assert!(whole.newtons(v, 0.3) <= short.newtons(v, 0.3) * more, "{v}");
        let thrust = whole.newtons(v, 0.3);
        let (with, without) = (whole.watts_for(thrust, 0.3), short.watts_for(thrust, 0.3));
        assert!(with.unwrap() <= without.unwrap() * more, "{v}");
    }
    // Of 138 W at its only point no thrust takes less.
    assert!((short.watts_for(0.1, 0.3).unwrap() - 138.24).abs() < 1e-9);
}

#[test]
fn tables_that_do_not_rise_are_refused() {
    let new = |points: &[(f64, f64)]| {
        TrialTable::new(
            points
                .iter()
                .map(|&(v, p)| (speed(v), Power::watts(p)))
                .collect(),
        )
    };
    assert_eq!(new(&[]), Err(TrialTableError::Empty));
    assert_eq!(
        new(&[(0.5, 5.0), (0.5, 6.0)]),
        Err(TrialTableError::SpeedNotAscending(1))
    );
    assert_eq!(
        new(&[(0.5, 5.0), (0.6, 5.0)]),
        Err(TrialTableError::PowerNotIncreasing(1))
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(new(&[(bad, 5.0)]), Err(TrialTableError::NotPositive(0)));
        assert_eq!(new(&[(0.5, bad)]), Err(TrialTableError::NotPositive(0)));
    }
}

fn hull() -> HullModel {
    HullModel {
        water: Water::Fresh,
        waterline_length: Length::metres(1.0),
        wetted_surface: Area::square_metres(0.37),
        form_factor: 0.2,
        residuary: 0.002,
        efficiency: 0.4,
    }
}

/// Computed by hand from ITTC 1957: Re 8.78e5, CF 0.00482, and the model's own coefficients.
#[test]
fn the_hull_model_at_one_metre_a_second() {
    let calm = CalmWater::Model(hull());
    let cf = ittc57(1.0 / 1.139e-6);
    assert!((cf - 0.004_82).abs() < 5e-6);
    let r = calm.resistance(speed(1.0), 0.4).unwrap().get();
    assert!((r - 185.0 * (1.2 * cf + 0.002)).abs() < 1e-9);
    assert!((calm.power(speed(1.0)).unwrap().get() - r / 0.4).abs() < 1e-9);
    assert!((calm.top_speed().get() - 0.5 * G.sqrt()).abs() < 1e-12);
    assert!(calm.power(speed(1.57)).is_err());
}

/// The power for a thrust is that of the speed that has it as its resistance, on every piece of a
/// table and on the hull model, up to the last that they show.
#[test]
fn a_thrust_takes_the_power_of_the_speed_that_shows_it() {
    for calm in [CalmWater::Trial(table()), CalmWater::Model(hull())] {
        let top = calm.top_speed().get();
        for share in [0.01, 0.2, 1.0 / 3.0, 0.5, 2.0 / 3.0, 0.9, 1.0] {
            let v = top * share;
            let watts = calm.watts_for(calm.newtons(v, 0.4), 0.4).unwrap();
            // Below the table's first point, of 6 W at 0.5 m/s, no thrust takes less than that.
            let own = match &calm {
                CalmWater::Trial(_) if v < 0.5 => 6.0,
                _ => calm.watts(v),
            };
            assert!(
                (watts - own).abs() < 1e-9 * own.max(1.0),
                "{v}: {watts}, {own}"
            );
        }
        let most = calm.newtons(top, 0.4);
        assert_eq!(calm.watts_for(most * 1.001, 0.4), None);
        assert_eq!(calm.watts_for(f64::NAN, 0.4), None);
        assert_eq!(calm.watts_for(0.0, 0.4), Some(0.0));
        assert_eq!(calm.watts_for(-1.0, 0.4), Some(0.0));
    }
}

/// A table whose resistance falls in between shows the same push at several speeds; the fastest
/// takes most power.
#[test]
fn a_push_that_was_shown_twice_takes_the_greater_power() {
    let points = [(0.5, 10.0), (1.0, 11.0), (1.5, 40.0)];
    let table = points.map(|(v, p)| (speed(v), Power::watts(p)));
    let calm = CalmWater::Trial(TrialTable::new(table.to_vec()).unwrap());
    // 15 W per m/s: below 0.5 m/s, between the first points, and at 18 / 43 … between the last.
    let watts = calm.watts_for(15.0 * 0.4, 0.4).unwrap();
    let v = 47.0 / 43.0;
    assert!((watts - 15.0 * v).abs() < 1e-9, "{watts}");
    for push in [1.0, 10.0] {
        let watts = calm.watts_for(push * 0.4, 0.4).unwrap();
        assert!((watts - 10.0).abs() < 1e-9, "{push}");
    }
    for push in [12.0, 19.0, 25.0] {
        let watts = calm.watts_for(push * 0.4, 0.4).unwrap();
        let v = watts / push;
        assert!((calm.watts(v) - watts).abs() < 1e-9, "{push}");
    }
}

proptest! {
    #[test]
    fn power_rises_with_speed(v in 0.0..1.4f64, dv in 0.001..0.1f64) {
        for calm in [CalmWater::Trial(table()), CalmWater::Model(hull())] {
            let low = calm.power(speed(v)).unwrap();
            prop_assert!(calm.power(speed(v + dv)).unwrap() > low);
        }
    }
}
