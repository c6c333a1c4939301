//! What values of a quantity make sense.

use crate::units::{Dimension, Quantity};

/// The values that a field may hold, in the stored unit.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bounds {
    low: f64,
    low_included: bool,
    high: f64,
    words: &'static str,
}

impl Bounds {
    /// More than nothing.
    pub const POSITIVE: Self = Self {
        low: 0.0,
        low_included: false,
        high: f64::MAX,
        words: "more than zero",
    };
    /// Nothing or more.
    pub const NOT_NEGATIVE: Self = Self {
        low: 0.0,
        low_included: true,
        high: f64::MAX,
        words: "zero or more",
    };
    /// The radius of a landing zone. Inside it clearance from land is not asked for, so it must
    /// not take in a shore that has nothing to do with landing.
    pub const LANDING_ZONE: Self = Self {
        low: 0.0,
        low_included: true,
        high: 100.0,
        words: "between 0 m and 100 m",
    };
    /// Any finite value.
    pub const ANY: Self = Self {
        low: f64::MIN,
        low_included: true,
        high: f64::MAX,
        words: "a finite value",
    };
    /// More than 0 % and at most 100 %.
    pub const SHARE: Self = Self {
        low: 0.0,
        low_included: false,
        high: 1.0,
        words: "more than 0 % and at most 100 %",
    };
    /// A margin for what is not known; past a half of a figure nothing is known of it.
    pub const MARGIN: Self = Self {
        low: 0.0,
        low_included: true,
        high: 0.5,
        words: "between 0 % and 50 %",
    };
    /// A bearing.
    pub const BEARING: Self = Self {
        low: 0.0,
        low_included: true,
        high: std::f64::consts::TAU + 1e-12,
        words: "between 0° and 360°",
    };
    /// The width of a beam.
    pub const BEAM: Self = Self {
        low: 0.0,
        low_included: false,
        high: std::f64::consts::TAU + 1e-12,
        words: "more than 0° and at most 360°",
    };
    /// Half a turn at most.
    pub const HALF_TURN: Self = Self {
        low: 0.0,
        low_included: true,
        high: std::f64::consts::PI + 1e-12,
        words: "between 0° and 180°",
    };

    /// Why a quantity is out of these bounds or implausible for anything offing is about.
    pub(super) fn refusal(self, quantity: Quantity) -> Option<String> {
        let value = quantity.value;
        let above_low = if self.low_included {
            value >= self.low
        } else {
            value > self.low
        };
        if !(above_low && value <= self.high) {
            return Some(format!("it must be {}", self.words));
        }
        let limit = plausible(quantity.dimension);
        (value.abs() > limit).then(|| {
            let shown = Quantity::new(limit, quantity.dimension);
            format!("no {} here is past {shown}", quantity.dimension)
        })
    }
}

/// A size beyond which no small boat's figure lies; it keeps slips of the decimal point, and
/// figures made to upset the arithmetic, from entering it.
fn plausible(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::LENGTH => 1e6,
        Dimension::SPEED => 100.0,
        Dimension::TIME => 30.0 * 86_400.0,
        Dimension::TEMPERATURE => 60.0,
        Dimension::LEVEL | Dimension::POWER_LEVEL => 300.0,
        Dimension::ANGLE => 4.0 * std::f64::consts::PI,
        Dimension::RATIO => 100.0,
        Dimension::POWER => 1e5,
        Dimension::ENERGY => 1e10,
        Dimension::CHARGE => 1e8,
        Dimension::VOLTAGE => 2000.0,
        Dimension::RESISTANCE => 1e3,
        Dimension::MASS => 1e5,
        Dimension::AREA => 1e9,
        _ => 1e13,
    }
}
