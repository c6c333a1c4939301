//! The shoreline: GeoJSON (RFC 7946) polygons of water, with islands as holes.

use super::mislaid;
use super::open_edges::{self, Edges};
use super::outline::{self, Placed};
use crate::document::{Node, Value};
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{Polygon, Shore};
use crate::models::plane::Point;
use crate::schema::{Fields, Problem};
use crate::source::Span;

/// Rings of one polygon, outer first, each position with its span.
struct Rings {
    span: Span,
    rings: Vec<Vec<Placed>>,
}

/// Reads the parsed GeoJSON into land and water, and lays the site's plane about its middle.
///
/// Features that are not polygons are refused, not passed over: whoever drew them meant something.
///
/// `file` is the site's file, which says which edges are open, and `site` what it says of the
/// shoreline.
pub(super) fn parse(
    file: Fields<'_>,
    site: Fields<'_>,
    geojson: &Node,
) -> Option<(Plane, Shore, Edges)> {
    let mut polygons = Vec::new();
    if let Err(problem) = collect(geojson, &mut polygons, 0) {
        let named = site.get("file").map_or(site.span(), |file| file.span);
        site.problem(problem.with(named, "named as the shoreline here"));
        return None;
    }
    if polygons.is_empty() {
        site.problem(
            Problem::new(
                "input-geodata",
                geojson.span,
                "the shoreline holds no polygon of water",
            )
            .labelled("no polygon in here"),
        );
        return None;
    }
    let plane = Plane::about(middle(&polygons));
    let first = polygons.iter().flat_map(|one| &one.rings).flatten().next();
    if let Some(problem) = first.and_then(|first| mislaid::shoreline(file, &plane, first)) {
        let named = site.get("file").map_or(site.span(), |file| file.span);
        site.problem(problem.with(named, "named as the shoreline here"));
        return None;
    }
    let mut laid_out = Vec::new();
    for polygon in &polygons {
        match lay_out(&plane, polygon) {
            Ok(water) => laid_out.push(water),
            Err(problem) => {
                site.problem(problem);
                return None;
            }
        }
    }
    let edges = open_edges::parse(file, &plane, &laid_out)?;
    let marks = edges.open.iter().flat_map(|mark| {
        let fetch = mark.fetch.value.get();
        mark.edges.iter().map(move |edge| (*edge, fetch))
    });
    match Shore::new(laid_out) {
        Ok(shore) => {
            let shore = shore.with_open(marks);
            Some((plane, shore, edges))
        }
        Err(error) => {
            let rings: Vec<Vec<Placed>> = polygons.into_iter().flat_map(|p| p.rings).collect();
            let (span, why) = outline::fault(&plane, &rings, &error);
            let text = format!("the shoreline is not valid: {why}");
            let span = span.unwrap_or(geojson.span);
            site.problem(Problem::new("input-geodata", span, text));
            None
        }
    }
}

/// The middle of the bounding box of all vertices.
fn middle(polygons: &[Rings]) -> Position {
    let mut low = (f64::INFINITY, f64::INFINITY);
    let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (position, _) in polygons.iter().flat_map(|p| &p.rings).flatten() {
        let (latitude, longitude) = (
            position.latitude.to_degrees(),
            position.longitude.to_degrees(),
        );
        low = (low.0.min(latitude), low.1.min(longitude));
        high = (high.0.max(latitude), high.1.max(longitude));
    }
    Position::from_degrees(f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1))
}

fn lay_out(plane: &Plane, polygon: &Rings) -> Result<Polygon, Problem> {
    let mut rings: Vec<Vec<Point>> = Vec::new();
    for ring in &polygon.rings {
        let points: Vec<Point> = ring
            .iter()
            .map(|(position, _)| plane.to_plane(*position))
            .collect();
        let mut placed = points.iter().zip(ring);
        let beyond = |(p, _): &(&Point, &Placed)| p.length() > Plane::LIMIT.get() || !p.is_finite();
        if let Some((far, (_, span))) = placed.find(beyond) {
            return Err(Problem::new(
                "input-geodata",
                *span,
                format!(
                    "the shoreline reaches {:.1} km from its middle; a site reaches {} at most",
                    far.length() / 1000.0,
                    Plane::LIMIT
                ),
            ));
        }
        rings.push(points);
    }
    let exterior = if rings.is_empty() {
        Vec::new()
    } else {
        rings.remove(0)
    };
    Polygon::new(exterior, rings).map_err(|error| {
        let (span, why) = outline::fault(plane, &polygon.rings, &error);
        Problem::new(
            "input-geodata",
            span.unwrap_or(polygon.span),
            format!("the shoreline is not valid: {why}"),
        )
        .with(polygon.span, "in this polygon")
    })
}

fn refuse(node: &Node, text: impl Into<String>) -> Problem {
    Problem::new("input-geodata", node.span, text.into())
}

/// Gathers the polygons of a GeoJSON object. GeoJSON nests three deep at most here.
fn collect(node: &Node, polygons: &mut Vec<Rings>, depth: u32) -> Result<(), Problem> {
    let kind = node.get("type").and_then(Node::as_text).ok_or_else(|| {
        refuse(node, "this is not a GeoJSON object: it has no `type`")
            .labelled("GeoJSON is due here")
    })?;
    // Positions are WGS 84 (RFC 7946, section 4); an older file may state another system, in which
    // its numbers mean other places.
    if let Some(system) = node.get("crs") {
        return Err(refuse(
            system,
            "a shoreline may not have its own `crs`: its positions are WGS 84",
        )
        .help("bring the file to WGS 84 and leave `crs` out"));
    }
    let members = |key: &str| match node.get(key).map(|n| &n.value) {
        Some(Value::List(items)) => Ok(items),
        _ => Err(refuse(
            node,
            format!("a GeoJSON {kind} needs a list of `{key}`"),
        )),
    };
    match kind {
        "FeatureCollection" if depth == 0 => {
            for feature in members("features")? {
                collect(feature, polygons, depth + 1)?;
            }
            Ok(())
        }
        "Feature" if depth <= 1 => match node.get("geometry") {
            Some(geometry) => collect(geometry, polygons, depth + 1),
            None => Err(refuse(node, "a GeoJSON Feature needs a `geometry`")),
        },
        "Polygon" => {
            polygons.push(polygon(node, members("coordinates")?)?);
            Ok(())
        }
        "MultiPolygon" => {
            for item in members("coordinates")? {
                let Value::List(rings) = &item.value else {
                    return Err(refuse(item, "a polygon is a list of rings"));
                };
                polygons.push(polygon(item, rings)?);
            }
            Ok(())
        }
        other => Err(refuse(
            node,
            format!("a shoreline is made of Polygon and MultiPolygon; this is `{other}`"),
        )),
    }
}

fn polygon(node: &Node, rings: &[Node]) -> Result<Rings, Problem> {
    let mut read = Vec::new();
    for ring in rings {
        let Value::List(items) = &ring.value else {
            return Err(refuse(ring, "a ring is a list of positions"));
        };
        if items.len() < 4 {
            return Err(refuse(
                ring,
                "a ring has four positions or more, the last one as the first",
            ));
        }
        let mut positions = items.iter().map(position).collect::<Result<Vec<_>, _>>()?;
        let closed = positions
            .first()
            .zip(positions.last())
            .is_some_and(|((a, _), (b, _))| {
                (a.latitude - b.latitude).get().abs() < 1e-15
                    && (a.longitude - b.longitude).get().abs() < 1e-15
            });
        if !closed {
            return Err(refuse(
                ring,
                "the ring is not closed: its last position is not its first",
            ));
        }
        positions.pop();
        read.push(positions);
    }
    if read.is_empty() {
        return Err(refuse(node, "a polygon has at least one ring"));
    }
    Ok(Rings {
        span: node.span,
        rings: read,
    })
}

/// A GeoJSON position: longitude first. A third number, the altitude, is allowed and not used.
fn position(node: &Node) -> Result<Placed, Problem> {
    let Value::List(items) = &node.value else {
        return Err(refuse(
            node,
            "a position is a list of longitude and latitude",
        ));
    };
    let numbers: Option<Vec<f64>> = items.iter().map(Node::as_number).collect();
    match numbers.as_deref() {
        Some([longitude, latitude] | [longitude, latitude, _]) => {
            if longitude.abs() <= 180.0 && latitude.abs() <= 90.0 {
                Ok((Position::from_degrees(*latitude, *longitude), node.span))
            } else {
                Err(refuse(
                    node,
                    format!(
                        "[{longitude}, {latitude}] is not on the earth; GeoJSON has longitude first"
                    ),
                ))
            }
        }
        _ => Err(refuse(
            node,
            "a position is two numbers, longitude and latitude",
        )),
    }
}
