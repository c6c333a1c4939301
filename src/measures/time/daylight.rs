//! Daylight from launch to return.

use crate::measures::assumed;
use jiff::Timestamp;

use super::out::{Out, clock, out};
use super::{NEEDS_OUT, TIME, entry};
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Change, Measured, NotMeasured, Type, Value};
use crate::measures::unmeasured;
use crate::models::OutsideValidity;
use crate::models::daylight::{Daylight, daylight, first_dark};
use crate::models::geodesy::Position;
use crate::passage::{Light, LightEnds, Passage, Sun, SunAt};
use crate::plan::Plan;
use crate::units::Time;

/// Seconds of an hour, by definition.
const HOUR: i64 = 3600;
/// Seconds of a day, by definition.
const DAY: i64 = 24 * HOUR;
/// The longest that a boat's light is followed for. Our own choice.
const LONGEST: i64 = 2 * DAY;
/// Past sunrise the sun is looked for below the horizon again only after this, s. Numerical: sunrise itself
/// is not found again.
const CLEAR_OF_SUNRISE: i64 = 60;

pub(in crate::measures) const AT_LAUNCH: Entry = entry(
    "mission.daylight_at_launch",
    TIME,
    "Time from sunrise to the planned launch",
    "By the sun at the launch point, its upper edge on a level horizon. Negative before sunrise and \
     after sunset: the time to the next sunrise. At most a day either way, where the sun does not set \
     or rise.",
    &["launch: time", "launch: at"],
    |passage| evidence::of_mission(at_launch(passage)),
);

pub(in crate::measures) const LEFT: Entry = entry(
    "mission.daylight_left",
    TIME,
    "Daylight left when the boat is back, at its least",
    "Time from the latest return (or from the end of the run in the wind that makes it longest, after \
     the whole delay, where that is later) to the first sunset after the launch; after the next sunrise \
     where the boat is launched in the dark. Negative where it is out past that sunset. At most a day.",
    NEEDS_OUT,
    |passage| evidence::of_mission(left(passage)),
)
.solved_by(&[Change::LatestReturn]);

pub(in crate::measures) const IN_THE_DARK: Entry = entry(
    "mission.in_the_dark",
    Type::Truth,
    "Whether the boat is out between sunset and sunrise",
    "True where at any moment from the planned launch to the latest return, or to the end of the \
     longest run after the whole delay, the sun is below the horizon at the launch point.",
    NEEDS_OUT,
    |passage| evidence::of_mission(in_the_dark(passage)),
);

/// Where the sun is looked for.
fn launch_point(plan: &Plan) -> Position {
    plan.site.plane.to_position(plan.mission.launch.at.value)
}

fn outside(plan: &Plan, why: &OutsideValidity) -> NotMeasured {
    unmeasured::lacking(
        plan,
        plan.mission.launch.time.span(),
        &why.to_string(),
        "plan for a day whose daylight can be calculated",
    )
}

fn moment(seconds: i64) -> Timestamp {
    Timestamp::from_second(seconds).unwrap_or(Timestamp::MAX)
}

fn sun_at(position: Position, at: i64) -> SunAt {
    // The day by the sun within which the moment lies.
    let today = daylight(position, at - DAY / 2)?;
    let next_rise = || {
        Ok(match daylight(position, at + DAY / 2)? {
            Daylight::Between {
                rise: Some(rise), ..
            } => Sun::DarkUntil(rise),
            _ => Sun::DarkLong,
        })
    };
    match today {
        Daylight::Always => Ok(Sun::UpLong),
        Daylight::Never => next_rise(),
        Daylight::Between {
            rise: Some(rise), ..
        } if at < rise => Ok(Sun::DarkUntil(rise)),
        Daylight::Between { set: Some(set), .. } if at >= set => next_rise(),
        Daylight::Between {
            rise: Some(rise), ..
        } => Ok(Sun::UpSince(rise)),
        Daylight::Between { rise: None, .. } => Ok(Sun::UpLong),
    }
}

fn at_launch(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let launch = &plan.mission.launch;
    let at = launch.time.value.as_second();
    let light = passage.sun(at, || sun_at(launch_point(plan), at));
    let light = light.map_err(|why| outside(plan, &why))?;
    let (seconds, step) = match light {
        Sun::UpSince(rise) => (at - rise, format!("sunrise: {}", clock(plan, moment(rise)))),
        Sun::DarkUntil(rise) => (
            at - rise,
            format!("next sunrise: {}", clock(plan, moment(rise))),
        ),
        Sun::UpLong => (DAY, "the sun does not set".to_owned()),
        Sun::DarkLong => (-DAY, "the sun does not rise".to_owned()),
    };
    let time = Time::seconds(seconds as f64);
    Ok(Measured {
        value: evidence::value(time),
        sentence: "the time from sunrise to the planned launch".to_owned(),
        primary: evidence::label(
            launch.time.span(),
            format!("launched {}", clock(plan, launch.time.value)),
        ),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: vec![
            step,
            format!(
                "launch: {}, {} it",
                clock(plan, launch.time.value),
                after_or_before(time)
            ),
        ],
        assumptions: Vec::new(),
    })
}

fn after_or_before(time: Time) -> String {
    if time < Time::ZERO {
        format!("{} before", Time::ZERO - time)
    } else {
        format!("{time} after")
    }
}

/// When the boat is out, where that is short enough to follow the sun.
fn followed(passage: &Passage<'_>) -> Result<(Out, i64, i64), NotMeasured> {
    let plan = passage.plan;
    let out = out(passage)?;
    let (from, until) = (out.from.as_second(), out.until.as_second());
    if until - from > LONGEST {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.launch.time.span(),
            "the boat may be out for more than two days, the most for which daylight is calculated",
            "split the mission",
        ));
    }
    Ok((out, from, until))
}

/// Light left at the end of a time, and how it ends.
fn light_left(sun: SunAt, position: Position, (from, until): (i64, i64)) -> Light {
    let sun = sun?;
    let rise = match sun {
        Sun::UpSince(_) | Sun::UpLong => from,
        Sun::DarkUntil(rise) => rise + CLEAR_OF_SUNRISE,
        Sun::DarkLong => until,
    };
    let in_light = !matches!(sun, Sun::DarkUntil(_) | Sun::DarkLong);
    if rise >= until && !in_light {
        return Ok((from - until, LightEnds::NoLight));
    }
    Ok(match first_dark(position, rise, until + DAY)? {
        Some(set) => (set - until, LightEnds::At(set)),
        None => (DAY, LightEnds::Never),
    })
}

fn left(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let (out, from, until) = followed(passage)?;
    let position = launch_point(plan);
    let outside = |why: OutsideValidity| outside(plan, &why);
    let sun = || passage.sun(from, || sun_at(position, from));
    let found = passage.light((from, until), || light_left(sun(), position, (from, until)));
    let (seconds, ends) = found.map_err(outside)?;
    let time = Time::seconds(seconds.min(DAY) as f64);
    if let Some(alone) = evidence::value_alone(passage, evidence::value(time)) {
        return Ok(alone);
    }
    let step = match ends {
        LightEnds::NoLight => "the whole run is in the dark".to_owned(),
        LightEnds::At(set) => format!("sunset: {}", clock(plan, moment(set))),
        LightEnds::Never => "the sun does not set for a day".to_owned(),
    };
    let (primary, text) = match &plan.mission.launch.latest_return {
        Some(back) if back.value == out.until => (back.span(), "back by this time"),
        _ => (
            plan.mission.launch.time.span(),
            "the run that begins here ends too late",
        ),
    };
    let mut steps = out.steps;
    steps.push(step);
    steps.push(format!("from {} to sunset: {time}", clock(plan, out.until)));
    Ok(Measured {
        value: evidence::value(time),
        sentence: "the daylight left when the boat is back".to_owned(),
        primary: evidence::label(primary, text),
        because: out.lines,
        place: None,
        scenario: out.scenario,
        steps,
        assumptions: assumed::of_plan(plan),
    })
}

fn in_the_dark(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let (out, from, until) = followed(passage)?;
    let dark = first_dark(launch_point(plan), from, until).map_err(|why| outside(plan, &why))?;
    if let Some(alone) = evidence::value_alone(passage, Value::Truth(dark.is_some())) {
        return Ok(alone);
    }
    let mut steps = out.steps;
    steps.push(match dark {
        Some(at) => format!("the sun is down at {}", clock(plan, moment(at))),
        None => "the sun is up throughout".to_owned(),
    });
    let what = if dark.is_some() {
        "the boat is out between sunset and sunrise"
    } else {
        "the boat is out by day"
    };
    Ok(Measured {
        value: Value::Truth(dark.is_some()),
        sentence: what.to_owned(),
        primary: evidence::label(plan.mission.launch.time.span(), what),
        because: out.lines,
        place: None,
        scenario: None,
        steps,
        assumptions: Vec::new(),
    })
}

/// The offset of the plan's own clock has no part in where the sun stands.
#[cfg(test)]
mod tests {
    use super::*;

    /// Published for London, 2015-12-01: sunrise 07:43, sunset 15:55 UTC, to the minute.
    #[test]
    fn the_light_of_a_winter_day_in_london() {
        let london = Position::from_degrees(51.5085, -0.1257);
        let midnight = 1_448_928_000;
        let at = |hours: i64, minutes: i64| {
            sun_at(london, midnight + hours * HOUR + minutes * 60).expect("within validity")
        };
        let near = |found: i64, days: i64, hours: i64, minutes: i64| {
            (found - (midnight + days * DAY + hours * HOUR + minutes * 60)).abs() <= 90
        };
        assert!(matches!(at(12, 0), Sun::UpSince(rise) if near(rise, 0, 7, 43)));
        assert!(matches!(at(7, 40), Sun::DarkUntil(rise) if near(rise, 0, 7, 43)));
        assert!(matches!(at(0, 5), Sun::DarkUntil(rise) if near(rise, 0, 7, 43)));
        assert!(matches!(at(15, 50), Sun::UpSince(_)));
        // The next day's sun rises a minute later.
        assert!(matches!(at(16, 0), Sun::DarkUntil(rise) if near(rise, 1, 7, 44)));
        assert!(matches!(at(23, 55), Sun::DarkUntil(rise) if near(rise, 1, 7, 44)));
    }

    /// Tromsø has the midnight sun in June and the polar night in December (common knowledge).
    #[test]
    fn polar_day_and_night() {
        let tromso = Position::from_degrees(69.65, 18.96);
        assert!(matches!(sun_at(tromso, 1_782_000_000), Ok(Sun::UpLong)));
        assert!(matches!(sun_at(tromso, 1_797_811_200), Ok(Sun::DarkLong)));
    }
}
