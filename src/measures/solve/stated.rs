//! Changes to what a plan states of the boat's own answers: the path of its return, the threshold of
//! its low-battery action.

use jiff::SignedDuration;

use super::fix::{At, Fix};
use super::search::last_passing;
use super::{Wanted, WhatIf, altered, passes_as, passes_in, value_in};
use crate::passage::Passage;
use crate::plan::mission::{Action, Threshold};
use crate::plan::moment_as_written;
use crate::units::{Ratio, Time, Voltage};

/// Seconds of a minute. By definition.
const MINUTE: f64 = 60.0;
/// A full battery, in percent. By definition.
const FULL: i64 = 100;
/// The step in which a threshold of charge, or a charge, is moved. Numerical: what is proposed is stated
/// so.
const CHARGE_STEP: f64 = 0.01;
/// The same of a voltage, V. Numerical.
const VOLTAGE_STEP: f64 = 0.1;
/// Most steps in which a voltage is moved, which is 20 V. Numerical: bounds the work.
const MOST_STEPS: u32 = 200;

/// The least charge at launch, in whole percent, that passes.
pub(super) fn charge(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let stated = &passage.plan.mission.charge_at_launch;
    let share = |percent: i64| Ratio::fraction(percent as f64 * CHARGE_STEP);
    let tried = |percent: i64| {
        let plan = altered(passage, |plan| {
            plan.mission.charge_at_launch.value = share(percent);
        });
        passes_as(wanted, passage, &plan)
    };
    let now = (stated.value.get() / CHARGE_STEP + 1e-6).floor() as i64;
    if now >= FULL || !tried(FULL) {
        return None;
    }
    let charge = share(last_passing(FULL, now, tried));
    let at = At::of(stated, "/charge_at_launch");
    let fix = Fix::set_one(at, charge.to_string());
    Some(fix.saying(format!("Launch with the battery charged to {charge}")))
}

/// A rest at the end of the route.
pub(super) fn at_end(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let action = passage.plan.mission.at_end.as_ref()?;
    let plan = altered(passage, |plan| {
        plan.mission.at_end = Some(action.clone().map(|_| Action::Hold));
    });
    passes_as(wanted, passage, &plan)
        .then(|| Fix::set_one(At::Stated(action.span()), Action::Hold.label()))
}

/// The time after which the shore contact raises the alarm, at its limit.
pub(super) fn overdue(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let alarm = passage.plan.mission.people.alarm.as_ref()?;
    let overdue = alarm.overdue.as_ref()?;
    let limit = Time::seconds((wanted.limit.value / MINUTE).floor() * MINUTE);
    let plan = altered(passage, |plan| {
        if let Some(alarm) = &mut plan.mission.people.alarm {
            alarm.overdue = Some(overdue.clone().map(|_| limit));
        }
    });
    passes_as(wanted, passage, &plan).then(|| {
        let value = format!("{:.0} min", limit.get() / MINUTE);
        Fix::set_one(At::Stated(overdue.span()), value).noting("as agreed with the shore contact")
    })
}

/// A latest return as much sooner as it takes, in whole minutes, while the run still ends before it.
pub(super) fn latest_return(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let launch = &passage.plan.mission.launch;
    let back = launch.latest_return.as_ref()?;
    let short = -wanted
        .side
        .margin(value_in(wanted, passage)?, wanted.limit.value);
    let minutes = (short / MINUTE).ceil().max(1.0) as i64;
    let sooner = back.value - SignedDuration::from_mins(minutes);
    let (longest, _) = passage.runs().ok()?.longest();
    let taken = launch.delay.value + longest;
    let needed = launch.time.value + SignedDuration::try_from_secs_f64(taken.get()).ok()?;
    if sooner <= needed {
        return None;
    }
    let plan = altered(passage, |plan| {
        plan.mission.launch.latest_return = Some(back.clone().map(|_| sooner));
    });
    passes_as(wanted, passage, &plan).then(|| {
        let zone = passage.plan.site.time_zone.as_ref();
        Fix::set_one(
            At::Stated(back.span()),
            moment_as_written(sooner, launch.offset, zone),
        )
    })
}

/// The threshold nearest to the one stated at which the low-battery action would pass.
pub(super) fn threshold(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let passage = trials.passage;
    let low = passage.plan.mission.on_low_battery.as_ref()?;
    let tried = |threshold: Threshold| {
        let plan = altered(passage, |plan| {
            if let Some(low) = &mut plan.mission.on_low_battery {
                low.threshold = threshold;
            }
        });
        passes_in(wanted, &passage.with_threshold(&plan))
    };
    match &low.threshold {
        Threshold::Charge(stated) => {
            let now = (stated.value.get() / CHARGE_STEP).round() as i64;
            let share = nearest(100, |step| {
                let percent = now + step;
                (1..=100)
                    .contains(&percent)
                    .then(|| Ratio::fraction(percent as f64 * CHARGE_STEP))
                    .filter(|share| tried(Threshold::Charge(stated.clone().map(|_| *share))))
            })?;
            Some(Fix::set_one(At::Stated(stated.span()), share.to_string()))
        }
        Threshold::Voltage(stated) => {
            let now = (stated.value.get() / VOLTAGE_STEP).round() as i64;
            let voltage = nearest(MOST_STEPS, |step| {
                let tenths = now + step;
                (tenths > 0)
                    .then(|| Voltage::volts(tenths as f64 * VOLTAGE_STEP))
                    .filter(|voltage| tried(Threshold::Voltage(stated.clone().map(|_| *voltage))))
            })?;
            Some(Fix::set_one(At::Stated(stated.span()), voltage.to_string()))
        }
    }
}

/// What passes the fewest steps away.
fn nearest<T>(most: u32, passes: impl Fn(i64) -> Option<T>) -> Option<T> {
    (1..=i64::from(most)).find_map(|step| passes(step).or_else(|| passes(-step)))
}
