//! How deep rings lie inside one another.

use rstar::RTree;
use rstar::primitives::{GeomWithData, Rectangle};

use super::super::plane::Point;
use super::polygon::point_in_rings;
use super::validity::GeometryError;

/// Rings that a ring may lie in. A lake with an island that has a pond with an islet takes three; each
/// question whether a point is in the water is asked of every ring about it. Our own choice.
pub(super) const MOST_NESTED: usize = 16;
/// Edges that are looked at to find out; below a second's worth. Numerical: bounds the work.
const MOST_EDGES: usize = 50_000_000;

/// Refuses the first ring that lies in more than [`MOST_NESTED`] others.
pub(super) fn check_nesting(rings: &[Vec<Point>]) -> Result<(), GeometryError> {
    if rings.len() <= MOST_NESTED {
        return Ok(());
    }
    let boxes: Vec<GeomWithData<Rectangle<[f64; 2]>, usize>> = rings
        .iter()
        .enumerate()
        .map(|(number, ring)| {
            let fold = |pick: fn(f64, f64) -> f64, from: f64| {
                let x = ring.iter().fold(from, |held, point| pick(held, point.x));
                let y = ring.iter().fold(from, |held, point| pick(held, point.y));
                [x, y]
            };
            let low = fold(f64::min, f64::INFINITY);
            let high = fold(f64::max, f64::NEG_INFINITY);
            GeomWithData::new(Rectangle::from_corners(low, high), number)
        })
        .collect();
    let tree = RTree::bulk_load(boxes);
    let mut edges = 0_usize;
    for (number, ring) in rings.iter().enumerate() {
        let Some(first) = ring.first() else {
            continue;
        };
        let at = [first.x, first.y];
        let others = || {
            let about = tree.locate_all_at_point(&at);
            about.map(|held| held.data).filter(|other| *other != number)
        };
        // Boxes tell of most rings that they lie in few others.
        if others().nth(MOST_NESTED).is_none() {
            continue;
        }
        let mut depth = 0;
        for other in others() {
            edges += rings[other].len();
            if edges > MOST_EDGES {
                return Err(GeometryError::Crowded);
            }
            depth += usize::from(point_in_rings(*first, &rings[other..=other]));
            if depth > MOST_NESTED {
                return Err(GeometryError::Nested { ring: number });
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(half: f64) -> Vec<Point> {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(x, y)| Point::new(x * half, y * half))
            .to_vec()
    }

    #[test]
    fn rings_inside_one_another_are_bounded() {
        let nested = |count: usize| -> Vec<Vec<Point>> {
            (0..count).map(|n| square(100.0 + n as f64)).collect()
        };
        assert_eq!(check_nesting(&nested(MOST_NESTED + 1)), Ok(()));
        assert_eq!(
            check_nesting(&nested(MOST_NESTED + 2)),
            Err(GeometryError::Nested { ring: 0 })
        );
        assert!(check_nesting(&nested(2000)).is_err());
        // Side by side, in one ring about them all.
        let mut beside: Vec<Vec<Point>> = (0..2000)
            .map(|n| {
                let at = Point::new(3.0 * f64::from(n), 0.0);
                square(1.0).into_iter().map(|point| point + at).collect()
            })
            .collect();
        beside.push(square(10_000.0));
        assert_eq!(check_nesting(&beside), Ok(()));
    }

    /// Bars that lie slantwise, so that the boxes of all hold one another, and none lies in another.
    #[test]
    fn boxes_inside_one_another_are_no_rings() {
        let bars: Vec<Vec<Point>> = (0..60)
            .map(|n| {
                let off = f64::from(n) * 4.0;
                [(0.0, 0.0), (1000.0, 1000.0), (1001.0, 1000.0), (1.0, 0.0)]
                    .map(|(x, y)| Point::new(x + off, y - off))
                    .to_vec()
            })
            .collect();
        assert_eq!(check_nesting(&bars), Ok(()));
    }
}
