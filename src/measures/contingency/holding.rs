//! Holding a place on a lost link, and what the low-battery action leaves of the plan.

use super::known;
use crate::measures::assumed;
use crate::measures::battery::trigger;
use crate::measures::energy::complete;
use crate::measures::evidence;
use crate::measures::reading::{Lack, Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::{Passage, Runs};
use crate::plan::mission::{Action, LostLink, LowBattery, Threshold};
use crate::units::{Ratio, Time};

fn lost_link<'a>(passage: &'a Passage<'_>) -> Result<&'a LostLink, NotMeasured> {
    let mission = &passage.plan.mission;
    mission.on_lost_link.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            passage.plan,
            mission.id.span(),
            "the plan does not say what the boat does on a lost link",
            "add `on_lost_link:` with an `action` and `after`",
        )
    })
}

pub(super) fn holds(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let action = &lost_link(passage)?.action;
    let words = action.value.label();
    let sentence = format!("on a lost link the boat is to {words}");
    let primary = evidence::label(action.span(), format!("on a lost link: {words}"));
    let value = Value::Truth(action.value == Action::Hold);
    Ok(known(value, sentence, primary, Vec::new()))
}

/// The state of charge at which the low-battery action fires, how that comes about, and its line.
fn fires(
    passage: &Passage<'_>,
    runs: &Runs,
) -> Result<(f64, String, crate::finding::Label), NotMeasured> {
    let plan = passage.plan;
    let low: &LowBattery = plan.mission.on_low_battery.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan does not say what the boat does on a low battery",
            "add `on_low_battery:` with an `action` and `below_charge` or `below_voltage`",
        )
    })?;
    let (state, how) = trigger(passage, &low.threshold, runs.boat.pack.capacity)?;
    let line = match &low.threshold {
        Threshold::Charge(shown) => {
            evidence::label(shown.span(), format!("acts below {}", shown.value))
        }
        Threshold::Voltage(volts) => {
            evidence::label(volts.span(), format!("acts below {}", volts.value))
        }
    };
    Ok((state, how, line))
}

pub(super) fn time(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let action = &lost_link(passage)?.action;
    if action.value != Action::Hold {
        return Err(unmeasured::lacking(
            plan,
            action.span(),
            "the boat does not hold its place on a lost link",
            "let it hold, or do not use this measure",
        ));
    }
    let runs = complete(passage)?;
    let (last, how, line) = fires(passage, runs)?;
    let outside = |(scenario, outside): (usize, crate::models::OutsideValidity)| NotMeasured {
        lack: Lack::Statement,
        reason: format!("in {}, {outside}", runs.scenarios.describe(scenario, true)),
        remedy: "plan for less wind".to_owned(),
        primary: evidence::label(action.span(), "holds its place somewhere on the route"),
        because: evidence::gust_line(plan),
        assumptions: assumed::of_plan(plan),
    };
    let found = crate::passage::holding::shortest(passage, runs, last).map_err(outside)?;
    let Some(holding) = found else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.route_span,
            "the route has no point to hold at",
            "add a leg",
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, evidence::value(holding.time)) {
        return Ok(alone);
    }
    let place = evidence::at_sample(passage, holding.sample);
    let mut because = vec![line];
    because.extend(evidence::wind_lines(plan));
    because.extend(evidence::gust_line(plan).pop());
    because.extend(evidence::battery_lines(plan));
    let sentence = format!(
        "the time for which the boat can hold its place on a lost link, at {},",
        evidence::spot(&place)
    );
    let primary = evidence::label(action.span(), "holds its place");
    let mut known = known(evidence::value(holding.time), sentence, primary, because);
    known.place = Some(place);
    known.scenario = Some(runs.scenarios.describe(holding.scenario, true));
    known.steps = vec![
        format!(
            "holding takes {} in the sustained wind and {} in the gust; battery and motors give {} \
             when the low-battery action fires",
            holding.power, holding.in_gust, holding.most
        ),
        how,
        format!(
            "from {} charged, with {} for everything else: {}",
            evidence::share(holding.charge),
            runs.boat.hotel,
            holding.time
        ),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}

pub(super) fn above_trigger(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let runs = complete(passage)?;
    let (state, how, primary) = fires(passage, runs)?;
    let lowest = runs
        .runs
        .iter()
        .enumerate()
        .filter_map(|(scenario, run)| {
            let last = run.samples.last()?;
            Some((last.charge, last.time, scenario))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let (charge, after, scenario) = lowest.unwrap_or((0.0, Time::ZERO, 0));
    let value = evidence::value(Ratio::fraction(charge - state));
    if let Some(alone) = evidence::value_alone(passage, value) {
        return Ok(alone);
    }
    let mut because = evidence::battery_lines(plan);
    because.extend(evidence::wind_lines(plan));
    let sentence = "the charge left at the end of the route, above the low-battery trigger,";
    let mut known = known(value, sentence, primary, because);
    known.scenario = Some(runs.scenarios.describe(scenario, false));
    known.steps = vec![
        how,
        format!(
            "after the whole route, {after}, the charge is {}: {} − {} = {}",
            evidence::share(charge),
            evidence::share(charge),
            evidence::share(state),
            evidence::share(charge - state)
        ),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
