use super::*;

fn read(text: &str, dimension: Dimension) -> Result<f64, String> {
    parse_quantity(text, dimension)
        .map(|q| q.value)
        .map_err(|e| e.to_string())
}

#[test]
fn quantities_a_plan_writes_are_read_to_stored_units() {
    let cases = [
        ("1.2 m/s", Dimension::SPEED, 1.2),
        ("4 kn", Dimension::SPEED, 4.0 * 1852.0 / 3600.0),
        ("36km/h", Dimension::SPEED, 10.0),
        ("40 Wh", Dimension::ENERGY, 144_000.0),
        ("30%", Dimension::RATIO, 0.3),
        ("2 h", Dimension::TIME, 7200.0),
        ("1 h 30 min", Dimension::TIME, 5400.0),
        ("180°", Dimension::ANGLE, std::f64::consts::PI),
        ("-3 dB", Dimension::LEVEL, -3.0),
        ("\u{2212}3 dB", Dimension::LEVEL, -3.0),
        ("1e-3 m", Dimension::LENGTH, 0.001),
        ("20 Ah", Dimension::CHARGE, 72_000.0),
        ("2.4 GHz", Dimension::FREQUENCY, 2.4e9),
    ];
    for (text, dimension, expected) in cases {
        let value = read(text, dimension).unwrap();
        assert!(
            (value - expected).abs() <= 1e-12 * expected.abs(),
            "{text}: {value}"
        );
    }
}

#[test]
fn what_is_not_the_quantity_asked_for_is_refused_with_its_reason() {
    let cases = [
        (
            "1.2",
            Dimension::SPEED,
            "`1.2` has no unit; write a speed such as `1.2 m/s`",
        ),
        (
            "fast",
            Dimension::SPEED,
            "`fast` does not start with a number; write a speed such as `1.2 m/s`",
        ),
        (
            "nan m",
            Dimension::LENGTH,
            "`nan m` does not start with a number; write a length such as `850 m`",
        ),
        (
            "inf m",
            Dimension::LENGTH,
            "`inf m` does not start with a number; write a length such as `850 m`",
        ),
        (
            "1e400 m",
            Dimension::LENGTH,
            "`1e400 m` is not a finite number",
        ),
        (
            "12 s",
            Dimension::SPEED,
            "`12 s` is a duration where a speed is due, such as `1.2 m/s`",
        ),
        (
            "5 m 3 m",
            Dimension::LENGTH,
            "`m 3 m` is not a unit that offing knows; for a length it knows `m`, `km`, `cm`, `mm`, `nmi`, `ft`",
        ),
        (
            "3 knots",
            Dimension::SPEED,
            "`knots` is not a unit that offing knows; did you mean `kn`?",
        ),
    ];
    for (text, dimension, message) in cases {
        assert_eq!(read(text, dimension).unwrap_err(), message);
    }
    assert!(
        read("30 min 1 h", Dimension::TIME).is_err(),
        "units must fall"
    );
    assert!(read("1.m", Dimension::LENGTH).is_err());
}

#[test]
fn a_value_just_under_its_bound_never_looks_equal_to_it() {
    let bound = Ratio::fraction(0.3).quantity();
    let (value, limit) = Ratio::fraction(0.299_999).quantity().beside(bound);
    assert_eq!((value.as_str(), limit.as_str()), ("29.9999 %", "30 %"));
}

#[test]
fn a_value_its_bound_and_their_difference_are_in_one_unit() {
    let beside = |value: Time, bound: Time| {
        let (value, bound) = (value.quantity(), bound.quantity());
        let (own, limit) = value.beside(bound);
        let difference = value.minus(bound).unwrap();
        let difference = Quantity::new(difference.value.abs(), difference.dimension);
        format!("{own}, {limit}, {}", difference.as_difference(value, bound))
    };
    let hours = |hours: f64| Time::seconds(hours * 3600.0);
    assert_eq!(beside(hours(2.0), hours(1.0)), "120 min, 60 min, 60 min");
    assert_eq!(beside(hours(-12.0), hours(0.0)), "−12 h, 0 h, 12 h");
    assert_eq!(beside(hours(0.0), hours(12.0)), "0 h, 12 h, 12 h");
    // A value that the bound's unit is far too large for keeps its own.
    assert_eq!(beside(hours(0.01), hours(12.0)), "36 s, 12 h, 12 h");
}

#[test]
fn quantities_are_shown_in_the_unit_that_reads_best() {
    assert_eq!(Length::metres(1234.4).to_string(), "1234 m");
    assert_eq!(Length::metres(12_340.0).to_string(), "12.3 km");
    assert_eq!(Time::seconds(5400.0).to_string(), "90 min");
    assert_eq!(Energy::watt_hours(40.0).to_string(), "40 Wh");
    assert_eq!(Angle::degrees(-12.5).to_string(), "−12.5°");
    assert_eq!(
        Quantity::new(-0.0001, Dimension::LENGTH).to_string(),
        "−0.0001 m"
    );
    assert_eq!(Speed::metres_per_second(-0.0).to_string(), "0 m/s");
}

#[test]
fn wind_from_and_heading_towards_are_opposite() {
    let wind = FromDirection::new(Angle::degrees(240.0));
    assert_eq!(wind.towards().to_string(), "060°");
    assert_eq!(wind.towards().reversed().to_string(), "240°");
    let turn = Towards::new(Angle::degrees(350.0)).turn_to(Towards::new(Angle::degrees(20.0)));
    assert!((turn.to_degrees() - 30.0).abs() < 1e-9);
}

#[test]
fn a_comma_in_a_number_is_named() {
    let told = read("3,5 m/s", Dimension::SPEED).expect_err("a comma");
    assert!(
        told.ends_with("use a decimal point, such as `3.5 m/s`"),
        "{told}"
    );
}
