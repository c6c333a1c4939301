//! The shoreline as a file that a site names, and the lines of the site that name it.

use std::fmt::Write as _;

use super::Ring;
use super::nest::Nested;
use super::open::Marked;
use crate::import::drawn::Drawing;
use crate::schema::marks::gap;
use crate::source::printable_line;
use crate::units::decimal_degrees;
use crate::units::{Length, Typed as _};

/// GeoJSON polygons, the rings of each with the water to their left.
pub(super) fn geojson(
    rings: &[Ring],
    nested: &Nested,
    file: &str,
    drawing: &Drawing,
    tolerance: Option<Length>,
) -> String {
    let mut name = format!(
        "Water, imported from {} ({})",
        printable_line(file),
        drawing.form
    );
    if let Some(tolerance) = tolerance {
        let tolerance = tolerance.quantity().exact();
        let _ = write!(name, ", simplified by {tolerance} towards the water");
    }
    let name = serde_json::Value::from(name).to_string();
    let mut text = String::from("{\n  \"type\": \"FeatureCollection\",\n  \"features\": [");
    for (number, water) in nested.polygons.iter().enumerate() {
        text.push_str(if number == 0 { "\n" } else { ",\n" });
        let _ = write!(
            text,
            "    {{\n      \"type\": \"Feature\",\n      \"properties\": {{ \"name\": {name} }},\n      \
             \"geometry\": {{\n        \"type\": \"Polygon\",\n        \"coordinates\": ["
        );
        for (index, ring) in std::iter::once(&water.outer)
            .chain(&water.holes)
            .enumerate()
        {
            text.push_str(if index == 0 {
                "\n          [\n"
            } else {
                ",\n          [\n"
            });
            let vertices = &rings[*ring].vertices;
            for (index, vertex) in vertices.iter().chain(vertices.first()).enumerate() {
                text.push_str(if index == 0 { "" } else { ",\n" });
                let _ = write!(
                    text,
                    "            [{}, {}]",
                    decimal_degrees(vertex.longitude),
                    decimal_degrees(vertex.latitude)
                );
            }
            text.push_str("\n          ]");
        }
        text.push_str("\n        ]\n      }\n    }");
    }
    text.push_str("\n  ]\n}\n");
    text
}

/// The fields of a site that belong to it, the path of the file left out.
pub(super) fn site(marked: &Marked, tolerance: Option<Length>) -> String {
    let mut text = String::new();
    let more = tolerance.map_or_else(String::new, |tolerance| {
        let tolerance = tolerance.quantity().exact();
        format!("; simplifying moved it by up to {tolerance}, into the water")
    });
    let told = format!("error of the survey at 95 %, with what the water level adds{more}");
    let _ = writeln!(text, "  {}", gap("error", &told));
    if !marked.edges.is_empty() {
        text.push_str("open_edges:\n");
    }
    for edge in &marked.edges {
        // With all of its digits: a shorter fetch raises lower waves.
        let fetch = edge
            .fetch
            .map_or_else(|| "unlimited".to_owned(), |fetch| fetch.quantity().exact());
        let _ = writeln!(
            text,
            "  - {{ from: [{}, {}], to: [{}, {}], fetch: {fetch} }}",
            decimal_degrees(edge.from.0),
            decimal_degrees(edge.from.1),
            decimal_degrees(edge.to.0),
            decimal_degrees(edge.to.1)
        );
    }
    text
}
