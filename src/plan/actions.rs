//! What the boat does by itself: at the end, and when something fails.

use crate::schema::{Fields, Stated};
use crate::units::{Ratio, Time, Voltage};

/// What the boat does.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Action {
    /// It comes home.
    Return,
    /// It keeps its place under power.
    Hold,
    /// It stops its motors.
    Stop,
    /// It goes on with the route.
    CarryOn,
}

impl Action {
    /// The words in files.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Return => "return",
            Self::Hold => "hold",
            Self::Stop => "stop",
            Self::CarryOn => "carry on",
        }
    }
}

/// What it may do when something fails.
pub(super) const ACTIONS: &[(&str, Action)] = &[
    ("return", Action::Return),
    ("hold", Action::Hold),
    ("stop", Action::Stop),
    ("carry on", Action::CarryOn),
];

/// What it may do at the end.
pub(super) const ENDS: &[(&str, Action)] = &[
    ("hold", Action::Hold),
    ("stop", Action::Stop),
    ("carry on", Action::CarryOn),
];

/// What the boat does when the control link is lost.
#[derive(Clone, Debug)]
pub struct LostLink {
    /// What it does.
    pub action: Stated<Action>,
    /// Time without the link before it acts.
    pub after: Stated<Time>,
}

/// When a low battery makes the boat act.
#[derive(Clone, Debug)]
pub enum Threshold {
    /// Below this reading of the gauge.
    Charge(Stated<Ratio>),
    /// Below this pack voltage.
    Voltage(Stated<Voltage>),
}

/// What the boat does when the battery runs low.
#[derive(Clone, Debug)]
pub struct LowBattery {
    /// What it does.
    pub action: Stated<Action>,
    /// When it acts.
    pub threshold: Threshold,
}

pub(super) fn lost_link(fields: Fields<'_>) -> Option<LostLink> {
    let action = fields.word("action", ACTIONS);
    let after = fields.required("after");
    Some(LostLink {
        action: action?,
        after: after?,
    })
}

pub(super) fn low_battery(fields: Fields<'_>) -> Option<LowBattery> {
    let action = fields.word("action", ACTIONS);
    let charge = fields.quantity("below_charge").map(Threshold::Charge);
    let voltage = fields.quantity("below_voltage").map(Threshold::Voltage);
    Some(LowBattery {
        action: action?,
        threshold: charge.or(voltage)?,
    })
}
