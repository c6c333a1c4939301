//! Tracks and routes of GPX, each segment a line.

use super::{Drawing, Gathered, Marks, Role, Vertex, mark, off};
use crate::document::xml::{Attribute, Visitor, XmlLimits, attribute, walk};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, excerpt};

struct Reading<'a> {
    gathered: Gathered<'a>,
    line: Vec<Vertex>,
    offset: usize,
}

/// Reads the tracks and routes of GPX 1.1 or 1.0.
pub(super) fn read(text: String) -> Result<Drawing, Fault> {
    let mut reading = Reading {
        gathered: Gathered::new(&Crs::Wgs84),
        line: Vec::new(),
        offset: 0,
    };
    walk(&text, &XmlLimits::GEODATA, &mut reading).map_err(|error| off(&error))?;
    let gathered = reading.gathered;
    Ok(gathered.finish("GPX", None, Marks::Text(text)))
}

fn names(path: &[String]) -> Vec<&str> {
    path.iter().map(String::as_str).collect()
}

impl Visitor for Reading<'_> {
    fn at(&mut self, offset: usize) {
        self.offset = offset;
    }

    fn open(&mut self, path: &[String], attributes: &[Attribute]) -> Result<(), String> {
        match names(path)[..] {
            ["gpx"] => {
                let version = attribute(attributes, "version").unwrap_or("none");
                if !["1.1", "1.0"].contains(&version) {
                    return Err("only GPX versions 1.1 and 1.0 are supported".to_owned());
                }
            }
            ["gpx", "wpt"] => self.gathered.beside += 1,
            ["gpx", "rte", "rtept"] | ["gpx", "trk", "trkseg", "trkpt"] => {
                let degrees = |name: &str| -> Result<f64, String> {
                    let text = attribute(attributes, name);
                    let text = text.ok_or_else(|| format!("a point has no `{name}`"))?;
                    let number = text
                        .trim()
                        .parse()
                        .ok()
                        .filter(|number: &f64| number.is_finite());
                    number.ok_or_else(|| format!("`{}` is not a number", excerpt(text)))
                };
                let (latitude, longitude) = (degrees("lat")?, degrees("lon")?);
                let vertex = self.gathered.vertex(longitude, latitude, mark(self.offset));
                self.line.push(vertex.map_err(|(_, text)| text)?);
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, path: &[String], _: &str) -> Result<(), String> {
        if matches!(names(path)[..], ["gpx", "rte"] | ["gpx", "trk", "trkseg"]) {
            let line = std::mem::take(&mut self.line);
            self.gathered.add(Role::Line, line);
        }
        Ok(())
    }
}
