//! How a boat moves along a track at a speed that it makes or that is commanded.

use crate::models::propulsion::Command;

/// The slowest that a boat is calculated to go where its speed over ground cannot be determined, m/s.
const SLOWEST: f64 = 0.05;

/// How a boat moves along a track.
pub(super) struct Made {
    /// Over ground, m/s, never below [`SLOWEST`].
    pub over_ground: f64,
    /// Through the water (east, north), m/s.
    pub through: (f64, f64),
}

/// At a speed over ground that it is known to make.
pub(super) fn reached(track: (f64, f64), over_ground: f64, current: (f64, f64)) -> Made {
    let over_ground = if over_ground.is_finite() {
        over_ground.max(SLOWEST)
    } else {
        SLOWEST
    };
    Made {
        over_ground,
        through: (
            track.0 * over_ground - current.0,
            track.1 * over_ground - current.1,
        ),
    }
}

/// At the speed commanded, crabbing so as to keep the track; a boat slowed for want of power is
/// not told of here.
pub(super) fn commanded(track: (f64, f64), command: Command, current: (f64, f64)) -> Made {
    match command {
        Command::OverGround(speed) => reached(track, speed.get(), current),
        Command::ThroughWater(speed) => {
            let along = current.0 * track.0 + current.1 * track.1;
            let across2 = (current.0.powi(2) + current.1.powi(2) - along * along).max(0.0);
            let rest = (speed.get().powi(2) - across2).max(0.0).sqrt();
            reached(track, rest + along, current)
        }
    }
}
