//! A shoreline from the outlines and lines of a file: rings of water with islands as holes, simplified so that no
//! land becomes water.

mod nest;
mod open;
mod rings;
mod simplify;
mod written;

pub(crate) use open::OpenMark;

use super::crs::Crs;
use super::drawn::{self, Drawing, Vertex, Winding};
use super::fault::{Fault, Place, TOLD, counted, shown_position};
use super::whereabouts::Whereabouts;
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{GeometryError, Polygon, Shore, ring_area};
use crate::models::plane::Point;
use crate::units::Length;
use nest::Nested;

/// How a shoreline is to come in.
#[derive(Debug)]
pub(crate) struct ShorelineOptions {
    /// The system of the file's coordinates, where it is stated.
    pub crs: Option<Crs>,
    /// How far the shoreline may move where that takes points off.
    pub tolerance: Option<Length>,
    /// Gaps between lines up to this are closed by a straight line.
    pub join: Length,
    /// Edges past which open water goes on.
    pub open: Vec<OpenMark>,
    /// Vertices that have to stay.
    pub keep: Vec<Position>,
}

/// A shoreline as it came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct ShorelineImport {
    /// The text of the file.
    pub text: String,
    /// Lines of a site's file that name it.
    pub site: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
    /// Where it lies, with its place in the file.
    pub reach: Vec<(Whereabouts, Place)>,
}

/// A ring of vertices in the plane, the first not repeated.
#[derive(Clone, PartialEq, Debug)]
struct Ring {
    vertices: Vec<Vertex>,
    points: Vec<Point>,
    /// What the file says that it is.
    role: drawn::Role,
}

impl Ring {
    fn turn_round(&mut self) {
        self.vertices.reverse();
        self.points.reverse();
    }

    fn is_anticlockwise(&self) -> bool {
        ring_area(&self.points) > 0.0
    }
}

/// Brings a shoreline in from the bytes of a file.
///
/// # Errors
/// Everything that is wrong with it that was found in one go.
pub(crate) fn import_shoreline(
    bytes: Vec<u8>,
    file: &str,
    options: &ShorelineOptions,
) -> Result<ShorelineImport, Vec<Fault>> {
    let drawing = drawn::read(bytes, options.crs.as_ref()).map_err(|fault| vec![fault])?;
    let mut notes: Vec<String> = Vec::new();
    notes.extend(drawing.notes.iter().cloned());
    notes.extend(options.crs.as_ref().and_then(Crs::caution));
    let plane = plane_of(&drawing).map_err(|fault| vec![fault])?;
    let reach = reach(&drawing);
    let closed = rings::close(&drawing, &plane, options.join)?;
    notes.extend(closed.notes);
    let mut all = closed.rings;
    crossings(&drawing, &plane, &all)?;
    let nested = nest::nest(&drawing, &mut all).map_err(|fault| vec![fault])?;
    notes.extend(nested.notes.iter().cloned());
    let marked =
        open::mark(&options.open, &options.keep, &plane, &all).map_err(|fault| vec![fault])?;
    let before: usize = all.iter().map(|ring| ring.points.len()).sum();
    let mut stopped = false;
    if let Some(tolerance) = options.tolerance {
        let rings: Vec<&[Point]> = all.iter().map(|ring| ring.points.as_slice()).collect();
        let kept = simplify::simplify(&rings, &marked.fixed, tolerance.get());
        stopped = kept.stopped;
        for (ring, kept) in all.iter_mut().zip(&kept.kept) {
            ring.vertices = kept.iter().map(|index| ring.vertices[*index]).collect();
            ring.points = kept.iter().map(|index| ring.points[*index]).collect();
        }
    }
    if stopped {
        notes.push(
            "only a part of the shoreline was simplified: too many of its points lie close together"
                .to_owned(),
        );
    }
    let after: usize = all.iter().map(|ring| ring.points.len()).sum();
    let area = valid(&drawing, &plane, &all, &nested).map_err(|fault| vec![fault])?;
    if drawing.beside > 0 {
        notes.push(format!(
            "left out of the file: {}, since only lines and areas make a shoreline",
            counted(drawing.beside, "point or other object")
        ));
    }
    let waters = nested.polygons.len();
    let islands: usize = nested.polygons.iter().map(|one| one.holes.len()).sum();
    let middle = plane.origin();
    let summary = format!(
        "{} of water, {}, {} in all, about {}; {} of {} points kept",
        counted(waters, "area"),
        counted(islands, "island"),
        size(area),
        shown_position(middle.latitude.to_degrees(), middle.longitude.to_degrees()),
        after,
        before
    );
    Ok(ShorelineImport {
        text: written::geojson(&all, &nested, file, &drawing, options.tolerance),
        site: written::site(&marked, options.tolerance),
        notes,
        summary,
        reach,
    })
}

/// How far the drawing reaches, with the place of its first vertex in the file.
fn reach(drawing: &Drawing) -> Vec<(Whereabouts, Place)> {
    let vertices = || drawing.shapes.iter().flat_map(|shape| &shape.points);
    let positions = vertices().map(|one| (one.latitude, one.longitude));
    let first = vertices().next().map(|one| drawing.place(one));
    let reach = Whereabouts::from_positions(positions).zip(first);
    reach.into_iter().collect()
}

/// An area in km², or in m² where that would be next to nothing.
fn size(square_metres: f64) -> String {
    if square_metres < 1000.0 {
        format!("{square_metres:.0} m²")
    } else {
        format!("{:.4} km²", square_metres / 1e6)
    }
}

/// The plane about the middle of everything that is drawn, which a check lays as well.
fn plane_of(drawing: &Drawing) -> Result<Plane, Fault> {
    let mut low = (f64::INFINITY, f64::INFINITY);
    let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let vertices = || drawing.shapes.iter().flat_map(|shape| &shape.points);
    for vertex in vertices() {
        low = (low.0.min(vertex.latitude), low.1.min(vertex.longitude));
        high = (high.0.max(vertex.latitude), high.1.max(vertex.longitude));
    }
    if vertices().next().is_none() {
        return Err(Fault::whole("there is no line and no area in the file"));
    }
    let middle = Position::from_degrees(f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
    let plane = Plane::about(middle);
    // The far side of the earth would fold back into the plane.
    let wide = high.0 - low.0 > 1.0 || high.1 - low.1 > 90.0;
    for vertex in vertices() {
        let point = plane.to_plane(position(vertex));
        let far = point.length() > Plane::LIMIT.get() || !point.is_finite();
        if far || wide {
            return Err(Fault::at(
                drawing.place(vertex),
                format!(
                    "{} lies more than {} from the middle of the shoreline, which is as far as a site reaches; cut the \
                     file to the water in use",
                    shown_position(vertex.latitude, vertex.longitude),
                    Plane::LIMIT
                ),
            ));
        }
    }
    Ok(plane)
}

fn position(vertex: &Vertex) -> Position {
    Position::from_degrees(vertex.latitude, vertex.longitude)
}

/// Refuses rings that meet themselves, each told where it does.
fn crossings(drawing: &Drawing, plane: &Plane, all: &[Ring]) -> Result<(), Vec<Fault>> {
    let mut faults = Vec::new();
    for (number, ring) in all.iter().enumerate() {
        if let Err(error) = Polygon::new(ring.points.clone(), Vec::new()) {
            faults.push(fault(drawing, plane, &[&all[number]], &error));
        }
        if faults.len() >= TOLD {
            break;
        }
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(faults)
    }
}

/// What is wrong with rings, at its place in the file and on the earth.
fn fault(drawing: &Drawing, plane: &Plane, rings: &[&Ring], error: &GeometryError) -> Fault {
    let vertex = |ring: usize, index: usize| rings.get(ring)?.vertices.get(index);
    let place = |ring: usize, index: usize| vertex(ring, index).map(|one| drawing.place(one));
    let at = |ring: usize, index: usize| place(ring, index).unwrap_or(Place::Whole);
    match error {
        GeometryError::Crosses {
            first,
            second,
            at: met,
        } => {
            let met = plane.to_position(*met);
            let what = if first.0 == second.0 {
                "the outline meets itself"
            } else {
                "two outlines meet"
            };
            let other = at(second.0, second.1);
            Fault::at(
                at(first.0, first.1),
                format!(
                    "{what} at {}: the edge that begins here and another one{}; draw them apart, or as one outline",
                    shown_position(met.latitude.to_degrees(), met.longitude.to_degrees()),
                    other.behind()
                ),
            )
        }
        GeometryError::NotFinite { ring }
        | GeometryError::TooFewPoints { ring }
        | GeometryError::NoArea { ring }
        | GeometryError::Nested { ring }
        | GeometryError::HoleOutside { ring } => {
            let begins = vertex(*ring, 0).map_or_else(String::new, |one| {
                format!(
                    ", which begins at {}",
                    shown_position(one.latitude, one.longitude)
                )
            });
            Fault::at(at(*ring, 0), format!("{error}{begins}"))
        }
        GeometryError::Crowded => Fault::whole(error.to_string()),
    }
}

/// Holds the rings to what a check holds a shoreline to, and gives the area of the water, m².
fn valid(drawing: &Drawing, plane: &Plane, all: &[Ring], nested: &Nested) -> Result<f64, Fault> {
    let mut polygons = Vec::new();
    let mut order: Vec<&Ring> = Vec::new();
    for one in &nested.polygons {
        let rings: Vec<&Ring> = std::iter::once(one.outer)
            .chain(one.holes.iter().copied())
            .map(|ring| &all[ring])
            .collect();
        let mut points = rings.iter().map(|ring| ring.points.clone());
        let outer = points.next().unwrap_or_default();
        let polygon = Polygon::new(outer, points.collect());
        polygons.push(polygon.map_err(|error| fault(drawing, plane, &rings, &error))?);
        order.extend(rings);
    }
    let area = polygons.iter().map(Polygon::area).sum();
    Shore::new(polygons).map_err(|error| fault(drawing, plane, &order, &error))?;
    Ok(area)
}

/// Whether a format wants an outer ring to run anticlockwise.
fn wants_anticlockwise(drawing: &Drawing) -> bool {
    drawing.winding == Some(Winding::Anticlockwise)
}

#[cfg(test)]
mod tests;
