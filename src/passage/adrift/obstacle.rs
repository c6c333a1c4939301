//! What a boat adrift may drift onto, each in a circle, so that what lies aside of a way, or farther along
//! it than what is met already, is not looked at.

use super::path::Piece;
use super::{OnTo, Peril, peril_of};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::passage::clearance::{area_distance, hazard_distance};
use crate::plan::site::{Form, Site};

/// How far before its edge something counts as met, and rounding besides, m.
const BEFORE: f64 = 0.02;

/// A hazard or a keep-out area.
pub(super) struct Obstacle {
    pub(super) on_to: OnTo,
    pub(super) peril: Peril,
    /// Its place in the order of the site.
    pub(super) order: usize,
    centre: Point,
    /// Of a circle that holds it, with its stand-off.
    radius: f64,
    stand_off: f64,
}

/// Everything of a site, hazards first.
pub(super) fn obstacles(site: &Site) -> Vec<Obstacle> {
    let hazards = site.hazards.iter().enumerate().map(|(index, hazard)| {
        let points = match &hazard.form {
            Form::Point(point) => std::slice::from_ref(point),
            Form::Line(points) => points.as_slice(),
            Form::Area(area) => area.exterior(),
        };
        let stand_off = hazard.clearance.value.get();
        let peril = peril_of(hazard.kind.value);
        (OnTo::Hazard(index), peril, points, stand_off)
    });
    let areas = site.keep_out.iter().enumerate().map(|(index, area)| {
        let points = area.outline.exterior();
        (OnTo::KeepOut(index), Peril::Closed, points, 0.0)
    });
    hazards
        .chain(areas)
        .enumerate()
        .map(|(order, (on_to, peril, points, stand_off))| {
            let (centre, radius) = circle(points);
            Obstacle {
                on_to,
                peril,
                order,
                centre,
                radius: radius + stand_off.max(0.0) + BEFORE,
                stand_off,
            }
        })
        .collect()
}

/// A circle about the middle of the points' box.
fn circle(points: &[Point]) -> (Point, f64) {
    let mut low = Point::new(f64::INFINITY, f64::INFINITY);
    let mut high = Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for point in points {
        low = Point::new(low.x.min(point.x), low.y.min(point.y));
        high = Point::new(high.x.max(point.x), high.y.max(point.y));
    }
    let centre = low.lerp(high, 0.5);
    let radius = points.iter().map(|point| point.distance(centre));
    (centre, radius.fold(0.0, f64::max))
}

impl Obstacle {
    /// The least way along a piece at which it may be met; `None` where it lies aside, behind or beyond.
    pub(super) fn ahead(&self, piece: &Piece) -> Option<f64> {
        let to = self.centre - piece.start;
        let along = to.dot(piece.direction);
        let aside = to.cross(piece.direction).abs() > self.radius;
        let out = aside || along < -self.radius || along > piece.length + self.radius;
        (!out).then_some(along - self.radius)
    }

    /// Signed distance of a line from it, its stand-off taken off, m.
    pub(super) fn distance(&self, site: &Site, line: &Segment) -> f64 {
        match self.on_to {
            OnTo::Hazard(index) => hazard_distance(&site.hazards[index], line) - self.stand_off,
            OnTo::KeepOut(index) => area_distance(&site.keep_out[index].outline, line),
            OnTo::Land | OnTo::Open(_) => f64::INFINITY,
        }
    }
}
