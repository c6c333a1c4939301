//! Quantities: types that carry their unit, the units a plan may write, and reading them.
//!
//! Everything is stored in SI units, with radians, °C, dB, dBm and bits beside them. Nothing
//! here knows of files, plans or rules.

mod bearing;
mod dimension;
mod direction;
mod geographic;
mod meant;
mod parse;
mod quantity;
mod spelling;
mod table;
mod typed;

pub(crate) use bearing::{declination, direction};
pub use dimension::Dimension;
pub use direction::{FromDirection, Towards};
pub(crate) use geographic::{Axis, decimal_degrees, ordinate_of, position};
pub(crate) use meant::{symbol_meant, typographic_minus};
pub use parse::parse_quantity;
pub(crate) use parse::{QuantityError, parse_any};
pub use quantity::Quantity;
pub(crate) use spelling::{any_quantity as spell_any, dimension_of, number as spell_number};
pub(crate) use table::is_unit;
pub use typed::{Angle, Current, Length, Level, Ratio, Speed, Time, Voltage};
pub(crate) use typed::{
    Area, Charge, Energy, Force, Frequency, Mass, Power, PowerLevel, Resistance, Temperature, Typed,
};

#[cfg(test)]
mod tests;
