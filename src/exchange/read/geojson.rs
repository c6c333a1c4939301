//! Lines and points of GeoJSON.

use super::{Found, Gathered, Named, named, placed};
use crate::document::{Node, ParseLimits, parse};
use crate::exchange::Form;
use crate::source::Sources;

/// As deep as geometries lie in one another.
const DEEPEST: usize = 8;

const LIMITS: ParseLimits = ParseLimits {
    nodes: 500_000,
    ..ParseLimits::YAML
};

/// Reads GeoJSON: its one line, or its points in order.
pub(super) fn parse_route(text: &str) -> Result<Found, String> {
    let mut sources = Sources::new();
    let source = sources.add("the file", text);
    let document = parse(source, text, &LIMITS).map_err(|errors| {
        errors.first().map_or_else(
            || "the file cannot be read".to_owned(),
            |error| {
                let line = sources.position(error.span).line;
                format!("line {line}: {}", error.message)
            },
        )
    })?;
    let mut reading = Reading {
        gathered: Gathered::default(),
        sources: &sources,
    };
    reading.take(&document.root, None, 0)?;
    reading.gathered.route(Form::GeoJson)
}

struct Reading<'a> {
    gathered: Gathered,
    sources: &'a Sources,
}

impl Reading<'_> {
    fn refuse<T>(&self, node: &Node, text: &str) -> Result<T, String> {
        let line = self.sources.position(node.span).line;
        Err(format!("line {line}: {text}"))
    }

    fn take(&mut self, node: &Node, name: Option<&str>, depth: usize) -> Result<(), String> {
        if depth > DEEPEST {
            return self.refuse(node, "geometries are nested too deeply");
        }
        let Some(kind) = node.get("type").and_then(Node::as_text) else {
            return self.refuse(node, "this has no `type`, which GeoJSON requires");
        };
        let members = |key: &str| node.get(key).and_then(Node::as_list);
        match kind {
            "FeatureCollection" | "GeometryCollection" => {
                let key = if kind == "FeatureCollection" {
                    "features"
                } else {
                    "geometries"
                };
                let Some(members) = members(key) else {
                    return self.refuse(node, &format!("this has no list `{key}`"));
                };
                for member in members {
                    self.take(member, name, depth + 1)?;
                }
            }
            "Feature" => {
                let properties = node.get("properties");
                let name = properties.and_then(|all| all.get("name")?.as_text());
                match node.get("geometry") {
                    // A feature without a place is allowed (RFC 7946, section 3.2).
                    Some(geometry) if geometry.is_null() => {}
                    Some(geometry) => self.take(geometry, name, depth + 1)?,
                    None => return self.refuse(node, "this feature has no `geometry`"),
                }
            }
            "Polygon" | "MultiPolygon" => self.gathered.areas += 1,
            "Point" | "MultiPoint" | "LineString" | "MultiLineString" => {
                let Some(coordinates) = node.get("coordinates") else {
                    return self.refuse(node, "this geometry has no `coordinates`");
                };
                self.geometry(kind, coordinates, name)?;
            }
            _ => return self.refuse(node, "this `type` is none of GeoJSON's"),
        }
        Ok(())
    }

    fn geometry(&mut self, kind: &str, node: &Node, name: Option<&str>) -> Result<(), String> {
        let name = name.and_then(named);
        match kind {
            "Point" => {
                let mut point = self.position(node)?;
                point.name = name;
                self.gathered.points.push(point);
            }
            "MultiPoint" => {
                let points = self.positions(node)?;
                self.gathered.points.extend(points);
            }
            "LineString" => {
                let line = self.positions(node)?;
                self.gathered.lines.push((name, line));
            }
            _ => {
                let Some(lines) = node.as_list() else {
                    return self.refuse(node, "a list of lines is due here");
                };
                for line in lines {
                    let line = self.positions(line)?;
                    self.gathered.lines.push((name.clone(), line));
                }
            }
        }
        Ok(())
    }

    fn positions(&mut self, node: &Node) -> Result<Vec<Named>, String> {
        let Some(items) = node.as_list() else {
            return self.refuse(node, "a list of positions is due here");
        };
        items.iter().map(|item| self.position(item)).collect()
    }

    /// Longitude first, and a height or more behind (RFC 7946, section 3.1.1).
    fn position(&mut self, node: &Node) -> Result<Named, String> {
        if let Err(text) = self.gathered.count() {
            return self.refuse(node, &text);
        }
        let items = node.as_list().unwrap_or(&[]);
        let numbers: Vec<f64> = items.iter().filter_map(Node::as_number).collect();
        match numbers[..] {
            [longitude, latitude, ..] if numbers.len() == items.len() => {
                placed(latitude, longitude).or_else(|text| self.refuse(node, &text))
            }
            _ => self.refuse(node, "a position is two numbers or three, longitude first"),
        }
    }
}
