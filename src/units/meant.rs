//! The unit or number that a slip stands for: a unit's name for its symbol, a typographic minus.

use super::dimension::Dimension;
use super::table;

/// Names of units, in small letters, with the symbol that a plan writes.
const NAMES: &[(&str, &[&str])] = &[
    ("%", &["percent", "per cent", "pct", "％"]),
    ("m", &["metre", "metres", "meter", "meters", "mtr", "mtrs"]),
    (
        "km",
        &["kilometre", "kilometres", "kilometer", "kilometers", "kms"],
    ),
    (
        "cm",
        &["centimetre", "centimetres", "centimeter", "centimeters"],
    ),
    (
        "mm",
        &["millimetre", "millimetres", "millimeter", "millimeters"],
    ),
    ("nmi", &["nm", "nautical mile", "nautical miles"]),
    ("ft", &["foot", "feet", "'"]),
    (
        "m2",
        &[
            "m^2",
            "sqm",
            "sq m",
            "square metre",
            "square metres",
            "square meters",
        ],
    ),
    (
        "kg",
        &[
            "kgs",
            "kilo",
            "kilos",
            "kilogram",
            "kilograms",
            "kilogramme",
            "kilogrammes",
        ],
    ),
    ("g", &["gram", "grams", "gramme", "grammes"]),
    ("t", &["tonne", "tonnes"]),
    ("s", &["sec", "secs", "second", "seconds"]),
    ("min", &["mins", "minute", "minutes"]),
    ("h", &["hr", "hrs", "hour", "hours"]),
    ("d", &["day", "days"]),
    ("ms", &["msec", "millisecond", "milliseconds"]),
    (
        "m/s",
        &[
            "mps",
            "m/sec",
            "m / s",
            "ms-1",
            "m s-1",
            "metres per second",
            "meters per second",
        ],
    ),
    (
        "km/h",
        &[
            "kph",
            "kmh",
            "kmph",
            "km/hr",
            "km / h",
            "km per hour",
            "kilometres per hour",
        ],
    ),
    ("kn", &["knot", "knots", "kt", "kts", "kns"]),
    ("m/s2", &["m/s^2"]),
    ("N", &["newton", "newtons"]),
    ("W", &["watt", "watts"]),
    ("kW", &["kilowatt", "kilowatts"]),
    ("mW", &["milliwatt", "milliwatts"]),
    ("Wh", &["w h", "watt hour", "watt hours", "watt-hours"]),
    (
        "kWh",
        &["kilowatt hour", "kilowatt hours", "kilowatt-hours"],
    ),
    ("J", &["joule", "joules"]),
    ("V", &["volt", "volts", "vdc"]),
    ("mV", &["millivolt", "millivolts"]),
    ("A", &["amp", "amps", "ampere", "amperes"]),
    ("mA", &["milliamp", "milliamps"]),
    (
        "Ah",
        &["a h", "amp hour", "amp hours", "amp-hours", "ampere hours"],
    ),
    ("ohm", &["ohms"]),
    ("mohm", &["mohms", "milliohm", "milliohms"]),
    (
        "°C",
        &[
            "c",
            "ºc",
            "˚c",
            "℃",
            "° c",
            "deg c",
            "celsius",
            "degree",
            "degrees",
            "degrees c",
            "degrees celsius",
        ],
    ),
    ("°", &["º", "˚", "degs", "degree", "degrees"]),
    ("rad", &["radian", "radians"]),
    ("°/s", &["deg/sec", "degrees/s", "degrees per second"]),
    ("dB", &["decibel", "decibels"]),
    ("kg/m3", &["kg/m^3"]),
    ("bit", &["bits"]),
    ("kB", &["kilobyte", "kilobytes"]),
    ("MB", &["megabyte", "megabytes"]),
    ("GB", &["gigabyte", "gigabytes"]),
    ("bit/s", &["bps", "bits/s"]),
    ("kbit/s", &["kbps", "kbits/s"]),
    ("Mbit/s", &["mbps", "mbits/s"]),
    ("people", &["persons", "pax"]),
];

/// The symbol that a unit's name stands for among those of a dimension, or the one that differs from it
/// in the size of its letters alone.
pub(super) fn unit(written: &str, of: Dimension) -> Option<&'static str> {
    let small = written.to_lowercase();
    let named = NAMES
        .iter()
        .filter(|(_, names)| names.contains(&small.as_str()))
        .map(|(symbol, _)| *symbol)
        .find(|symbol| table::find(symbol).is_some_and(|unit| unit.dimension == of));
    named.or_else(|| {
        let mut alike = table::symbols_of(of).filter(|symbol| symbol.to_lowercase() == small);
        alike.next().filter(|symbol| !is_mega(written, symbol))
    })
}

/// The symbol that a unit's name stands for, whatever the dimension; `None` where it may be one of two.
#[must_use]
pub(crate) fn symbol_meant(written: &str) -> Option<&'static str> {
    let small = written.to_lowercase();
    let mut named = NAMES
        .iter()
        .filter(|(_, names)| names.contains(&small.as_str()));
    let (symbol, _) = named.next()?;
    named.next().is_none().then_some(*symbol)
}

/// Whether what is written means a million where the symbol means a thousandth: `MW` is not `mW`.
fn is_mega(written: &str, symbol: &str) -> bool {
    let milli = symbol.strip_prefix('m').and_then(table::find).is_some();
    milli && written.starts_with('M')
}

/// A number that begins with a dash of typography, which looks like a minus and is none that a file
/// takes: its character by name, and the number with a plain one.
#[must_use]
pub(crate) fn typographic_minus(text: &str) -> Option<(&'static str, String)> {
    let mut characters = text.chars();
    let name = match characters.next()? {
        '\u{2010}' => "U+2010, a hyphen of typography",
        '\u{2011}' => "U+2011, a non-breaking hyphen",
        '\u{2012}' => "U+2012, a figure dash",
        '\u{2013}' => "U+2013, an en dash",
        '\u{2014}' => "U+2014, an em dash",
        '\u{2212}' => "U+2212, a minus sign of typography",
        '\u{fe63}' | '\u{ff0d}' => "a wide hyphen",
        _ => return None,
    };
    let rest = characters.as_str().trim_start();
    rest.starts_with(|first: char| first.is_ascii_digit() || first == '.')
        .then(|| (name, format!("-{rest}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_stands_for_a_unit_and_is_none_itself() {
        for (symbol, names) in NAMES {
            assert!(table::find(symbol).is_some(), "{symbol}");
            for name in *names {
                assert!(table::find(name).is_none(), "{name}");
                assert_eq!(*name, name.to_lowercase());
            }
        }
    }

    #[test]
    fn a_name_stands_for_the_unit_of_the_dimension_that_is_due() {
        assert_eq!(unit("Knots", Dimension::SPEED), Some("kn"));
        assert_eq!(unit("degrees", Dimension::ANGLE), Some("°"));
        assert_eq!(unit("degrees", Dimension::TEMPERATURE), Some("°C"));
        assert_eq!(unit("knots", Dimension::LENGTH), None);
        assert_eq!(unit("ah", Dimension::CHARGE), Some("Ah"));
        // The SI Brochure (BIPM, 9th edition, table 7): M is a million, m a thousandth.
        assert_eq!(unit("MW", Dimension::POWER), None);
        assert_eq!(unit("mw", Dimension::POWER), Some("mW"));
    }

    #[test]
    fn a_dash_before_a_number_is_named() {
        let told = |text| typographic_minus(text).map(|(_, plain)| plain);
        assert_eq!(told("\u{2212}27.49471").as_deref(), Some("-27.49471"));
        assert_eq!(told("\u{2013} 5 m").as_deref(), Some("-5 m"));
        assert_eq!(told("-27.49471"), None);
        assert_eq!(told("\u{2013}none"), None);
    }
}
