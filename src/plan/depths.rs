//! Soundings of a site, GeoJSON (RFC 7946) points with a depth each, and the level of its water.

use std::sync::Arc;

use jiff::civil::Date;

use super::laid_out::point;
use super::sounded::Sounded;
use super::time::date;
use crate::models::geodesy::Plane;
use crate::models::plane::Point;
use crate::models::seabed::{SeabedError, Sounding, Triangles};
use crate::schema::{Fields, Problem, Stated};
use crate::units::Length;

/// The bed as it was surveyed.
#[derive(Clone, Debug)]
pub struct Soundings {
    /// The bed between the soundings.
    pub bed: Arc<Triangles>,
    /// The line that names the file.
    pub file: Stated<String>,
    /// Level that depths are below.
    pub datum: Stated<String>,
    /// Day of the survey.
    pub surveyed: Stated<Date>,
    /// Error of a depth at 95 %.
    pub error: Stated<Length>,
    /// Longest distance over which the bed is drawn from one sounding to another.
    pub longest_edge: Stated<Length>,
}

/// The level of the water.
#[derive(Clone, Debug)]
pub struct WaterLevel {
    /// Above the soundings' datum; negative below it.
    pub above_datum: Stated<Length>,
    /// Day on which it was read.
    pub read: Stated<Date>,
    /// Its error at 95 %.
    pub error: Stated<Length>,
}

/// A depth that was measured apart from the soundings: by lead, by pole, or on an earlier run.
#[derive(Clone, Debug)]
pub struct Cast {
    /// Where.
    pub at: Point,
    /// Depth below the datum of the soundings.
    pub depth: Stated<Length>,
    /// Day on which it was measured.
    pub day: Stated<Date>,
    /// Its error at 95 %.
    pub error: Stated<Length>,
}

/// What is known of the depth of a site.
#[derive(Clone, Debug)]
pub struct Depths {
    /// Soundings, where there are any.
    pub soundings: Option<Soundings>,
    /// Level of the water, where stated.
    pub level: Option<WaterLevel>,
    /// Depth that the water has everywhere off the launch sites, where stated.
    pub least: Option<Stated<Length>>,
    /// Depths measured apart from the soundings.
    pub casts: Vec<Cast>,
}

/// Reads what a site states of its depth. `sounded` is what the file holds that its soundings name.
pub(super) fn parse(file: Fields<'_>, plane: &Plane, sounded: Option<&Sounded>) -> Option<Depths> {
    let soundings = match file.map("soundings") {
        None => None,
        Some(fields) => Some(soundings(fields, plane, sounded?)?),
    };
    let level = match file.map("water_level") {
        None => None,
        Some(fields) => Some(water_level(fields)?),
    };
    let least = file.quantity("least_depth");
    let casts: Vec<Option<Cast>> = file.maps("casts").map(|one| cast(one, plane)).collect();
    let casts: Option<Vec<Cast>> = casts.into_iter().collect();
    Some(Depths {
        soundings,
        level,
        least,
        casts: casts?,
    })
}

fn soundings(fields: Fields<'_>, plane: &Plane, sounded: &Sounded) -> Option<Soundings> {
    let file = fields.required_text("file")?;
    let datum = fields.required_text("datum");
    let surveyed = date(fields, "surveyed");
    let error = fields.required("error");
    let longest_edge = fields.required::<Length>("longest_edge")?;
    let points = match sounded.on_plane(plane) {
        Ok(points) => points,
        Err(problem) => {
            fields.problem(problem.with(file.span(), "named as the soundings here"));
            return None;
        }
    };
    if let Some(problem) = heights(&points, &file) {
        fields.problem(problem);
        return None;
    }
    let bed = match Triangles::new(&points, longest_edge.value) {
        Ok(bed) => Arc::new(bed),
        Err(error) => {
            let span = match error {
                SeabedError::NoTriangle(_) | SeabedError::Edge(_) => longest_edge.span(),
                _ => file.span(),
            };
            let text = format!("the soundings make no bed: {error}");
            fields.problem(Problem::new("input-geodata", span, text));
            return None;
        }
    };
    Some(Soundings {
        bed,
        file,
        datum: datum?,
        surveyed: surveyed?,
        error: error?,
        longest_edge,
    })
}

fn cast(fields: Fields<'_>, plane: &Plane) -> Option<Cast> {
    let at = point(plane, fields, "at");
    let depth = fields.required("depth");
    let day = date(fields, "measured");
    let error = fields.quantity_or("error");
    Some(Cast {
        at: at?.value,
        depth: depth?,
        day: day?,
        error,
    })
}

/// Depths of which most are negative are the heights of a bed, or of land.
fn heights(points: &[Sounding], file: &Stated<String>) -> Option<Problem> {
    let negative = points.iter().filter(|one| one.depth < Length::ZERO).count();
    (negative * 2 > points.len()).then(|| {
        let text = format!(
            "{negative} of {} soundings are negative, which is above the datum: these look like heights of the \
             bed, not depths of the water",
            points.len()
        );
        Problem::value(file.span(), text)
            .help("write depths, positive downwards from the datum; only drying heights are \
                   negative")
    })
}

fn water_level(fields: Fields<'_>) -> Option<WaterLevel> {
    let above_datum = fields.required("above_datum");
    let read = date(fields, "read");
    let error = fields.required("error");
    Some(WaterLevel {
        above_datum: above_datum?,
        read: read?,
        error: error?,
    })
}
