//! Directions that say which way they are meant: wind is named for where it comes from, a
//! heading or a set for where it goes.

use std::fmt;

use super::typed::Angle;

/// Brings an angle to 0 ≤ a < 2π.
fn compass(angle: Angle) -> Angle {
    let turned = angle.get().rem_euclid(std::f64::consts::TAU);
    // A tiny negative angle rounds up to a whole turn.
    Angle::radians(if turned >= std::f64::consts::TAU {
        0.0
    } else {
        turned
    })
}

/// Writes a compass direction in three figures, as a pilot book does.
fn three_figures(angle: Angle, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    let whole = angle.to_degrees().round().rem_euclid(360.0);
    write!(f, "{whole:03.0}°")
}

/// A direction that something moves towards, clockwise from true north.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
pub struct Towards(Angle);

/// A direction that something comes from, clockwise from true north.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
pub struct FromDirection(Angle);

impl Towards {
    /// From an angle clockwise from true north.
    #[must_use]
    pub fn new(angle: Angle) -> Self {
        Self(compass(angle))
    }

    /// From the east and north components of a movement.
    #[must_use]
    pub fn from_components(east: f64, north: f64) -> Self {
        Self::new(Angle::radians(east.atan2(north)))
    }

    /// The angle clockwise from true north, 0 ≤ a < 360°.
    #[must_use]
    pub fn angle(self) -> Angle {
        self.0
    }

    /// Unit vector (east, north) of the movement.
    #[must_use]
    pub fn unit_vector(self) -> (f64, f64) {
        self.0.get().sin_cos()
    }

    /// The direction that this movement comes from.
    #[must_use]
    pub fn reversed(self) -> FromDirection {
        FromDirection(compass(self.0 + Angle::radians(std::f64::consts::PI)))
    }

    /// The turn from this direction to another, −180° to 180°, positive to starboard.
    #[must_use]
    pub fn turn_to(self, other: Self) -> Angle {
        (other.0 - self.0).wrapped()
    }
}

impl FromDirection {
    /// From an angle clockwise from true north.
    #[must_use]
    pub fn new(angle: Angle) -> Self {
        Self(compass(angle))
    }

    /// The angle clockwise from true north, 0 ≤ a < 360°.
    #[must_use]
    pub fn angle(self) -> Angle {
        self.0
    }

    /// The direction that it blows towards.
    #[must_use]
    pub fn towards(self) -> Towards {
        Towards(compass(self.0 + Angle::radians(std::f64::consts::PI)))
    }

    /// The same with an angle added, positive clockwise.
    #[must_use]
    pub fn veered(self, by: Angle) -> Self {
        Self(compass(self.0 + by))
    }
}

impl fmt::Display for Towards {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        three_figures(self.0, f)
    }
}

impl fmt::Display for FromDirection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        three_figures(self.0, f)
    }
}
