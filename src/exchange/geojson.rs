//! A course as GeoJSON (RFC 7946): the route as a line, and each of its points.

use std::io;

use serde_json::{Value, json};

use super::course::{Course, CoursePoint, PROGRAM};
use crate::report::output::text;
use crate::units::decimal_degrees;

pub(super) fn write(course: &Course) -> io::Result<String> {
    let line: Vec<Value> = course
        .points
        .iter()
        .map(coordinates)
        .collect::<Result<_, _>>()?;
    let mut features = vec![json!({
        "type": "Feature",
        "geometry": { "type": "LineString", "coordinates": line },
        "properties": {
            "name": course.name,
            "description": course.remarks.join("\n"),
            "mission": course.mission,
            "vessel": course.vessel,
            "site": course.site,
            "policy": course.policy,
            "not_kept": course.not_kept,
            "waived": course.waived,
            "digest": course.digest,
            "program": PROGRAM,
        },
    })];
    for point in &course.points {
        features.push(json!({
            "type": "Feature",
            "geometry": { "type": "Point", "coordinates": coordinates(point)? },
            "properties": {
                "name": point.name,
                "role": point.role.name(),
                "description": point.remark,
            },
        }));
    }
    let whole = json!({ "type": "FeatureCollection", "features": features });
    Ok(text(&whole)?)
}

/// Longitude first (RFC 7946, section 3.1.1).
fn coordinates(point: &CoursePoint) -> io::Result<Value> {
    let number = |degrees_: f64| -> io::Result<Value> {
        let digits: f64 = decimal_degrees(degrees_)
            .parse()
            .map_err(io::Error::other)?;
        Ok(digits.into())
    };
    let position = point.position;
    Ok(json!([
        number(position.longitude.to_degrees())?,
        number(position.latitude.to_degrees())?
    ]))
}
