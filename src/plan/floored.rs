//! Figures that count at a floor, since nobody and no boat is as good as they are stated.

use crate::source::Span;

/// A figure that is stated better than its floor.
#[derive(Clone, PartialEq, Debug)]
pub struct Floored {
    /// What it is, as a sentence begins: `the operator's reaction time`.
    pub what: &'static str,
    /// As it is stated, with its unit.
    pub stated: String,
    /// The floor, which counts in its place.
    pub floor: String,
    /// Stated over floor, below 1.
    pub share: f64,
    /// The line that states it.
    pub span: Span,
}
