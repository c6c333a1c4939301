//! In which winds and at which times a plan passes: its wind limits and its launch window.

mod limits;
pub(crate) mod planned_wind;
mod window;

pub(crate) use limits::{Alternative, BandWind, LimitedBy, Moved, Room, Varied, limits_of};
pub use limits::{Change, Given, Limits, Sector, Sought, limits};
pub use window::window;
pub(crate) use window::{Binding, Moment, Stretch, Window};
