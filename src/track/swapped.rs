//! A track that lies on a site's plane only with latitude and longitude swapped.

use super::Track;
use crate::models::geodesy::{Plane, Position};

impl Track {
    /// Whether no fix lies on a plane, and each would with latitude and longitude swapped.
    #[must_use]
    pub(crate) fn is_swapped_on(&self, plane: &Plane) -> bool {
        let swapped = |at: Position| Position {
            latitude: at.longitude,
            longitude: at.latitude,
        };
        let mut places = self.samples.iter().map(|sample| sample.position);
        !self.samples.is_empty()
            && places.all(|at| {
                at.longitude.to_degrees().abs() <= 90.0
                    && plane.within_limit(at).is_err()
                    && plane.within_limit(swapped(at)).is_ok()
            })
    }
}
