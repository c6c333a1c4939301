//! The limits from each direction, and the winds that were judged whole.

use schemars::JsonSchema;
use serde::Serialize;

use crate::envelope;
use crate::models::wind::Steady as SteadyWind;
use crate::report::output::{Binding, Quantity};

/// A direction, as people read it off a compass.
pub(super) fn degrees(from: crate::units::FromDirection) -> f64 {
    let degrees = from.angle().to_degrees().rem_euclid(360.0);
    (degrees * 1e6).round() / 1e6 % 360.0
}

/// A wind.
#[derive(Serialize, JsonSchema)]
struct Steady {
    /// Sustained.
    mean: Quantity,
    /// Its gust.
    gust: Quantity,
}

impl From<&SteadyWind> for Steady {
    fn from(of: &SteadyWind) -> Self {
        Self {
            mean: Quantity::typed(of.mean),
            gust: Quantity::typed(of.gust),
        }
    }
}

/// Why a limit is no higher.
#[derive(Serialize, JsonSchema)]
struct LimitedBy<'a> {
    /// The first wind that does not pass.
    wind: Steady,
    /// A direction, of those that belong to this one, in which it does not.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 360))]
    from_degrees: f64,
    /// The rules that it breaks.
    rules: Vec<Binding<'a>>,
}

impl<'a> LimitedBy<'a> {
    fn from_limited_by(limited: &'a envelope::LimitedBy) -> Self {
        Self {
            wind: Steady {
                mean: Quantity::typed(limited.wind.mean),
                gust: Quantity::typed(limited.wind.gust),
            },
            from_degrees: degrees(limited.from),
            rules: Binding::all(&limited.rules),
        }
    }
}

/// Stronger winds that pass again, one after the other.
#[derive(Serialize, JsonSchema)]
struct Passing {
    /// The weakest mean wind.
    from: Quantity,
    /// The strongest mean wind.
    to: Quantity,
}

/// The limit from one direction.
#[derive(Serialize, JsonSchema)]
pub(super) struct Sector<'a> {
    /// Where the wind comes from, in degrees from true north.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 360))]
    from_degrees: f64,
    /// The strongest wind that passes, with every weaker one that was tried; null where not even a calm does.
    strongest: Option<Steady>,
    /// The strongest wind as an anemometer at the height of `read_at` shows it, rounded down; null where there is
    /// none, or no wind profile reaches that height.
    as_read: Option<Steady>,
    /// Why no more; null where no limit was found up to the strongest wind that is tried.
    limited_by: Option<LimitedBy<'a>>,
    /// Stronger winds that pass again, above one that does not. They are no limit.
    again: Vec<Passing>,
}

impl<'a> Sector<'a> {
    pub(super) fn from_sector(sector: &'a envelope::Sector) -> Self {
        let again = sector.again.iter().map(|one| Passing {
            from: Quantity::typed(one.from),
            to: Quantity::typed(one.to),
        });
        Self {
            from_degrees: degrees(sector.from),
            strongest: sector.strongest.as_ref().map(Steady::from),
            as_read: sector.as_read.as_ref().map(Steady::from),
            limited_by: sector.limited_by.as_ref().map(LimitedBy::from_limited_by),
            again: again.collect(),
        }
    }
}

/// A wind that was judged as a check of a plan for it would.
#[derive(Serialize, JsonSchema)]
pub(super) struct Wind<'a> {
    /// Middle of its band, in degrees from true north.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 360))]
    from_degrees: f64,
    /// Either side of it.
    spread: Quantity,
    /// Sustained.
    mean: Quantity,
    /// Its gust.
    gust: Quantity,
    /// Height over the water that both are of.
    height: Quantity,
    /// Whether it is the one planned for.
    planned: bool,
    /// Whether every rule of severity error is met.
    passed: bool,
    /// The rules that are not.
    broken: Vec<Binding<'a>>,
}

impl<'a> Wind<'a> {
    pub(super) fn from_band_wind(wind: &'a envelope::BandWind) -> Self {
        Self {
            from_degrees: degrees(wind.from),
            spread: Quantity::typed(wind.spread),
            mean: Quantity::typed(wind.mean),
            gust: Quantity::typed(wind.gust),
            height: Quantity::typed(wind.height),
            planned: wind.planned,
            passed: wind.broken.is_empty(),
            broken: Binding::all(&wind.broken),
        }
    }
}
