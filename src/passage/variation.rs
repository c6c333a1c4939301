//! A plan varied: faster or slower, in more wind or less, with more battery or less.

use crate::units::Angle;

/// How a plan is varied: by the margins of a policy, to find what would pass, or to sample what is
/// not known. The plan itself is all ones and nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// Every commanded speed is multiplied by this.
    pub speed: f64,
    /// Mean wind and gust are multiplied by this.
    pub wind: f64,
    /// The capacity of the battery is multiplied by this.
    pub capacity: f64,
    /// The power that calm water asks for is multiplied by this.
    pub power: f64,
    /// Only the wind this far clockwise of the planned direction, in place of the whole band.
    pub veer: Option<Angle>,
}

impl Variation {
    /// This and another one upon it.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        Self {
            speed: self.speed * other.speed,
            wind: self.wind * other.wind,
            capacity: self.capacity * other.capacity,
            power: self.power * other.power,
            veer: other.veer.or(self.veer),
        }
    }
}

impl Default for Variation {
    fn default() -> Self {
        Self {
            speed: 1.0,
            wind: 1.0,
            capacity: 1.0,
            power: 1.0,
            veer: None,
        }
    }
}
