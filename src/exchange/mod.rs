//! Routes out of plans and into them: GPX 1.1, GeoJSON (RFC 7946) and KML 2.2.
//!
//! A route goes out of a plan that was judged, and says what of it is not met. One that comes in is
//! the beginning of a plan: what the file cannot say is left open, so that a check names it.

mod another_day;
mod course;
mod export;
mod geojson;
mod gpx;
mod kml;
mod names;
mod read;
mod repeat;
mod skeleton;
mod written;

pub(crate) use another_day::another_day;
pub use course::{Course, CoursePoint, Role};
pub(crate) use export::{NoExport, NotKept, export};
pub(crate) use read::{Found, LARGEST};
pub use read::{Named, parse_route};
pub(crate) use repeat::repeats;
pub(crate) use skeleton::skeleton_beside;
pub use skeleton::{MOST_WAYPOINTS, Skeleton, id_of, skeleton};

/// A format that routes are exchanged in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Form {
    /// GPX 1.1.
    Gpx,
    /// GeoJSON, RFC 7946.
    GeoJson,
    /// KML 2.2, OGC 07-147r2.
    Kml,
}

impl Form {
    /// What people call it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Gpx => "GPX",
            Self::GeoJson => "GeoJSON",
            Self::Kml => "KML",
        }
    }
}

/// A course in a format.
///
/// # Errors
/// Those of the writers; no course is known to cause one.
pub fn write(course: &Course, form: Form) -> std::io::Result<String> {
    match form {
        Form::Gpx => gpx::write(course),
        Form::GeoJson => geojson::write(course),
        Form::Kml => kml::write(course),
    }
}
