//! Positions of a file, laid out in the plane of its site: one, several, the corners of an area.

use super::{mislaid, outline, position};
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::Polygon;
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated};

/// A field that must hold a position on the site.
pub(super) fn point(plane: &Plane, fields: Fields<'_>, key: &str) -> Option<Stated<Point>> {
    let stated = position::required(fields, key)?;
    let point = place(plane, fields, &stated)?;
    Some(stated.map(|_| point))
}

/// A position on the site, or what stands for it where the field is left out.
pub(super) fn point_or(
    plane: &Plane,
    fields: Fields<'_>,
    key: &str,
    left_out: impl FnOnce() -> Option<Stated<Point>>,
) -> Option<Stated<Point>> {
    match fields.get(key) {
        Some(_) => point(plane, fields, key),
        None => left_out(),
    }
}

/// One that lies too far off is a problem, which names the slip that explains it where one does.
fn place(plane: &Plane, fields: Fields<'_>, stated: &Stated<Position>) -> Option<Point> {
    let position = stated.value;
    let point = plane.to_plane(position);
    if point.length() <= Plane::LIMIT.get() && point.x.is_finite() && point.y.is_finite() {
        return Some(point);
    }
    fields.problem(mislaid::off_the_site(plane, position, stated.span()));
    None
}

/// The positions of a list.
pub(super) fn points(plane: &Plane, fields: Fields<'_>, key: &str) -> Option<Vec<Point>> {
    let points: Vec<Option<Point>> = position::list(fields, key)?
        .iter()
        .map(|position| place(plane, fields, position))
        .collect();
    points.into_iter().collect()
}

/// The corners of an area, checked to enclose one.
pub(super) fn ring(plane: &Plane, fields: Fields<'_>, key: &str) -> Option<Polygon> {
    let corners = points(plane, fields, key)?;
    match Polygon::new(corners, Vec::new()) {
        Ok(outline) => Some(outline),
        Err(error) => {
            let placed = position::list(fields, key)?;
            let placed = placed.iter().map(|p| (p.value, p.span())).collect();
            let (span, why) = outline::fault(plane, &[placed], &error);
            let span = span.unwrap_or(fields.get(key)?.span);
            fields.problem(Problem::value(
                span,
                format!("`{key}` is not an area: {why}"),
            ));
            None
        }
    }
}
