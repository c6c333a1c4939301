//! Time: how long the boat is out, in which light, and whether forecast, permissions and charge
//! hold for as long.

mod charge;
mod daylight;
mod forecast;
mod in_hand;
mod lights;
mod out;
mod permission;

pub(super) use charge::SINCE_CHARGE;
pub(super) use daylight::{AT_LAUNCH, IN_THE_DARK, LEFT};
pub(super) use forecast::{AGE, HAS_FORECAST, VALIDITY_LEFT, VISIBILITY};
pub(super) use in_hand::IN_HAND;
pub(super) use lights::{CARRIES, ENOUGH};
pub(super) use permission::PERMISSION_LEFT;

use super::entry::entry;
use super::reading::Type;
use crate::units::Dimension;

const TIME: Type = Type::Quantity(Dimension::TIME);

/// What every measure needs that goes by when the boat is out.
const NEEDS_OUT: &[&str] = &[
    "launch: time",
    "launch: delay",
    "launch: latest_return",
    "wind",
    "propulsion",
    "route",
    "speeds",
];
