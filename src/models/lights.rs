//! The lights that a small power-driven vessel shows: their arcs, their range, which of them
//! together are enough.

use super::OutsideValidity;
use crate::units::{Angle, Length, Speed};

const MODEL: &str = "the lights of a small vessel";

/// Length below which these ranges hold, m. Source: COLREGs 1972, rule 22(c).
const SMALL: f64 = 12.0;
/// Length below which one all-round white light may be enough, m. Source: COLREGs 1972, rule 23(d)(ii).
const SMALLEST: f64 = 7.0;
/// Greatest speed of a vessel of which one all-round white light may be enough. Source: COLREGs 1972, rule
/// 23(d)(ii): 7 knots.
pub(crate) const SLOW: Speed = Speed::metres_per_second(7.0 * 1852.0 / 3600.0);
/// By how much of itself an arc or a range may be short for the rounding of its unit. Numerical.
const ROUNDING: f64 = 1e-9;

/// A kind of light.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Light {
    /// White, over the bow.
    Masthead,
    /// Green to starboard and red to port, a pair.
    Sidelights,
    /// White, over the stern.
    Stern,
    /// White, all round.
    AllRoundWhite,
}

impl Light {
    /// Its name in the trade.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Masthead => "masthead",
            Self::Sidelights => "sidelights",
            Self::Stern => "stern",
            Self::AllRoundWhite => "all-round white",
        }
    }

    /// The arc of the horizon over which it shows; of sidelights that of each.
    ///
    /// Source: International Regulations for Preventing Collisions at Sea 1972, rule 21.
    #[must_use]
    pub fn arc(self) -> Angle {
        Angle::degrees(match self {
            Self::Masthead => 225.0,
            Self::Sidelights => 112.5,
            Self::Stern => 135.0,
            Self::AllRoundWhite => 360.0,
        })
    }

    /// The least range of visibility on a vessel of less than 12 m.
    ///
    /// Source: as [`Self::arc`], rule 22(c).
    #[must_use]
    pub fn range(self) -> Length {
        let miles = match self {
            Self::Sidelights => 1.0,
            Self::Masthead | Self::Stern | Self::AllRoundWhite => 2.0,
        };
        Length::metres(miles * 1852.0)
    }

    /// Whether a light of this kind with this arc and range is what the regulations ask of it.
    #[must_use]
    pub fn is_met_by(self, arc: Angle, range: Length) -> bool {
        let reaches = |has: f64, due: f64| has >= due * (1.0 - ROUNDING);
        reaches(arc.get(), self.arc().get()) && reaches(range.get(), self.range().get())
    }
}

/// Whether these lights, each of which meets its kind, are enough for a vessel under way.
///
/// Masthead light, sidelights and sternlight; or an all-round white light and sidelights; or, below
/// 7 m and where the vessel cannot exceed 7 knots, an all-round white light alone, to which
/// sidelights belong where they are practicable.
///
/// Source: as [`Light::arc`], rules 23(a) and (d).
///
/// # Errors
/// [`OutsideValidity`] for a vessel of 12 m or more.
pub(crate) fn enough(
    lights: &[Light],
    length: Length,
    slow: bool,
) -> Result<bool, OutsideValidity> {
    if length.get() >= SMALL {
        return Err(OutsideValidity::new(
            MODEL,
            format!("it is for vessels of less than 12 m, not of {length}"),
        ));
    }
    let has = |light: Light| lights.contains(&light);
    let white = has(Light::AllRoundWhite) || has(Light::Masthead) && has(Light::Stern);
    let alone = has(Light::AllRoundWhite) && slow && length.get() < SMALLEST;
    Ok(white && has(Light::Sidelights) || alone)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Light::{AllRoundWhite, Masthead, Sidelights, Stern};

    /// International Regulations for Preventing Collisions at Sea 1972, rule 23: (a) masthead,
    /// sidelights, sternlight; (d)(i) below 12 m all-round white and sidelights; (d)(ii) below 7 m
    /// and at most 7 knots all-round white alone.
    #[test]
    fn what_is_enough_goes_by_length_and_speed() {
        let enough = |lights: &[Light], metres, slow| {
            enough(lights, Length::metres(metres), slow).expect("below 12 m")
        };
        assert!(enough(&[Masthead, Sidelights, Stern], 11.0, false));
        assert!(!enough(&[Masthead, Sidelights], 11.0, false));
        assert!(!enough(&[Masthead, Stern], 1.2, true));
        assert!(enough(&[AllRoundWhite, Sidelights], 11.0, false));
        assert!(!enough(&[AllRoundWhite], 11.0, true));
        assert!(enough(&[AllRoundWhite], 1.2, true));
        assert!(!enough(&[AllRoundWhite], 1.2, false));
        assert!(!enough(&[AllRoundWhite], 7.0, true));
        assert!(!enough(&[], 1.2, true));
        assert!(super::enough(&[AllRoundWhite], Length::metres(12.0), true).is_err());
    }

    /// The same, rule 21: two sidelights of 112.5° make the masthead light's 225°, and with the
    /// sternlight's 135° the whole horizon; rule 22(c): two miles, sidelights one.
    #[test]
    fn arcs_close_the_horizon_and_ranges_are_those_of_small_vessels() {
        let degrees = |light: Light| light.arc().to_degrees();
        assert!((2.0 * degrees(Sidelights) - degrees(Masthead)).abs() < 1e-9);
        assert!((degrees(Masthead) + degrees(Stern) - 360.0).abs() < 1e-9);
        assert!((degrees(AllRoundWhite) - 360.0).abs() < 1e-9);
        let met = |light: Light, arc, miles| {
            light.is_met_by(Angle::degrees(arc), Length::metres(1852.0 * miles))
        };
        assert!(met(AllRoundWhite, 360.0, 2.0) && !met(AllRoundWhite, 360.0, 1.9));
        assert!(!met(AllRoundWhite, 300.0, 3.0));
        assert!(met(Sidelights, 112.5, 1.0) && !met(Stern, 135.0, 1.0));
        assert!((SLOW.get() - 3.601).abs() < 1e-3);
    }
}
