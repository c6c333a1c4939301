//! Lines with no more points than can be seen.

/// Points that are thinned together: what bounds the work on a line that has no straight part.
const TOGETHER: usize = 512;

/// A line with the points left out that lie within a distance of the line without them (Douglas and
/// Peucker 1973), worked through without recursion and in pieces.
#[must_use]
pub(super) fn thinned(points: &[(f64, f64)], within: f64) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut from = 0;
    while from + 1 < points.len() {
        let to = (from + TOGETHER).min(points.len() - 1);
        out.pop();
        out.extend(thinned_piece(&points[from..=to], within));
        from = to;
    }
    if out.is_empty() { points.to_vec() } else { out }
}

fn thinned_piece(points: &[(f64, f64)], within: f64) -> Vec<(f64, f64)> {
    let mut keep = vec![false; points.len()];
    keep[0] = true;
    keep[points.len() - 1] = true;
    let mut open = vec![(0, points.len() - 1)];
    while let Some((from, to)) = open.pop() {
        let farthest = (from + 1..to)
            .map(|index| (off(points[index], points[from], points[to]), index))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        if let Some((distance, index)) = farthest
            && distance > within
        {
            keep[index] = true;
            open.push((from, index));
            open.push((index, to));
        }
    }
    let kept = points.iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(point, _)| *point).collect()
}

/// Distance of a point from a segment.
fn off(point: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let along = (b.0 - a.0, b.1 - a.1);
    let length2 = along.0 * along.0 + along.1 * along.1;
    let to = (point.0 - a.0, point.1 - a.1);
    let share = if length2 > 0.0 {
        ((to.0 * along.0 + to.1 * along.1) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (to.0 - share * along.0).hypot(to.1 - share * along.1)
}

#[cfg(test)]
mod tests {
    use super::thinned;

    #[test]
    fn a_thinned_line_keeps_its_ends_and_its_corners() {
        let line = [(0.0, 0.0), (1.0, 0.01), (2.0, 0.0), (2.0, 2.0)];
        assert_eq!(thinned(&line, 0.1), [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]);
        let many: Vec<_> = (0..200_000)
            .map(|i| (f64::from(i), f64::from(i % 2)))
            .collect();
        assert!(thinned(&many, 2.0).len() < 500);
    }
}
