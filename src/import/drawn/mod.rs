//! Lines and outlines as a file of geodata draws them, each vertex with its place in the file.

mod geojson;
mod gpx;
mod kml;
mod shapefile;

use super::crs::Crs;
use super::fault::{Fault, Place, excerpt};
use super::zip;
use crate::document::xml::{Attribute, Visitor, XmlError, XmlLimits, walk};
use crate::source::Limit;

/// The largest file that a drawing is read from, and the most that an archive may unpack to: 64 MiB.
pub(crate) const LARGEST: Limit = Limit::SHORELINE;
/// Most vertices of a drawing; more could not be written into a file that a check reads.
pub(super) const MOST_VERTICES: usize = 1_000_000;

/// A vertex, in degrees, with its place in the file: a byte of a text, or the number of a record.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Vertex {
    pub latitude: f64,
    pub longitude: f64,
    pub mark: u32,
}

impl Vertex {
    /// Whether two vertices lie on the same spot, to the last decimal that is kept.
    pub(super) fn same_spot(&self, other: &Self) -> bool {
        (self.latitude - other.latitude).abs() < 1e-10
            && (self.longitude - other.longitude).abs() < 1e-10
    }
}

/// What the file says that a row of vertices is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Role {
    /// The outer ring of a polygon.
    Outer,
    /// A ring cut out of one.
    Hole,
    /// A line, which closes or is a part of an outline.
    Line,
}

/// A row of vertices.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Shape {
    pub role: Role,
    pub points: Vec<Vertex>,
}

/// Which way round an outer ring runs in a format that says so; holes run the other way.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Winding {
    /// RFC 7946, section 3.1.6, and KML 2.2.
    Anticlockwise,
    /// The shapefile description of 1998, polygons.
    Clockwise,
}

/// How vertices are found again in the file.
#[derive(Clone, PartialEq, Debug)]
enum Marks {
    Text(String),
    Records,
}

/// Everything that a file draws.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Drawing {
    /// What people call the format.
    pub form: &'static str,
    pub shapes: Vec<Shape>,
    /// Points and other things that are no lines.
    pub beside: usize,
    /// Which way outer rings run in this format, if it says so.
    pub winding: Option<Winding>,
    /// What people are to know of how it was read, a sentence each without its full stop.
    pub notes: Vec<String>,
    marks: Marks,
}

impl Drawing {
    /// The place of a vertex in the file.
    pub(super) fn place(&self, vertex: &Vertex) -> Place {
        match &self.marks {
            Marks::Text(text) => Place::in_text(text, vertex.mark as usize),
            Marks::Records => Place::Record(vertex.mark),
        }
    }
}

/// A fault at a mark of the file.
pub(super) type Slip = (u32, String);

/// Gathers shapes within bounds.
struct Gathered<'a> {
    crs: &'a Crs,
    shapes: Vec<Shape>,
    vertices: usize,
    beside: usize,
}

impl<'a> Gathered<'a> {
    fn new(crs: &'a Crs) -> Self {
        Self {
            crs,
            shapes: Vec::new(),
            vertices: 0,
            beside: 0,
        }
    }

    fn vertex(&mut self, x: f64, y: f64, mark: u32) -> Result<Vertex, Slip> {
        self.vertices += 1;
        if self.vertices > MOST_VERTICES {
            return Err((
                mark,
                format!("the file has more than {MOST_VERTICES} vertices"),
            ));
        }
        let (latitude, longitude) = self.crs.to_degrees(x, y).map_err(|text| (mark, text))?;
        Ok(Vertex {
            latitude,
            longitude,
            mark,
        })
    }

    fn add(&mut self, role: Role, points: Vec<Vertex>) {
        if !points.is_empty() {
            self.shapes.push(Shape { role, points });
        }
    }

    fn finish(self, form: &'static str, winding: Option<Winding>, marks: Marks) -> Drawing {
        Drawing {
            form,
            shapes: self.shapes,
            beside: self.beside,
            winding,
            notes: Vec::new(),
            marks,
        }
    }
}

/// A byte of a text as a mark.
fn mark(byte: usize) -> u32 {
    u32::try_from(byte).unwrap_or(u32::MAX)
}

/// Reads a drawing out of a file's bytes; the form is recognised by what the file holds, not by its name. `crs` is the
/// system that the user states, if any.
///
/// # Errors
/// What is wrong with the file.
pub(super) fn read(bytes: Vec<u8>, crs: Option<&Crs>) -> Result<Drawing, Fault> {
    if zip::is_zip(&bytes) {
        return shapefile::read_zipped(&bytes, crs);
    }
    if shapefile::is_shapefile(&bytes) {
        return shapefile::read(&bytes, crs.ok_or_else(shapefile::no_system)?);
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let good = error.as_bytes().get(..at).unwrap_or_default();
        let good = String::from_utf8_lossy(good);
        Fault::at(
            Place::in_text(&good, at),
            "this is no text in UTF-8, and no shapefile or ZIP archive of one",
        )
    })?;
    match text
        .trim_start_matches('\u{feff}')
        .trim_start()
        .chars()
        .next()
    {
        None => Err(Fault::whole("the file is empty")),
        Some('{') => geojson::read(text, crs),
        Some('<') => xml(text, crs),
        Some(_) => Err(Fault::whole(
            "this is neither GeoJSON, nor KML, nor GPX, nor a shapefile or a ZIP archive of one",
        )),
    }
}

/// Finds out which XML format a file is in.
struct Root(Option<String>);

impl Visitor for Root {
    fn open(&mut self, path: &[String], _: &[Attribute]) -> Result<(), String> {
        self.0 = path.first().cloned();
        Err(String::new())
    }
    fn close(&mut self, _: &[String], _: &str) -> Result<(), String> {
        Ok(())
    }
}

fn xml(text: String, crs: Option<&Crs>) -> Result<Drawing, Fault> {
    let mut root = Root(None);
    let ended = walk(&text, &XmlLimits::GEODATA, &mut root);
    let known = root
        .0
        .as_deref()
        .filter(|root| ["gpx", "kml"].contains(root));
    if known.is_some() && crs.is_some_and(|crs| !crs.is_wgs84()) {
        return Err(Fault::whole(
            "GPX and KML are on WGS 84 by their standards; leave `--crs` out",
        ));
    }
    match (root.0.as_deref(), ended) {
        (Some("gpx"), _) => gpx::read(text),
        (Some("kml"), _) => kml::read(text),
        (Some(other), _) => Err(Fault::whole(format!(
            "the root element is `{}`; that of GPX is `gpx`, that of KML `kml`",
            excerpt(other)
        ))),
        (None, Err(error)) => Err(off(&error)),
        (None, Ok(())) => Err(Fault::whole("the file is empty")),
    }
}

/// What is wrong with an XML file, at its place.
fn off(error: &XmlError) -> Fault {
    Fault::at(Place::Line(error.line, error.column), error.message.clone())
}

#[cfg(test)]
pub(super) mod tests;
