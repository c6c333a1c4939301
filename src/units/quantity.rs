//! A number with its dimension, known only when the program runs: what a plan writes, what a
//! rule bounds and what a finding shows.

use std::fmt;

use super::dimension::Dimension;
use super::table;

/// Decimals of a quantity that is to be read again.
const EXACT_DECIMALS: usize = 9;

/// What the last of them stands for.
const LAST_FIGURE: f64 = 1e-9;

/// A value in its dimension's stored unit: SI, with radians, °C, dB, dBm and bits beside it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Quantity {
    /// Value in the stored unit.
    pub value: f64,
    /// What it is a quantity of.
    pub dimension: Dimension,
}

impl Quantity {
    /// A quantity from its value in the stored unit.
    #[must_use]
    pub const fn new(value: f64, dimension: Dimension) -> Self {
        Self { value, dimension }
    }

    /// The difference to another quantity of the same dimension; `None` where they differ in kind.
    #[must_use]
    pub fn minus(self, other: Self) -> Option<Self> {
        (self.dimension == other.dimension)
            .then(|| Self::new(self.value - other.value, self.dimension))
    }

    /// The unit in which a value of this size is best read.
    fn shown_unit(self) -> (&'static str, f64) {
        let size = self.value.abs();
        let symbol = match self.dimension {
            Dimension::LENGTH if size >= 10_000.0 => "km",
            Dimension::TIME if size >= 864_000.0 => "d",
            Dimension::TIME if size >= 7200.0 => "h",
            Dimension::TIME if size >= 120.0 => "min",
            Dimension::TIME => "s",
            Dimension::RESISTANCE if size < 1.0 => "mohm",
            Dimension::FREQUENCY if size >= 1e9 => "GHz",
            Dimension::FREQUENCY if size >= 1e6 => "MHz",
            Dimension::FREQUENCY if size >= 1e3 => "kHz",
            Dimension::INFORMATION if size >= 8e9 => "GB",
            Dimension::INFORMATION if size >= 8e6 => "MB",
            Dimension::DATA_RATE if size >= 1e6 => "Mbit/s",
            Dimension::DATA_RATE if size >= 1e3 => "kbit/s",
            other => table::symbols_of(other).next().unwrap_or(""),
        };
        match table::find(symbol) {
            Some(unit) => (unit.symbol, unit.factor),
            None => ("", 1.0),
        }
    }

    /// The quantity in a unit with so many decimals, trailing zeros dropped.
    fn text(self, decimals: usize, (symbol, factor): (&'static str, f64)) -> String {
        let number = trimmed(self.value / factor, decimals);
        match symbol {
            "" if self.dimension == Dimension::RATIO => number,
            "" => format!("{number} {}", self.dimension.base_units()),
            "°" => format!("{number}°"),
            "people" if number == "1" => "1 person".to_owned(),
            _ => format!("{number} {symbol}"),
        }
    }

    /// The quantity in the unit that it is shown in, with as many figures as tell it from any other
    /// that is worth telling apart.
    #[must_use]
    pub fn exact(self) -> String {
        self.text(EXACT_DECIMALS, self.shown_unit())
    }

    /// What one of the last figure of [`Self::exact`] stands for, in the base unit: of two quantities
    /// closer than this, the texts cannot tell which is the greater.
    #[must_use]
    pub fn last_figure(self) -> f64 {
        let (_, factor) = self.shown_unit();
        factor * LAST_FIGURE
    }

    /// The quantity with two figures more than usual, so that a quotient of two can be done again by hand.
    #[must_use]
    pub fn finer(self) -> String {
        let unit = self.shown_unit();
        self.text(self.usual_decimals(unit) + 2, unit)
    }

    /// Decimals that show three significant figures or whole units.
    fn usual_decimals(self, (_, factor): (&'static str, f64)) -> usize {
        match (self.value / factor).abs() {
            // A tenth more, so that the sums of an energy budget can be done again by hand.
            size if size >= 100.0 && self.dimension == Dimension::ENERGY => 1,
            size if size >= 100.0 => 0,
            size if size >= 10.0 => 1,
            size if !(1e-12..1.0).contains(&size) => 2,
            size if size >= 0.1 => 3,
            _ => 4,
        }
    }

    /// The quantity whose unit shows this one and a bound: the bound's, or this one's where the bound is
    /// nothing or its unit far too large.
    fn unit_beside(self, bound: Self) -> Self {
        let (_, factor) = bound.shown_unit();
        let too_large = self.value.abs() > 0.0 && (self.value / factor).abs() < 0.1;
        if bound.value.abs() > 0.0 && !too_large {
            bound
        } else {
            self
        }
    }

    /// Both in one unit, each shown with enough figures that two different values never look the same.
    #[must_use]
    pub fn beside(self, bound: Self) -> (String, String) {
        let unit = self.unit_beside(bound).shown_unit();
        let mut decimals = self.usual_decimals(unit);
        let bound_text = if bound.value.abs() > 0.0 {
            bound.to_string()
        } else {
            bound.text(0, unit)
        };
        loop {
            let own = self.text(decimals, unit);
            let alike = own == bound_text;
            let differ = (self.value - bound.value).abs() > 0.0;
            if !(alike && differ) || decimals >= 12 {
                return (own, bound_text);
            }
            decimals += 1;
        }
    }

    /// A difference between a quantity and a bound, in the unit that [`Self::beside`] shows them in.
    #[must_use]
    pub fn as_difference(self, measured: Self, bound: Self) -> String {
        let nothing = bound.value.abs() <= 0.0;
        let unit = if nothing { measured } else { bound }.shown_unit();
        if (self.value / unit.1).abs() < 0.1 {
            return self.to_string();
        }
        self.text(self.usual_decimals(unit), unit)
    }
}

/// A number with at most so many decimals and no trailing zeros; never a negative zero. The minus is
/// the sign of that name (U+2212), which files may write too.
fn trimmed(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    match text.strip_prefix('-') {
        Some("0") => "0".to_owned(),
        Some(size) => format!("\u{2212}{size}"),
        None => text,
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = self.shown_unit();
        f.write_str(&self.text(self.usual_decimals(unit), unit))
    }
}
