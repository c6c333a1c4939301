//! Soundings as a file that a site names, and the lines of the site that name it.

use std::fmt::Write as _;

use super::SoundingsOptions;
use super::thin::Kept;
use crate::schema::marks::{gap, proposal};
use crate::source::printable_line;
use crate::units::Length;
use crate::units::decimal_degrees;
use crate::yaml::Yaml;

/// The longest `longest_edge` that a site's file takes, m.
const LONGEST_EDGE: f64 = 2000.0;

/// GeoJSON points with their depth in metres below the datum, to the centimetre and never deeper than it was.
pub(super) fn geojson(kept: &[Kept], file: &str, form: &str, options: &SoundingsOptions) -> String {
    let thinned = options.cell.map_or_else(String::new, |cell| {
        format!(", the shoalest of each cell of {cell}")
    });
    let name = format!(
        "Depths below {}, imported from {} ({form}){thinned}",
        printable_line(&options.datum),
        printable_line(file)
    );
    let name = serde_json::Value::from(name).to_string();
    let mut text =
        format!("{{\n  \"type\": \"FeatureCollection\",\n  \"name\": {name},\n  \"features\": [");
    for (number, one) in kept.iter().enumerate() {
        text.push_str(if number == 0 { "\n" } else { ",\n" });
        let _ = write!(
            text,
            "    {{ \"type\": \"Feature\", \"properties\": {{ \"depth\": {} }}, \"geometry\": {{ \"type\": \"Point\", \
             \"coordinates\": [{}, {}] }} }}",
            centimetres(one.depth),
            decimal_degrees(one.longitude),
            decimal_degrees(one.latitude)
        );
    }
    text.push_str("\n  ]\n}\n");
    text
}

/// Metres with two decimals, rounded to the shoaler side.
fn centimetres(depth: f64) -> String {
    // What is a centimetre but for the last bits of its sum stays one.
    let hundredths = (depth * 100.0 + 1e-6).floor();
    let text = format!("{:.2}", hundredths / 100.0);
    if text == "-0.00" {
        "0.00".to_owned()
    } else {
        text
    }
}

/// The fields of a site that belong to them, the path of the file left out.
pub(super) fn site(options: &SoundingsOptions) -> String {
    let datum = Yaml::text(&options.datum).on_one_line();
    let told = "longest distance over which the bed is interpolated";
    // Across no cell without a sounding.
    let apart = |cell: Length| cell.get() * std::f64::consts::SQRT_2 * 2.0;
    let edge = match options.cell.map(apart) {
        Some(apart) if apart <= LONGEST_EDGE => {
            let apart = format!("{:.1} m", (apart * 10.0).ceil() / 10.0);
            let told = format!("{told}; soundings of neighbouring cells lie no farther apart");
            proposal("longest_edge", &apart, &told)
        }
        _ => gap("longest_edge", told),
    };
    let gaps = [
        gap("surveyed", "day of the survey"),
        gap("error", "error of a depth at 95 %"),
        edge,
    ];
    format!("  datum: {datum}\n  {}\n", gaps.join("\n  "))
}

#[cfg(test)]
mod tests {
    use super::{LONGEST_EDGE, centimetres};
    use crate::schema::Kind;

    #[test]
    fn no_edge_is_proposed_that_a_site_refuses() {
        let schema = Kind::Site.schema_text();
        let (_, field) = schema.split_once("\"longest_edge\": {").unwrap();
        let (_, most) = field.split_once("\"x-at-most\": \"").unwrap();
        assert!(most.starts_with(&format!("{LONGEST_EDGE} m\"")), "{most}");
    }

    #[test]
    fn depths_are_rounded_to_the_shoaler_side() {
        for (depth, due) in [
            (2.349, "2.34"),
            (2.34, "2.34"),
            (0.29, "0.29"),
            (-0.121, "-0.13"),
            (-1e-9, "0.00"),
            (4.0, "4.00"),
        ] {
            assert_eq!(centimetres(depth), due, "{depth}");
        }
    }
}
