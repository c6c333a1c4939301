//! How long ago the battery was charged.

use jiff::Unit;
use jiff::tz::TimeZone;

use super::{TIME, entry};
use crate::measures::catalogue::Entry;
use crate::measures::reading::{Known, Unknown};
use crate::measures::tell;
use crate::passage::Passage;
use crate::plan::calendar::later;
use crate::units::Time;

pub(in crate::measures) const SINCE_CHARGE: Entry = entry(
    "mission.time_since_charge",
    TIME,
    "Whole days from the charging of the battery to the launch",
    "Days of the site's own calendar, the launch with its whole delay.",
    "charged; launch: time and delay",
    |passage| tell::of_mission(since_charge(passage)),
);

fn since_charge(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let plan = passage.plan;
    let mission = &plan.mission;
    let Some(charged) = &mission.day.charged else {
        return Err(tell::lacking(
            plan,
            mission.charge_at_launch.span(),
            "the plan does not say when the battery was charged",
            "add `charged`, the day on which it was",
        ));
    };
    let launch = &mission.launch;
    let latest = later(launch.time.value, launch.delay.value.get());
    let utc = TimeZone::UTC;
    let day = plan
        .site
        .time_zone
        .as_ref()
        .unwrap_or(&utc)
        .to_datetime(latest)
        .date();
    let days = charged
        .value
        .until((Unit::Day, day))
        .map_or(i32::MAX, |span| span.get_days());
    if days < 0 {
        let mut unknown = tell::lacking(
            plan,
            charged.span(),
            "the battery is charged after the launch only",
            "give the day of the last charge before the launch",
        );
        unknown
            .because
            .push(tell::label(launch.time.span(), "planned launch"));
        return Err(unknown);
    }
    let time = Time::seconds(f64::from(days) * 86_400.0);
    Ok(Known {
        value: tell::value(time),
        sentence: "the time from the charging of the battery to the launch".to_owned(),
        primary: tell::label(charged.span(), "charged on this day"),
        because: vec![tell::label(launch.time.span(), "planned launch")],
        place: None,
        scenario: None,
        steps: vec![format!("from {} to {day}: {time}", charged.value)],
        assumptions: Vec::new(),
    })
}
