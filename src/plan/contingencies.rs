//! What happens when something fails, beside what the boat does by itself on a lost link and a low
//! battery: a lost position's notice, a lost propulsion, a manual override, and the end of a
//! return leg.

use super::actions::{Action, ENDS};
use super::radio::Link;
use crate::schema::{Fields, Stated};
use crate::units::Time;

/// What becomes of a boat that has lost its propulsion.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Powerless {
    /// It drifts.
    Drift,
    /// It drops an anchor that it carries.
    Anchor,
}

impl Powerless {
    /// The words in files.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Drift => "drift",
            Self::Anchor => "anchor",
        }
    }
}

/// What happens when the propulsion is lost.
#[derive(Clone, Debug)]
pub struct LostPropulsion {
    /// What the boat does.
    pub action: Stated<Powerless>,
    /// What people do then, by role; where stated.
    pub then: Option<Stated<String>>,
}

/// The manual override.
#[derive(Clone, Debug)]
pub struct ManualOverride {
    /// The link that carries the command.
    pub over: Stated<Link>,
    /// Time from the command to the boat that obeys it.
    pub within: Stated<Time>,
}

/// The contingencies of a mission that stand in no field of their own.
#[derive(Clone, Debug)]
pub struct Contingencies {
    /// Time until a lost position is noticed, where stated.
    pub position_noticed: Option<Stated<Time>>,
    /// What happens when the propulsion is lost, where stated.
    pub lost_propulsion: Option<LostPropulsion>,
    /// The manual override, where stated.
    pub manual_override: Option<ManualOverride>,
    /// What the boat does once it is home after breaking off, where stated.
    pub home_end: Option<Stated<Action>>,
}

/// Reads them; `None` where a needed value is missing or malformed.
pub(super) fn parse(mission: Fields<'_>) -> Option<Contingencies> {
    let position_noticed = mission
        .map("on_lost_position")
        .and_then(|fields| fields.quantity("after"));
    let lost_propulsion = match mission.map("on_lost_propulsion") {
        None => None,
        Some(fields) => {
            let words = [Powerless::Drift, Powerless::Anchor].map(|one| (one.label(), one));
            Some(LostPropulsion {
                action: fields.word("action", &words)?,
                then: fields.text("then"),
            })
        }
    };
    let manual_override = match mission.map("manual_override") {
        None => None,
        Some(fields) => {
            let over = fields.word("over", Link::NAMES);
            let within = fields.required("within");
            Some(ManualOverride {
                over: over?,
                within: within?,
            })
        }
    };
    let home_end = mission
        .map("return_leg")
        .and_then(|fields| fields.word("at_end", ENDS));
    Some(Contingencies {
        position_noticed,
        lost_propulsion,
        manual_override,
        home_end,
    })
}
