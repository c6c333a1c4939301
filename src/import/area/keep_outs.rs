//! What of an area is closed to the boat, cut out of it in the frame of its lines.

use super::AreaOptions;
use crate::import::fault::{Fault, excerpt, shown_position};
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{Frame, Polygon, Segment, point_in_rings};
use crate::models::plane::Point;

/// Pieces of a cut area smaller than this are dropped, m².
const LEAST_PIECE: f64 = 1.0;
/// Most pieces that an area is cut into.
const MOST_PIECES: usize = 100;

/// An area closed to the boat.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct KeepOut {
    /// Its id.
    pub id: String,
    /// Its corners.
    pub outline: Vec<Position>,
}

/// Pieces of an area, and what was cut out of it.
pub(super) struct Cut {
    pub pieces: Vec<Polygon>,
    pub notes: Vec<String>,
}

/// A box in the frame of the lines: u across them, v along.
#[derive(Clone, Copy)]
struct Extent {
    low: Point,
    high: Point,
}

/// Cuts what is closed out of an area: before and behind it along the lines, and on both sides of it.
pub(super) fn cut(
    ring: &[Point],
    frame: Frame,
    closed: &[(String, Vec<Point>)],
    options: &AreaOptions,
    plane: &Plane,
) -> Result<Cut, Fault> {
    let turned = |points: &[Point]| -> Vec<Point> {
        let to_frame = |point: &Point| {
            let (u, v) = frame.coordinates(*point);
            Point::new(u, v)
        };
        points.iter().map(to_frame).collect()
    };
    let whole = turned(ring);
    let mut pieces = vec![whole.clone()];
    let mut notes = Vec::new();
    for (name, outline) in closed {
        let outline = turned(outline);
        let margin = options.clear_of_keep_outs.get();
        // The boat turns beyond the ends of its lines.
        let along = margin + options.turn_room.get();
        let extent = Extent::about(&outline, Point::new(margin, along));
        let before = pieces.clone();
        let mut after = Vec::new();
        for piece in pieces {
            if extent.is_clear_of(&piece) {
                after.push(piece);
                continue;
            }
            after.extend(extent.around(&piece));
        }
        if after.len() > MOST_PIECES {
            let text = format!(
                "what is closed cuts the area into more than {MOST_PIECES} pieces; draw it in parts"
            );
            return Err(Fault::whole(text));
        }
        if after != before {
            let places: Vec<String> = meetings(&whole, &outline)
                .into_iter()
                .map(|at| {
                    let at = plane.to_position(frame.point(at.x, at.y));
                    shown_position(at.latitude.to_degrees(), at.longitude.to_degrees())
                })
                .collect();
            let how = if !places.is_empty() {
                format!("cuts the area at {}", places.join(", "))
            } else if outline
                .first()
                .is_some_and(|first| point_in_rings(*first, &[whole.as_slice()]))
            {
                "lies in the area".to_owned()
            } else {
                "lies so close that its clearance or the turns reach into the area".to_owned()
            };
            notes.push(format!(
                "{} {how}: the lines stay clear of it",
                excerpt(name)
            ));
        }
        pieces = after;
    }
    let mut polygons = Vec::new();
    for piece in pieces {
        let points: Vec<Point> = piece
            .iter()
            .map(|point| frame.point(point.x, point.y))
            .collect();
        let polygon = Polygon::new(points, Vec::new()).map_err(|_| {
            Fault::whole(
                "what is closed cuts the area into pieces that do not hang together; draw one area on each side of it",
            )
        })?;
        if polygon.area() >= LEAST_PIECE {
            polygons.push(polygon);
        }
    }
    if polygons.is_empty() {
        return Err(Fault::whole(
            "nothing of the area is left beside what is closed to the boat",
        ));
    }
    Ok(Cut {
        pieces: polygons,
        notes,
    })
}

/// Where two outlines cross, a few of the places.
fn meetings(one: &[Point], other: &[Point]) -> Vec<Point> {
    let edges = |ring: &[Point]| -> Vec<Segment> {
        let next = |index: usize| ring[(index + 1) % ring.len()];
        (0..ring.len())
            .map(|index| Segment::new(ring[index], next(index)))
            .collect()
    };
    let others = edges(other);
    let all = edges(one);
    let met = all
        .iter()
        .flat_map(|edge| others.iter().filter_map(|other| edge.contact(other)));
    met.take(4).collect()
}

impl Extent {
    fn about(points: &[Point], margin: Point) -> Self {
        let fold = |pick: fn(f64, f64) -> f64, from: f64| {
            let x = points.iter().fold(from, |held, point| pick(held, point.x));
            let y = points.iter().fold(from, |held, point| pick(held, point.y));
            Point::new(x, y)
        };
        Self {
            low: fold(f64::min, f64::INFINITY) - margin,
            high: fold(f64::max, f64::NEG_INFINITY) + margin,
        }
    }

    fn corners(&self) -> [Point; 4] {
        [
            self.low,
            Point::new(self.high.x, self.low.y),
            self.high,
            Point::new(self.low.x, self.high.y),
        ]
    }

    /// Whether nothing of a piece lies in it.
    fn is_clear_of(&self, piece: &[Point]) -> bool {
        let mut inside = clip(piece, Point::new(1.0, 0.0), self.low.x);
        inside = clip(&inside, Point::new(-1.0, 0.0), -self.high.x);
        inside = clip(&inside, Point::new(0.0, 1.0), self.low.y);
        inside = clip(&inside, Point::new(0.0, -1.0), -self.high.y);
        let within = |corner: &Point| point_in_rings(*corner, &[piece]);
        !self.corners().iter().any(within) && area(&inside) < 1e-6
    }

    /// What of a piece lies on its four sides.
    fn around(&self, piece: &[Point]) -> Vec<Vec<Point>> {
        let (right, up) = (Point::new(1.0, 0.0), Point::new(0.0, 1.0));
        let (left, down) = (Point::new(-1.0, 0.0), Point::new(0.0, -1.0));
        let between = clip(&clip(piece, right, self.low.x), left, -self.high.x);
        let parts = [
            clip(piece, left, -self.low.x),
            clip(&between, down, -self.low.y),
            clip(&between, up, self.high.y),
            clip(piece, right, self.high.x),
        ];
        parts.into_iter().filter(|part| area(part) > 1e-6).collect()
    }
}

fn area(ring: &[Point]) -> f64 {
    crate::models::geometry::ring_area(ring).abs()
}

/// What of a ring lies where `towards` is at least `least` (Sutherland & Hodgman 1974). A ring that this cuts in
/// two comes back with edges laid over one another, which its later check refuses.
fn clip(ring: &[Point], towards: Point, least: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for (index, &here) in ring.iter().enumerate() {
        let next = ring[(index + 1) % ring.len()];
        let (one, other) = (towards.dot(here) - least, towards.dot(next) - least);
        if one >= 0.0 {
            kept.push(here);
        }
        if (one > 0.0 && other < 0.0) || (one < 0.0 && other > 0.0) {
            kept.push(here.lerp(next, one / (one - other)));
        }
    }
    kept.dedup();
    kept
}
