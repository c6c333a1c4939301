//! How long ago the battery was charged.

use jiff::Unit;
use jiff::tz::TimeZone;

use super::{TIME, entry};
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::calendar::later;
use crate::units::Time;

pub(in crate::measures) const SINCE_CHARGE: Entry = entry(
    "mission.time_since_charge",
    TIME,
    "Whole days from the last charge of the battery to the launch",
    "Days of the site's own calendar, the launch with its whole delay.",
    &["charged", "launch: time", "launch: delay"],
    |passage| evidence::of_mission(since_charge(passage)),
);

fn since_charge(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let mission = &plan.mission;
    let Some(charged) = &mission.day.charged else {
        return Err(unmeasured::lacking(
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
        let mut unknown = unmeasured::lacking(
            plan,
            charged.span(),
            "the battery is charged only after the launch",
            "give the day of the last charge before the launch",
        );
        unknown
            .because
            .push(evidence::label(launch.time.span(), "planned launch"));
        return Err(unknown);
    }
    let time = Time::seconds(f64::from(days) * 86_400.0);
    Ok(Measured {
        value: evidence::value(time),
        sentence: "the time from the last charge of the battery to the launch".to_owned(),
        primary: evidence::label(charged.span(), "charged on this day"),
        because: vec![evidence::label(launch.time.span(), "planned launch")],
        place: None,
        scenario: None,
        steps: vec![format!("from {} to {day}: {time}", charged.value)],
        assumptions: Vec::new(),
    })
}
