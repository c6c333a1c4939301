//! Lines put together into rings, end to end.

use super::Ring;
use crate::import::drawn::{Drawing, Role, Vertex};
use crate::import::fault::{Fault, TOLD, counted, shown_position};
use crate::models::geodesy::{Plane, Position};
use crate::models::plane::Point;
use crate::units::Length;

/// Ends that lie this close are one place, m: a centimetre, which is what files round to.
const SAME: f64 = 0.01;
/// Most ends of lines that others are looked for.
const MOST_ENDS: usize = 4000;
/// Most rings of a shoreline.
const MOST_RINGS: usize = 20_000;

/// Rings, and what was done to make them.
pub(super) struct Closed {
    pub rings: Vec<Ring>,
    pub notes: Vec<String>,
}

/// One end of a line.
#[derive(Clone, Copy)]
struct End {
    line: usize,
    last: bool,
    at: Point,
}

/// The rings of a drawing: those of its polygons, and those that its lines close into.
pub(super) fn close(drawing: &Drawing, plane: &Plane, join: Length) -> Result<Closed, Vec<Fault>> {
    let mut rings = Vec::new();
    let mut notes = Vec::new();
    let mut lines: Vec<Vec<Vertex>> = Vec::new();
    for shape in &drawing.shapes {
        match shape.role {
            Role::Outer | Role::Hole => rings.push((shape.role, shape.points.clone())),
            Role::Line => lines.push(shape.points.clone()),
        }
    }
    let joined = chain(drawing, plane, lines, join, &mut notes)?;
    rings.extend(joined.into_iter().map(|ring| (Role::Line, ring)));
    if rings.len() > MOST_RINGS {
        return Err(vec![Fault::whole(format!(
            "the file has {} outlines; at most {MOST_RINGS} are read",
            rings.len()
        ))]);
    }
    let mut repeated = 0;
    let rings = rings.into_iter().map(|(role, mut vertices)| {
        let count = vertices.len();
        vertices.dedup_by(|next, held| next.same_spot(held));
        repeated += count - vertices.len();
        while vertices.len() > 1 && vertices[0].same_spot(&vertices[vertices.len() - 1]) {
            vertices.pop();
        }
        let points = vertices
            .iter()
            .map(|vertex| to_plane(plane, vertex))
            .collect();
        Ring {
            vertices,
            points,
            role,
        }
    });
    let rings = rings.collect();
    if repeated > 0 {
        notes.push(format!("{} left out", counted(repeated, "repeated point")));
    }
    Ok(Closed { rings, notes })
}

fn to_plane(plane: &Plane, vertex: &Vertex) -> Point {
    plane.to_plane(Position::from_degrees(vertex.latitude, vertex.longitude))
}

/// Puts lines together where their ends meet.
fn chain(
    drawing: &Drawing,
    plane: &Plane,
    lines: Vec<Vec<Vertex>>,
    join: Length,
    notes: &mut Vec<String>,
) -> Result<Vec<Vec<Vertex>>, Vec<Fault>> {
    let mut ends = Vec::new();
    let mut rings = Vec::new();
    let mut open: Vec<Vec<Vertex>> = Vec::new();
    for line in lines {
        let (Some(first), Some(last)) = (line.first(), line.last()) else {
            continue;
        };
        let (first, last) = (to_plane(plane, first), to_plane(plane, last));
        if line.len() > 3 && first.distance(last) <= SAME {
            rings.push(line);
            continue;
        }
        for (last, at) in [(false, first), (true, last)] {
            let line = open.len();
            ends.push(End { line, last, at });
        }
        open.push(line);
    }
    if ends.len() > MOST_ENDS {
        return Err(vec![Fault::whole(format!(
            "the file has {} lines that do not close by themselves; at most {} are put together",
            open.len(),
            MOST_ENDS / 2
        ))]);
    }
    let partner = pair(drawing, &open, &ends, join, notes)?;
    let mut used = vec![false; open.len()];
    for start in 0..open.len() {
        let mut ring: Vec<Vertex> = Vec::new();
        // Each line is entered at one end and left at the other.
        let mut enters = 2 * start;
        while !used[enters / 2] {
            used[enters / 2] = true;
            let line = &open[enters / 2];
            let forth = enters % 2 == 0;
            let first = if forth { line.first() } else { line.last() };
            // Where two lines meet, both have the point.
            let met = ring
                .last()
                .zip(first)
                .is_some_and(|(one, other)| one.same_spot(other));
            let skipped = usize::from(met);
            if forth {
                ring.extend(line.iter().skip(skipped));
            } else {
                ring.extend(line.iter().rev().skip(skipped));
            }
            enters = partner[enters ^ 1];
        }
        if !ring.is_empty() {
            rings.push(ring);
        }
    }
    Ok(rings)
}

/// The end that each end goes on at. Ends are numbered two to a line, the first before the last.
fn pair(
    drawing: &Drawing,
    open: &[Vec<Vertex>],
    ends: &[End],
    join: Length,
    notes: &mut Vec<String>,
) -> Result<Vec<usize>, Vec<Fault>> {
    let vertex = |end: &End| {
        let line = &open[end.line];
        if end.last {
            line[line.len() - 1]
        } else {
            line[0]
        }
    };
    let shown = |end: &End| {
        let vertex = vertex(end);
        shown_position(vertex.latitude, vertex.longitude)
    };
    let place = |end: &End| drawing.place(&vertex(end));
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    let reach = join.get().max(SAME);
    for (one, first) in ends.iter().enumerate() {
        for (other, second) in ends.iter().enumerate().skip(one + 1) {
            let apart = first.at.distance(second.at);
            if apart <= reach {
                pairs.push((apart, one, other));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut partner: Vec<Option<usize>> = vec![None; ends.len()];
    let mut faults = Vec::new();
    for (apart, one, other) in &pairs {
        match (partner[*one], partner[*other]) {
            (None, None) => {
                partner[*one] = Some(*other);
                partner[*other] = Some(*one);
                if *apart > SAME {
                    notes.push(format!(
                        "a gap of {apart:.2} m is closed by a straight line, from {}{} to {}{}",
                        shown(&ends[*one]),
                        place(&ends[*one]).behind(),
                        shown(&ends[*other]),
                        place(&ends[*other]).behind()
                    ));
                }
            }
            _ if *apart <= SAME && faults.len() < TOLD => faults.push(Fault::at(
                place(&ends[*other]),
                format!(
                    "more than two lines end at {}, and nothing says which of them the shoreline follows; leave in two",
                    shown(&ends[*other])
                ),
            )),
            _ => {}
        }
    }
    for (number, end) in ends.iter().enumerate() {
        if partner[number].is_some() || faults.len() >= TOLD {
            continue;
        }
        let others = ends
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != number);
        let nearest = others.min_by(|a, b| {
            let apart = |other: &End| other.at.distance(end.at);
            apart(a.1).total_cmp(&apart(b.1))
        });
        let nearest = nearest.map_or_else(String::new, |(_, other)| {
            let apart = other.at.distance(end.at);
            format!(
                ", {apart:.2} m from the nearest other end at {}{}; `--join \"{:.0} m\"` closes gaps up to that by a \
                 straight line",
                shown(other),
                place(other).behind(),
                apart.ceil().max(1.0)
            )
        });
        let text = format!(
            "the shoreline does not close: a line ends at {}{nearest}",
            shown(end)
        );
        faults.push(Fault::at(place(end), text));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(partner.into_iter().map(Option::unwrap_or_default).collect())
}
