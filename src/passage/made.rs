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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Speed;

    /// A triangle of sides 3, 4 and 5: 1 m/s through the water, 0.3 m/s of current along a track and
    /// 0.6 m/s across it leave 0.8 m/s along, and make 1.1 m/s over ground; against it 0.5 m/s.
    #[test]
    fn a_boat_crabs_across_a_current() {
        let track = (0.6, 0.8);
        let command = Command::ThroughWater(Speed::metres_per_second(1.0));
        for (along, across, over_ground) in [
            (0.3, 0.6, 1.1),
            (-0.3, 0.6, 0.5),
            (0.3, -0.6, 1.1),
            (0.0, 0.0, 1.0),
        ] {
            let current = (
                along * track.0 - across * track.1,
                along * track.1 + across * track.0,
            );
            let made = commanded(track, command, current);
            assert!((made.over_ground - over_ground).abs() < 1e-12, "{along}");
            let (east, north) = made.through;
            assert!((east.hypot(north) - 1.0).abs() < 1e-12, "{along}");
            // What the boat makes and what carries it leave it on its track.
            let aside = (north + current.1) * track.0 - (east + current.0) * track.1;
            assert!(aside.abs() < 1e-12, "{along}");
        }
    }
}
