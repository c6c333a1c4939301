//! Edges past which open water goes on, as somebody marks them.

use super::Ring;
use crate::import::fault::{Fault, shown_position};
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::units::Length;

/// How far a stated place may lie from the vertex that it means, m, as of a site's file.
const AT_VERTEX: f64 = 0.1;
/// How far vertices between the two may lie off the straight line, as a share of its length, as of a site's file.
const STRAIGHT: f64 = 0.01;

/// An edge that is marked as open.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct OpenMark {
    /// Vertex that it begins at.
    pub from: Position,
    /// Vertex that it ends at.
    pub to: Position,
    /// How far the water goes on past it; `None` without end.
    pub fetch: Option<Length>,
}

/// A mark as it goes into a site's file: latitude and longitude of both ends.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Edge {
    pub from: (f64, f64),
    pub to: (f64, f64),
    pub fetch: Option<Length>,
}

/// Marks, and the points that they keep.
pub(super) struct Marked {
    pub edges: Vec<Edge>,
    /// Which points of each ring have to stay.
    pub fixed: Vec<Vec<bool>>,
}

/// Finds the edges that are marked, and the vertices that are to stay.
pub(super) fn mark(
    marks: &[OpenMark],
    keep: &[Position],
    plane: &Plane,
    rings: &[Ring],
) -> Result<Marked, Fault> {
    let fixed = rings.iter().map(|ring| vec![false; ring.points.len()]);
    let mut marked = Marked {
        edges: Vec::new(),
        fixed: fixed.collect(),
    };
    for stated in keep {
        let (ring, index) = vertex(plane, rings, *stated)?;
        marked.fixed[ring][index] = true;
    }
    for mark in marks {
        let from = vertex(plane, rings, mark.from)?;
        let to = vertex(plane, rings, mark.to)?;
        let ring = &rings[from.0];
        let straight = from.0 == to.0
            && from.1 != to.1
            && (runs(&ring.points, from.1, to.1) || runs(&ring.points, to.1, from.1));
        if !straight {
            return Err(Fault::whole(format!(
                "no edge of the shoreline, and no straight row of edges, runs from {} to {}; mark each straight stretch \
                 by itself with `--open`",
                shown(mark.from),
                shown(mark.to)
            )));
        }
        for (ring, index) in [from, to] {
            marked.fixed[ring][index] = true;
        }
        let at = |(ring, index): (usize, usize)| {
            let vertex = rings[ring].vertices[index];
            (vertex.latitude, vertex.longitude)
        };
        marked.edges.push(Edge {
            from: at(from),
            to: at(to),
            fetch: mark.fetch,
        });
    }
    Ok(marked)
}

fn shown(position: Position) -> String {
    shown_position(
        position.latitude.to_degrees(),
        position.longitude.to_degrees(),
    )
}

/// The vertex that a stated place means.
fn vertex(plane: &Plane, rings: &[Ring], stated: Position) -> Result<(usize, usize), Fault> {
    let at = plane.to_plane(stated);
    let all = rings.iter().enumerate().flat_map(|(number, ring)| {
        let points = ring.points.iter().enumerate();
        points.map(move |(index, point)| (point.distance(at), number, index))
    });
    let nearest = all.min_by(|a, b| a.0.total_cmp(&b.0));
    match nearest {
        Some((apart, ring, index)) if apart <= AT_VERTEX => Ok((ring, index)),
        Some((apart, ring, index)) => {
            let vertex = rings[ring].vertices[index];
            Err(Fault::whole(format!(
                "no vertex of the shoreline lies at {}; the nearest is at {}, {apart:.1} m away",
                shown(stated),
                shown_position(vertex.latitude, vertex.longitude)
            )))
        }
        None => Err(Fault::whole("the shoreline has no vertex")),
    }
}

/// Whether a ring runs straight from one vertex on to another.
fn runs(ring: &[Point], from: usize, to: usize) -> bool {
    let count = (to + ring.len() - from) % ring.len();
    let chord = Segment::new(ring[from], ring[to]);
    let between = (1..count).map(|step| ring[(from + step) % ring.len()]);
    let furthest = between
        .map(|point| chord.distance_to(point))
        .fold(0.0, f64::max);
    count > 0 && furthest <= STRAIGHT * chord.length()
}
