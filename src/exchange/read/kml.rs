//! Lines and points of KML.

use super::{Found, Gathered, Named, named, number, placed};
use crate::document::xml::{Attribute, Visitor, XmlLimits, walk};
use crate::exchange::Form;

#[derive(Default)]
struct Reading {
    gathered: Gathered,
    /// How many lines and points there were when the placemark began, which its name is for.
    before: (usize, usize),
    name: Option<String>,
}

/// Reads KML: its one line, or its points in order.
pub(super) fn parse_route(text: &str) -> Result<Found, String> {
    let mut reading = Reading::default();
    walk(text, &XmlLimits::GEODATA, &mut reading).map_err(|error| error.to_string())?;
    reading.gathered.route(Form::Kml)
}

impl Visitor for Reading {
    fn open(&mut self, path: &[String], _: &[Attribute]) -> Result<(), String> {
        if path.last().is_some_and(|name| name == "Placemark") {
            self.before = (self.gathered.lines.len(), self.gathered.points.len());
            self.name = None;
        }
        Ok(())
    }

    fn close(&mut self, path: &[String], text: &str) -> Result<(), String> {
        let names: Vec<&str> = path.iter().rev().map(String::as_str).take(2).collect();
        match names[..] {
            ["name", "Placemark"] => self.name = named(text),
            ["coordinates", "LineString"] => {
                let line = self.positions(text)?;
                if !line.is_empty() {
                    self.gathered.lines.push((None, line));
                }
            }
            ["coordinates", "Point"] => {
                let points = self.positions(text)?;
                self.gathered.points.extend(points);
            }
            ["Polygon", ..] => self.gathered.areas += 1,
            ["Placemark", ..] => {
                let (lines, points) = self.before;
                for (name, _) in self.gathered.lines.iter_mut().skip(lines) {
                    name.clone_from(&self.name);
                }
                for point in self.gathered.points.iter_mut().skip(points) {
                    point.name.clone_from(&self.name);
                }
            }
            _ => {}
        }
        Ok(())
    }
}

impl Reading {
    /// Positions `longitude,latitude` or with a height, apart by blanks (OGC 07-147r2, 16.1).
    fn positions(&mut self, text: &str) -> Result<Vec<Named>, String> {
        let mut positions = Vec::new();
        for tuple in text.split_whitespace() {
            self.gathered.count()?;
            let numbers: Vec<&str> = tuple.split(',').collect();
            let whole = numbers.iter().all(|number| !number.is_empty());
            let ([longitude, latitude] | [longitude, latitude, _], true) = (&numbers[..], whole)
            else {
                return Err(
                    "a position is longitude, latitude and height, with commas and no spaces"
                        .to_owned(),
                );
            };
            positions.push(placed(
                number(latitude, "latitude")?,
                number(longitude, "longitude")?,
            )?);
        }
        Ok(positions)
    }
}
