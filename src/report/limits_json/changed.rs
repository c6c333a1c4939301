//! What changes of a plan come to.

use schemars::JsonSchema;
use serde::Serialize;

use super::shapes::degrees;
use crate::envelope;
use crate::report::output::{Binding, Quantity, Side};
use crate::units::Ratio;

/// What of a plan is changed.
#[derive(Serialize, JsonSchema)]
struct Change {
    /// Nothing; the route the other way round; every speed multiplied; the charge at launch in points; turned back
    /// at a share of the farthest distance.
    kind: Kind,
    /// The factor, the points as a share, or the share of the distance; null where there is none.
    by: Option<f64>,
}

/// A kind of change.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Kind {
    None,
    Reversed,
    Speed,
    Charge,
    Nearer,
}

impl From<envelope::Change> for Change {
    fn from(change: envelope::Change) -> Self {
        let of = |kind, by: Option<Ratio>| Self {
            kind,
            by: by.map(Ratio::get),
        };
        match change {
            envelope::Change::None => of(Kind::None, None),
            envelope::Change::Reversed => of(Kind::Reversed, None),
            envelope::Change::Speed(share) => of(Kind::Speed, Some(share)),
            envelope::Change::Charge(points) => of(Kind::Charge, Some(points)),
            envelope::Change::Nearer(share) => of(Kind::Nearer, Some(share)),
        }
    }
}

/// What is left to a limit.
#[derive(Serialize, JsonSchema)]
struct Room<'a> {
    /// Id of the rule.
    rule: &'a str,
    /// What it is about, empty for the mission as a whole.
    subject: &'a str,
    /// The value.
    measured: Quantity,
    /// Which side of the limit passes.
    side: Side,
    /// The limit.
    limit: Quantity,
    /// The room as a share of the limit, negative where it is broken; null where the limit is nought.
    share: Option<f64>,
    /// Whether alternatives are compared by it: the rule depends on the wind, its value differs between them, and
    /// its limit is not nought.
    counts: bool,
}

impl<'a> Room<'a> {
    fn from_room(room: &'a envelope::Room) -> Self {
        Self {
            rule: &room.rule,
            subject: &room.subject,
            measured: room.measured.into(),
            side: room.side.into(),
            limit: room.limit.into(),
            share: room.share.map(Ratio::get),
            counts: room.counts,
        }
    }
}

/// A way to sail the plan.
#[derive(Serialize, JsonSchema)]
pub(super) struct Alternative<'a> {
    /// What is changed.
    change: Change,
    /// The change in words.
    words: &'a str,
    /// Why it cannot be had from this plan; null where it can.
    not_to_be_had: Option<&'a str>,
    /// Whether every rule of severity error is met.
    passed: bool,
    /// The rules that are not.
    broken: Vec<Binding<'a>>,
    /// The least `share` of those that count; null where none does.
    least_room: Option<f64>,
    /// What is left to each limit, the least share first.
    room: Vec<Room<'a>>,
}

impl<'a> Alternative<'a> {
    pub(super) fn from_alternative(one: &'a envelope::Alternative) -> Self {
        Self {
            change: one.change.into(),
            words: &one.words,
            not_to_be_had: one.not_to_be_had.as_deref(),
            passed: one.passed(),
            broken: Binding::all(&one.broken),
            least_room: one.least.map(Ratio::get),
            room: one.room.iter().map(Room::from_room).collect(),
        }
    }
}

/// A limit of the plan as changed.
#[derive(Serialize, JsonSchema)]
struct Varied<'a> {
    /// Where the wind comes from, in degrees from true north.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 360))]
    from_degrees: f64,
    /// The strongest mean wind; null where not even a calm passes.
    strongest: Option<Quantity>,
    /// Whether no limit was found up to the strongest wind that is tried.
    up_to_cap: bool,
    /// The rules that are not met a tenth above, or in a calm where that does not pass either.
    broken: Vec<Binding<'a>>,
}

impl<'a> Varied<'a> {
    fn from_varied(one: &'a envelope::Varied) -> Self {
        Self {
            from_degrees: degrees(one.from),
            strongest: one.strongest.map(Quantity::typed),
            up_to_cap: one.up_to_cap,
            broken: Binding::all(&one.broken),
        }
    }
}

/// The limits of the plan as changed.
#[derive(Serialize, JsonSchema)]
pub(super) struct Moved<'a> {
    /// What is changed.
    change: Change,
    /// The change in words.
    words: &'a str,
    /// Why it cannot be had from this plan; null where it can.
    not_to_be_had: Option<&'a str>,
    /// Rules that the change breaks in every wind.
    regardless: Vec<Binding<'a>>,
    /// The limits then, from some directions.
    limits: Vec<Varied<'a>>,
}

impl<'a> Moved<'a> {
    pub(super) fn from_moved(one: &'a envelope::Moved) -> Self {
        Self {
            change: one.change.into(),
            words: &one.words,
            not_to_be_had: one.not_to_be_had.as_deref(),
            regardless: Binding::all(&one.regardless),
            limits: one.limits.iter().map(Varied::from_varied).collect(),
        }
    }
}
