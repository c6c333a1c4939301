//! The units that a plan may write, and those that a quantity is shown in.

use super::dimension::Dimension as D;

/// A unit: its symbol, the factor that brings a value in it to the stored unit, its dimension.
pub(super) struct Unit {
    /// Symbol as a plan writes it.
    pub symbol: &'static str,
    /// Stored value = written value × `factor`.
    pub factor: f64,
    /// Dimension of the unit.
    pub dimension: D,
}

const fn unit(symbol: &'static str, factor: f64, dimension: D) -> Unit {
    Unit {
        symbol,
        factor,
        dimension,
    }
}

const DEGREE: f64 = std::f64::consts::PI / 180.0;
/// The international knot, one nautical mile of 1852 m an hour.
const KNOT: f64 = 1852.0 / 3600.0;

/// Every unit that is understood. The first of a dimension is the one that a value is shown in,
/// unless `super::quantity` prefers another for its size.
pub(super) const UNITS: &[Unit] = &[
    unit("%", 0.01, D::RATIO),
    unit("m", 1.0, D::LENGTH),
    unit("km", 1000.0, D::LENGTH),
    unit("cm", 0.01, D::LENGTH),
    unit("mm", 0.001, D::LENGTH),
    unit("nmi", 1852.0, D::LENGTH),
    unit("ft", 0.3048, D::LENGTH),
    unit("m2", 1.0, D::AREA),
    unit("m²", 1.0, D::AREA),
    unit("cm2", 1e-4, D::AREA),
    unit("cm²", 1e-4, D::AREA),
    unit("km2", 1e6, D::AREA),
    unit("km²", 1e6, D::AREA),
    unit("ha", 1e4, D::AREA),
    unit("kg", 1.0, D::MASS),
    unit("g", 0.001, D::MASS),
    unit("t", 1000.0, D::MASS),
    unit("s", 1.0, D::TIME),
    unit("min", 60.0, D::TIME),
    unit("h", 3600.0, D::TIME),
    unit("d", 86400.0, D::TIME),
    unit("ms", 0.001, D::TIME),
    unit("m/s", 1.0, D::SPEED),
    unit("km/h", 1.0 / 3.6, D::SPEED),
    unit("kn", KNOT, D::SPEED),
    unit("cm/s", 0.01, D::SPEED),
    unit("m/s2", 1.0, D::ACCELERATION),
    unit("m/s²", 1.0, D::ACCELERATION),
    unit("N", 1.0, D::FORCE),
    unit("W", 1.0, D::POWER),
    unit("kW", 1000.0, D::POWER),
    unit("mW", 0.001, D::POWER),
    unit("Wh", 3600.0, D::ENERGY),
    unit("kWh", 3.6e6, D::ENERGY),
    unit("J", 1.0, D::ENERGY),
    unit("kJ", 1000.0, D::ENERGY),
    unit("V", 1.0, D::VOLTAGE),
    unit("mV", 0.001, D::VOLTAGE),
    unit("A", 1.0, D::CURRENT),
    unit("mA", 0.001, D::CURRENT),
    unit("Ah", 3600.0, D::CHARGE),
    unit("mAh", 3.6, D::CHARGE),
    unit("ohm", 1.0, D::RESISTANCE),
    unit("Ω", 1.0, D::RESISTANCE),
    unit("mohm", 0.001, D::RESISTANCE),
    unit("mΩ", 0.001, D::RESISTANCE),
    unit("°C", 1.0, D::TEMPERATURE),
    unit("degC", 1.0, D::TEMPERATURE),
    unit("°", DEGREE, D::ANGLE),
    unit("deg", DEGREE, D::ANGLE),
    unit("rad", 1.0, D::ANGLE),
    unit("°/s", DEGREE, D::TURN_RATE),
    unit("deg/s", DEGREE, D::TURN_RATE),
    unit("dB", 1.0, D::LEVEL),
    unit("dBi", 1.0, D::LEVEL),
    unit("dBm", 1.0, D::POWER_LEVEL),
    unit("Hz", 1.0, D::FREQUENCY),
    unit("kHz", 1e3, D::FREQUENCY),
    unit("MHz", 1e6, D::FREQUENCY),
    unit("GHz", 1e9, D::FREQUENCY),
    unit("kg/m3", 1.0, D::DENSITY),
    unit("kg/m³", 1.0, D::DENSITY),
    unit("bit", 1.0, D::INFORMATION),
    unit("kB", 8e3, D::INFORMATION),
    unit("MB", 8e6, D::INFORMATION),
    unit("GB", 8e9, D::INFORMATION),
    unit("bit/s", 1.0, D::DATA_RATE),
    unit("kbit/s", 1e3, D::DATA_RATE),
    unit("Mbit/s", 1e6, D::DATA_RATE),
    unit("kB/s", 8e3, D::DATA_RATE),
    unit("MB/s", 8e6, D::DATA_RATE),
    unit("people", 1.0, D::PEOPLE),
    unit("person", 1.0, D::PEOPLE),
];

/// Other symbols that a plan may write, each with the one that offing writes.
const ALSO: &[(&str, &str)] = &[
    ("NM", "nmi"),
    ("Ohm", "ohm"),
    ("mOhm", "mohm"),
    // The table has the Greek letter; this is the sign of the unit, which looks the same.
    ("\u{2126}", "ohm"),
    ("m\u{2126}", "mohm"),
];

/// The unit with this very symbol. Case matters: `mW` is not `MW`.
pub(super) fn find(symbol: &str) -> Option<&'static Unit> {
    let of = |symbol: &str| UNITS.iter().find(|unit| unit.symbol == symbol);
    of(symbol).or_else(|| {
        let also = ALSO.iter().find(|(also, _)| *also == symbol);
        also.and_then(|(_, symbol)| of(symbol))
    })
}

/// Whether this is the symbol of a unit.
#[must_use]
pub(crate) fn is_unit(symbol: &str) -> bool {
    find(symbol).is_some()
}

/// The symbols of a dimension, in the order of the table.
pub(super) fn symbols_of(dimension: D) -> impl Iterator<Item = &'static str> {
    UNITS
        .iter()
        .filter(move |unit| unit.dimension == dimension)
        .map(|unit| unit.symbol)
}
