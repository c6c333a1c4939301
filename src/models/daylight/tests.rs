use super::*;
use proptest::prelude::*;

/// Midnights with which UTC days begin.
const DECEMBER_2015: i64 = 1_448_928_000;
const JUNE_2026: i64 = 1_782_000_000;
const DECEMBER_2026: i64 = 1_797_811_200;

/// Seconds after midnight.
const fn clock(hours: i64, minutes: i64, seconds: i64) -> i64 {
    (hours * 60 + minutes) * 60 + seconds
}

fn at(latitude: f64, longitude: f64) -> Position {
    Position::from_degrees(latitude, longitude)
}

/// Rise and set in seconds after the midnight given.
fn between(position: Position, midnight: i64) -> (i64, i64) {
    match daylight(position, midnight).unwrap() {
        Daylight::Between {
            rise: Some(rise),
            set: Some(set),
        } => (rise - midnight, set - midnight),
        other => panic!("{other:?}"),
    }
}

fn within(value: i64, low: i64, high: i64, tolerance: i64) -> bool {
    (low - tolerance..=high + tolerance).contains(&value)
}

/// Times published for London, 2015-12-01 (UTC): sunrise 07:43, sunset 15:55, to the minute; the open Python package ephem 4.2 gives the same minutes.
#[test]
fn a_winter_day_in_london() {
    let london = at(51.5085, -0.1257);
    let (rise, set) = between(london, DECEMBER_2015);
    assert!(within(rise, clock(7, 43, 0), clock(7, 43, 0), 60), "{rise}");
    assert!(within(set, clock(15, 55, 0), clock(15, 55, 0), 60), "{set}");
}

/// The open Python packages ephem and astral, which span these intervals: Greenwich, 2026-06-21.
#[test]
fn midsummer_at_greenwich() {
    let (rise, set) = between(at(51.4769, 0.0), JUNE_2026);
    assert!(
        within(rise, clock(3, 42, 47), clock(3, 43, 7), 60),
        "{rise}"
    );
    assert!(
        within(set, clock(20, 20, 31), clock(20, 20, 50), 60),
        "{set}"
    );
}

/// The same packages at 60° N 20° E.
#[test]
fn midsummer_in_the_north() {
    let place = at(60.0, 20.0);
    let (rise, _) = between(place, JUNE_2026);
    assert!(
        within(rise, clock(1, 15, 49), clock(1, 16, 21), 60),
        "{rise}"
    );
}

/// The open Python package ephem 4.2 at 37° S 175° E: the sun of 2026-06-21 rises at 19:33:09 the
/// UTC day before and sets at 05:10:16.
#[test]
fn a_day_far_east_begins_on_the_day_before() {
    let (rise, set) = between(at(-37.0, 175.0), JUNE_2026);
    let before = clock(19, 33, 9) - clock(24, 0, 0);
    assert!(within(rise, before, before, 60), "{rise}");
    assert!(within(set, clock(5, 10, 16), clock(5, 10, 16), 60), "{set}");
}

/// Polar day and night at Tromsø, by the open Python package ephem 4.2.
#[test]
fn polar_day_is_told_from_polar_night() {
    let place = at(69.65, 18.96);
    let day = |midnight| daylight(place, midnight).unwrap();
    assert_eq!(day(JUNE_2026), Daylight::Always);
    assert_eq!(day(DECEMBER_2026), Daylight::Never);
    let pole = daylight(at(-89.0, 0.0), JUNE_2026).unwrap();
    assert_eq!(pole, Daylight::Never);
}

/// The polar day begins with a sun that rises and does not set, and ends the other way round.
#[test]
fn the_polar_day_begins_and_ends() {
    let place = at(69.65, 18.96);
    let days: Vec<Daylight> = (0..365)
        .map(|n| daylight(place, JUNE_2026 + (n - 171) * DAY).unwrap())
        .collect();
    let count = |kind: Daylight| days.iter().filter(|&&day| day == kind).count();
    // From about 18 May to 26 July, and from about 26 November to 15 January over a flat horizon
    // (from memory).
    assert!((65..=71).contains(&count(Daylight::Always)));
    assert!((43..=53).contains(&count(Daylight::Never)));
    let always = days
        .iter()
        .position(|&day| day == Daylight::Always)
        .unwrap();
    assert!(matches!(days[always - 1], Daylight::Between { .. }));
}

/// The open Python package ephem 4.2, without refraction.
#[test]
fn how_high_the_sun_stands() {
    for (latitude, longitude, moment, high) in [
        (51.4769, 0.0, 1_782_054_000, 45.929),
        (60.0, 20.0, 1_782_068_400, 4.840),
        (69.65, 18.96, 1_782_082_800, 3.118),
        (-37.0, 175.0, 1_796_157_000, 40.671),
        (47.0, 8.0, 1_772_348_400, 7.707),
    ] {
        let found = elevation(julian(moment), location(at(latitude, longitude))).unwrap();
        assert!((found - high).abs() < 0.01, "{moment}: {found}");
    }
}

#[test]
fn the_first_dark_moment_of_a_run() {
    let london = at(51.5085, -0.1257);
    let dark = |from: i64, to: i64| {
        first_dark(london, DECEMBER_2015 + from, DECEMBER_2015 + to)
            .unwrap()
            .map(|moment| moment - DECEMBER_2015)
    };
    assert_eq!(dark(clock(9, 0, 0), clock(15, 0, 0)), None);
    assert_eq!(dark(clock(6, 0, 0), clock(15, 0, 0)), Some(clock(6, 0, 0)));
    let set = dark(clock(9, 0, 0), clock(18, 0, 0)).unwrap();
    let (_, expected) = between(london, DECEMBER_2015);
    assert!((set - expected).abs() <= 1, "{set} {expected}");
    assert_eq!(dark(clock(12, 0, 0), clock(12, 0, 0)), None);
    assert_eq!(dark(clock(2, 0, 0), clock(2, 0, 0)), Some(clock(2, 0, 0)));
    assert!(first_dark(london, 10, 9).is_err());
}

#[test]
fn what_is_not_on_earth_or_in_time_is_refused() {
    for (latitude, longitude) in [(95.0, 0.0), (0.0, 181.0), (f64::NAN, 0.0)] {
        let place = at(latitude, longitude);
        assert!(daylight(place, JUNE_2026).is_err());
        assert!(first_dark(place, JUNE_2026, JUNE_2026 + 9).is_err());
    }
    for moment in [i64::MIN, -1, 4_102_444_800, i64::MAX] {
        assert!(daylight(at(0.0, 0.0), moment).is_err());
        assert!(first_dark(at(0.0, 0.0), moment, moment).is_err());
    }
}

proptest! {
    #[test]
    fn the_sun_is_at_the_horizon_when_it_rises_and_sets(
        latitude in -65.0..65.0f64, longitude in -180.0..180.0f64, day in 0_i64..20_000,
    ) {
        let place = at(latitude, longitude);
        let Daylight::Between { rise, set } = daylight(place, day * DAY).unwrap() else {
            return Ok(());
        };
        for (moment, before, after) in [(rise, -2, 0), (set, 0, 2)] {
            let Some(moment) = moment else { continue };
            let high = |second: i64| elevation(julian(moment + second), location(place)).unwrap();
            // One side of the second is light and the other dark, or a side is on the horizon: within what the sun
            // climbs in a hundredth of a second.
            let limit = HORIZON.elevation_angle();
            let (one, other) = (high(before) - limit, high(after) - limit);
            prop_assert!(one * other <= 0.0 || one.abs().min(other.abs()) < 4e-5, "{one} {other}");
        }
        if let (Some(rise), Some(set)) = (rise, set) {
            prop_assert!(rise < set && set - rise < DAY);
            prop_assert!(rise > day * DAY - DAY && set < day * DAY + 2 * DAY);
        }
    }
}
