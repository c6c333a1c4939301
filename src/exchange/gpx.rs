//! A course as GPX 1.1: one route, the launch and the recovery point as waypoints beside it. The
//! order of elements is that of the schema (<https://www.topografix.com/GPX/1/1/>).

use std::io;

use super::course::{Course, CoursePoint, PROGRAM, Role};
use super::written::Xml;
use crate::units::decimal_degrees;

pub(super) fn write(course: &Course) -> io::Result<String> {
    let mut xml = Xml::begin()?;
    xml.open(
        "gpx",
        &[
            ("xmlns", "http://www.topografix.com/GPX/1/1"),
            ("version", "1.1"),
            ("creator", PROGRAM),
        ],
    )?;
    let remarks = course.remarks.join("\n");
    xml.open("metadata", &[])?;
    xml.leaf("name", &course.name)?;
    xml.leaf("desc", &remarks)?;
    xml.close("metadata")?;
    for at in &course.points {
        if matches!(at.role, Role::Launch | Role::Recovery) {
            point(&mut xml, "wpt", at)?;
        }
    }
    xml.open("rte", &[])?;
    xml.leaf("name", &course.name)?;
    xml.leaf("desc", &remarks)?;
    for at in &course.points {
        point(&mut xml, "rtept", at)?;
    }
    xml.close("rte")?;
    xml.close("gpx")?;
    xml.end()
}

fn point(xml: &mut Xml, element: &str, point: &CoursePoint) -> io::Result<()> {
    let latitude = decimal_degrees(point.position.latitude.to_degrees());
    let mut longitude = decimal_degrees(point.position.longitude.to_degrees());
    // The schema's longitudes end short of 180.
    if longitude == "180.000000" {
        longitude.insert(0, '-');
    }
    xml.open(element, &[("lat", &latitude), ("lon", &longitude)])?;
    xml.leaf("name", &point.name)?;
    xml.leaf("desc", &point.remark)?;
    xml.leaf("type", point.role.name())?;
    xml.close(element)
}
