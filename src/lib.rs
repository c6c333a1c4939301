//! offing checks waypoint plans of small battery-electric uncrewed survey boats against safety
//! rules, and ties every diagnostic to the source lines that it follows from.

pub mod document;
pub mod models;
pub mod source;
pub mod units;
