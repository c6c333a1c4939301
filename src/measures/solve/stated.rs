//! Changes to what a plan states of the boat's own answers: the path of its return, the threshold of
//! its low-battery action.

use super::{Wanted, WhatIf, passes_in, value_in};
use crate::finding::Side;
use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::mission::Threshold;
use crate::plan::return_leg::ReturnPath;
use crate::units::{Quantity, Ratio, Voltage};

/// Steps in which a threshold is moved.
const CHARGE_STEP: f64 = 0.01;
const VOLTAGE_STEP: f64 = 0.1;
/// The least gain worth telling: of metres and decibels alike.
const NOTABLE: f64 = 0.5;
/// Most steps in which a voltage is moved, which is 20 V.
const MOST_STEPS: u32 = 200;

fn altered(passage: &Passage<'_>, alter: impl FnOnce(&mut Plan)) -> Plan {
    let mut plan = passage.plan.clone();
    alter(&mut plan);
    plan
}

/// Whether the boat had better come home along its route.
pub(super) fn home_along(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<String> {
    let passage = trials.passage;
    if passage.plan.mission.return_leg.along_route() {
        return None;
    }
    let plan = altered(passage, |plan| {
        plan.mission.return_leg.path.value = ReturnPath::AlongRoute;
    });
    let along = Passage::varied(&plan, passage.variation.clone());
    let along = value_in(wanted, &along)?;
    let margin = |value: f64| wanted.side.margin(value, wanted.limit.value);
    let how = "Let the boat return along its route, with `path: along the route` under `return_leg`, \
               which takes more energy";
    if margin(along) >= 0.0 {
        return Some(format!("{how}."));
    }
    // Short of the limit still: worth saying where another place is all that is left to mend.
    (margin(along) > margin(value_in(wanted, passage)?) + NOTABLE).then(|| {
        let along = Quantity {
            value: along,
            ..wanted.limit
        };
        format!("{how}; it is then {along}, because of another place that also needs a fix.")
    })
}

/// The threshold nearest to the one stated at which the low-battery action would pass.
pub(super) fn threshold(trials: &WhatIf<'_, '_>, wanted: &Wanted<'_>) -> Option<String> {
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
            let (up, share) = nearest(100, |step| {
                let percent = now + step;
                (1..=100)
                    .contains(&percent)
                    .then(|| Ratio::fraction(percent as f64 * CHARGE_STEP))
                    .filter(|share| tried(Threshold::Charge(stated.clone().map(|_| *share))))
            })?;
            Some(format!("Set `below_charge` to {} {share}.", bound(up)))
        }
        Threshold::Voltage(stated) => {
            let now = (stated.value.get() / VOLTAGE_STEP).round() as i64;
            let (up, voltage) = nearest(MOST_STEPS, |step| {
                let tenths = now + step;
                (tenths > 0)
                    .then(|| Voltage::volts(tenths as f64 * VOLTAGE_STEP))
                    .filter(|voltage| tried(Threshold::Voltage(stated.clone().map(|_| *voltage))))
            })?;
            Some(format!("Set `below_voltage` to {} {voltage}.", bound(up)))
        }
    }
}

fn bound(up: bool) -> &'static str {
    if up { Side::AtLeast } else { Side::AtMost }.label()
}

/// What passes the fewest steps away, and whether that is upwards.
fn nearest<T>(most: u32, passes: impl Fn(i64) -> Option<T>) -> Option<(bool, T)> {
    (1..=i64::from(most)).find_map(|step| {
        passes(step)
            .map(|found| (true, found))
            .or_else(|| passes(-step).map(|found| (false, found)))
    })
}
