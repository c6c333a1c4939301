//! Lines and polygons of GeoJSON (RFC 7946).

use super::{Drawing, Gathered, Marks, Role, Slip, Vertex, Winding, mark};
use crate::document::Node;
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::geodata::geodata;

/// As deep as geometries lie in one another.
const DEEPEST: usize = 8;

/// Reads the lines and polygons of a file.
///
/// Without a system that the user states it is WGS 84, and a file that states another is refused.
pub(super) fn read(text: String, stated: Option<&Crs>) -> Result<Drawing, Fault> {
    let document = geodata(&text)?;
    let mut gathered = Gathered::new(stated.unwrap_or(&Crs::Wgs84));
    match take(&mut gathered, &document.root, stated.is_some(), 0) {
        Ok(()) => Ok(gathered.finish("GeoJSON", Some(Winding::Anticlockwise), Marks::Text(text))),
        Err((at, message)) => Err(Fault::at(Place::in_text(&text, at as usize), message)),
    }
}

fn off<T>(node: &Node, text: impl Into<String>) -> Result<T, Slip> {
    Err((mark(node.span.range().start), text.into()))
}

fn take(gathered: &mut Gathered<'_>, node: &Node, stated: bool, depth: usize) -> Result<(), Slip> {
    if depth > DEEPEST {
        return off(node, "geometries are nested too deeply");
    }
    let Some(kind) = node.get("type").and_then(Node::as_text) else {
        return off(node, "this has no `type`, which GeoJSON requires");
    };
    if let Some(system) = node.get("crs").filter(|system| !system.is_null())
        && !stated
    {
        return off(
            system,
            "the file states a `crs` of its own; say with `--crs` which it is, or take the member out where it is WGS 84",
        );
    }
    let list = |key: &str| match node.get(key).and_then(Node::as_list) {
        Some(list) => Ok(list),
        None => off(
            node,
            format!("a GeoJSON {} needs a list of `{key}`", excerpt(kind)),
        ),
    };
    match kind {
        "FeatureCollection" => {
            for feature in list("features")? {
                take(gathered, feature, stated, depth + 1)?;
            }
        }
        "GeometryCollection" => {
            for geometry in list("geometries")? {
                take(gathered, geometry, stated, depth + 1)?;
            }
        }
        "Feature" => match node.get("geometry") {
            // A feature without a place is allowed (RFC 7946, section 3.2).
            Some(geometry) if geometry.is_null() => gathered.beside += 1,
            Some(geometry) => take(gathered, geometry, stated, depth + 1)?,
            None => return off(node, "this feature has no `geometry`"),
        },
        "Polygon" => polygon(gathered, list("coordinates")?)?,
        "MultiPolygon" => {
            for one in list("coordinates")? {
                let Some(rings) = one.as_list() else {
                    return off(one, "a polygon is a list of rings");
                };
                polygon(gathered, rings)?;
            }
        }
        "LineString" => {
            let line = positions(gathered, list("coordinates")?)?;
            gathered.add(Role::Line, line);
        }
        "MultiLineString" => {
            for one in list("coordinates")? {
                let Some(line) = one.as_list() else {
                    return off(one, "a line is a list of positions");
                };
                let line = positions(gathered, line)?;
                gathered.add(Role::Line, line);
            }
        }
        "Point" | "MultiPoint" => gathered.beside += 1,
        _ => return off(node, "this `type` is none of GeoJSON's"),
    }
    Ok(())
}

fn polygon(gathered: &mut Gathered<'_>, rings: &[Node]) -> Result<(), Slip> {
    for (number, ring) in rings.iter().enumerate() {
        let Some(items) = ring.as_list() else {
            return off(ring, "a ring is a list of positions");
        };
        let points = positions(gathered, items)?;
        let closed = points
            .first()
            .zip(points.last())
            .is_some_and(|(first, last)| first.same_spot(last));
        if points.len() < 4 || !closed {
            return off(
                ring,
                "a ring has four positions or more, the last one as the first (RFC 7946, section 3.1.6)",
            );
        }
        let role = if number == 0 { Role::Outer } else { Role::Hole };
        gathered.add(role, points);
    }
    Ok(())
}

fn positions(gathered: &mut Gathered<'_>, items: &[Node]) -> Result<Vec<Vertex>, Slip> {
    items.iter().map(|item| position(gathered, item)).collect()
}

/// Longitude or easting first, and a height or more behind (RFC 7946, section 3.1.1).
fn position(gathered: &mut Gathered<'_>, node: &Node) -> Result<Vertex, Slip> {
    let items = node.as_list().unwrap_or(&[]);
    let mut numbers = items.iter().map(Node::as_number);
    match (numbers.next().flatten(), numbers.next().flatten()) {
        (Some(x), Some(y)) if numbers.all(|number| number.is_some()) => {
            gathered.vertex(x, y, mark(node.span.range().start))
        }
        _ => off(node, "a position is two numbers or three, longitude first"),
    }
}
