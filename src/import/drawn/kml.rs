//! Lines and polygons of KML 2.2.

use super::{Drawing, Gathered, Marks, Role, Vertex, Winding, mark, off};
use crate::document::xml::{Attribute, Visitor, XmlLimits, walk};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};

struct Reading<'a> {
    gathered: Gathered<'a>,
    /// The whole file, to find a position in it again.
    text: &'a str,
    /// Where what is read begins, and what was read before it.
    offset: usize,
    before: usize,
    /// Where a position that is off stands.
    off: Option<usize>,
}

/// Reads the lines and polygons of a file.
pub(super) fn read(text: String) -> Result<Drawing, Fault> {
    let mut reading = Reading {
        gathered: Gathered::new(&Crs::Wgs84),
        text: &text,
        offset: 0,
        before: 0,
        off: None,
    };
    let walked = walk(&text, &XmlLimits::GEODATA, &mut reading);
    let Reading {
        gathered, off: at, ..
    } = reading;
    match (walked, at) {
        (Ok(()), _) => {
            let Gathered { shapes, beside, .. } = gathered;
            let gathered = Gathered {
                shapes,
                beside,
                ..Gathered::new(&Crs::Wgs84)
            };
            Ok(gathered.finish("KML", Some(Winding::Anticlockwise), Marks::Text(text)))
        }
        (Err(error), Some(at)) => Err(Fault::at(Place::in_text(&text, at), error.message)),
        (Err(error), None) => Err(off(&error)),
    }
}

impl Visitor for Reading<'_> {
    fn at(&mut self, offset: usize) {
        self.before = std::mem::replace(&mut self.offset, offset);
    }

    fn open(&mut self, path: &[String], _: &[Attribute]) -> Result<(), String> {
        if path.last().is_some_and(|name| name == "Point") {
            self.gathered.beside += 1;
        }
        Ok(())
    }

    fn close(&mut self, path: &[String], text: &str) -> Result<(), String> {
        let mut names = path.iter().rev().map(String::as_str);
        if names.next() != Some("coordinates") {
            return Ok(());
        }
        let role = match (names.next(), names.next()) {
            (Some("LineString"), _) => Role::Line,
            (Some("LinearRing"), Some("outerBoundaryIs")) => Role::Outer,
            (Some("LinearRing"), Some("innerBoundaryIs")) => Role::Hole,
            (Some("LinearRing"), _) => Role::Line,
            _ => return Ok(()),
        };
        let points = self.positions(text)?;
        self.gathered.add(role, points);
        Ok(())
    }
}

impl Reading<'_> {
    /// Positions apart by blanks, longitude first, their numbers apart by commas.
    fn positions(&mut self, text: &str) -> Result<Vec<Vertex>, String> {
        // Where the file has the text as it is here, without references or comments within.
        let raw = self.text.get(self.before..self.offset).unwrap_or_default();
        let begins = self.before + raw.len() - raw.trim_start().len();
        let verbatim = raw.trim() == text;
        let mut points = Vec::new();
        for one in text.split_whitespace() {
            let within = (one.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
            let at = if verbatim {
                begins + within
            } else {
                self.before
            };
            let mut numbers = one.split(',').map(|number| {
                let number: Option<f64> = number.parse().ok();
                number.filter(|number| number.is_finite())
            });
            let position = (numbers.next().flatten(), numbers.next().flatten());
            let vertex = match position {
                (Some(longitude), Some(latitude)) => {
                    self.gathered.vertex(longitude, latitude, mark(at))
                }
                _ => Err((
                    mark(at),
                    format!(
                        "`{}` is no position: longitude, latitude and perhaps a height, with commas and no spaces",
                        excerpt(one)
                    ),
                )),
            };
            points.push(vertex.map_err(|(_, text)| {
                self.off = Some(at);
                text
            })?);
        }
        Ok(points)
    }
}
