//! Rings and lines cut to a box.

/// A place on a drawing.
pub(super) type Place = (f64, f64);

/// The part of a ring inside a box, as a ring that may run along the box's edges (Sutherland and
/// Hodgman 1974). Whether a point inside the box is inside the ring stays as it was.
pub(super) fn ring(ring: &[Place], low: Place, high: Place) -> Vec<Place> {
    let sides: [&dyn Fn(Place) -> f64; 4] = [
        &|p: Place| p.0 - low.0,
        &|p: Place| high.0 - p.0,
        &|p: Place| p.1 - low.1,
        &|p: Place| high.1 - p.1,
    ];
    let mut kept = ring.to_vec();
    for inside in sides {
        if kept.is_empty() {
            return kept;
        }
        let mut next = Vec::with_capacity(kept.len() + 4);
        let mut before = kept[kept.len() - 1];
        for here in kept {
            let (a, b) = (inside(before), inside(here));
            if (a < 0.0) != (b < 0.0) {
                let share = a / (a - b);
                next.push((
                    before.0 + share * (here.0 - before.0),
                    before.1 + share * (here.1 - before.1),
                ));
            }
            if b >= 0.0 {
                next.push(here);
            }
            before = here;
        }
        kept = next;
    }
    kept
}

/// Whether some of a line's segments lies in a box (Liang and Barsky 1984).
pub(super) fn crosses(line: &[Place], low: Place, high: Place) -> bool {
    line.windows(2).any(|pair| {
        let (from, to) = (pair[0], pair[1]);
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let sides = [
            (-dx, from.0 - low.0),
            (dx, high.0 - from.0),
            (-dy, from.1 - low.1),
            (dy, high.1 - from.1),
        ];
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for (towards, room) in sides {
            if towards < 0.0 {
                first = first.max(room / towards);
            } else if towards > 0.0 {
                last = last.min(room / towards);
            } else if room < 0.0 {
                return false;
            }
        }
        first <= last
    })
}

#[cfg(test)]
mod tests {
    use super::{crosses, ring};

    #[test]
    fn a_line_crosses_a_box_or_passes_it() {
        let (low, high) = ((0.0, 0.0), (10.0, 10.0));
        assert!(crosses(&[(-5.0, 5.0), (15.0, 6.0)], low, high));
        assert!(crosses(&[(-9.0, 20.0), (5.0, 5.0)], low, high));
        assert!(!crosses(&[(-5.0, 4.0), (4.0, -5.0)], low, high));
        assert!(!crosses(&[(-5.0, -1.0), (15.0, -1.0)], low, high));
        assert!(!crosses(&[(5.0, 5.0)], low, high));
    }

    #[test]
    fn a_ring_is_cut_at_the_box() {
        let square = [(-5.0, 2.0), (5.0, 2.0), (5.0, 4.0), (-5.0, 4.0)];
        let cut = ring(&square, (0.0, 0.0), (10.0, 10.0));
        assert_eq!(cut.len(), 4);
        assert!(cut.iter().all(|(x, _)| (0.0..=5.0).contains(x)));
        assert!(ring(&square, (6.0, 0.0), (10.0, 10.0)).is_empty());
        let around = [(-9.0, -9.0), (19.0, -9.0), (19.0, 19.0), (-9.0, 19.0)];
        let all = ring(&around, (0.0, 0.0), (10.0, 10.0));
        assert_eq!(all.len(), 4, "a box inside a ring is wholly inside");
    }
}
