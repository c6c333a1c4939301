//! A steady stretch of a run, and why some time is in none.

use jiff::Timestamp;

use super::wind::Blown;
use crate::models::constants::Water;
use crate::models::plane::Point;
use crate::plan::site::Site;
use crate::units::{Charge, Current, Power, Speed, Voltage};

/// Least length of a stretch, s.
pub(crate) const LENGTH: f64 = 60.0;

/// A minute, or as long as a slow track needs, in which the boat kept its course and its speed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stretch {
    /// Number of the run.
    pub run: usize,
    /// Number of the leg; no two runs share one.
    pub leg: usize,
    /// Number of the piece without a gap; no two runs share one.
    pub piece: usize,
    /// When it begins.
    pub from: Timestamp,
    /// Where its middle is.
    pub at: Point,
    /// Speed over ground, which is the one through the water where no current runs.
    pub speed: Speed,
    /// Unit vector of the course.
    pub heading: (f64, f64),
    /// Mean electrical power out of the pack.
    pub power: Power,
    /// Mean voltage of the pack.
    pub voltage: Voltage,
    /// Mean current out of the pack.
    pub current: Current,
    /// Charge drawn from the beginning of the piece to the middle of the stretch; `None` where the
    /// piece has too few currents to count it.
    pub drawn: Option<Charge>,
    /// The wind as it was recorded over it; `None` where the track has none.
    pub wind: Option<Blown>,
}

/// Why some time of a run is in no stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Left {
    /// The course changed.
    Turning,
    /// The speed changed.
    Speed,
    /// Too few fixes to tell.
    Sparse,
    /// Voltage or current lacks.
    NoPower,
    /// The wind lacks, in a track that has it elsewhere.
    NoWind,
    /// No power was drawn, or it ran into the pack.
    NotDrawing,
    /// Slower than the boat steers.
    Slow,
    /// Faster than what the vessel's calm-water figures hold for.
    Fast,
    /// In an area for which the site states a current.
    InCurrent,
    /// Not on the site's water.
    Ashore,
    /// What is left over at the end of a piece.
    Rest,
}

impl Left {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Turning => "the course changed",
            Self::Speed => "the speed changed",
            Self::Sparse => "too few fixes",
            Self::NoPower => "no voltage or no current recorded",
            Self::NoWind => "no wind recorded",
            Self::NotDrawing => "no power drawn from the pack",
            Self::Slow => "below minimum steerageway",
            Self::Fast => "faster than the vessel's figures for calm water hold",
            Self::InCurrent => "in a current that the site states",
            Self::Ashore => "not on the site's water",
            Self::Rest => "left over at the end of a piece",
        }
    }
}

/// The water of a site.
#[must_use]
pub(super) fn water(site: &Site) -> Water {
    site.water.value
}

/// The angle between two unit vectors, 0 to 180.
pub(super) fn degrees_between(one: (f64, f64), other: (f64, f64)) -> f64 {
    let (dot, cross) = (
        one.0 * other.0 + one.1 * other.1,
        one.0 * other.1 - one.1 * other.0,
    );
    cross.abs().atan2(dot).to_degrees()
}
