//! A fix of the run, and where it lies along the route.

use crate::models::plane::Point;
use crate::track::{OnRoute, Sample};

/// One fix of the run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Fix {
    pub sample: Sample,
    /// Where, on the plane of the site.
    pub at: Point,
    /// Which piece of the track it belongs to.
    pub piece: usize,
    /// Where along the route.
    pub on: OnRoute,
}
