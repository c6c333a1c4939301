//! Quantities in reports.

use crate::units::{Dimension, Quantity};

/// The symbol of the unit that a quantity of this dimension is stored in: the SI unit, with rad,
/// °C, dB, dBm and bit beside it, and `1` for a ratio or a count.
#[must_use]
pub(super) fn stored_unit(dimension: Dimension) -> String {
    let symbol = match dimension {
        Dimension::RATIO => "1",
        Dimension::AREA => "m2",
        Dimension::SPEED => "m/s",
        Dimension::ACCELERATION => "m/s2",
        Dimension::FORCE => "N",
        Dimension::POWER => "W",
        Dimension::ENERGY => "J",
        Dimension::VOLTAGE => "V",
        Dimension::CHARGE => "C",
        Dimension::RESISTANCE => "ohm",
        Dimension::FREQUENCY => "Hz",
        Dimension::DENSITY => "kg/m3",
        Dimension::TURN_RATE => "rad/s",
        Dimension::DATA_RATE => "bit/s",
        other => return other.base_units(),
    };
    symbol.to_owned()
}

/// A quantity in words.
pub(super) fn text(quantity: Quantity) -> String {
    if quantity.value.is_finite() {
        quantity.to_string()
    } else {
        "no finite number".to_owned()
    }
}

/// A value and its bound, told apart where they differ at all.
pub(super) fn beside(value: Quantity, bound: Quantity) -> (String, String) {
    if value.value.is_finite() && bound.value.is_finite() {
        value.beside(bound)
    } else {
        (text(value), text(bound))
    }
}
