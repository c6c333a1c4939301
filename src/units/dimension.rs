//! What a quantity is a quantity of, as exponents of base dimensions.

use std::fmt;

/// The exponents of the base dimensions of a quantity.
///
/// Besides five SI base dimensions it keeps plane angle, level (dB), absolute power level (dBm)
/// information and heads apart, so that a bearing cannot be compared with a percentage nor a link
/// margin with a transmit power.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Debug, Default)]
pub struct Dimension {
    /// Exponent of length (m).
    pub length: i8,
    /// Exponent of mass (kg).
    pub mass: i8,
    /// Exponent of time (s).
    pub time: i8,
    /// Exponent of electric current (A).
    pub current: i8,
    /// Exponent of temperature (°C, an interval scale).
    pub temperature: i8,
    /// Exponent of plane angle (rad).
    pub angle: i8,
    /// Exponent of level (dB).
    pub level: i8,
    /// Exponent of absolute power level (dBm).
    pub power_level: i8,
    /// Exponent of information (bit).
    pub information: i8,
    /// Exponent of number of people.
    pub people: i8,
}

macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident = { $($field:ident: $exp:expr),* }, $words:literal, $example:literal;)*) => {
        impl Dimension {
            $($(#[$doc])* pub const $name: Self = Self { $($field: $exp,)* ..Self::NONE };)*

            /// The name of this dimension and an example of a quantity of it, where it has a name.
            fn named(self) -> Option<(&'static str, &'static str)> {
                match self {
                    $(Self::$name => Some(($words, $example)),)*
                    _ => None,
                }
            }
        }
    };
}

dimensions! {
    /// Dimensionless: a ratio or a count.
    RATIO = {}, "share", "30 %";
    /// Length.
    LENGTH = { length: 1 }, "length", "850 m";
    /// Area.
    AREA = { length: 2 }, "area", "0.08 m2";
    /// Mass.
    MASS = { mass: 1 }, "mass", "18 kg";
    /// Time.
    TIME = { time: 1 }, "duration", "45 min";
    /// Speed.
    SPEED = { length: 1, time: -1 }, "speed", "1.2 m/s";
    /// Acceleration.
    ACCELERATION = { length: 1, time: -2 }, "acceleration", "0.2 m/s2";
    /// Force.
    FORCE = { length: 1, mass: 1, time: -2 }, "force", "7.4 N";
    /// Power.
    POWER = { length: 2, mass: 1, time: -3 }, "power", "60 W";
    /// Energy.
    ENERGY = { length: 2, mass: 1, time: -2 }, "energy", "40 Wh";
    /// Electric potential.
    VOLTAGE = { length: 2, mass: 1, time: -3, current: -1 }, "voltage", "15.9 V";
    /// Electric current.
    CURRENT = { current: 1 }, "current", "12 A";
    /// Electric charge.
    CHARGE = { current: 1, time: 1 }, "charge", "20 Ah";
    /// Electric resistance.
    RESISTANCE = { length: 2, mass: 1, time: -3, current: -2 }, "resistance", "40 mohm";
    /// Temperature on the Celsius scale.
    TEMPERATURE = { temperature: 1 }, "temperature", "12 °C";
    /// Plane angle.
    ANGLE = { angle: 1 }, "angle", "240°";
    /// Rate of turn.
    TURN_RATE = { angle: 1, time: -1 }, "rate of turn", "12 °/s";
    /// Level: a gain, a loss or a margin.
    LEVEL = { level: 1 }, "level", "10 dB";
    /// Absolute power level.
    POWER_LEVEL = { power_level: 1 }, "power level", "20 dBm";
    /// Frequency.
    FREQUENCY = { time: -1 }, "frequency", "868 MHz";
    /// Density.
    DENSITY = { length: -3, mass: 1 }, "density", "1000 kg/m3";
    /// Amount of data.
    INFORMATION = { information: 1 }, "amount of data", "4 GB";
    /// Data rate.
    DATA_RATE = { information: 1, time: -1 }, "data rate", "250 kbit/s";
    /// Number of people.
    PEOPLE = { people: 1 }, "number of people", "2 people";
}

impl Dimension {
    /// All exponents zero.
    const NONE: Self = Self {
        length: 0,
        mass: 0,
        time: 0,
        current: 0,
        temperature: 0,
        angle: 0,
        level: 0,
        power_level: 0,
        information: 0,
        people: 0,
    };

    /// The exponents in a fixed order, with the symbol of each base unit.
    fn exponents(self) -> [(i8, &'static str); 10] {
        [
            (self.length, "m"),
            (self.mass, "kg"),
            (self.time, "s"),
            (self.current, "A"),
            (self.temperature, "°C"),
            (self.angle, "rad"),
            (self.level, "dB"),
            (self.power_level, "dBm"),
            (self.information, "bit"),
            (self.people, "people"),
        ]
    }

    fn combine(self, other: Self, with: impl Fn(i8, i8) -> i8) -> Self {
        Self {
            length: with(self.length, other.length),
            mass: with(self.mass, other.mass),
            time: with(self.time, other.time),
            current: with(self.current, other.current),
            temperature: with(self.temperature, other.temperature),
            angle: with(self.angle, other.angle),
            level: with(self.level, other.level),
            power_level: with(self.power_level, other.power_level),
            information: with(self.information, other.information),
            people: with(self.people, other.people),
        }
    }

    /// The dimension of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        self.combine(other, i8::saturating_add)
    }

    /// The dimension of a quotient.
    #[must_use]
    pub fn per(self, other: Self) -> Self {
        self.combine(other, i8::saturating_sub)
    }

    /// An example of a quantity of this dimension as a plan would write it.
    #[must_use]
    pub fn example(self) -> &'static str {
        self.named().map_or("", |(_, example)| example)
    }

    /// The dimension as a noun phrase with its article: `a speed`, `an energy`.
    #[must_use]
    pub fn with_article(self) -> String {
        let name = self.to_string();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {name}")
    }

    /// The product of base units, for a dimension that has no name.
    #[must_use]
    pub fn base_units(self) -> String {
        let parts: Vec<String> = self
            .exponents()
            .iter()
            .filter(|(exponent, _)| *exponent != 0)
            .map(|(exponent, symbol)| match exponent {
                1 => (*symbol).to_owned(),
                other => format!("{symbol}^{other}"),
            })
            .collect();
        parts.join("·")
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.named() {
            Some((name, _)) => f.write_str(name),
            None => write!(f, "quantity in {}", self.base_units()),
        }
    }
}
