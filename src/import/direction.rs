//! Directions as imports write them.

use crate::units::Angle;

/// In tenths of a degree, from 0 to below 360.
pub(super) fn whole_circle(direction: Angle) -> String {
    let tenths = (direction.to_degrees() * 10.0).round().rem_euclid(3600.0);
    let text = format!("{:05.1}", tenths / 10.0);
    format!("{}°", text.strip_suffix(".0").unwrap_or(&text))
}
