//! Straight-line fetch of many points against one wind direction.

use super::geometry::{Frame, Rows, Segment};
use super::plane::Point;
use crate::units::{FromDirection, Length};

/// The longest fetch, for points with no shore upwind.
pub const LONGEST: Length = Length::metres(50_000.0);

/// Shoreline edges sorted for one direction.
#[derive(Clone, Debug)]
pub struct FetchIndex {
    rows: Rows,
}

impl FetchIndex {
    /// Sorts the edges of a shore for a wind that comes from a direction.
    #[must_use]
    pub fn new(edges: &[Segment], bearing: FromDirection) -> Self {
        let (x, y) = bearing.angle().get().sin_cos();
        Self {
            rows: Rows::new(edges, Frame::along(Point::new(x, y))),
        }
    }

    /// The distance from a point upwind to the first edge, at most [`LONGEST`]. Whether the point
    /// is on land is not asked.
    #[must_use]
    pub fn fetch(&self, point: Point) -> Length {
        self.rows
            .first(point)
            .map_or(LONGEST, |metres| Length::metres(metres).min(LONGEST))
    }
}
