//! Which rings are water and which are islands, by how many others each lies in.

use super::{Ring, wants_anticlockwise};
use crate::import::drawn::{Drawing, Role};
use crate::import::fault::{Fault, TOLD, shown_position};
use crate::models::geometry::point_in_rings;
use crate::models::plane::Point;

/// Edges that are looked at to find out; some seconds' worth.
const MOST_EDGES: usize = 400_000_000;

/// A stretch of water, by the numbers of its rings.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Water {
    pub outer: usize,
    pub holes: Vec<usize>,
}

/// Rings put into one another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Nested {
    pub polygons: Vec<Water>,
    pub notes: Vec<String>,
}

/// Puts rings into one another: the outermost hold water, those in them land, and so on. Water then lies to the
/// left of every edge (RFC 7946, section 3.1.6); the rings that ran the other way than their format has it are told.
pub(super) fn nest(drawing: &Drawing, rings: &mut [Ring]) -> Result<Nested, Fault> {
    let boxes: Vec<[f64; 4]> = rings.iter().map(|ring| bounds(&ring.points)).collect();
    let mut inside: Vec<Vec<usize>> = vec![Vec::new(); rings.len()];
    let mut looked = 0;
    for (number, ring) in rings.iter().enumerate() {
        for (other, around) in rings.iter().enumerate() {
            if other == number || !holds(&boxes[other], &boxes[number]) {
                continue;
            }
            let probes: Vec<Point> = probes(&ring.points);
            looked += probes.len() * around.points.len();
            if looked > MOST_EDGES {
                return Err(Fault::whole(
                    "too many outlines lie about one another to find out which lies in which; draw them with fewer points",
                ));
            }
            let within = |probe: &&Point| point_in_rings(**probe, &[around.points.as_slice()]);
            if probes.iter().filter(within).count() * 2 > probes.len() {
                inside[number].push(other);
            }
        }
    }
    let depth = |ring: usize| inside[ring].len();
    let mut polygons: Vec<Water> = Vec::new();
    let mut of_ring = vec![None; rings.len()];
    for ring in (0..rings.len()).filter(|ring| depth(*ring) % 2 == 0) {
        of_ring[ring] = Some(polygons.len());
        polygons.push(Water {
            outer: ring,
            holes: Vec::new(),
        });
    }
    for ring in (0..rings.len()).filter(|ring| depth(*ring) % 2 == 1) {
        let about = inside[ring]
            .iter()
            .copied()
            .max_by_key(|other| depth(*other));
        let water = about.and_then(|about| of_ring[about]);
        let Some(water) = water.and_then(|water| polygons.get_mut(water)) else {
            let text = "the outlines overlap, so that none lies in another";
            return Err(at(drawing, &rings[ring], text));
        };
        water.holes.push(ring);
    }
    let depths: Vec<usize> = (0..rings.len()).map(depth).collect();
    let mut turned = Vec::new();
    for (ring, depth) in rings.iter_mut().zip(depths) {
        let water = depth % 2 == 0;
        if water && ring.role == Role::Hole {
            if wants_anticlockwise(drawing) {
                return Err(at(
                    drawing,
                    ring,
                    "this ring is written as a hole, but lies in no outline",
                ));
            }
            turned.push(at(drawing, ring, ""));
        }
        let anticlockwise = ring.is_anticlockwise();
        let due = ring.role == Role::Outer;
        if wants_anticlockwise(drawing) && ring.role != Role::Line && anticlockwise != due {
            turned.push(at(drawing, ring, ""));
        }
        if anticlockwise != water {
            ring.turn_round();
        }
    }
    let mut notes = Vec::new();
    if !turned.is_empty() {
        let places: Vec<String> = turned
            .iter()
            .take(TOLD)
            .map(|fault| {
                format!(
                    "{}{}",
                    fault.message.trim_start_matches(": "),
                    fault.place.behind()
                )
            })
            .collect();
        let more = turned.len().saturating_sub(TOLD);
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let what = match turned.len() {
            1 => "1 ring runs the wrong way round".to_owned(),
            count => format!("{count} rings run the wrong way round"),
        };
        notes.push(format!(
            "{what} for a {}, and counts by what it lies in: {}{more}",
            drawing.form,
            places.join(", ")
        ));
    }
    Ok(Nested { polygons, notes })
}

/// A fault of a ring, where it begins.
fn at(drawing: &Drawing, ring: &Ring, text: &str) -> Fault {
    let Some(first) = ring.vertices.first() else {
        return Fault::whole(text);
    };
    let begins = shown_position(first.latitude, first.longitude);
    let text = if text.is_empty() {
        format!("at {begins}")
    } else {
        format!("{text}; it begins at {begins}")
    };
    Fault::at(drawing.place(first), text)
}

/// Points of a ring that tell where it lies: three, apart from one another, since one may touch another ring.
fn probes(points: &[Point]) -> Vec<Point> {
    let third = (points.len() / 3).max(1);
    points.iter().copied().step_by(third).take(3).collect()
}

fn bounds(points: &[Point]) -> [f64; 4] {
    let fold = |pick: fn(f64, f64) -> f64, of: fn(&Point) -> f64, from| {
        points.iter().map(of).fold(from, pick)
    };
    let (least, most) = (f64::INFINITY, f64::NEG_INFINITY);
    [
        fold(f64::min, |point| point.x, least),
        fold(f64::min, |point| point.y, least),
        fold(f64::max, |point| point.x, most),
        fold(f64::max, |point| point.y, most),
    ]
}

fn holds(around: &[f64; 4], within: &[f64; 4]) -> bool {
    around[0] <= within[0]
        && around[1] <= within[1]
        && around[2] >= within[2]
        && around[3] >= within[3]
}
