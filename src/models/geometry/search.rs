//! The search through edges by nested boxes, the nearest first.

use rstar::{AABB, ParentNode, RTreeNode, RTreeObject};

use super::super::plane::Point;
use super::segment::Segment;

/// Rounding that a search allows for, m. Numerical.
pub(super) const HAIR: f64 = 1e-6;

pub(super) type Envelope2 = AABB<[f64; 2]>;

/// An edge with its number.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    pub(super) segment: Segment,
    pub(super) id: u32,
}

impl RTreeObject for Edge {
    type Envelope = Envelope2;
    fn envelope(&self) -> Envelope2 {
        let (a, b) = (self.segment.a, self.segment.b);
        AABB::from_corners([a.x, a.y], [b.x, b.y])
    }
}

/// What a search is for, with what its lower bounds need.
pub(super) struct Probe {
    pub(super) segment: Segment,
    middle: Point,
    half: Point,
    /// A unit vector across the segment; zero where it has no length.
    across: Point,
}

impl Probe {
    pub(super) fn new(segment: Segment) -> Self {
        let half = (segment.b - segment.a).scale(0.5);
        let across = half
            .unit()
            .map_or(Point::ZERO, |along| Point::new(-along.y, along.x));
        Self {
            segment,
            middle: segment.a + half,
            half: Point::new(half.x.abs(), half.y.abs()),
            across,
        }
    }

    /// A lower bound of the distance to anything within a box: the gaps along the axes and across
    /// the segment.
    pub(super) fn bound(&self, envelope: &Envelope2) -> f64 {
        let (low, high) = (envelope.lower(), envelope.upper());
        let centre = Point::new(0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]));
        let reach = Point::new(0.5 * (high[0] - low[0]), 0.5 * (high[1] - low[1]));
        let apart = centre - self.middle;
        let x = (apart.x.abs() - reach.x - self.half.x).max(0.0);
        let y = (apart.y.abs() - reach.y - self.half.y).max(0.0);
        let across = self.across.dot(apart).abs()
            - self.across.x.abs() * reach.x
            - self.across.y.abs() * reach.y;
        Point::new(x, y).length().max(across) - HAIR * 1e-3
    }
}

/// Most children that a node of the tree has. Numerical: bounds the work.
const CHILDREN: usize = 8;

/// Walks the tree, nearest boxes first, and calls `leaf` with each edge that may lie closer than
/// `limit`, which `leaf` may lower.
pub(super) fn nearest_first(
    node: &ParentNode<Edge>,
    limit: &mut f64,
    bound: &impl Fn(&Envelope2) -> f64,
    leaf: &mut impl FnMut(&Edge, &mut f64),
) {
    let mut order = [(0.0_f64, 0_usize); CHILDREN];
    let mut count = 0;
    for (i, child) in node.children().iter().enumerate() {
        match child {
            RTreeNode::Leaf(edge) => leaf(edge, limit),
            RTreeNode::Parent(parent) => {
                let least = bound(&parent.envelope());
                if least > *limit {
                    continue;
                }
                if count == CHILDREN {
                    // More children than the tree is set to have: no order, but nothing is missed.
                    nearest_first(parent, limit, bound, leaf);
                    continue;
                }
                let mut at = count;
                while at > 0 && order[at - 1].0 > least {
                    order[at] = order[at - 1];
                    at -= 1;
                }
                order[at] = (least, i);
                count += 1;
            }
        }
    }
    for &(least, i) in &order[..count] {
        if least > *limit {
            break;
        }
        if let RTreeNode::Parent(parent) = &node.children()[i] {
            nearest_first(parent, limit, bound, leaf);
        }
    }
}
