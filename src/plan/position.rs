//! Positions, and telling a swapped pair.

use crate::document::{Node, Value};
use crate::models::geodesy::Position;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{self, Axis};

/// What is wrong with a list of other things.
const NEITHER: &str = "a position is two numbers, [latitude, longitude], or two texts with their letters, \
                       [52°23.764′N, 24°18.630′W]";

/// Reads a position: `[latitude, longitude]` in decimal degrees, the same two as texts with their letters, or
/// both in one text.
pub(super) fn of_node(fields: Fields<'_>, node: &Node) -> Option<Stated<Position>> {
    match degrees(node) {
        Ok((latitude, longitude)) => Some(Stated::written(
            Position::from_degrees(latitude, longitude),
            node.span,
        )),
        Err((at, text)) => {
            fields.problem(Problem::value(at.span, text));
            None
        }
    }
}

/// Latitude and longitude in degrees; or what is wrong, with the value that it is wrong of.
fn degrees(node: &Node) -> Result<(f64, f64), (&Node, String)> {
    let items = match &node.value {
        Value::List(items) => items,
        Value::Text(text) => {
            return match units::position(text) {
                Ok(at) => Ok((at.latitude, at.longitude)),
                Err(error) => Err((node, error)),
            };
        }
        _ => {
            let text = format!(
                "a position is due here, [latitude, longitude], not {}",
                node.kind_name()
            );
            return Err((node, text));
        }
    };
    let [first, second] = items.as_slice() else {
        return Err((node, NEITHER.to_owned()));
    };
    if let (Some(latitude), Some(longitude)) = (first.as_text(), second.as_text()) {
        let latitude = units::ordinate_of(latitude, Axis::Latitude);
        let longitude = units::ordinate_of(longitude, Axis::Longitude);
        return Ok((
            latitude.map_err(|error| (first, error))?.degrees,
            longitude.map_err(|error| (second, error))?.degrees,
        ));
    }
    let (Some(latitude), Some(longitude)) = (first.as_number(), second.as_number()) else {
        return Err((node, NEITHER.to_owned()));
    };
    if latitude.abs() > Axis::Latitude.most() || longitude.abs() > Axis::Longitude.most() {
        let swapped = longitude.abs() <= 90.0 && latitude.abs() <= 180.0;
        let hint = if swapped {
            "; latitude comes first"
        } else {
            ""
        };
        let text = format!(
            "[{latitude}, {longitude}] is not on the earth: latitude goes to 90, longitude to 180{hint}"
        );
        return Err((node, text));
    }
    Ok((latitude, longitude))
}

/// The degrees of a position, latitude first, where it is one on the earth.
pub(crate) fn position_degrees(node: &Node) -> Option<(f64, f64)> {
    degrees(node).ok()
}

/// A field that holds a position.
pub(super) fn field(fields: Fields<'_>, key: &str) -> Option<Stated<Position>> {
    of_node(fields, fields.get(key)?)
}

/// A field that must hold a position.
pub(super) fn required(fields: Fields<'_>, key: &str) -> Option<Stated<Position>> {
    if fields.get(key).is_none() {
        fields.problem(
            Problem::new("input-schema", fields.span(), format!("`{key}` is missing"))
                .labelled(format!("`{key}` belongs in here")),
        );
    }
    field(fields, key)
}

/// A field that holds a list of positions, each on its own line.
pub(super) fn list(fields: Fields<'_>, key: &str) -> Option<Vec<Stated<Position>>> {
    fields.get(key)?;
    // Every one is looked at, so that all that are wrong are told of.
    let positions: Vec<Option<Stated<Position>>> = fields
        .list(key)
        .iter()
        .map(|item| of_node(fields, item))
        .collect();
    positions.into_iter().collect()
}
