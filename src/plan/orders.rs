//! Standing orders: what a mission does not state of people, links and contingencies, its orders do.
//!
//! A mission is read with its orders laid under it. Every value keeps the line that it stands on, in the one
//! file or the other, so that all that follows is read, judged and told as if it stood in the mission.

use super::laid::{Differs, lay_fields};
use crate::document::{Entry, Node, Value};

/// How a field of the orders is laid under one that the mission states.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Under {
    /// Field by field: the mission's stand, the others are the orders'.
    Fields,
    /// Not at all: the mission's stands in its place.
    Whole,
    /// Item by item, those of one name under this key being the same item.
    Items(&'static str),
}

/// What orders may state, and how it is laid under a mission.
pub(crate) const OF_ORDERS: &[(&str, Under)] = &[
    ("launch", Under::Fields),
    ("recovery", Under::Fields),
    ("speed", Under::Whole),
    ("team", Under::Fields),
    ("operator", Under::Fields),
    ("safety_boat", Under::Fields),
    ("alarm", Under::Fields),
    ("other_users_notified", Under::Items("users")),
    ("links", Under::Fields),
    ("stations", Under::Items("station")),
    ("return_leg", Under::Fields),
    ("at_end", Under::Whole),
    ("on_lost_link", Under::Whole),
    ("on_low_battery", Under::Whole),
    ("on_lost_position", Under::Whole),
    ("on_lost_propulsion", Under::Whole),
    ("manual_override", Under::Whole),
    ("checklist", Under::Items("item")),
];

/// Whether a field of one of a mission's mappings, by its JSON pointer, may be left to the orders; without a
/// name, which one of several it has.
#[must_use]
pub(super) fn may_be_left(pointer: &str, name: Option<&str>) -> bool {
    let path = pointer.trim_start_matches('/');
    let mut all = OF_ORDERS.iter();
    all.any(|(field, under)| match under {
        Under::Fields => path == *field || (path.is_empty() && name == Some(field)),
        Under::Whole | Under::Items(_) => path.is_empty() && name == Some(field),
    })
}

/// A mission with its orders laid under it, and what it states otherwise.
#[must_use]
pub(super) fn lay_under(mission: &Node, orders: &Node) -> (Node, Vec<Differs>) {
    let mut differs = Vec::new();
    let mut laid = mission.clone();
    if let Value::Map(entries) = &mut laid.value {
        for (field, under) in OF_ORDERS {
            let Some(theirs) = orders.entry(field) else {
                continue;
            };
            match entries.iter_mut().find(|entry| entry.key == *field) {
                None => entries.push(theirs.clone()),
                Some(own) => lay_field((own, *under), theirs, &mut differs),
            }
        }
    }
    (laid, differs)
}

fn lay_field((own, under): (&mut Entry, Under), theirs: &Entry, differs: &mut Vec<Differs>) {
    match (under, &mut own.value.value, &theirs.value.value) {
        (Under::Fields, Value::Map(mine), Value::Map(others)) => {
            lay_fields(&own.key, mine, others, differs);
        }
        (Under::Items(key), Value::List(mine), Value::List(others)) => {
            let name = |node: &Node| node.get(key).and_then(Node::as_text).map(str::to_owned);
            let mut all: Vec<Node> = Vec::new();
            for other in others {
                match mine
                    .iter()
                    .find(|one| name(one).is_some() && name(one) == name(other))
                {
                    None => all.push(other.clone()),
                    Some(one) => {
                        let item = name(one).unwrap_or_default();
                        Differs::note((&format!("{}.{item}", own.key), one), other, differs);
                    }
                }
            }
            all.append(mine);
            *mine = all;
        }
        // What is stated in place of something else, or malformed, stands as it is.
        _ => Differs::note((&own.key, &own.value), &theirs.value, differs),
    }
}
