//! Segments, polygons and shores in the plan's plane; lengths in metres.

mod grid;
mod nested;
mod polygon;
mod rows;
mod search;
mod segment;
mod shore;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_geo;
mod validity;

pub use polygon::{Polygon, point_in_rings, polygon_distance, ring_area};
pub(crate) use polygon::{point_in_polygon, polygon_segment_distance, polyline_segment_distance};
pub(crate) use rows::Frame;
pub use segment::Segment;
pub use shore::Shore;
pub(crate) use validity::GeometryError;
