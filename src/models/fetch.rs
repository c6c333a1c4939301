//! Straight-line fetch against a wind direction.

use super::geometry::{Frame, Shore};
use super::plane::Point;
use crate::units::{FromDirection, Length};

/// The longest fetch, for points with no shore upwind.
pub const LONGEST: Length = Length::metres(50_000.0);

/// A direction that fetch is measured in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Radial {
    frame: Frame,
}

impl Radial {
    /// Against a wind that comes from a direction.
    #[must_use]
    pub fn new(bearing: FromDirection) -> Self {
        let (x, y) = bearing.angle().get().sin_cos();
        Self {
            frame: Frame::along(Point::new(x, y)),
        }
    }

    /// The distance from a point upwind to the first edge of the shore, at most [`LONGEST`].
    /// Whether the point is on land is not asked.
    #[must_use]
    pub fn fetch(&self, shore: &Shore, point: Point) -> Length {
        shore
            .first_along(&self.frame, point, LONGEST.get())
            .map_or(LONGEST, Length::metres)
    }
}
