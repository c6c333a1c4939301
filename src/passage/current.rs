//! The site's current at a point.

use super::Passage;
use crate::models::geometry::point_in_polygon;
use crate::models::plane::Point;

/// The area of the site's list that a point is in the current of, the first that holds it.
pub(super) fn current_index(passage: &Passage<'_>, at: Point) -> Option<usize> {
    let mut areas = passage.plan.site.currents.iter();
    areas.position(|current| point_in_polygon(at, &current.outline))
}

/// The current at a point: that of the first area of the site's list that holds it.
pub(super) fn current_at(passage: &Passage<'_>, at: Point) -> (f64, f64) {
    flow_of(passage, current_index(passage, at))
}

/// The current of an area, by its index; none outside all of them.
pub(super) fn flow_of(passage: &Passage<'_>, area: Option<usize>) -> (f64, f64) {
    area.map_or((0.0, 0.0), |index| {
        let current = &passage.plan.site.currents[index];
        let (east, north) = current.set.value.unit_vector();
        let drift = current.drift.value.get();
        (east * drift, north * drift)
    })
}
