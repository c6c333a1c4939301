//! Any text as a quantity: what is read is finite, and reads the same when it is written out.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::units::{Dimension, parse_quantity};

const DIMENSIONS: [Dimension; 23] = [
    Dimension::RATIO,
    Dimension::LENGTH,
    Dimension::AREA,
    Dimension::MASS,
    Dimension::TIME,
    Dimension::SPEED,
    Dimension::ACCELERATION,
    Dimension::FORCE,
    Dimension::POWER,
    Dimension::ENERGY,
    Dimension::VOLTAGE,
    Dimension::CURRENT,
    Dimension::CHARGE,
    Dimension::RESISTANCE,
    Dimension::TEMPERATURE,
    Dimension::ANGLE,
    Dimension::TURN_RATE,
    Dimension::LEVEL,
    Dimension::POWER_LEVEL,
    Dimension::FREQUENCY,
    Dimension::DENSITY,
    Dimension::INFORMATION,
    Dimension::DATA_RATE,
];

fuzz_target!(|text: &str| {
    for dimension in DIMENSIONS {
        match parse_quantity(text, dimension) {
            Ok(quantity) => {
                assert!(quantity.value.is_finite(), "{text:?}");
                assert_eq!(quantity.dimension, dimension);
                // Beyond this a figure is longer than any that is read.
                if quantity.value.abs() < 1e15 {
                    let written = quantity.to_string();
                    let again = parse_quantity(&written, dimension);
                    assert!(again.is_ok(), "{text:?} is written {written:?}: {again:?}");
                }
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
});
