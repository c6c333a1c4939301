use super::*;
use crate::models::constants::G;
use proptest::prelude::*;

fn m(value: f64) -> Length {
    Length::metres(value)
}
fn s(value: f64) -> Time {
    Time::seconds(value)
}
fn mps(value: f64) -> Speed {
    Speed::metres_per_second(value)
}
const DEEP: Length = Length::metres(f64::INFINITY);
const FOOT: f64 = 0.3048;
const KNOT: f64 = 1852.0 / 3600.0;

/// An angle of encounter in degrees, on a heading of 030°.
fn at(degrees: f64) -> Encounter {
    Encounter::between(
        Towards::new(Angle::degrees(30.0)),
        FromDirection::new(Angle::degrees(30.0 + degrees)),
    )
}

#[test]
fn an_encounter_is_nought_ahead_and_half_a_turn_astern() {
    for (degrees, angle) in [(0.0, 0.0), (90.0, 90.0), (270.0, 90.0), (180.0, 180.0)] {
        assert!((at(degrees).angle().to_degrees() - angle).abs() < 1e-9);
    }
    // A wind from the south on a boat that heads north comes from astern.
    let astern = Encounter::between(
        Towards::new(Angle::degrees(0.0)),
        FromDirection::new(Angle::degrees(180.0)),
    );
    assert!((astern.angle().to_degrees() - 180.0).abs() < 1e-9);
}

/// Southampton's tank tests and Van Dorn, from secondary literature: a hull of 1 m may be
/// capsized by a breaking wave of 0.30 m on the beam, a narrower one by a wave as high as its beam.
#[test]
fn a_breaking_wave_of_a_third_of_the_length_is_the_limit() {
    assert!((breaking_wave_limit(m(1.0), m(0.4)).get() - 0.30).abs() < 1e-12);
    assert!((breaking_wave_limit(m(1.0), m(0.25)).get() - 0.25).abs() < 1e-12);
}

/// Our own proposal, the lower end of what a hull of 1 m is planned for until it is tried.
#[test]
fn a_hull_bears_a_tenth_of_its_length_untried() {
    assert!((untried_height(m(1.0)).get() - 0.10).abs() < 1e-12);
}

#[test]
fn sectors_of_encounter_have_edges_that_rise() {
    for (degrees, abeam, heels, astern) in [
        (0.0, 0.0, 0.0, 0.0),
        (19.0, 0.0, 0.0, 0.0),
        (25.0, 0.0, 0.5, 0.0),
        (30.0, 0.0, 1.0, 0.0),
        (55.0, 0.5, 1.0, 0.0),
        (60.0, 1.0, 1.0, 0.0),
        (270.0, 1.0, 1.0, 0.0),
        (120.0, 1.0, 1.0, 0.0),
        (127.5, 0.25, 1.0, 0.25),
        (130.0, 0.0, 1.0, 0.5),
        (135.0, 0.0, 1.0, 1.0),
        (155.0, 0.0, 0.5, 1.0),
        (180.0, 0.0, 0.0, 1.0),
    ] {
        let met = at(degrees);
        for (found, told) in [
            (met.abeam(), abeam),
            (met.heels(), heels),
            (met.astern(), astern),
        ] {
            assert!((found - told).abs() < 1e-9, "{degrees}°: {found} {told}");
        }
    }
}

/// A hull of 1 m: nothing below 5 cm, everything from 10 cm, as before the edge was made to rise.
#[test]
fn waves_count_from_a_twentieth_and_in_full_from_a_tenth() {
    for (height, share) in [
        (0.0, 0.0),
        (0.05, 0.0),
        (0.06, 0.2),
        (0.10, 1.0),
        (0.3, 1.0),
    ] {
        assert!((counts(m(height), m(1.0)) - share).abs() < 1e-9, "{height}");
    }
    assert!(counts(m(f64::NAN), m(1.0)).abs() < 1e-12);
    assert!((counts_astern(m(0.8), m(1.0)) - 1.0).abs() < 1e-9);
    assert!((counts_astern(m(0.7), m(1.0)) - 0.5).abs() < 1e-9);
    assert!(counts_astern(m(0.6), m(1.0)).abs() < 1e-9);
}

#[test]
fn nearness_is_one_in_step_and_nought_without_end() {
    for (one, other, near) in [
        (2.0, 2.0, 1.0),
        (1.0, 2.0, 0.5),
        (2.0, 1.0, 0.5),
        (f64::INFINITY, 1.0, 0.0),
        (0.0, 1.0, 0.0),
        (-1.0, 1.0, 0.0),
        (f64::NAN, 1.0, 0.0),
    ] {
        assert!(
            (nearness(one, other).get() - near).abs() < 1e-12,
            "{one} {other}"
        );
    }
}

/// MSC.1/Circ.1228 (2007), successive high-wave attack, from memory: V in knots over the period in
/// seconds between 1.3 and 2.0; in deep water groups run at g T/4π.
#[test]
fn keeping_pace_with_groups_takes_in_the_circulars_zone() {
    let period = s(5.0);
    let group = group_speed(period, DEEP);
    assert!((group.get() - G * 5.0 / (2.0 * TAU)).abs() < 1e-9);
    let near = |ratio: f64, degrees: f64| {
        group_nearness((group, group), mps(ratio * 5.0 * KNOT), at(degrees)).get()
    };
    for ratio in [1.3, 1.5, 2.0] {
        assert!(near(ratio, 180.0) > 0.75, "{ratio}");
    }
    assert!(near(1.1, 180.0) < 0.75 && near(2.1, 180.0) < 0.75);
    // On the quarter a faster boat keeps pace; with waves ahead none does.
    assert!(near(2.1, 140.0) > 0.75);
    assert!(near(1.5, 90.0) < 1e-12 && near(1.5, 0.0) < 1e-12);
    // Between the speeds of the shortest and the longest waves it keeps pace with some of them.
    let range = (group, group * 1.5);
    for (ratio, near) in [(1.25, 1.0), (1.0, 1.0), (1.5, 1.0), (0.5, 0.5), (3.0, 0.5)] {
        let found = group_nearness(range, group * ratio, at(180.0)).get();
        assert!((found - near).abs() < 1e-9, "{ratio}: {found}");
    }
}

/// A hull that rolls in 1 s, at rest among waves of 0.8 to 1.6 s, meets some of them in step; one
/// that rolls in 0.5 s is nearest to the shortest. Under way with the sea astern a wave of the same
/// period is met later, 2 s as 3 kn makes of it from ahead 1.338 s (computed from the formula).
#[test]
fn rolling_is_looked_for_over_the_whole_range_of_periods() {
    let waves: Vec<(Time, Length)> = (0..9)
        .map(|k| s(0.8 * 2.0_f64.powf(f64::from(k) / 8.0)))
        .map(|period| (period, wavelength(period, DEEP)))
        .collect();
    let near = |speed: f64, degrees: f64, roll: f64| {
        roll_nearness(&waves, mps(speed), at(degrees), s(roll)).get()
    };
    assert!((near(0.0, 90.0, 1.0) - 1.0).abs() < 1e-12);
    assert!((near(0.0, 90.0, 0.5) - 0.625).abs() < 1e-9);
    assert!((near(0.0, 90.0, 3.2) - 0.5).abs() < 1e-9);
    let one = [(s(2.0), wavelength(s(2.0), DEEP)); 2];
    let met = roll_nearness(&one, mps(3.0 * KNOT), at(0.0), s(1.338)).get();
    assert!((met - 1.0).abs() < 1e-3, "{met}");
    // A hull that outruns the shortest and is overtaken by the longest runs with one between: it
    // meets that one in no time at all, and every slow synchronous roll.
    assert!((near(1.6, 180.0, 20.0) - 1.0).abs() < 1e-12);
}

/// Miche (1944): one in seven in deep water, 0.142 k d in the shallowest, which is
/// 0.142 · 2π = 0.892 of the depth and so above McCowan's 0.78.
#[test]
fn waves_break_at_one_in_seven_or_at_the_depth() {
    let deep = miche_limit(s(2.0), DEEP) / wavelength(s(2.0), DEEP);
    assert!((deep - 0.142).abs() < 1e-12 && (1.0 / deep - 7.0).abs() < 0.05);
    let shallow = miche_limit(s(20.0), m(0.1)) / m(0.1);
    assert!((shallow - 0.892).abs() < 1e-3, "{shallow}");
    assert!((depth_limit(m(2.0)).get() - 1.56).abs() < 1e-12);
    assert!((breaking_height(s(20.0), m(0.1)).get() - 0.078).abs() < 1e-12);
    assert!((breaking_height(s(1.0), m(50.0)) / miche_limit(s(1.0), DEEP) - 1.0).abs() < 1e-9);
    assert_eq!(breaking_height(s(0.0), m(1.0)), Length::ZERO);
    assert_eq!(depth_limit(m(-0.5)), Length::ZERO);
}

#[test]
fn steepness_is_height_over_length() {
    let sea = Sea {
        height: m(0.156),
        shortest: s(1.0),
        longest: s(2.0),
    };
    // 1 s in deep water is 1.56 m long; none is steeper than breaks.
    assert!((steepness(sea, DEEP).get() - 0.1).abs() < 2e-4);
    let higher = Sea::with_period(m(0.3), s(1.0));
    assert!((steepness(higher, DEEP).get() - 0.142).abs() < 1e-9);
    assert_eq!(steepness(Sea::CALM, DEEP), Ratio::ZERO);
}

/// 2008 IS Code: B 0.4 m, d 0.1 m, L 1 m, GM 0.15 m give C = 0.46457 and T = 0.960 s, computed
/// from the formula by hand.
#[test]
fn the_roll_period_of_a_small_hull() {
    let t = roll_period(m(0.4), m(0.1), m(1.0), m(0.15)).unwrap().get();
    assert!((t - 0.960).abs() < 5e-4, "{t}");
    assert!((t * 0.15_f64.sqrt() / 0.8 - 0.46457).abs() < 1e-9);
}

#[test]
fn a_roll_period_needs_a_hull() {
    for bad in [0.0, -0.1, f64::NAN, f64::INFINITY] {
        assert!(roll_period(m(bad), m(0.1), m(1.0), m(0.15)).is_err());
        assert!(roll_period(m(0.4), m(bad), m(1.0), m(0.15)).is_err());
        assert!(roll_period(m(0.4), m(0.1), m(bad), m(0.15)).is_err());
        assert!(roll_period(m(0.4), m(0.1), m(1.0), m(bad)).is_err());
    }
    assert!(roll_period(m(0.4), m(0.1), m(5000.0), m(0.15)).is_err());
}

/// Automated Coastal Engineering System, User's Guide §2-1: T = 8 s, d = 20 ft:
/// C = 23.74 ft/s, Cg = 20.87 ft/s.
#[test]
fn speeds_of_waves_follow_the_published_example() {
    let c = phase_speed(s(8.0), m(20.0 * FOOT)).get() / FOOT;
    let group = group_speed(s(8.0), m(20.0 * FOOT)).get() / FOOT;
    assert!((c - 23.74).abs() < 0.005, "{c}");
    assert!((group - 20.87).abs() < 0.005, "{group}");
    let deep = group_speed(s(2.0), DEEP) / phase_speed(s(2.0), DEEP);
    assert!((deep - 0.5).abs() < 1e-12);
    assert_eq!(group_speed(s(0.0), DEEP), Speed::ZERO);
    assert_eq!(phase_speed(s(0.0), DEEP), Speed::ZERO);
}

/// Deep water, 2 s, 3 kn into the sea: 1.338 s, computed from the formula; IMO's
/// 3T²/(3T + V cos α), from memory, gives 1.333 s.
#[test]
fn a_head_sea_is_met_sooner() {
    let met = |knots: f64, degrees: f64| {
        encounter_period(s(2.0), DEEP, mps(knots * KNOT), at(degrees)).get()
    };
    assert!((met(3.0, 0.0) - 1.338).abs() < 1e-3, "{}", met(3.0, 0.0));
    assert!((met(3.0, 0.0) - 12.0 / 9.0).abs() < 6e-3);
    assert!((met(3.0, 90.0) - 2.0).abs() < 1e-9);
    assert!(met(3.0, 180.0) > 2.0);
    assert!((met(0.0, 180.0) - 2.0).abs() < 1e-12);
    // As fast as the waves: none is met.
    let carried = encounter_period(s(2.0), DEEP, phase_speed(s(2.0), DEEP), at(180.0));
    assert!(carried.get() > 1e9, "{carried}");
    assert_eq!(
        encounter_frequency(s(0.0), DEEP, mps(1.0), at(0.0)),
        Frequency::ZERO
    );
}

/// MSC.1/Circ.1228 (2007): 135° < α < 225°, V > 1.8 √L/cos(180° − α) kn (the formula from
/// memory): 0.93 m/s for 1 m, 18 kn for a ship of 100 m.
#[test]
fn waves_from_astern_carry_a_fast_hull() {
    let limit = |length: f64, degrees: f64| surf_riding_speed(m(length), at(degrees));
    assert!((limit(1.0, 180.0).unwrap().get() - 0.926).abs() < 5e-4);
    assert!((limit(100.0, 180.0).unwrap().get() / KNOT - 18.0).abs() < 1e-9);
    assert!((limit(1.0, 200.0).unwrap() / limit(1.0, 160.0).unwrap() - 1.0).abs() < 1e-9);
    assert!(limit(1.0, 160.0).unwrap() > limit(1.0, 180.0).unwrap());
    for degrees in [0.0, 90.0, 124.9, 235.1, 300.0] {
        assert!(limit(1.0, degrees).is_none(), "{degrees}");
    }
    assert!(limit(1.0, 135.1).is_some() && limit(1.0, 224.9).is_some());
}

proptest! {
    #[test]
    fn groups_run_at_half_to_all_of_the_crests_speed(t in 0.3..20.0f64, d in 0.05..2000.0f64) {
        let share = group_speed(s(t), m(d)) / phase_speed(s(t), m(d));
        prop_assert!((0.5..=1.0 + 1e-12).contains(&share), "{}", share);
        // A crest is never faster than in shallow water, √(g d).
        let greatest = (crate::models::constants::G * d).sqrt();
        prop_assert!(phase_speed(s(t), m(d)).get() <= greatest * (1.0 + 1e-9));
    }

    #[test]
    fn waves_are_met_more_often_the_more_they_come_from_ahead(
        t in 0.5..8.0f64, d in 0.5..50.0f64, u in 0.1..1.0f64, a in 0.0..170.0f64,
    ) {
        // Slower than the slowest of these waves, so that none is overrun.
        let often = |degrees| encounter_frequency(s(t), m(d), mps(u * 0.5), at(degrees)).get();
        prop_assert!(often(a) >= often(a + 10.0) - 1e-12);
    }
}
