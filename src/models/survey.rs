//! Sounding lines that fill an area.

use super::geometry::{Frame, Segment, Shore};
use super::plane::Point;
use crate::units::{Length, Towards};

/// The most lines, and the most parts of lines, that a survey may have. Numerical: bounds the work.
pub(crate) const MOST_LINES: usize = 10_000;
/// Parts of lines shorter than this are dropped, m. Our own choice.
const LEAST_PART: f64 = 1.0;
/// Distances closer to one another than this count as equal, m, so that rounding does not choose where a
/// boat begins. Numerical.
const EQUAL: f64 = 1e-6;

/// Why an area cannot be filled.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum SurveyError {
    /// The spacing is not a positive number.
    #[error("a line spacing is above zero, not {0}")]
    Spacing(Length),
    /// The area has no point, or one that is not finite.
    #[error("the area has no outline of finite points")]
    Outline,
    /// More lines than [`MOST_LINES`].
    #[error(
        "the area takes more than {MOST_LINES} sounding lines; make it smaller or the spacing wider"
    )]
    TooMany,
    /// No line fits.
    #[error("no sounding line of 1 m or more fits in the area")]
    None,
}

/// A part of a sounding line, in the frame of the lines.
#[derive(Clone, Copy, Debug)]
struct Part {
    line: usize,
    u: f64,
    low: f64,
    high: f64,
}

/// Where a cell may be begun.
#[derive(Clone, Copy, Debug)]
struct Start {
    distance: f64,
    line: usize,
    v: f64,
    cell: usize,
    from_last: bool,
    from_high: bool,
}

impl Start {
    /// Whether to begin here rather than at another start.
    fn precedes(&self, other: &Self) -> bool {
        if (self.distance - other.distance).abs() > EQUAL {
            return self.distance < other.distance;
        }
        if self.line != other.line {
            return self.line < other.line;
        }
        self.v < other.v - EQUAL
    }
}

/// The sounding lines of an area in the order in which they are run, each from its start to its
/// end.
///
/// `area` is one or more rings, inside by the even-odd rule; `direction` that of the lines;
/// `keep_from_land` a shore and the least distance from any of its edges. `start` is where the
/// boat is before the first line. Lines are split into cells where they split or join; each cell is
/// run in turning rows from its end nearest to the boat, and the nearest cell is run next.
///
/// # Errors
/// A spacing that is not positive, an area without an outline, more than [`MOST_LINES`] lines, or
/// none at all.
pub(crate) fn sounding_lines<R: AsRef<[Point]>>(
    area: &[R],
    direction: Towards,
    spacing: Length,
    keep_from_land: Option<(&Shore, Length)>,
    start: Point,
) -> Result<Vec<Segment>, SurveyError> {
    let gap = spacing.get();
    if !gap.is_finite() || gap <= 0.0 {
        return Err(SurveyError::Spacing(spacing));
    }
    let frame = Frame::along(Point::towards(direction));
    let edges = turned_edges(area, frame)?;
    let parts = parts(&edges, frame, gap, keep_from_land)?;
    if parts.is_empty() {
        return Err(SurveyError::None);
    }
    let cells = cells(&parts);
    Ok(run(&parts, cells, frame, start))
}

/// The edges of all rings in the frame of the lines.
fn turned_edges<R: AsRef<[Point]>>(
    area: &[R],
    frame: Frame,
) -> Result<Vec<[(f64, f64); 2]>, SurveyError> {
    let mut edges = Vec::new();
    for ring in area {
        let ring = ring.as_ref();
        if !ring.iter().all(|point| point.is_finite()) {
            return Err(SurveyError::Outline);
        }
        for (i, &point) in ring.iter().enumerate() {
            let next = ring[(i + 1) % ring.len()];
            edges.push([frame.coordinates(point), frame.coordinates(next)]);
        }
    }
    if edges.is_empty() {
        return Err(SurveyError::Outline);
    }
    Ok(edges)
}

/// The parts of all lines, in order of line and then of v.
fn parts(
    edges: &[[(f64, f64); 2]],
    frame: Frame,
    gap: f64,
    keep_from_land: Option<(&Shore, Length)>,
) -> Result<Vec<Part>, SurveyError> {
    let least = edges
        .iter()
        .map(|edge| edge[0].0)
        .fold(f64::INFINITY, f64::min);
    let most = edges
        .iter()
        .map(|edge| edge[0].0)
        .fold(f64::NEG_INFINITY, f64::max);
    let lines = ((most - least) / gap - 0.5).ceil().max(0.0);
    if lines > MOST_LINES as f64 {
        return Err(SurveyError::TooMany);
    }
    let mut parts = Vec::new();
    for line in 0..lines as usize {
        let u = least + gap / 2.0 + line as f64 * gap;
        let mut cuts: Vec<f64> = edges
            .iter()
            .filter_map(|edge| Frame::crossing(edge, u))
            .collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2) {
            let whole = (pair[0], pair[1]);
            let kept = match keep_from_land {
                Some((shore, distance)) => off_land(frame, u, whole, shore, distance.get()),
                None => vec![whole],
            };
            for (low, high) in kept {
                if high - low >= LEAST_PART {
                    parts.push(Part { line, u, low, high });
                }
            }
        }
        if parts.len() > MOST_LINES {
            return Err(SurveyError::TooMany);
        }
    }
    Ok(parts)
}

/// What is left of a part of a line at least a distance from every shoreline edge, in the water.
fn off_land(
    frame: Frame,
    u: f64,
    (low, high): (f64, f64),
    shore: &Shore,
    distance: f64,
) -> Vec<(f64, f64)> {
    let distance = distance.max(0.0);
    let segment = Segment::new(frame.point(u, low), frame.point(u, high));
    let mut near: Vec<(f64, f64)> = Vec::new();
    shore.edges_near(segment, distance, |edge| {
        let turned = [frame.coordinates(edge.a), frame.coordinates(edge.b)];
        near.extend(within(turned, u, distance));
    });
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut kept = Vec::new();
    let mut from = low;
    for (begin, end) in near.into_iter().chain([(high, high)]) {
        let to = begin.min(high);
        if to > from && shore.is_water(frame.point(u, 0.5 * (from + to))) {
            kept.push((from, to));
        }
        from = from.max(end);
    }
    kept
}

/// The stretch of the line of all points with this u that is within a distance of an edge.
fn within([a, b]: [(f64, f64); 2], u: f64, distance: f64) -> Option<(f64, f64)> {
    let mut stretch: Option<(f64, f64)> = None;
    let mut include = |low: f64, high: f64| {
        stretch = Some(stretch.map_or((low, high), |(l, h)| (l.min(low), h.max(high))));
    };
    for end in [a, b] {
        let rest = distance * distance - (u - end.0).powi(2);
        if rest >= 0.0 {
            include(end.1 - rest.sqrt(), end.1 + rest.sqrt());
        }
    }
    // The two sides of the strip about the edge; what is near an edge is convex, so that its
    // stretch is spanned by the ends' and the sides'.
    let along = (b.0 - a.0, b.1 - a.1);
    let length = along.0.hypot(along.1);
    if length > 0.0 {
        let across = (-along.1 / length * distance, along.0 / length * distance);
        for sign in [-1.0, 1.0] {
            let shift = |p: (f64, f64)| (p.0 + sign * across.0, p.1 + sign * across.1);
            if let Some(v) = Frame::crossing(&[shift(a), shift(b)], u) {
                include(v, v);
            }
        }
    }
    stretch
}

/// Parts joined into cells, as indices: a cell goes on while parts of neighbouring lines overlap
/// one to one.
fn cells(parts: &[Part]) -> Vec<Vec<usize>> {
    let overlap = |a: &Part, b: &Part| a.low.max(b.low) < a.high.min(b.high);
    // Where each part's line begins among the parts, and where the next line does.
    let line_of = |line: usize| {
        let begin = parts.partition_point(|part| part.line < line);
        let end = parts.partition_point(|part| part.line <= line);
        begin..end
    };
    // The only part of a line that overlaps another part.
    let only = |part: &Part, line: usize| {
        let mut found = line_of(line).filter(|&i| overlap(part, &parts[i]));
        match (found.next(), found.next()) {
            (Some(i), None) => Some(i),
            _ => None,
        }
    };
    let mut cells: Vec<Vec<usize>> = Vec::new();
    let mut cell_of: Vec<usize> = Vec::with_capacity(parts.len());
    for (i, part) in parts.iter().enumerate() {
        let before = part
            .line
            .checked_sub(1)
            .and_then(|line| only(part, line))
            .filter(|&j| only(&parts[j], part.line) == Some(i));
        let cell = match before {
            Some(j) => cell_of[j],
            None => {
                cells.push(Vec::new());
                cells.len() - 1
            }
        };
        cells[cell].push(i);
        cell_of.push(cell);
    }
    cells
}

/// Runs the cells, the nearest first, each in turning rows.
fn run(parts: &[Part], mut cells: Vec<Vec<usize>>, frame: Frame, start: Point) -> Vec<Segment> {
    let mut lines = Vec::with_capacity(parts.len());
    let mut boat = start;
    while !cells.is_empty() {
        let mut best: Option<Start> = None;
        for (cell, members) in cells.iter().enumerate() {
            let (Some(&first), Some(&last)) = (members.first(), members.last()) else {
                continue;
            };
            for (index, from_last) in [(first, false), (last, true)] {
                let part = &parts[index];
                for (v, from_high) in [(part.low, false), (part.high, true)] {
                    let candidate = Start {
                        distance: boat.distance(frame.point(part.u, v)),
                        line: part.line,
                        v,
                        cell,
                        from_last,
                        from_high,
                    };
                    if best.is_none_or(|best| candidate.precedes(&best)) {
                        best = Some(candidate);
                    }
                }
            }
        }
        let Some(best) = best else {
            break;
        };
        let mut members = cells.remove(best.cell);
        if best.from_last {
            members.reverse();
        }
        let mut downwards = best.from_high;
        for index in members {
            let part = &parts[index];
            let low = frame.point(part.u, part.low);
            let high = frame.point(part.u, part.high);
            let line = if downwards {
                Segment::new(high, low)
            } else {
                Segment::new(low, high)
            };
            boat = line.b;
            lines.push(line);
            downwards = !downwards;
        }
    }
    lines
}

#[cfg(test)]
mod tests;
