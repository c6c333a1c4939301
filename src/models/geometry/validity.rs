//! Whether rings are sound enough to tell inside from outside.

use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use super::super::plane::Point;
use super::grid::Grid;
use super::nested::{MOST_NESTED, check_nesting};
use super::polygon::{ring_area, ring_edges};
use super::rows::{Frame, Rows};
use super::segment::Segment;

/// Areas below this are none, m². Numerical.
const LEAST_AREA: f64 = 1e-6;

/// Pairs of edges that are looked at; a few seconds' worth. A shoreline as it is surveyed has a few for
/// each edge, and one of teeth laid across one another has a number that grows with its square. Numerical:
/// bounds the work.
const MOST_PAIRS: usize = 40_000_000;

/// What is wrong with rings. Rings count from 0, the exterior first; so do points and edges, an
/// edge having the number of its first point once repeated points are left out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GeometryError {
    /// A coordinate is not a finite number.
    #[error("a point of ring {} is not finite", .ring + 1)]
    NotFinite {
        /// The ring.
        ring: usize,
    },
    /// A ring has fewer than three distinct points.
    #[error("ring {} has fewer than three distinct points", .ring + 1)]
    TooFewPoints {
        /// The ring.
        ring: usize,
    },
    /// A ring encloses nothing.
    #[error("ring {} encloses no area", .ring + 1)]
    NoArea {
        /// The ring.
        ring: usize,
    },
    /// Two edges meet that should not.
    #[error("edge {} of ring {} meets edge {} of ring {}", .first.1 + 1, .first.0 + 1, .second.1 + 1, .second.0 + 1)]
    Crosses {
        /// Ring and edge.
        first: (usize, usize),
        /// Ring and edge.
        second: (usize, usize),
        /// Where they meet.
        at: Point,
    },
    /// So many edges lie across one another that it was not found out whether any two meet.
    #[error(
        "more than {MOST_PAIRS} pairs of edges lie so close together that they may meet; draw the outline with fewer points"
    )]
    Crowded,
    /// A ring lies in more others than are looked at.
    #[error(
        "ring {} lies in more than {MOST_NESTED} others; a shore has a few outlines inside one another", .ring + 1
    )]
    Nested {
        /// The ring.
        ring: usize,
    },
    /// A hole lies outside the exterior ring.
    #[error("ring {} is a hole outside the exterior ring", .ring + 1)]
    HoleOutside {
        /// The ring.
        ring: usize,
    },
}

/// Checks one polygon's rings, repeated points left out.
pub(super) fn check(rings: &[Vec<Point>]) -> Result<(), GeometryError> {
    for (i, ring) in rings.iter().enumerate() {
        if !ring.iter().all(|point| point.is_finite()) {
            return Err(GeometryError::NotFinite { ring: i });
        }
        let first = ring.first().copied().unwrap_or_default();
        let second = ring.iter().find(|&&point| point != first);
        let third = second.and_then(|&second| {
            ring.iter()
                .find(|&&point| point != first && point != second)
        });
        if third.is_none() {
            return Err(GeometryError::TooFewPoints { ring: i });
        }
        // A figure of eight may enclose as much on one side as on the other: its crossing is what
        // is wrong with it, so the area comes last.
    }
    check_crossings(rings)?;
    for (i, ring) in rings.iter().enumerate() {
        if ring_area(ring).abs() < LEAST_AREA {
            return Err(GeometryError::NoArea { ring: i });
        }
    }
    if rings.len() > 1 {
        let edges: Vec<Segment> = ring_edges(&rings[0]).collect();
        let exterior = Rows::new(&edges, Frame::along(Point::new(0.0, 1.0)));
        for (i, ring) in rings.iter().enumerate().skip(1) {
            // A hole may touch the exterior, so that single points do not tell.
            let inside = ring.iter().filter(|&&p| exterior.odd_ahead(p)).count();
            if inside * 2 < ring.len() {
                return Err(GeometryError::HoleOutside { ring: i });
            }
        }
    }
    Ok(())
}

/// An edge with its ring and its number there.
type Numbered = (Segment, (usize, usize));

/// Refuses rings that meet themselves, or cross or run along one another; two rings may touch in
/// a point. Of several faults the first in the order of the edges is reported.
pub(super) fn check_crossings(rings: &[Vec<Point>]) -> Result<(), GeometryError> {
    check_crossings_within(rings, MOST_PAIRS)
}

/// The same, with no more than so many pairs of edges looked at.
pub(super) fn check_crossings_within(
    rings: &[Vec<Point>],
    most: usize,
) -> Result<(), GeometryError> {
    check_nesting(rings)?;
    let (edges, ids): (Vec<Segment>, Vec<(usize, usize)>) = rings
        .iter()
        .enumerate()
        .flat_map(|(i, ring)| {
            ring_edges(ring)
                .enumerate()
                .map(move |(j, edge)| (edge, (i, j)))
        })
        .unzip();
    let mut first: Option<(Numbered, Numbered, Point)> = None;
    let mut pairs = 0_usize;
    // Whether to go on.
    let mut look = |one: Numbered, other: Numbered| {
        pairs += 1;
        let earlier = first
            .as_ref()
            .is_none_or(|(held, with, _)| (one.1, other.1) < (held.1, with.1));
        if earlier && let Some(at) = meeting(rings, (&one.0, one.1), (&other.0, other.1)) {
            first = Some((one, other, at));
        }
        pairs < most
    };
    match Grid::new(&edges) {
        Some(grid) => grid.each_pair(&edges, |one, other| {
            look((edges[one], ids[one]), (edges[other], ids[other]))
        }),
        None => each_pair_by_tree(&edges, &ids, &mut look),
    }
    match first {
        Some(((_, first), (_, second), at)) => Err(GeometryError::Crosses { first, second, at }),
        None if pairs >= most => Err(GeometryError::Crowded),
        None => Ok(()),
    }
}

/// Pairs of edges whose boxes meet, wherever they crowd together.
fn each_pair_by_tree(
    edges: &[Segment],
    ids: &[(usize, usize)],
    look: &mut impl FnMut(Numbered, Numbered) -> bool,
) {
    type Indexed = GeomWithData<Line<[f64; 2]>, usize>;
    let array = |p: Point| [p.x, p.y];
    let lines = edges
        .iter()
        .enumerate()
        .map(|(number, edge)| GeomWithData::new(Line::new(array(edge.a), array(edge.b)), number));
    let tree: RTree<Indexed> = RTree::bulk_load(lines.collect());
    for (number, edge) in edges.iter().enumerate() {
        let around = AABB::from_corners(array(edge.a), array(edge.b));
        for other in tree.locate_in_envelope_intersecting(&around) {
            if other.data > number
                && !look((*edge, ids[number]), (edges[other.data], ids[other.data]))
            {
                return;
            }
        }
    }
}

/// Where two edges meet that should not.
fn meeting(
    rings: &[Vec<Point>],
    (edge, (ring, i)): (&Segment, (usize, usize)),
    (other, (other_ring, j)): (&Segment, (usize, usize)),
) -> Option<Point> {
    let at = edge.contact(other)?;
    if edge.overlaps(other) {
        return Some(at);
    }
    if ring == other_ring {
        let count = rings[ring].len();
        let neighbours = (i + 1) % count == j || (j + 1) % count == i;
        return (!neighbours).then_some(at);
    }
    let touches = [edge.a, edge.b]
        .iter()
        .any(|&p| other.distance_to(p) <= 1e-9)
        || [other.a, other.b]
            .iter()
            .any(|&p| edge.distance_to(p) <= 1e-9);
    (!touches).then_some(at)
}
