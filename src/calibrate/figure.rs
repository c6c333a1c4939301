//! The figures of a vessel that a calibration may find.

use crate::plan::vessel::{CalmForm, Vessel};
use crate::units::{Dimension, Quantity};

/// A figure of the vessel. Of each, more is worse.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Figure {
    /// Power of everything but propulsion.
    HotelLoad,
    /// What the powers of the trial's table are multiplied by.
    Trial,
    /// The residuary coefficient of the resistance model, its form factor kept.
    Residuary,
    /// The drag coefficient of the frontal area.
    Drag,
    /// Internal resistance of the pack.
    Resistance,
}

impl Figure {
    /// As people call it.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::HotelLoad => "hotel load",
            Self::Trial => "powers of the trial, over those stated",
            Self::Residuary => "residuary coefficient",
            Self::Drag => "drag coefficient",
            Self::Resistance => "internal resistance",
        }
    }

    /// Where it stands in a vessel file.
    #[must_use]
    pub fn field(self) -> &'static str {
        match self {
            Self::HotelLoad => "hotel_load",
            Self::Trial => "propulsion.trial.points",
            Self::Residuary => "propulsion.resistance.residuary_coefficient",
            Self::Drag => "windage.drag_coefficient",
            Self::Resistance => "battery.internal_resistance",
        }
    }

    /// Whether it is a figure of the power, which are fitted together and in a wind.
    #[must_use]
    pub fn of_power(self) -> bool {
        self != Self::Resistance
    }

    /// What the vessel states, in the stored unit; 1 for the trial's table, which is multiplied.
    #[must_use]
    pub fn stated(self, vessel: &Vessel) -> f64 {
        match self {
            Self::HotelLoad => vessel.hotel_load.value.get(),
            Self::Trial => 1.0,
            Self::Residuary => match vessel.propulsion.calm.value {
                CalmForm::Model { residuary, .. } => residuary,
                CalmForm::Trial(_) => 0.0,
            },
            Self::Drag => vessel.windage.drag_coefficient.value,
            Self::Resistance => vessel.battery.resistance.value.get(),
        }
    }

    /// A value of it in words.
    #[must_use]
    pub fn text(self, value: f64) -> String {
        let of = |dimension| Quantity::new(value, dimension).to_string();
        match self {
            Self::HotelLoad => of(Dimension::POWER),
            Self::Resistance => of(Dimension::RESISTANCE),
            Self::Trial => trimmed(format!("{value:.3}")),
            Self::Residuary | Self::Drag => plain(value),
        }
    }

    /// A value of it as a vessel file has it, already rounded.
    #[must_use]
    pub fn written(self, value: f64) -> String {
        match self {
            Self::HotelLoad | Self::Trial => format!("{} W", plain(value)),
            Self::Resistance => format!("{} mohm", plain(value * 1000.0)),
            Self::Residuary | Self::Drag => plain(value),
        }
    }
}

/// A number to three significant figures, in plain digits.
fn plain(value: f64) -> String {
    trimmed(format!("{value:.*}", decimals(value)))
}

fn trimmed(text: String) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Decimals that show three significant figures.
fn decimals(value: f64) -> usize {
    let size = value.abs().max(1e-9).log10().floor();
    (2.0 - size).clamp(0.0, 12.0) as usize
}

/// A value to three significant figures, never below itself: of a figure of which more is worse, the
/// rounding is on the safe side.
#[must_use]
pub(crate) fn rounded_up(value: f64) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return value;
    }
    let size = value.log10().floor() - 2.0;
    let unit = 10_f64.powf(size);
    // Something that is round but for its last binary digit stays.
    let up = (value / unit - 1e-9).ceil() * unit;
    let digits = decimals(up);
    let text = format!("{up:.digits$}");
    text.parse().unwrap_or(up)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_never_makes_a_boat_better() {
        for (value, due) in [
            (9.0, 9.0),
            (9.001, 9.01),
            (0.0601, 0.0601),
            (0.060_11, 0.0602),
            (123.4, 124.0),
            (1234.0, 1240.0),
            (0.999_9, 1.0),
        ] {
            let up = rounded_up(value);
            assert!((up - due).abs() < 1e-12, "{value}: {up}");
            assert!(up >= value - 1e-12);
        }
        assert_eq!(Figure::Resistance.written(0.0602), "60.2 mohm");
        assert_eq!(Figure::HotelLoad.written(124.0), "124 W");
        assert_eq!(Figure::Residuary.written(0.00876), "0.00876");
        assert_eq!(Figure::Drag.written(1.0), "1");
    }
}
