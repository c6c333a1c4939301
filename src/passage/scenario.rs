//! The conditions that a plan is checked against: a set of winds, with and without current.

use super::Variation;
use crate::models::OutsideValidity;
use crate::models::drift::{SURFACE_DRIFT, leeway};
use crate::models::propulsion::Blown;
use crate::models::wind::{at_height, gust_at_height, gust_to_ten_metres, to_ten_metres};
use crate::plan::Plan;
use crate::units::{Angle, FromDirection, Speed};

/// Widest step between the directions of the set.
const WIDEST_STEP_DEGREES: f64 = 5.0;

/// One wind, with or without the site's currents.
#[derive(Clone, Debug)]
pub struct Scenario {
    /// Index of the direction, shared by the cases with and without current.
    pub direction: usize,
    /// Where the wind comes from.
    pub from: FromDirection,
    /// Whether the site's currents run.
    pub current: bool,
    /// Sustained wind at the hull as a movement (east, north), m/s.
    pub sustained: (f64, f64),
    /// Gust at the hull as a movement (east, north), m/s.
    pub gust: (f64, f64),
    /// What the sustained wind blows along.
    pub blown: Blown,
    /// The same under the gust, which is over before it has moved the water.
    pub blown_in_gust: Blown,
}

/// The whole set, with what it has in common.
#[derive(Clone, Debug)]
pub struct Scenarios {
    /// Directions, from one side of the spread to the other.
    pub directions: Vec<FromDirection>,
    /// Every direction with each case of current.
    pub all: Vec<Scenario>,
    /// Sustained wind at 10 m.
    pub sustained_u10: Speed,
    /// Gust at 10 m.
    pub gust_u10: Speed,
    /// The planned direction.
    pub planned: FromDirection,
    /// Whether the site has currents.
    pub site_has_current: bool,
}

/// Why there is no set of conditions.
#[derive(Clone, Debug, PartialEq)]
pub enum NoScenarios {
    /// The plan states no wind.
    NoWind,
    /// The height that the wind is stated for is outside the wind profile's validity.
    WindHeight(OutsideValidity),
    /// The height of the hull that the wind meets is outside it.
    HullHeight(OutsideValidity),
}

/// The directions that a wind from a direction is taken from, with its spread to either side.
pub(super) fn spread_out(from: FromDirection, spread: Angle) -> Vec<FromDirection> {
    let intervals = 2
        * (spread.to_degrees() / WIDEST_STEP_DEGREES - 1e-9)
            .ceil()
            .max(0.0) as usize;
    (0..=intervals)
        .map(|index| {
            let share = if intervals == 0 {
                0.0
            } else {
                2.0 * index as f64 / intervals as f64 - 1.0
            };
            from.veered(Angle::radians(spread.get() * share))
        })
        .collect()
}

impl Scenarios {
    /// The set for a plan, its winds as it is varied.
    ///
    /// # Errors
    /// [`NoScenarios`] where the plan states no wind, or one that no model covers.
    pub fn from_plan(plan: &Plan, variation: &Variation) -> Result<Self, NoScenarios> {
        let factor = variation.wind;
        let wind = plan.mission.wind.as_ref().ok_or(NoScenarios::NoWind)?;
        let height = wind.height.value;
        let hull = plan.vessel.windage.height.value;
        let (of_wind, of_hull) = (NoScenarios::WindHeight, NoScenarios::HullHeight);
        let sustained_u10 = to_ten_metres(wind.mean.value * factor, height).map_err(of_wind)?;
        let gust_u10 =
            gust_to_ten_metres(wind.mean.value * factor, wind.gust.value * factor, height)
                .map_err(of_wind)?;
        let sustained = at_height(sustained_u10, hull).map_err(of_hull)?.get();
        let gust = gust_at_height(sustained_u10, gust_u10, hull)
            .map_err(of_hull)?
            .get();
        let water = sustained_u10.get() * SURFACE_DRIFT;
        let rate = plan.vessel.windage.leeway.value;
        let adrift = |u10| leeway(u10, rate, Speed::ZERO).get();
        let (own, own_in_gust) = (adrift(sustained_u10), adrift(gust_u10));
        let directions: Vec<FromDirection> = match variation.veer {
            Some(veer) => vec![wind.from.value.veered(veer)],
            None => spread_out(wind.from.value, wind.spread.value),
        };
        let site_has_current = plan.site.currents.iter().any(|c| c.drift.value.get() > 0.0);
        let cases: &[bool] = if site_has_current {
            &[false, true]
        } else {
            &[false]
        };
        let mut all = Vec::new();
        for (direction, from) in directions.iter().enumerate() {
            let (east, north) = from.towards().unit_vector();
            let downwind = |speed: f64| (east * speed, north * speed);
            let blown = |boat: f64| Blown {
                water: downwind(water),
                boat: downwind(boat),
            };
            for current in cases {
                all.push(Scenario {
                    direction,
                    from: *from,
                    current: *current,
                    sustained: downwind(sustained),
                    gust: downwind(gust),
                    blown: blown(own),
                    blown_in_gust: blown(own_in_gust),
                });
            }
        }
        Ok(Self {
            directions,
            all,
            sustained_u10,
            gust_u10,
            planned: wind.from.value,
            site_has_current,
        })
    }

    /// The scenario of the same wind without the currents, of one that has them.
    pub(super) fn without_current(&self, index: usize) -> Option<usize> {
        let here = self.all.get(index).filter(|here| here.current)?;
        let before = index.checked_sub(1)?;
        let other = &self.all[before];
        (!other.current && other.direction == here.direction).then_some(before)
    }

    /// A scenario in words, with the speed that the measure took.
    #[must_use]
    pub fn describe(&self, index: usize, gust: bool) -> String {
        let Some(scenario) = self.all.get(index) else {
            return String::new();
        };
        let (what, speed) = if gust {
            ("gusts of", self.gust_u10)
        } else {
            ("sustained", self.sustained_u10)
        };
        let current = match (self.site_has_current, scenario.current) {
            (false, _) => "",
            (true, true) => ", with the current",
            (true, false) => ", without current",
        };
        format!(
            "wind from {}, {what} {speed} at 10 m{current}",
            scenario.from
        )
    }
}
