//! How far two values are apart, in words.

use crate::units::{Dimension, Quantity};

/// A difference in words: of two shares it is in points, each a hundredth of the whole.
pub(super) fn format_difference(difference: Quantity) -> String {
    in_points(difference.to_string(), difference.dimension)
}

/// The text of a difference, in points where it is one of two shares.
pub(super) fn in_points(text: String, dimension: Dimension) -> String {
    match text.strip_suffix(" %") {
        Some(number) if dimension == Dimension::RATIO => format!("{number} points"),
        _ => text,
    }
}
