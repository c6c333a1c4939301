//! Any text is a quantity or refused; what is a quantity is finite, and what is printed of it is
//! read again as nearly the same.
#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::units::{Dimension, parse_quantity};

const DIMENSIONS: [Dimension; 6] = [
    Dimension::LENGTH,
    Dimension::SPEED,
    Dimension::TIME,
    Dimension::RATIO,
    Dimension::ANGLE,
    Dimension::LEVEL,
];

fuzz_target!(|text: &str| {
    for dimension in DIMENSIONS {
        let Ok(quantity) = parse_quantity(text, dimension) else {
            continue;
        };
        assert!(quantity.value.is_finite());
        let size = quantity.value.abs();
        if !(1e-3..1e9).contains(&size) {
            continue;
        }
        let printed = quantity.to_string();
        let again = parse_quantity(&printed, dimension).expect("what is printed can be read");
        assert!(
            (again.value - quantity.value).abs() <= 0.1 * size,
            "{text:?}: {printed:?}"
        );
    }
});
