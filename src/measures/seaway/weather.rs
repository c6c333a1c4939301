//! The wind against the limits that the vessel's file states.

use super::{ratio, share};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;

const NEEDS: &[&str] = &["wind", "the vessel's limits"];

pub(in crate::measures) const WIND: Entry = share(
    "mission.wind_share",
    "Sustained wind as a share of the boat's limit",
    "The sustained wind planned for, brought to 10 m, as a share of the vessel's `wind` limit.",
    NEEDS,
    |passage| evidence::of_mission(against(passage, false)),
);

pub(in crate::measures) const GUST: Entry = share(
    "mission.gust_share",
    "Gusts as a share of the boat's limit",
    "The gust planned for, brought to 10 m, as a share of the vessel's `gust` limit (default: its \
     `wind` limit).",
    NEEDS,
    |passage| evidence::of_mission(against(passage, true)),
);

fn against(passage: &Passage<'_>, gust: bool) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let scenarios = passage
        .scenarios()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let limits = &plan.vessel.limits;
    let (what, limit, u10) = if gust {
        ("gusts", &limits.gust, scenarios.gust_u10)
    } else {
        ("sustained wind", &limits.wind, scenarios.sustained_u10)
    };
    let Some(limit) = limit else {
        let (reason, remedy) = if gust {
            (
                "the vessel's file states no limit of gusts",
                "state the strongest gust at 10 m that the boat may be out in, as `gust` under `limits`",
            )
        } else {
            (
                "the vessel's file states no limit of the wind",
                "state the strongest sustained wind at 10 m that the boat may be out in, as `wind` \
                 under `limits`",
            )
        };
        return Err(unmeasured::lacking(plan, limits.span, reason, remedy));
    };
    let value = u10 / limit.value;
    if let Some(alone) = evidence::value_alone(passage, ratio(value)) {
        return Ok(alone);
    }
    let mut because = if gust {
        evidence::gust_line(plan)
    } else {
        evidence::wind_lines(plan)
    };
    because.push(evidence::label(
        limit.span(),
        format!("the boat's limit of {}", limit.value),
    ));
    let wind = plan.mission.wind.as_ref();
    let primary = wind.map_or(plan.mission.id.span(), |wind| {
        if gust {
            wind.gust.span()
        } else {
            wind.mean.span()
        }
    });
    Ok(Measured {
        value: ratio(value),
        sentence: format!(
            "the {what} at 10 m, {u10}, as a share of the boat's limit of {},",
            limit.value
        ),
        primary: evidence::label(primary, format!("{what} planned for")),
        because,
        place: None,
        scenario: None,
        steps: vec![format!(
            "{u10} / {} = {}",
            limit.value,
            evidence::share(value)
        )],
        assumptions: assumed::of_plan(plan),
    })
}
