//! What a figure or a printed page shows of a plan, beside its findings: places, series along the
//! route, and what people need at the water. Plain numbers with their units, worked out by the
//! passage; whoever draws them computes nothing.

mod along;
mod contingencies;
mod depths;
mod graticule;
mod map;
mod on_map;
mod orders;
mod radio;
mod turn_back;
mod view;

pub(crate) use along::{AlongRoute, LinkAlong};
pub(crate) use contingencies::Duty;
pub(crate) use depths::Depths;
pub use on_map::Comes;
pub(crate) use on_map::{Driven, Fan, Map, Near, Stop};
pub(crate) use orders::{Orders, RAISER, ToSeeTo};
pub use turn_back::Planned;
pub(crate) use turn_back::{MOST_ROWS, Reading, TurnBack, TurnBacks};
pub use view::{At, View};

use crate::finding::Side;
use crate::passage::Passage;
use crate::passage::wind_angle::wind_angles;
pub(crate) use crate::passage::wind_angle::{AtAngle, WindAngles};
use crate::rules::EffectivePolicy;
use crate::units::{Angle, FromDirection, Length, Level, Ratio, Speed};

pub(crate) use crate::models::wind::BY_HAND;
use crate::models::wind::{Steady, as_read};

/// A plan in pictures and in orders.
#[derive(Clone, PartialEq, Debug)]
pub struct Picture {
    /// The wind planned for, where there is one.
    pub wind: Option<Wind>,
    /// Everything on the map.
    pub map: Map,
    /// Series along the route.
    pub along: AlongRoute,
    /// Speed and power against the angle of the wind, where they can be determined.
    pub angles: Option<WindAngles>,
    /// When to turn back.
    pub turn_backs: TurnBacks,
    /// What people need at the water.
    pub orders: Orders,
}

/// The wind planned for.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Wind {
    /// Where it comes from.
    pub from: FromDirection,
    /// How far either side it may differ.
    pub spread: Angle,
    /// Sustained speed at 10 m.
    pub sustained: Speed,
    /// Gust at 10 m.
    pub gust: Speed,
    /// Both as an anemometer held by hand shows them, [`BY_HAND`] over the water, rounded down; `None` where
    /// no profile reaches.
    pub by_hand: Option<Steady>,
}

/// What a policy asks for that figures show as limits.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(crate) struct Demands {
    /// Energy left over once the return leg is paid for.
    pub reserve: Option<Ratio>,
    /// Margin of a needed link.
    pub link_margin: Option<Level>,
    /// Clearance from land.
    pub from_land: Option<Length>,
    /// Clearance from a danger's stand-off.
    pub from_hazards: Option<Length>,
}

impl Demands {
    fn by(policy: &EffectivePolicy) -> Self {
        let at_least = |rule: &str| {
            let rule = policy.get(rule).filter(|rule| rule.enabled.value)?;
            rule.bound
                .limit(Side::AtLeast)
                .map(|limit| limit.value.value)
        };
        Self {
            reserve: at_least("reserve-at-turnaround").map(Ratio::fraction),
            link_margin: at_least("link-margin").map(Level::decibels),
            from_land: at_least("shoreline").map(Length::metres),
            from_hazards: at_least("hazards").map(Length::metres),
        }
    }
}

/// The picture of a plan as a policy judges it.
#[must_use]
pub(super) fn picture(passage: &Passage<'_>, policy: &EffectivePolicy) -> Picture {
    let asked = Demands::by(policy);
    let runs = passage.runs().ok();
    let along = along::along(passage, asked);
    let wind = runs.map(|runs| Wind {
        from: runs.scenarios.planned,
        spread: passage
            .plan
            .mission
            .wind
            .as_ref()
            .map_or(Angle::radians(0.0), |wind| wind.spread.value),
        sustained: runs.scenarios.sustained_u10,
        gust: runs.scenarios.gust_u10,
        by_hand: {
            let (mean, gust) = (runs.scenarios.sustained_u10, runs.scenarios.gust_u10);
            as_read(Steady { mean, gust }, Length::metres(10.0), BY_HAND)
        },
    });
    Picture {
        wind,
        map: map::map(passage, asked),
        angles: runs.and_then(|runs| wind_angles(passage, runs)),
        turn_backs: turn_back::turn_backs(passage, asked),
        orders: orders::orders(passage, policy, &along),
        along,
    }
}
