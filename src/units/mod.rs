//! Quantities: types that carry their unit, the units a plan may write, and reading them.
//!
//! Everything is stored in SI units, with radians, °C, dB, dBm and bits beside them. Nothing
//! here knows of files, plans or rules.

mod dimension;
mod direction;
mod meant;
mod parse;
mod quantity;
mod table;
mod typed;

pub use dimension::Dimension;
pub use direction::{FromDirection, Towards};
pub use meant::{symbol_meant, typographic_minus};
pub use parse::{QuantityError, parse_any, parse_quantity};
pub use quantity::Quantity;
pub use table::is_unit;
pub use typed::{
    Acceleration, Angle, Area, Charge, Current, DataRate, Density, Energy, Force, Frequency,
    Information, Length, Level, Mass, Power, PowerLevel, Ratio, Resistance, Speed, Temperature,
    Time, TurnRate, Typed, Voltage,
};

#[cfg(test)]
mod tests;
