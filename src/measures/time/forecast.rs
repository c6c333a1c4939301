//! The forecast's age and validity, and the visibility.

use super::out::{between, clock, out};
use super::{NEEDS_OUT, TIME, entry};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Type, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::calendar::later;
use crate::plan::{Forecast, Plan};
use crate::units::Dimension;

pub(in crate::measures) const HAS_FORECAST: Entry = entry(
    "mission.has_forecast",
    Type::Truth,
    "Whether the wind planned for is an hourly forecast",
    "False where the plan states one wind, which is a launch limit and does not age.",
    &["conditions"],
    |passage| evidence::of_mission(Ok(has_forecast(passage))),
);

pub(in crate::measures) const AGE: Entry = entry(
    "mission.forecast_age",
    TIME,
    "Age of the forecast when the boat is launched",
    "From the issue of the forecast to the planned launch with its whole delay.",
    &["conditions: forecast", "launch: time", "launch: delay"],
    |passage| evidence::of_mission(age(passage)),
);

pub(in crate::measures) const VALIDITY_LEFT: Entry = entry(
    "mission.forecast_left",
    TIME,
    "Least time that the forecast remains valid after the boat is back",
    "From the latest return (or from the end of the run in the wind that makes it longest, after the \
     whole delay, where that is later) to the end of the forecast's validity.",
    NEEDS_OUT,
    |passage| evidence::of_mission(validity_left(passage)),
);

pub(in crate::measures) const VISIBILITY: Entry = entry(
    "mission.visibility",
    Type::Quantity(Dimension::LENGTH),
    "Visibility planned for",
    "As the plan states it.",
    &["conditions: visibility"],
    |passage| evidence::of_mission(visibility(passage)),
);

fn has_forecast(passage: &Passage<'_>) -> Measured {
    let mission = &passage.plan.mission;
    let forecast = mission.day.forecast.as_ref();
    let (text, span) = match forecast {
        Some(forecast) => ("the wind is a forecast", forecast.issued.span()),
        None => ("the wind is no forecast", mission.id.span()),
    };
    Measured {
        value: Value::Truth(forecast.is_some()),
        sentence: text.to_owned(),
        primary: evidence::label(span, text),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    }
}

fn stated(plan: &Plan) -> Result<&Forecast, NotMeasured> {
    plan.mission.day.forecast.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan states no forecast",
            "add `conditions: forecast:` in place of `wind`",
        )
    })
}

fn age(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let forecast = stated(plan)?;
    let launch = &plan.mission.launch;
    let latest = later(launch.time.value, launch.delay.value.get());
    let age = between(forecast.issued.value, latest);
    Ok(Measured {
        value: evidence::value(age),
        sentence: "the age of the forecast at the launch, with its whole delay,".to_owned(),
        primary: evidence::label(
            forecast.issued.span(),
            format!("issued {}", clock(plan, forecast.issued.value)),
        ),
        because: vec![
            evidence::label(launch.time.span(), "planned launch"),
            evidence::label(
                launch.delay.span(),
                format!("delay of up to {}", launch.delay.value),
            ),
        ],
        place: None,
        scenario: None,
        steps: vec![format!(
            "from {} to {}: {age}",
            clock(plan, forecast.issued.value),
            clock(plan, latest)
        )],
        assumptions: assumed::of_plan(plan),
    })
}

fn validity_left(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let forecast = stated(plan)?;
    let out = out(passage)?;
    let valid_until = forecast.valid_until.value;
    let left = between(out.until, valid_until);
    if let Some(alone) = evidence::value_alone(passage, evidence::value(left)) {
        return Ok(alone);
    }
    let mut steps = out.steps;
    steps.push(format!(
        "from {} to {}: {left}",
        clock(plan, out.until),
        clock(plan, valid_until)
    ));
    Ok(Measured {
        value: evidence::value(left),
        sentence: "the time that the forecast remains valid after the boat is back".to_owned(),
        primary: evidence::label(
            forecast.valid_until.span(),
            format!("valid until {}", clock(plan, valid_until)),
        ),
        because: out.lines,
        place: None,
        scenario: out.scenario,
        steps,
        assumptions: assumed::of_plan(plan),
    })
}

fn visibility(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let Some(visibility) = &plan.mission.day.visibility else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan states no visibility",
            "add `visibility` under `conditions`, the least in which to launch the boat",
        ));
    };
    Ok(Measured {
        value: evidence::value(visibility.value),
        sentence: "the visibility planned for".to_owned(),
        primary: evidence::label(
            visibility.span(),
            format!("visibility {}", visibility.value),
        ),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    })
}
