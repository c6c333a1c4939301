//! The gust planned for against the safety boat's wind limit.

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Measured, NotMeasured, Type};
use super::unmeasured;
use crate::passage::Passage;
use crate::units::{Dimension, Ratio, Typed};

pub(super) const CRAFT_WIND: Entry = entry(
    "mission.safety_boat_wind",
    Type::Quantity(Dimension::RATIO),
    "Gust planned for, as a share of the safety boat's wind limit",
    "The gust at 10 m over the safety boat's `wind_limit`.",
    &["gust", "safety boat"],
    |passage| evidence::of_mission(craft_wind(passage)),
)
.solved_by(&[Change::Wind]);

fn craft_wind(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let scenarios = passage
        .scenarios()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let craft = plan.mission.safety_boat.as_ref();
    let Some(limit) = craft.and_then(|craft| craft.wind_limit.as_ref()) else {
        let span = craft.map_or(plan.mission.id.span(), |craft| craft.speed.span());
        return Err(unmeasured::lacking(
            plan,
            span,
            "the plan states no wind limit for the safety boat",
            "add `safety_boat:` with its `wind_limit`",
        ));
    };
    let gust = scenarios.gust_u10;
    let value = Ratio::fraction(gust / limit.value);
    if let Some(alone) = evidence::value_alone(passage, evidence::value(value)) {
        return Ok(alone);
    }
    Ok(Measured {
        value: evidence::value(value),
        sentence: "the gust, as a share of the safety boat's wind limit,".to_owned(),
        primary: evidence::label(
            limit.span(),
            format!("wind limit: gusts of {}", limit.value),
        ),
        because: evidence::gust_line(plan),
        place: None,
        scenario: None,
        steps: vec![format!(
            "{gust} at 10 m / {}: {}",
            limit.value,
            value.quantity()
        )],
        assumptions: assumed::of_plan(plan),
    })
}
