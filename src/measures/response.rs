//! What the boat does by itself when something fails.

use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Measured, NotMeasured, Type, Value};
use super::unmeasured;
use crate::passage::Passage;
use crate::plan::mission::Action;
use crate::schema::Stated;
use crate::units::Dimension;

pub(super) const LOST_LINK: Entry = entry(
    "mission.lost_link_answered",
    Type::Truth,
    "Whether the boat returns, holds or stops when its control link is lost",
    "False where it carries on with the route, out of anybody's control.",
    &["on_lost_link"],
    |passage| {
        let stated = passage
            .plan
            .mission
            .on_lost_link
            .as_ref()
            .map(|lost| &lost.action);
        let good = [Action::Return, Action::Hold, Action::Stop];
        evidence::of_mission(answered(
            passage,
            stated,
            &good,
            "on_lost_link",
            "a lost link",
        ))
    },
);

pub(super) const LOST_LINK_DELAY: Entry = entry(
    "mission.lost_link_delay",
    Type::Quantity(Dimension::TIME),
    "Time without the control link before the boat acts by itself",
    "As the plan states it.",
    &["on_lost_link: after"],
    |passage| evidence::of_mission(delay(passage)),
);

pub(super) const LOST_POSITION: Entry = entry(
    "mission.lost_position_answered",
    Type::Truth,
    "Whether the boat stops when it no longer knows its position",
    "True where it stops. Returning, holding and following a route all need the position that it \
     has lost.",
    &["on_lost_position"],
    |passage| {
        let stated = passage.plan.mission.on_lost_position.as_ref();
        let good = [Action::Stop];
        evidence::of_mission(answered(
            passage,
            stated,
            &good,
            "on_lost_position",
            "a lost position",
        ))
    },
);

pub(super) const LOW_BATTERY: Entry = entry(
    "mission.low_battery_answered",
    Type::Truth,
    "Whether the boat returns when its battery runs low",
    "True where it returns. Holding and carrying on spend the remaining charge; a stop leaves the \
     boat to the wind.",
    &["on_low_battery"],
    |passage| {
        let stated = passage
            .plan
            .mission
            .on_low_battery
            .as_ref()
            .map(|low| &low.action);
        let good = [Action::Return];
        evidence::of_mission(answered(
            passage,
            stated,
            &good,
            "on_low_battery",
            "a low battery",
        ))
    },
);

fn answered(
    passage: &Passage<'_>,
    stated: Option<&Stated<Action>>,
    good: &[Action],
    field: &str,
    what: &str,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let Some(action) = stated else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            &format!("the plan does not say what the boat does on {what}"),
            &format!("add `{field}:` with an `action`"),
        ));
    };
    let words = action.value.label();
    Ok(Measured {
        value: Value::Truth(good.contains(&action.value)),
        sentence: format!("on {what} the boat is to {words}"),
        primary: evidence::label(action.span(), format!("on {what}: {words}")),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    })
}

fn delay(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let Some(lost) = &plan.mission.on_lost_link else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.id.span(),
            "the plan does not say what the boat does on a lost link",
            "add `on_lost_link:` with an `action` and `after`",
        ));
    };
    Ok(Measured {
        value: evidence::value(lost.after.value),
        sentence: "the time without the control link before the boat acts".to_owned(),
        primary: evidence::label(
            lost.after.span(),
            format!("acts after {}", lost.after.value),
        ),
        because: vec![evidence::label(
            lost.action.span(),
            format!("then: {}", lost.action.value.label()),
        )],
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    })
}
