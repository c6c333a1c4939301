//! In which winds and at which times a plan passes: its wind limits and its launch window.

mod limits;
pub(crate) mod planned_wind;
mod window;

pub use limits::{
    Alternative, BandWind, Change, Given, LimitedBy, Limits, MOST_STEP, Moved, Passing, Room,
    Sector, Sought, Varied, limits, limits_of,
};
pub use window::{Binding, MOST_LAUNCHES, Moment, Stretch, Window, window};
