//! The survey blocks as a mission's route has them.

use std::fmt::Write as _;

use super::AreaOptions;
use crate::import::direction::whole_circle;
use crate::import::drawn::Drawing;
use crate::models::geodesy::Plane;
use crate::models::geometry::Polygon;
use crate::models::sounding::footprint;
use crate::schema::marks::gap;
use crate::source::printable_line;
use crate::units::decimal_degrees;
use crate::units::{Angle, Length, Typed as _};
use crate::yaml::Yaml;

/// The blocks, from the key `route` on.
pub(super) fn route(
    pieces: &[Polygon],
    plane: &Plane,
    file: &str,
    drawing: &Drawing,
    options: &AreaOptions,
    direction: Angle,
    spacing: Length,
) -> String {
    let swath = footprint(options.depth, options.beam);
    let mut text = format!(
        "# Imported from {} ({}): a beam of {} is {:.1} m wide at {}; the swaths overlap by {}.\nroute:\n",
        printable_line(file),
        drawing.form,
        options.beam,
        swath.get(),
        options.depth,
        options.overlap
    );
    for (number, piece) in pieces.iter().enumerate() {
        let id = match number {
            0 => options.id.clone(),
            number => format!("{}-{}", options.id, number + 1),
        };
        let corners: Vec<String> = piece
            .exterior()
            .iter()
            .map(|point| {
                let at = plane.to_position(*point);
                format!(
                    "[{}, {}]",
                    decimal_degrees(at.latitude.to_degrees()),
                    decimal_degrees(at.longitude.to_degrees())
                )
            })
            .collect();
        let _ = write!(
            text,
            "  - id: {}\n    survey:\n      area: [{}]\n      direction: {}\n      spacing: {}\n",
            Yaml::word(&id).on_one_line(),
            corners.join(", "),
            whole_circle(direction),
            // Rounded down already; as it is shown it could be rounded up again.
            spacing.quantity().exact()
        );
        match options.clear_of_land {
            Some(clear) => {
                let _ = writeln!(text, "      clear_of_land: {}", clear.quantity().exact());
            }
            None => {
                let told = "distance of the lines from the shoreline";
                let _ = writeln!(text, "      {}", gap("clear_of_land", told));
            }
        }
    }
    text
}
