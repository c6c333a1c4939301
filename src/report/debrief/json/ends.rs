//! When and where a run began and ended.

use schemars::JsonSchema;
use serde::Serialize;

use crate::debrief;
use crate::report::output::Quantity;

/// When and where a run began and ended.
#[derive(Serialize, JsonSchema)]
pub(super) struct Ends<'a> {
    /// When the boat left the launch point, in universal time; null where the track begins after that.
    launched: Option<String>,
    /// When it was to.
    launch_planned: String,
    /// How much later it might.
    launch_delay: Quantity,
    /// When it came to the recovery point; null where that is not recorded.
    arrived: Option<String>,
    /// When it was to be back at the latest, where the plan says so.
    latest_return: Option<String>,
    /// When the track begins.
    recorded_from: String,
    /// When it ends.
    recorded_to: String,
    /// Latitude and longitude at which it ends, in degrees.
    last: [f64; 2],
    /// How far that is from the recovery point.
    from_recovery: Quantity,
    /// Nearest to it in the later half of the run.
    nearest_to_recovery: Quantity,
    /// Whether the boat came to the recovery point, or the track ends at it or in its launch site.
    at_recovery: bool,
    /// Whether the clock was set somewhere in the track, so that its times are in doubt.
    clock_set: bool,
    /// Where the run was left, where it was.
    left: Option<Left<'a>>,
}

/// Where a run was left.
#[derive(Serialize, JsonSchema)]
struct Left<'a> {
    /// The leg.
    leg: &'a str,
    /// Distance along the route.
    along: Quantity,
}

impl<'a> Ends<'a> {
    pub(super) fn from_ends(ends: &'a debrief::Ends) -> Self {
        Self {
            launched: ends.launched.map(|at| at.to_string()),
            launch_planned: ends.launch.0.to_string(),
            launch_delay: Quantity::typed(ends.launch.1),
            arrived: ends.arrived.map(|at| at.to_string()),
            latest_return: ends.latest_return.map(|at| at.to_string()),
            recorded_from: ends.recorded.0.to_string(),
            recorded_to: ends.recorded.1.to_string(),
            last: [
                ends.last.latitude.to_degrees(),
                ends.last.longitude.to_degrees(),
            ],
            from_recovery: Quantity::typed(ends.from_recovery),
            nearest_to_recovery: Quantity::typed(ends.nearest),
            at_recovery: ends.at_recovery,
            clock_set: ends.clock_set,
            left: ends.left.as_ref().map(|(leg, along)| Left {
                leg,
                along: Quantity::typed(*along),
            }),
        }
    }
}
