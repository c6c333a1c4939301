use super::*;
use proptest::prelude::*;

fn m(value: f64) -> Length {
    Length::metres(value)
}
fn mps(value: f64) -> Speed {
    Speed::metres_per_second(value)
}
fn celsius(value: f64) -> Temperature {
    Temperature::celsius(value)
}

/// Computed from the formula by hand: 10 m and 8° make 1.3985 m.
#[test]
fn a_beam_lights_up_its_footprint() {
    assert!((footprint(m(10.0), Angle::degrees(8.0)).get() - 1.3985).abs() < 5e-5);
    assert!((footprint(m(10.0), Angle::degrees(90.0)).get() - 20.0).abs() < 1e-9);
    for degrees in [180.0, 200.0, 359.0] {
        assert!(footprint(m(10.0), Angle::degrees(degrees)).get() > 1e9);
    }
}

/// Computed from the formulas by hand: 1.5 m/s at 5 Hz is a sounding every 0.3 m.
#[test]
fn lines_and_pings_are_spaced() {
    assert!((line_spacing(m(20.0), Ratio::fraction(0.2)).get() - 16.0).abs() < 1e-12);
    let along = along_track_spacing(mps(1.5), Frequency::hertz(5.0));
    assert!((along.get() - 0.3).abs() < 1e-12);
    let rate = greatest_ping_rate(m(50.0), mps(1500.0));
    assert!((rate.get() - 15.0).abs() < 1e-12);
    assert!(!greatest_ping_rate(m(0.0), mps(1500.0)).get().is_finite());
    assert!(
        !along_track_spacing(mps(1.0), Frequency::ZERO)
            .get()
            .is_finite()
    );
}

/// IHO S-44, edition 6 (2020), table 1, at 10 m; the vertical limits computed by hand from its a
/// and b.
#[test]
fn the_orders_limits_at_ten_metres() {
    for (order, vertical, horizontal) in [
        (Order::Order2, 1.0261, 21.0),
        (Order::Order1b, 0.5166, 5.5),
        (Order::Order1a, 0.5166, 5.5),
        (Order::Special, 0.2610, 2.0),
        (Order::Exclusive, 0.1677, 1.0),
    ] {
        let v = order.vertical_limit(m(10.0)).get();
        let h = order.horizontal_limit(m(10.0)).get();
        assert!((v - vertical).abs() < 5e-5, "{order:?}: {v}");
        assert!((h - horizontal).abs() < 1e-9, "{order:?}: {h}");
    }
}

/// IHO S-44, edition 6 (2020), table 1: bathymetric coverage of 5 %, 5 %, (at most) 100 %, 100 % and 200 %.
#[test]
fn orders_ask_for_so_much_of_the_bed() {
    for (order, share) in Order::ALL.iter().zip([0.05, 0.05, 1.0, 1.0, 2.0]) {
        assert!((order.coverage().get() - share).abs() < 1e-12, "{order:?}");
        let spacing = spacing_for_coverage(m(1.4), *order).get();
        assert!(
            (spacing * share - 1.4).abs() < 1e-12,
            "{order:?}: {spacing}"
        );
    }
}

/// IHO S-44, edition 6 (2020), 1.1: where less than the whole bed is covered, depths are at most three times
/// the depth or 25 m apart. By hand: 8° over 5 m of water light up 0.70 m, 20 times that is 14.0 m; 20° over
/// 5 m would allow 35.3 m by coverage, over 20 m 141 m.
#[test]
fn gaps_between_lines_end_at_three_times_the_depth_or_25_metres() {
    let greatest = |depth: f64, beam: f64, order| {
        let swath = footprint(m(depth), Angle::degrees(beam));
        greatest_line_spacing(swath, m(depth), order).get()
    };
    for order in [Order::Order2, Order::Order1b] {
        assert!((greatest(5.0, 8.0, order) - 13.985).abs() < 1e-3);
        assert!((greatest(5.0, 20.0, order) - 25.0).abs() < 1e-9);
        assert!((greatest(20.0, 20.0, order) - 60.0).abs() < 1e-9);
    }
    // Full coverage takes lines a swath apart at any depth: 2 × 40 m × tan 45°.
    assert!((greatest(40.0, 90.0, Order::Special) - 80.0).abs() < 1e-9);
    assert!((greatest(40.0, 90.0, Order::Exclusive) - 40.0).abs() < 1e-9);
}

#[test]
fn errors_of_a_depth_add_by_their_squares() {
    let errors = VerticalErrors {
        sounder: m(0.03),
        sound_speed: Ratio::fraction(0.012),
        water_level: m(0.05),
        draught: m(0.02),
        motion: m(0.04),
    };
    // 0.03² + 0.12² + 0.05² + 0.02² + 0.04² = 0.0198.
    let total = errors.total(m(10.0)).get();
    assert!((total - 0.0198_f64.sqrt()).abs() < 1e-12, "{total}");
    // Without depth the speed of sound does not matter.
    assert!((errors.total(m(0.0)).get() - 0.0054_f64.sqrt()).abs() < 1e-12);
    assert_eq!(VerticalErrors::default().total(m(10.0)), Length::ZERO);
}

#[test]
fn errors_of_a_place_add_by_their_squares() {
    let errors = HorizontalErrors {
        position: m(3.0),
        lever_arm: m(0.5),
        latency: Time::seconds(0.4),
        tilt: Angle::degrees(5.0),
    };
    let tilt = 10.0 * 5.0_f64.to_radians().tan();
    let expected = (9.0 + 0.25 + 0.36 + tilt * tilt).sqrt();
    let total = errors.total(m(10.0), mps(1.5)).get();
    assert!((total - expected).abs() < 1e-12, "{total}");
    assert_eq!(
        HorizontalErrors::default().total(m(9.0), mps(2.0)),
        Length::ZERO
    );
}

/// The normal distribution: 95 % of one dimension within 1.960 σ.
#[test]
fn ninety_five_per_cent() {
    assert!((NINETY_FIVE_1D - 1.959_96).abs() < 5e-4);
}

/// Marczak (1997): 1482.38 m/s at 20 °C; Del Grosso & Mader (1972): 1496.688 m/s at 25 °C, which
/// Marczak's fit meets within 0.05 m/s.
#[test]
fn sound_in_pure_water() {
    let c = |t: f64| sound_speed_fresh(celsius(t)).unwrap().get();
    assert!((c(20.0) - 1482.38).abs() < 5e-3, "{}", c(20.0));
    assert!((c(25.0) - 1496.688).abs() < 0.05, "{}", c(25.0));
    assert!((c(0.0) - 1402.385).abs() < 1e-9);
    for t in [-0.1, 95.1, f64::NAN] {
        assert!(sound_speed_fresh(celsius(t)).is_err(), "{t}");
    }
}

/// TEOS-10 (IOC, SCOR and IAPSO 2010), as computed by the open Python package gsw 3.6.23 from
/// practical salinity, temperature and depth at 50° N.
#[test]
fn sound_in_brackish_and_sea_water() {
    for (salinity, t, depth, expected) in [
        (0.0, 0.0, 0.0, 1402.401),
        (0.0, 20.0, 0.0, 1482.353),
        (0.5, 4.0, 50.0, 1423.132),
        (5.0, 10.0, 0.0, 1453.505),
        (15.0, 20.0, 50.0, 1499.996),
        (25.0, 4.0, 50.0, 1454.545),
        (35.0, 0.0, 0.0, 1449.025),
        (35.0, 10.0, 50.0, 1490.609),
        (35.0, 30.0, 50.0, 1546.304),
    ] {
        let share = Ratio::fraction(salinity / 1000.0);
        let c = sound_speed_sea(celsius(t), share, m(depth)).unwrap().get();
        assert!((c - expected).abs() < 0.3, "{salinity} {t} {depth}: {c}");
    }
}

#[test]
fn sound_outside_the_published_range_is_refused() {
    let c = |t: f64, s: f64, d: f64| sound_speed_sea(celsius(t), Ratio::fraction(s), m(d));
    assert!(c(10.0, 0.035, 10.0).is_ok());
    for (t, s, d) in [
        (-0.1, 0.035, 10.0),
        (35.1, 0.035, 10.0),
        (10.0, -0.001, 10.0),
        (10.0, 0.046, 10.0),
        // A salinity written in grams where a share is due.
        (10.0, 35.0, 10.0),
        (10.0, 0.035, -1.0),
        (10.0, 0.035, 4001.0),
        (f64::NAN, 0.035, 10.0),
    ] {
        assert!(c(t, s, d).is_err(), "{t} {s} {d}");
    }
}

/// Computed with Marczak's equation by an independent program: 1500 m/s taken for fresh water is
/// 1.2 % too much at 20 °C and 3.6 % at 10 °C.
#[test]
fn a_default_speed_of_sound_makes_depths_too_great() {
    let off = |t: f64| depth_scale_error(mps(1500.0), sound_speed_fresh(celsius(t)).unwrap()).get();
    assert!((off(20.0) - 0.012).abs() < 5e-4, "{}", off(20.0));
    assert!((off(10.0) - 0.036).abs() < 5e-4, "{}", off(10.0));
}

/// Marczak 1997 at 0 °C: 1402.385 m/s.
#[test]
fn no_water_is_slower_than_ice_cold_fresh_water() {
    let slowest = sound_speed_fresh(celsius(0.0)).unwrap();
    assert!(SLOWEST_SOUND < slowest && slowest.get() - SLOWEST_SOUND.get() < 0.5);
}

/// By hand: two errors of 2 m add to √8 m; 1.96 standard deviations of a surface whose significant
/// height is 0.4 m are 0.196 m.
#[test]
fn gaps_and_heave() {
    assert!((widest_gap(m(30.0), m(2.0)).get() - 32.8284).abs() < 1e-3);
    assert!((heave(m(0.4)).get() - 0.196).abs() < 1e-9);
}

/// IHO S-44, edition 6 (2020), table 1.
#[test]
fn the_cover_that_orders_ask_for() {
    assert_eq!(Order::ALL.map(Order::times_covered), [0, 0, 1, 1, 2]);
}

proptest! {
    #[test]
    fn a_stricter_order_never_allows_more(d in 0.0..200.0f64) {
        for pair in Order::ALL.windows(2) {
            prop_assert!(pair[1].vertical_limit(m(d)) <= pair[0].vertical_limit(m(d)));
            prop_assert!(pair[1].horizontal_limit(m(d)) <= pair[0].horizontal_limit(m(d)));
        }
    }

    #[test]
    fn the_two_speeds_of_sound_agree_in_fresh_water(t in 0.0..35.0f64) {
        let fresh = sound_speed_fresh(celsius(t)).unwrap().get();
        let sea = sound_speed_sea(celsius(t), Ratio::ZERO, m(0.0)).unwrap().get();
        prop_assert!((fresh - sea).abs() < 0.3, "{} {}", fresh, sea);
    }
}
