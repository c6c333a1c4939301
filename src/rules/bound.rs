//! What a rule's value is held against.

use crate::finding::{Comparison, Side};
use crate::measures::Value;
use crate::schema::Stated;
use crate::source::Span;
use crate::units::Quantity;

/// By how much of itself a limit may be missed for the rounding of the arithmetic, and no more.
const ROUNDING: f64 = 1e-9;

/// The values that pass.
#[derive(Clone, PartialEq, Debug)]
pub enum Bound {
    /// Those between two limits, or on the right side of one; a value at its limit passes. At
    /// least one limit is there.
    Limits {
        /// The least value that passes.
        at_least: Option<Stated<Quantity>>,
        /// The greatest value that passes.
        at_most: Option<Stated<Quantity>>,
    },
    /// One of true and false.
    Equals(Stated<bool>),
}

impl Bound {
    /// The limit of one side.
    #[must_use]
    pub fn limit(&self, side: Side) -> Option<&Stated<Quantity>> {
        match (self, side) {
            (Self::Limits { at_least, .. }, Side::AtLeast) => at_least.as_ref(),
            (Self::Limits { at_most, .. }, Side::AtMost) => at_most.as_ref(),
            (Self::Equals(_), _) => None,
        }
    }

    /// The same with another limit on one side.
    pub(super) fn set(&mut self, side: Side, limit: Stated<Quantity>) {
        match (self, side) {
            (Self::Limits { at_least, .. }, Side::AtLeast) => *at_least = Some(limit),
            (Self::Limits { at_most, .. }, Side::AtMost) => *at_most = Some(limit),
            (Self::Equals(_), _) => {}
        }
    }

    /// The line that states it; of two limits the lower one's.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        match self {
            Self::Limits { at_least, at_most } => {
                at_least.as_ref().or(at_most.as_ref()).map(Stated::span)
            }
            Self::Equals(truth) => Some(truth.span()),
        }
    }

    /// The bound in words: `at least 30 %`, `at least 5 m and at most 40 m`, `true`.
    #[must_use]
    pub fn describe(&self) -> String {
        match self {
            Self::Limits { .. } => {
                let sides: Vec<String> = [Side::AtLeast, Side::AtMost]
                    .into_iter()
                    .filter_map(|side| {
                        let limit = self.limit(side)?;
                        Some(format!("{} {}", side.label(), limit.value))
                    })
                    .collect();
                sides.join(" and ")
            }
            Self::Equals(truth) => truth.value.to_string(),
        }
    }

    /// Whether a value passes, and against which limit that is reported: the one that is broken, else
    /// the one that leaves less room. `None` where the value is of another kind than the bound.
    pub(super) fn judge(&self, value: Value) -> Option<(bool, Option<Comparison>)> {
        match (self, value) {
            (Self::Equals(due), Value::Truth(truth)) => Some((truth == due.value, None)),
            (Self::Limits { .. }, Value::Quantity(measured)) => {
                let mut nearest: Option<(f64, Comparison)> = None;
                for side in [Side::AtLeast, Side::AtMost] {
                    let Some(limit) = self.limit(side).map(|stated| stated.value) else {
                        continue;
                    };
                    if limit.dimension != measured.dimension {
                        return None;
                    }
                    let margin = side.margin(measured.value, limit.value);
                    if nearest.as_ref().is_none_or(|(least, _)| margin < *least) {
                        nearest = Some((
                            margin,
                            Comparison {
                                measured,
                                limit,
                                side,
                            },
                        ));
                    }
                }
                let (margin, comparison) = nearest?;
                let passes = margin >= -ROUNDING * comparison.limit.value.abs();
                Some((passes, Some(comparison)))
            }
            _ => None,
        }
    }
}
