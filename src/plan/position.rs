//! Positions, and telling a swapped pair.

use crate::document::{Node, Value};
use crate::models::geodesy::Position;
use crate::schema::{Fields, Problem, Stated};

/// Reads `[latitude, longitude]`.
pub(super) fn of_node(fields: Fields<'_>, node: &Node) -> Option<Stated<Position>> {
    let refuse = |text: String| {
        fields.problem(Problem::value(node.span, text));
        None
    };
    let Value::List(items) = &node.value else {
        return refuse(format!(
            "a position is due here, [latitude, longitude], not {}",
            node.kind_name()
        ));
    };
    let numbers: Vec<f64> = items.iter().filter_map(Node::as_number).collect();
    match (numbers.as_slice(), items.len()) {
        ([latitude, longitude], 2) => {
            if latitude.abs() > 90.0 || longitude.abs() > 180.0 {
                let swapped = longitude.abs() <= 90.0 && latitude.abs() <= 180.0;
                let hint = if swapped {
                    "; latitude comes first"
                } else {
                    ""
                };
                return refuse(format!(
                    "[{latitude}, {longitude}] is not on the earth: latitude goes to 90, longitude to 180{hint}"
                ));
            }
            Some(Stated::written(
                Position::from_degrees(*latitude, *longitude),
                node.span,
            ))
        }
        _ => refuse("a position is two numbers, [latitude, longitude]".to_owned()),
    }
}

/// The two numbers of a position, latitude first, where it is one on the earth.
pub(super) fn numbers(node: &Node) -> Option<(f64, f64)> {
    let [latitude, longitude] = node.as_list()? else {
        return None;
    };
    let pair = (latitude.as_number()?, longitude.as_number()?);
    (pair.0.abs() <= 90.0 && pair.1.abs() <= 180.0).then_some(pair)
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
