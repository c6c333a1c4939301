//! What acts on a boat at a place, and what of it carries the boat off its track.

use super::{Vector, dot};
use crate::models::waves::Sea;
use crate::units::FromDirection;

/// What acts on the boat at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// The wind at the hull's height as a movement (east, north), m/s.
    pub wind: (f64, f64),
    /// What the wind blows the water and the boat along.
    pub blown: Blown,
    /// The current's set and drift (east, north), m/s.
    pub current: (f64, f64),
    /// The sea.
    pub sea: Sea,
    /// Where the waves come from.
    pub waves_from: FromDirection,
}

/// What the wind blows along, as movements (east, north), m/s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Blown {
    /// The water at the surface.
    pub water: (f64, f64),
    /// The boat itself through the water, were it left to the wind.
    pub boat: (f64, f64),
}

impl Surroundings {
    /// What carries the boat along its track and across it (positive to starboard), m/s: the current,
    /// the water that the wind blows and the boat's own leeway. What the wind does is set against the
    /// boat only: it does not help along the track, and does not make up for a current across it. The
    /// leeway holds what the surface water does across the track, whichever is more.
    pub(super) fn carried(&self, track: Vector) -> (f64, f64) {
        let across = |of: Vector| of.0 * track.1 - of.1 * track.0;
        let along = dot(self.current, track) + dot(self.blown.water, track).min(0.0);
        let (water, boat) = (across(self.blown.water), across(self.blown.boat));
        let wind = if water.abs() > boat.abs() {
            water
        } else {
            boat
        };
        let current = across(self.current);
        let both = if current * wind >= 0.0 {
            current + wind
        } else if current.abs() >= wind.abs() {
            current
        } else {
            wind
        };
        (along, both)
    }
}
