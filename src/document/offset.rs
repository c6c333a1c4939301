//! Places in a text as they are kept.

/// A text of 4 GiB or more is refused before, so that nothing is cut off here.
pub(super) fn offset(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}
