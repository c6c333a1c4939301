//! The depth of the bed between soundings, and the least depth under a strip.
//!
//! Depths are positive downwards from the datum of the soundings; what dries is negative. Nothing
//! is extrapolated: where the soundings do not reach, the depth is unknown.

mod strip;
#[cfg(test)]
mod tests;
mod triangles;

pub(crate) use triangles::Triangles;

use super::plane::Point;
use crate::units::{Length, Ratio};

/// The most soundings that are taken. Numerical: a bound on the work.
pub(crate) const MOST_SOUNDINGS: usize = 2_500_000;

/// The least half width of a strip: room for rounding. A narrower one is widened to it.
/// Numerical.
pub(crate) const LEAST_HALF_WIDTH: Length = Length::metres(0.01);

/// A strip counts as known in full where less than this share of it is not. Numerical: room for rounding.
const UNKNOWN_SHARE: f64 = 1e-6;

/// A depth at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sounding {
    /// Where.
    pub at: Point,
    /// How deep; negative where it dries.
    pub depth: Length,
}

/// What is known of the bed under a strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripDepth {
    /// The least depth of the part that is known, and where it is; `None` where none is.
    pub least: Option<Sounding>,
    /// The share of the strip's area whose depth is known.
    pub known: Ratio,
    /// How many triangles or cells were looked at, by which a caller bounds its work.
    pub looked_at: usize,
}

impl StripDepth {
    /// The least depth under the whole strip; `None` where any of it is unknown.
    #[must_use]
    pub fn least_of_all(&self) -> Option<Sounding> {
        self.is_known().then_some(self.least).flatten()
    }

    /// Whether the depth is known under the whole strip.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.known.get() >= 1.0 - UNKNOWN_SHARE
    }
}

/// Why soundings make no bed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SeabedError {
    /// A coordinate or a depth is not a number of sensible size.
    #[error(
        "sounding {0}, counted from 0, has a place or a depth that is not a finite number of sensible size"
    )]
    NotFinite(usize),
    /// More soundings than [`MOST_SOUNDINGS`].
    #[error(
        "there are {0} soundings; at most {MOST_SOUNDINGS} are taken: keep the shoalest of each square of 2 m or so"
    )]
    TooMany(usize),
    /// No triangle is left.
    #[error("no three soundings make a triangle with edges of at most {0}")]
    NoTriangle(Length),
    /// The longest edge that may be bridged is not above zero.
    #[error("the longest edge of a triangle is above zero, not {0}")]
    Edge(Length),
}

/// The shallower of two soundings; the one with the lesser place where they are equal, so that the
/// order of a search does not show.
fn shallower(best: Option<Sounding>, other: Sounding) -> Option<Sounding> {
    let key = |s: &Sounding| (s.depth.get(), s.at.x, s.at.y);
    match best {
        Some(best) if key(&best) <= key(&other) => Some(best),
        _ => Some(other),
    }
}
