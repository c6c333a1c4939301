//! What is stated for each failure, and whether it goes together.

use super::known;
use crate::finding::Label;
use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::contingencies::ManualOverride;
use crate::plan::mission::{Action, LinkUse, LostLink, LowBattery};
use crate::plan::people::says_nothing;
use crate::schema::Stated;

pub(super) fn lost_propulsion(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let Some(lost) = &plan.mission.contingencies.lost_propulsion else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan does not say what happens when the boat loses its propulsion",
            "add `on_lost_propulsion:` with an `action`, and with `then`, what people do",
        ));
    };
    let words = lost.action.value.label();
    let Some(then) = &lost.then else {
        return Err(unmeasured::lacking(
            plan,
            lost.action.span(),
            "the plan does not say what people do when the boat has lost its propulsion",
            "add `then` to `on_lost_propulsion:`, such as who fetches the boat, and with what",
        ));
    };
    let acted = !says_nothing(&then.value);
    let sentence = if acted {
        format!("on lost propulsion the boat is to {words}, and people act")
    } else {
        format!("on lost propulsion the boat is to {words}, and nobody does anything")
    };
    let because = vec![evidence::label(
        lost.action.span(),
        format!("on lost propulsion: {words}"),
    )];
    let primary = evidence::label(then.span(), "what people do then");
    Ok(known(Value::Truth(acted), sentence, primary, because))
}

/// The contingencies that send the boat home, or that might, not being stated.
fn returning(plan: &Plan) -> Vec<Label> {
    let mission = &plan.mission;
    let stated = [
        (
            mission.on_lost_link.as_ref().map(|one| &one.action),
            "a lost link",
        ),
        (
            mission.on_low_battery.as_ref().map(|one| &one.action),
            "a low battery",
        ),
        (mission.on_lost_position.as_ref(), "a lost position"),
    ];
    stated
        .into_iter()
        .filter_map(|(action, when)| match action {
            Some(action) if action.value == Action::Return => Some(evidence::label(
                action.span(),
                format!("on {when} the boat comes home"),
            )),
            Some(_) => None,
            None => Some(evidence::label(
                mission.id.span(),
                format!("on {when} it may come home: the plan does not say"),
            )),
        })
        .collect()
}

pub(super) fn stops_after_return(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let mission = &plan.mission;
    let returning = returning(plan);
    let own = mission.contingencies.home_end.as_ref();
    if returning.is_empty() {
        let sentence = "no contingency sends the boat home";
        let primary = evidence::label(mission.id.span(), "this mission");
        return Ok(known(Value::Truth(true), sentence, primary, Vec::new()));
    }
    let Some(action) = own.or(mission.at_end.as_ref()) else {
        return Err(unmeasured::lacking(
            plan,
            mission.id.span(),
            "the plan says neither what the boat does after a return leg, nor what it does at the \
             end of the route",
            "add `at_end: hold` to `return_leg:`",
        ));
    };
    let words = action.value.label();
    let rests = matches!(action.value, Action::Hold | Action::Stop);
    let sentence = format!("once a contingency has brought the boat home, it is to {words}");
    let primary = evidence::label(action.span(), format!("once it is home: {words}"));
    let mut known = known(Value::Truth(rests), sentence, primary, returning);
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}

fn manual_override(plan: &Plan) -> Result<&ManualOverride, NotMeasured> {
    plan.mission.contingencies.manual_override.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan states no manual override",
            "add `manual_override:` with `over`, the link, and `within`, the time that it takes",
        )
    })
}

/// The manual override with its line and its time, the operator's reaction included.
pub(super) fn override_lines(
    passage: &Passage<'_>,
) -> Result<(crate::units::Time, Label, Vec<Label>), NotMeasured> {
    let plan = passage.plan;
    let manual_override = manual_override(plan)?;
    let reaction = plan.mission.reaction_time();
    let primary = evidence::label(
        manual_override.within.span(),
        format!("obeys within {}", manual_override.within.value),
    );
    let operator = plan.mission.operator.as_ref();
    let because = operator
        .map(|operator| {
            let text = format!("reaction time {reaction}");
            evidence::label(operator.reaction_time.span(), text)
        })
        .into_iter()
        .collect();
    Ok((reaction + manual_override.within.value, primary, because))
}

pub(super) fn override_time(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let within = manual_override(plan)?.within.value;
    let (time, primary, because) = override_lines(passage)?;
    let sentence = "the time from seeing that something is wrong until the boat obeys the operator";
    let mut known = known(evidence::value(time), sentence, primary, because);
    known.steps = vec![format!(
        "the operator's reaction, {}, and the boat's, {within}: {time}",
        plan.mission.reaction_time()
    )];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}

/// The lost-link and low-battery responses, which must both be stated.
fn responses(plan: &Plan) -> Result<(&LostLink, &LowBattery), NotMeasured> {
    let lacking = |what: &str, field: &str| {
        unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            &format!("the plan does not say what the boat does on {what}"),
            &format!("add `{field}:` with an `action`"),
        )
    };
    let mission = &plan.mission;
    let lost = mission
        .on_lost_link
        .as_ref()
        .ok_or_else(|| lacking("a lost link", "on_lost_link"))?;
    let low = mission
        .on_low_battery
        .as_ref()
        .ok_or_else(|| lacking("a low battery", "on_low_battery"))?;
    Ok((lost, low))
}

pub(super) fn agree(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let manual_override = manual_override(plan)?;
    let (lost, low) = responses(plan)?;
    let link = manual_override.over.value;
    let over = evidence::label(
        manual_override.over.span(),
        format!("manual override by {}", link.name()),
    );
    let usage: Option<&Stated<LinkUse>> = plan.mission.link_use(link);
    if usage.is_none_or(|usage| usage.value != LinkUse::Needed) {
        let sentence = format!(
            "the manual override needs the {} link, which the mission does not use",
            link.name()
        );
        let because = usage
            .map(|usage| evidence::label(usage.span(), "and the mission does not need it"))
            .into_iter()
            .collect();
        return Ok(known(Value::Truth(false), sentence, over, because));
    }
    let (on_link, on_battery) = (lost.action.value, low.action.value);
    let lines = [
        evidence::label(
            lost.action.span(),
            format!("on a lost link: {}", on_link.label()),
        ),
        evidence::label(
            low.action.span(),
            format!("on a low battery: {}", on_battery.label()),
        ),
    ];
    let waits = matches!(on_link, Action::Hold | Action::Stop);
    if waits && on_battery != Action::Return {
        let sentence = format!(
            "on a lost link the boat is to {}, and on a low battery after that to {}: nothing \
             brings it home",
            on_link.label(),
            on_battery.label()
        );
        let [primary, other] = lines;
        return Ok(known(Value::Truth(false), sentence, primary, vec![other]));
    }
    let sentence = "the response to each failure leaves the others possible";
    Ok(known(Value::Truth(true), sentence, over, lines.to_vec()))
}
