//! Edges of a shoreline that are no shore: open water goes on past them. And what looks like one.

use std::collections::BTreeMap;

use super::position;
use crate::models::geodesy::Plane;
use crate::models::geometry::Polygon;
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::Length;

/// How far a stated position may lie from the vertex of the shoreline that it means, m: what the sixth
/// place of a degree leaves.
const AT_VERTEX: f64 = 0.1;
/// How far vertices between the two may lie off the straight line, as a share of its length.
const STRAIGHT: f64 = 0.01;
/// Most that the direction of an edge may differ from the stretch before it, degrees.
const BEND_DEGREES: f64 = 3.0;
/// A straight stretch that is drawn with vertices of its own counts a third: whoever surveyed it drew
/// it point by point, as one draws a dam. Our own choice.
const DRAWN: f64 = 1.0 / 3.0;
/// Stretches below this many times the middle one are no different from their neighbours.
const WORTH_KEEPING: f64 = 3.0;

/// An edge, or a straight row of edges, past which open water lies.
#[derive(Clone, Debug)]
pub struct OpenEdge {
    /// The line of the file that marks it.
    pub span: Span,
    /// How far water goes on past it; without end where it is unlimited.
    pub fetch: Stated<Length>,
    /// Its edges, by number among those of the shore.
    pub edges: Vec<usize>,
}

/// A straight stretch of shoreline, longer than others of its ring, that nothing is said about.
#[derive(Clone, Debug, PartialEq)]
pub struct Straight {
    /// Where it begins and ends.
    pub ends: (Point, Point),
    /// Its edges, by number among those of the shore.
    pub edges: Vec<usize>,
    /// Its length over that of the middle (median) stretch of its ring, a third of it where it is drawn
    /// with vertices of its own.
    pub times: f64,
    /// Length of the middle stretch.
    pub middle: Length,
}

impl Straight {
    /// Its length.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::metres(self.ends.0.distance(self.ends.1))
    }
}

/// What a site says of its edges.
#[derive(Clone, Debug, Default)]
pub struct Edges {
    /// Open ones.
    pub open: Vec<OpenEdge>,
    /// Their marks, by the number of each edge.
    marks: BTreeMap<usize, usize>,
    /// Straight stretches about which nothing is said.
    pub unmarked: Vec<Straight>,
    /// Their places in that list, by the number of each edge.
    in_unmarked: BTreeMap<usize, usize>,
}

impl Edges {
    /// The place among the unmarked stretches of the one that an edge is in, by its number among those of
    /// the shore.
    #[must_use]
    pub fn unmarked_at(&self, edge: usize) -> Option<usize> {
        self.in_unmarked.get(&edge).copied()
    }

    /// The mark of an open edge, by its number among those of the shore.
    #[must_use]
    pub fn open_at(&self, edge: usize) -> Option<usize> {
        self.marks.get(&edge).copied()
    }
}

/// The rings of a shoreline, with the number of the first edge of each.
struct Rings<'a> {
    rings: Vec<(usize, &'a [Point])>,
}

impl<'a> Rings<'a> {
    fn from_polygons(polygons: &'a [Polygon]) -> Self {
        let mut first = 0;
        let rings = polygons.iter().flat_map(Polygon::rings).map(|ring| {
            let begins = first;
            first += ring.len();
            (begins, ring.as_slice())
        });
        Self {
            rings: rings.collect(),
        }
    }

    /// The edges of the straight stretch between two places, both of them vertices.
    fn between(&self, from: Point, to: Point) -> Option<Vec<usize>> {
        self.rings.iter().find_map(|(begins, ring)| {
            let (a, b) = (vertex(ring, from)?, vertex(ring, to)?);
            let forth = straight(ring, a, b);
            let edges = forth.or_else(|| straight(ring, b, a))?;
            Some(edges.into_iter().map(|edge| begins + edge).collect())
        })
    }
}

/// The vertex of a ring nearest to a place, if it is there.
fn vertex(ring: &[Point], place: Point) -> Option<usize> {
    let apart = |index: &usize| ring[*index].distance(place);
    let nearest = (0..ring.len()).min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    (apart(&nearest) <= AT_VERTEX).then_some(nearest)
}

/// The edges from one vertex on to another, where they lie in a straight line.
fn straight(ring: &[Point], from: usize, to: usize) -> Option<Vec<usize>> {
    let count = (to + ring.len() - from) % ring.len();
    let edges: Vec<usize> = (0..count).map(|step| (from + step) % ring.len()).collect();
    let chord = crate::models::geometry::Segment::new(ring[from], ring[to]);
    let off = edges
        .iter()
        .skip(1)
        .map(|vertex| chord.distance_to(ring[*vertex]));
    let furthest = off.fold(0.0, f64::max);
    (count > 0 && furthest <= STRAIGHT * chord.length()).then_some(edges)
}

/// Reads `open_edges` and `straight_shores`; `None` where one of them means no edge.
pub(super) fn parse(file: Fields<'_>, plane: &Plane, polygons: &[Polygon]) -> Option<Edges> {
    let rings = Rings::from_polygons(polygons);
    let mut known: BTreeMap<usize, Span> = BTreeMap::new();
    let mut mark = |fields: Fields<'_>| {
        let edges = meant(fields, plane, &rings)?;
        for edge in &edges {
            if let Some(first) = known.get(edge) {
                fields.problem(
                    Problem::value(fields.span(), "this edge of the shoreline is marked twice")
                        .with(*first, "marked here first"),
                );
                return None;
            }
        }
        known.extend(edges.iter().map(|edge| (*edge, fields.span())));
        Some(edges)
    };
    let open: Vec<Option<OpenEdge>> = file
        .maps("open_edges")
        .map(|fields| {
            let fetch = fetch(fields);
            Some(OpenEdge {
                span: fields.span(),
                edges: mark(fields)?,
                fetch: fetch?,
            })
        })
        .collect();
    let shores: Vec<Option<Vec<usize>>> = file
        .maps("straight_shores")
        .map(|fields| {
            fields.required_text("what")?;
            mark(fields)
        })
        .collect();
    let open: Vec<OpenEdge> = open.into_iter().collect::<Option<_>>()?;
    shores.into_iter().collect::<Option<Vec<_>>>()?;
    let unmarked = rings.rings.iter().flat_map(|(begins, ring)| {
        let mut all = stretches(ring);
        for stretch in &mut all {
            for edge in &mut stretch.edges {
                *edge += begins;
            }
        }
        all
    });
    let unmarked: Vec<Straight> = unmarked
        .filter(|stretch| !stretch.edges.iter().all(|edge| known.contains_key(edge)))
        .collect();
    Some(Edges {
        marks: by_edge(open.iter().map(|open| &open.edges)),
        in_unmarked: by_edge(unmarked.iter().map(|stretch| &stretch.edges)),
        open,
        unmarked,
    })
}

/// The place of each edge among lists of edges, of which none is in two.
fn by_edge<'a>(lists: impl Iterator<Item = &'a Vec<usize>>) -> BTreeMap<usize, usize> {
    let placed = lists.enumerate();
    let placed = placed.flat_map(|(place, edges)| edges.iter().map(move |edge| (*edge, place)));
    placed.collect()
}

/// The edges that a mark means.
fn meant(fields: Fields<'_>, plane: &Plane, rings: &Rings<'_>) -> Option<Vec<usize>> {
    let from = position::required(fields, "from");
    let to = position::required(fields, "to");
    let (from, to) = (from?, to?);
    let ends = (plane.to_plane(from.value), plane.to_plane(to.value));
    for (end, stated) in [(ends.0, &from), (ends.1, &to)] {
        if !rings
            .rings
            .iter()
            .any(|(_, ring)| vertex(ring, end).is_some())
        {
            fields.problem(
                Problem::value(
                    stated.span(),
                    "no vertex of the shoreline is here; mark an edge by the two vertices that it \
                     runs between",
                )
                .help("give it as the shoreline's file has it, but latitude first"),
            );
            return None;
        }
    }
    let edges = rings.between(ends.0, ends.1);
    if edges.is_none() {
        fields.problem(
            Problem::value(
                from.span(),
                "no edge of the shoreline, and no straight row of edges, runs from here to `to`",
            )
            .with(to.span(), "`to`")
            .help("mark each straight stretch separately"),
        );
    }
    edges
}

/// How far water goes on past an open edge.
fn fetch(fields: Fields<'_>) -> Option<Stated<Length>> {
    let unlimited = fields
        .get("fetch")
        .filter(|node| node.as_text() == Some("unlimited"));
    match unlimited {
        Some(node) => Some(Stated::written(Length::metres(f64::INFINITY), node.span)),
        None => fields.required("fetch"),
    }
}

/// The straight stretches of a ring that are longer than its middle one by far enough to be kept.
fn stretches(ring: &[Point]) -> Vec<Straight> {
    let count = ring.len();
    let edge = |index: usize| ring[(index + 1) % count] - ring[index % count];
    let bend = |a: Point, b: Point| a.cross(b).atan2(a.dot(b)).abs().to_degrees();
    // From the sharpest corner on, so that no stretch is cut in two at the start of the ring.
    let corner = |index: &usize| bend(edge(index + count - 1), edge(*index));
    let Some(start) = (0..count).max_by(|a, b| corner(a).total_cmp(&corner(b)).then(b.cmp(a)))
    else {
        return Vec::new();
    };
    let mut all: Vec<(Point, Vec<usize>)> = Vec::new();
    for index in (start..start + count).map(|index| index % count) {
        let along = edge(index);
        match all.last_mut() {
            Some((sum, edges)) if bend(*sum, along) <= BEND_DEGREES => {
                *sum = *sum + along;
                edges.push(index);
            }
            _ => all.push((along, vec![index])),
        }
    }
    let mut lengths: Vec<f64> = all.iter().map(|(sum, _)| sum.length()).collect();
    lengths.sort_by(f64::total_cmp);
    let middle = lengths.get(lengths.len() / 2).copied().unwrap_or(0.0);
    let kept = all.into_iter().filter_map(|(sum, edges)| {
        let share = if edges.len() > 1 { DRAWN } else { 1.0 };
        let times = sum.length() / middle * share;
        let (first, last) = (*edges.first()?, *edges.last()?);
        (times >= WORTH_KEEPING).then_some(Straight {
            ends: (ring[first], ring[(last + 1) % count]),
            edges,
            times,
            middle: Length::metres(middle),
        })
    });
    kept.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(ring: &[(f64, f64)]) -> Vec<Point> {
        ring.iter().map(|&(x, y)| Point::new(x, y)).collect()
    }

    /// A bay of 40 m steps in a half circle, closed by one line of 800 m: 20 times its neighbours.
    fn bay(between: usize) -> Vec<Point> {
        let mut ring: Vec<Point> = (0..=31)
            .map(|k| (f64::from(k) * 180.0 / 31.0).to_radians().sin_cos())
            .map(|(sin, cos)| Point::new(400.0 * cos, 400.0 * sin))
            .collect();
        let step = 800.0 / (between + 1) as f64;
        ring.extend((1..=between).map(|k| Point::new(-400.0 + step * k as f64, 0.0)));
        ring
    }

    #[test]
    fn a_closing_line_is_longer_than_its_neighbours() {
        let found = stretches(&bay(0));
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].times - 19.76).abs() < 0.2, "{found:?}");
        assert!((found[0].length().get() - 800.0).abs() < 1e-6);
        assert_eq!(found[0].edges, [31]);
        // Drawn with vertices of its own it is one stretch all the same, and counts a third.
        let drawn = stretches(&bay(19));
        assert_eq!(drawn.len(), 1, "{drawn:?}");
        assert_eq!(drawn[0].edges.len(), 20);
        assert!(
            (drawn[0].times * 3.0 - found[0].times).abs() < 0.2,
            "{drawn:?}"
        );
    }

    #[test]
    fn rectangles_and_rounds_have_no_closing_line() {
        let square = points(&[(0.0, 0.0), (2000.0, 0.0), (2000.0, 2000.0), (0.0, 2000.0)]);
        let basin = points(&[(0.0, 0.0), (900.0, 0.0), (900.0, 60.0), (0.0, 60.0)]);
        let round: Vec<Point> = (0..720)
            .map(|k| (f64::from(k) * 0.5).to_radians().sin_cos())
            .map(|(x, y)| Point::new(900.0 * x, 900.0 * y))
            .collect();
        for ring in [square, basin, round] {
            assert!(stretches(&ring).is_empty(), "{:?}", stretches(&ring));
        }
    }

    #[test]
    fn a_mark_means_an_edge_or_a_straight_row_of_them() {
        let ring = bay(3);
        let polygon = [Polygon::new(ring.clone(), Vec::new()).unwrap()];
        let rings = Rings::from_polygons(&polygon);
        let (west, east) = (Point::new(-400.0, 0.0), Point::new(400.0, 0.0));
        let whole = rings.between(west, east).unwrap();
        assert_eq!(whole.len(), 4);
        // Either way round, and as near as files round.
        assert_eq!(rings.between(east, west), Some(whole));
        let off = Point::new(-399.95, 0.05);
        assert!(rings.between(off, Point::new(-200.0, 0.0)).is_some());
        let farther = Point::new(-399.5, 0.5);
        assert_eq!(rings.between(farther, Point::new(-200.0, 0.0)), None);
        // Not between vertices that the shore between them bends away from, nor elsewhere.
        assert_eq!(rings.between(ring[0], ring[4]), None);
        assert_eq!(rings.between(west, Point::new(-250.0, 0.0)), None);
        assert_eq!(rings.between(west, west), None);
    }
}
