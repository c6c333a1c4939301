//! What a sea from ahead asks of a boat: worked out once for a sea, whatever track and speed it is met on.

use std::f64::consts::TAU;

use super::super::OutsideValidity;
use super::super::constants::G;
use super::super::resistance;
use super::super::waves::Sea;
use super::{Propulsion, Vector};
use crate::units::{Force, FromDirection, Length, Time};

/// How many times [`resistance::wave_force`] a small hull that pitches is taken to feel. STAWAVE-1
/// is made for ships that are long against the waves and leaves their pitching out; with
/// STAWAVE-2, which has a part for it, hulls of 1 m to 1.8 m come to at most 1.4 to 3.3 times as
/// much, in waves about as long as the hull. Our own choice, on the safe side of the middle.
pub(super) const WAVE_IGNORANCE: f64 = 2.5;

/// Waves of this many waterlines and more lift a hull rather than slam into it. Our own choice.
const LONG_WAVES: f64 = 2.2;

/// [`WAVE_IGNORANCE`] of a sea whose peak has at least this period: the whole of it up to the period
/// of waves of 2.2 waterlines in deep water, falling beyond with the cube of the period. STAWAVE-2
/// falls faster (docs/reference/models/hull-and-power.md compares them).
#[must_use]
pub(super) fn wave_ignorance(shortest: Time, waterline_length: Length) -> f64 {
    let long = (LONG_WAVES * waterline_length.get() * TAU / G).sqrt();
    WAVE_IGNORANCE * (long / shortest.get()).min(1.0).powi(3)
}

/// What a sea from ahead asks of a boat, and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadSea {
    /// The added resistance in head seas, N.
    pub(super) newtons: f64,
    /// Where the waves come from, as a unit vector towards it; nothing where they ask for nothing.
    pub(super) seaward: Vector,
}

impl Propulsion {
    /// What a sea that comes from a direction asks of the boat where it meets it head on.
    ///
    /// # Errors
    /// A sea outside the validity of its model.
    pub fn head_sea(&self, sea: Sea, from: FromDirection) -> Result<HeadSea, OutsideValidity> {
        let newtons = self.added_resistance(sea)?.get();
        let seaward = if newtons > 0.0 {
            from.angle().get().sin_cos()
        } else {
            (0.0, 0.0)
        };
        Ok(HeadSea { newtons, seaward })
    }

    /// The added resistance of a sea from ahead, with what is not known of it.
    pub(super) fn added_resistance(&self, sea: Sea) -> Result<Force, OutsideValidity> {
        if sea == Sea::CALM {
            return Ok(Force::ZERO);
        }
        resistance::wave_force(
            sea,
            self.beam,
            self.bow_length,
            self.waterline_length,
            self.water,
        )
        .map(|force| force * wave_ignorance(sea.shortest, self.waterline_length))
    }
}
