//! Soundings at any places, joined into triangles.

use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree, RTreeObject, SelectionFunction};
// `spade` for the triangulation: its predicates are exact, so that nearly collinear soundings do not
// break it; it is kept up, licensed MIT or Apache 2.0 and pulls in two small crates. `delaunator` is
// as good and smaller, but licensed ISC.
use spade::{DelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::super::geometry::Segment;
use super::super::plane::Point;
use super::strip::{Strip, area};
use super::{MOST_SOUNDINGS, SeabedError, Sounding, StripDepth, shallower};
use crate::units::{Length, Ratio};

/// Coordinates beyond this are refused, m; it is more than the earth is round. Numerical.
const FARTHEST: f64 = 1e8;
/// Coordinates smaller than this are zero, m. Numerical.
const NEAREST: f64 = 1e-9;
/// How far outside a triangle a point still counts as on its edge, m. Numerical.
const HAIR: f64 = 1e-6;

/// A vertex of the triangulation.
#[derive(Clone, Copy, Debug)]
struct Vertex {
    at: Point,
    depth: f64,
}

impl HasPosition for Vertex {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.at.x, self.at.y)
    }
}

/// A triangle of soundings, its corners anticlockwise.
#[derive(Clone, Copy, Debug)]
struct Triangle {
    corners: [Vertex; 3],
}

impl RTreeObject for Triangle {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        let corners = self.corners.map(|corner| [corner.at.x, corner.at.y]);
        AABB::from_points(corners.iter())
    }
}

impl Triangle {
    fn longest_edge(&self) -> f64 {
        let [a, b, c] = self.corners.map(|corner| corner.at);
        a.distance(b).max(b.distance(c)).max(c.distance(a))
    }

    /// The depth at a point of the triangle; `None` outside it.
    fn depth_at(&self, point: Point) -> Option<f64> {
        let [a, b, c] = self.corners;
        let mut weights = [0.0; 3];
        for (weight, (p, q)) in weights
            .iter_mut()
            .zip([(b.at, c.at), (c.at, a.at), (a.at, b.at)])
        {
            let twice = (q - p).cross(point - p);
            if twice < -HAIR * p.distance(q) {
                return None;
            }
            *weight = twice.max(0.0);
        }
        let sum: f64 = weights.iter().sum();
        let depth = (weights[0] * a.depth + weights[1] * b.depth + weights[2] * c.depth) / sum;
        depth.is_finite().then_some(depth)
    }
}

/// What may share a point with a strip.
struct Meets<'a>(&'a Strip);

impl<T: RTreeObject<Envelope = AABB<[f64; 2]>>> SelectionFunction<T> for Meets<'_> {
    fn should_unpack_parent(&self, envelope: &AABB<[f64; 2]>) -> bool {
        self.0.may_meet(envelope)
    }
    fn should_unpack_leaf(&self, leaf: &T) -> bool {
        self.0.may_meet(&leaf.envelope())
    }
}

/// A bed of flat triangles between soundings, by Delaunay's rule.
///
/// Triangles with an edge longer than a limit are left out: the bed between their soundings is
/// unknown. A sounding counts all the same where a strip passes over it.
#[derive(Debug)]
pub struct Triangles {
    triangles: RTree<Triangle>,
    soundings: RTree<GeomWithData<[f64; 2], f64>>,
}

impl Triangles {
    /// Joins soundings whose distance is at most `longest_edge`. Of several at one place the
    /// shallowest counts.
    ///
    /// Source: Delaunay (1934); the depth within a triangle is that of the plane through its
    /// corners.
    ///
    /// # Errors
    /// A coordinate or a depth that is not a number of sensible size, too many soundings, a limit
    /// that is not above zero, or no triangle within it.
    pub fn new(soundings: &[Sounding], longest_edge: Length) -> Result<Self, SeabedError> {
        // Not above zero, or not a number; without bound it may be.
        if longest_edge.get().is_nan() || longest_edge.get() <= 0.0 {
            return Err(SeabedError::Edge(longest_edge));
        }
        let vertices = vertices(soundings)?;
        let points = vertices
            .iter()
            .map(|vertex| GeomWithData::new([vertex.at.x, vertex.at.y], vertex.depth))
            .collect();
        let no_triangle = || SeabedError::NoTriangle(longest_edge);
        // The places have been checked, so that none is refused here.
        let triangulation =
            DelaunayTriangulation::<Vertex>::bulk_load(vertices).map_err(|_| no_triangle())?;
        let triangles: Vec<Triangle> = triangulation
            .inner_faces()
            .map(|face| Triangle {
                corners: face.vertices().map(|vertex| *vertex.data()),
            })
            .filter(|triangle| triangle.longest_edge() <= longest_edge.get())
            .collect();
        if triangles.is_empty() {
            return Err(no_triangle());
        }
        Ok(Self {
            triangles: RTree::bulk_load(triangles),
            soundings: RTree::bulk_load(points),
        })
    }

    /// The depth at a point; `None` where no triangle holds it.
    #[must_use]
    pub fn depth_at(&self, point: Point) -> Option<Length> {
        if !point.is_finite() {
            return None;
        }
        let near = AABB::from_corners(
            [point.x - HAIR, point.y - HAIR],
            [point.x + HAIR, point.y + HAIR],
        );
        // On an edge both triangles agree but for rounding: the shallower counts.
        self.triangles
            .locate_in_envelope_intersecting(&near)
            .filter_map(|triangle| triangle.depth_at(point))
            .min_by(f64::total_cmp)
            .map(Length::metres)
    }

    /// How many soundings there are; those of one place count as one.
    #[must_use]
    pub fn soundings(&self) -> usize {
        self.soundings.size()
    }

    /// Where it was sounded.
    pub fn places(&self) -> impl Iterator<Item = Point> + '_ {
        self.soundings.iter().map(|sounding| {
            let [x, y] = *sounding.geom();
            Point::new(x, y)
        })
    }

    /// The greatest depth that was sounded.
    #[must_use]
    pub fn deepest(&self) -> Length {
        let depths = self.soundings.iter().map(|sounding| sounding.data);
        Length::metres(depths.fold(f64::NEG_INFINITY, f64::max))
    }

    /// The mean depth of the bed that is known, each triangle by its area.
    #[must_use]
    pub fn mean_depth(&self) -> Length {
        let (mut volume, mut whole) = (0.0, 0.0);
        for triangle in &self.triangles {
            let [a, b, c] = triangle.corners;
            let area = (b.at - a.at).cross(c.at - a.at) / 2.0;
            volume += area * (a.depth + b.depth + c.depth) / 3.0;
            whole += area;
        }
        Length::metres(volume / whole)
    }

    /// Every sounding, one at each place.
    pub fn every_sounding(&self) -> impl Iterator<Item = Sounding> + '_ {
        self.soundings.iter().map(|sounding| {
            let [x, y] = *sounding.geom();
            Sounding {
                at: Point::new(x, y),
                depth: Length::metres(sounding.data),
            }
        })
    }

    /// The shallowest sounding within a half width of a segment, of those at places that count: what was
    /// sounded itself, and nothing that is drawn between.
    #[must_use]
    pub fn least_sounding(
        &self,
        segment: Segment,
        half_width: Length,
        counts: impl Fn(Point) -> bool,
    ) -> Option<Sounding> {
        let strip = Strip::new(segment, half_width);
        let near = self
            .soundings
            .locate_in_envelope_intersecting(&strip.envelope());
        near.map(|sounding| {
            let [x, y] = *sounding.geom();
            (Point::new(x, y), sounding.data)
        })
        .filter(|(at, _)| strip.holds(*at) && counts(*at))
        .map(|(at, depth)| Sounding {
            at,
            depth: Length::metres(depth),
        })
        .min_by(|a, b| a.depth.get().total_cmp(&b.depth.get()))
    }

    /// The least depth within a half width of a segment.
    ///
    /// It is exact over the rectangle that reaches the half width past the segment's sides and
    /// ends: a flat triangle is shallowest at a corner of what the rectangle cuts out of it.
    /// Soundings in the rectangle that are in no triangle count too.
    #[must_use]
    pub fn least_depth(&self, segment: Segment, half_width: Length) -> StripDepth {
        let strip = Strip::new(segment, half_width);
        let mut least = None;
        let mut known = 0.0;
        let mut looked_at = 0;
        let (mut shape, mut spare) = (Vec::with_capacity(8), Vec::with_capacity(8));
        for triangle in self.triangles.locate_with_selection_function(Meets(&strip)) {
            looked_at += 1;
            shape.clear();
            shape.extend(
                triangle
                    .corners
                    .iter()
                    .map(|corner| strip.corner(corner.at, corner.depth)),
            );
            strip.cut(&mut shape, &mut spare);
            known += area(&shape);
            for corner in &shape {
                least = shallower(
                    least,
                    Sounding {
                        at: strip.point(corner),
                        depth: Length::metres(corner.depth),
                    },
                );
            }
        }
        for sounding in self
            .soundings
            .locate_in_envelope_intersecting(&strip.envelope())
        {
            let [x, y] = *sounding.geom();
            let at = Point::new(x, y);
            if strip.holds(at) {
                let depth = Length::metres(sounding.data);
                least = shallower(least, Sounding { at, depth });
            }
        }
        StripDepth {
            least,
            known: Ratio::fraction((known / strip.area()).clamp(0.0, 1.0)),
            looked_at,
        }
    }
}

/// The soundings as vertices, one at each place.
fn vertices(soundings: &[Sounding]) -> Result<Vec<Vertex>, SeabedError> {
    if soundings.len() > MOST_SOUNDINGS {
        return Err(SeabedError::TooMany(soundings.len()));
    }
    let mut vertices = Vec::with_capacity(soundings.len());
    for (i, sounding) in soundings.iter().enumerate() {
        let sensible = |value: f64| value.abs() <= FARTHEST;
        let (at, depth) = (sounding.at, sounding.depth.get());
        if !(sensible(at.x) && sensible(at.y) && sensible(depth)) {
            return Err(SeabedError::NotFinite(i));
        }
        // Coordinates nearly zero would be refused by the triangulation; adding zero takes the sign
        // off a zero.
        let settled = |value: f64| {
            if value.abs() < NEAREST { 0.0 } else { value }
        };
        vertices.push(Vertex {
            at: Point::new(settled(at.x), settled(at.y)),
            depth,
        });
    }
    vertices.sort_by(|a, b| {
        a.at.x
            .total_cmp(&b.at.x)
            .then(a.at.y.total_cmp(&b.at.y))
            .then(a.depth.total_cmp(&b.depth))
    });
    vertices.dedup_by(|b, a| a.at == b.at);
    Ok(vertices)
}
