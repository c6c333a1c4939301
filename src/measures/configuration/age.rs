//! How old the boat's own measurements are when it is launched.

use jiff::civil::Date;

use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::vessel::CalmForm;
use crate::schema::Stated;
use crate::units::Time;

pub(super) fn capacity_test(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let battery = &passage.plan.vessel.battery;
    let Some(day) = &battery.tested else {
        return Err(unmeasured::lacking(
            passage.plan,
            battery.capacity.span(),
            "the vessel does not say when the battery's capacity was last measured",
            "measure it, and state `measured_capacity` and `capacity_tested`",
        ));
    };
    age(passage, day, "the battery's capacity test", "tested")
}

pub(super) fn trial(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let propulsion = &passage.plan.vessel.propulsion;
    if let Some(day) = &propulsion.tried {
        return age(passage, day, "the speed trial", "tried");
    }
    let (reason, remedy) = match propulsion.calm.value {
        CalmForm::Trial(_) => (
            "the vessel states no date for its speed trial",
            "add `date` to the `trial`",
        ),
        CalmForm::Model { .. } => (
            "the boat's power comes from a model and no trial confirms it",
            "measure power at several speeds in calm water, and state `trial` in place of \
             `resistance`",
        ),
    };
    Err(unmeasured::lacking(
        passage.plan,
        propulsion.calm.span(),
        reason,
        remedy,
    ))
}

fn age(
    passage: &Passage<'_>,
    day: &Stated<Date>,
    what: &str,
    done: &str,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let launch = &plan.mission.launch;
    let midnight = jiff::tz::TimeZone::UTC.to_timestamp(day.value.at(0, 0, 0, 0));
    let Ok(midnight) = midnight else {
        return Err(unmeasured::lacking(
            plan,
            day.span(),
            &format!("the date of {what} is not in the calendar"),
            "state the day on which it was done",
        ));
    };
    let since = launch.time.value.duration_since(midnight);
    let age = Time::seconds(since.as_secs_f64()) + launch.delay.value;
    // A day's room, since the day is the boat's own and not that of UTC.
    if age < Time::seconds(-86_400.0) {
        return Err(unmeasured::lacking(
            plan,
            day.span(),
            &format!("the date of {what} is after the launch"),
            "correct that day, or the launch",
        ));
    }
    let mut known = Measured::new(
        evidence::value(age),
        format!("the age of {what} at the launch"),
        evidence::label(day.span(), format!("{done} on {}", day.value)),
    );
    known.because = vec![evidence::label(launch.time.span(), "planned launch")];
    known.steps = vec![format!(
        "from the beginning of {} to the launch with its delay: {age}",
        day.value
    )];
    Ok(known)
}
