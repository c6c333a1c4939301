//! A course as KML 2.2 (OGC 07-147r2): the route as one line, its points in a folder.

use std::io;

use super::course::{Course, CoursePoint, PROGRAM};
use super::written::Xml;
use crate::units::decimal_degrees;

pub(super) fn write(course: &Course) -> io::Result<String> {
    let mut xml = Xml::begin()?;
    xml.open("kml", &[("xmlns", "http://www.opengis.net/kml/2.2")])?;
    xml.open("Document", &[])?;
    xml.leaf("name", &course.name)?;
    xml.leaf("description", &no_markup(&course.remarks.join("\n")))?;
    xml.open("ExtendedData", &[])?;
    for (name, value) in [
        ("program", PROGRAM),
        ("mission", &course.mission),
        ("digest", &course.digest),
        ("not met", &course.not_kept.join(", ")),
    ] {
        xml.open("Data", &[("name", name)])?;
        xml.leaf("value", value)?;
        xml.close("Data")?;
    }
    xml.close("ExtendedData")?;
    xml.open("Placemark", &[])?;
    xml.leaf("name", &course.name)?;
    xml.open("LineString", &[])?;
    xml.leaf("tessellate", "1")?;
    let line: Vec<String> = course.points.iter().map(coordinates).collect();
    xml.leaf("coordinates", &line.join(" "))?;
    xml.close("LineString")?;
    xml.close("Placemark")?;
    xml.open("Folder", &[])?;
    xml.leaf("name", "points of the route, in order")?;
    for point in &course.points {
        xml.open("Placemark", &[])?;
        xml.leaf("name", &point.name)?;
        xml.leaf("description", &no_markup(&point.remark))?;
        xml.open("Point", &[])?;
        xml.leaf("coordinates", &coordinates(point))?;
        xml.close("Point")?;
        xml.close("Placemark")?;
    }
    xml.close("Folder")?;
    xml.close("Document")?;
    xml.close("kml")?;
    xml.end()
}

/// Longitude first, and no height: the line lies on the water.
fn coordinates(point: &CoursePoint) -> String {
    let position = point.position;
    format!(
        "{},{}",
        decimal_degrees(position.longitude.to_degrees()),
        decimal_degrees(position.latitude.to_degrees())
    )
}

/// A description may hold markup, which programs act on (OGC 07-147r2, 9.1.3.10). What a plan says
/// is text, and its signs are written as markup names them.
fn no_markup(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
