//! What values of a quantity make sense.

use crate::units::{Dimension, Quantity};

/// By how much of itself a figure may miss a bound that it was written as: angles and shares are stored in
/// other units than they are written in.
const ROUNDING: f64 = 1e-12;

/// The values that a field may hold, in the stored unit.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Bounds {
    pub(super) at_least: Option<f64>,
    pub(super) more_than: Option<f64>,
    pub(super) at_most: Option<f64>,
    /// The same in words.
    pub(super) words: Option<String>,
}

impl Bounds {
    /// Why a quantity is out of these bounds or implausible for anything offing is about.
    pub(super) fn refusal(&self, quantity: Quantity) -> Option<String> {
        let value = quantity.value;
        let off = |limit: f64| limit.abs() * ROUNDING;
        let below = self
            .at_least
            .is_some_and(|least| value < least - off(least))
            || self.more_than.is_some_and(|more| value <= more);
        let above = self.at_most.is_some_and(|most| value > most + off(most));
        if below || above || !value.is_finite() {
            let words = self.words.as_deref().unwrap_or("a finite value");
            return Some(format!("it must be {words}"));
        }
        // What has an upper end of its own needs none for slips.
        if self.at_most.is_some() {
            return None;
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
