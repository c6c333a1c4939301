//! Standing orders: what a mission does not state of people, links and contingencies, its orders do.
//!
//! A mission is read with its orders laid under it. Every value keeps the line that it stands on, in the one
//! file or the other, so that all that follows is read, judged and told as if it stood in the mission.

use crate::document::{Entry, Node, Value};
use crate::source::{SourceId, Span};

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

/// Fields of a group of which a mission that states one means to say where the other puts it.
const EITHER: &[(&str, [&str; 2])] = &[("safety_boat", ["place", "at"])];

/// The orders that are laid under a mission.
#[derive(Clone, PartialEq, Debug)]
pub struct Laid {
    /// Their id.
    pub id: String,
    /// Their file.
    pub source: SourceId,
    /// What the mission states otherwise.
    pub differs: Vec<Differs>,
}

/// Something that a mission states otherwise than its orders.
#[derive(Clone, PartialEq, Debug)]
pub struct Differs {
    /// Which field, as a path with dots.
    pub field: String,
    /// The mission's value, and where it stands.
    pub own: (String, Span),
    /// That of the orders, and where it stands.
    pub orders: (String, Span),
}

impl Differs {
    /// It in words.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "`{}` is {}, where the orders have {}",
            self.field, self.own.0, self.orders.0
        )
    }
}

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
            let mut added = Vec::new();
            for other in others {
                match stated_for(&own.key, &other.key, mine) {
                    None => added.push(other.clone()),
                    Some(one) => {
                        let field = format!("{}.{}", own.key, other.key);
                        tell((&field, &one.value), &other.value, differs);
                    }
                }
            }
            mine.extend(added);
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
                        tell((&format!("{}.{item}", own.key), one), other, differs);
                    }
                }
            }
            all.append(mine);
            *mine = all;
        }
        // What is stated in place of something else, or malformed, stands as it is.
        _ => tell((&own.key, &own.value), &theirs.value, differs),
    }
}

/// What a group of a mission states in a field's place: the field itself, or another that means the same thing.
fn stated_for<'a>(group: &str, field: &str, mine: &'a [Entry]) -> Option<&'a Entry> {
    let mut either = EITHER.iter();
    let either = either.find(|(of, keys)| *of == group && keys.contains(&field));
    let means_it = |key: &str| key == field || either.is_some_and(|(_, keys)| keys.contains(&key));
    mine.iter().find(|entry| means_it(&entry.key))
}

/// Notes that a value is another than that of the orders, where it is.
fn tell((field, own): (&str, &Node), orders: &Node, differs: &mut Vec<Differs>) {
    let (mine, theirs) = (own.to_json(), orders.to_json());
    if mine != theirs {
        differs.push(Differs {
            field: field.to_owned(),
            own: (in_words(own), own.span),
            orders: (in_words(orders), orders.span),
        });
    }
}

/// A value as a file would have it in one line.
fn in_words(node: &Node) -> String {
    match &node.value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(truth) => truth.to_string(),
        Value::Int(number) => number.to_string(),
        Value::Float(number) => number.to_string(),
        Value::Text(text) => text.clone(),
        Value::List(items) => {
            let items: Vec<String> = items.iter().map(in_words).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Map(entries) => {
            let fields = entries.iter();
            let fields: Vec<String> = fields
                .map(|entry| format!("{}: {}", entry.key, in_words(&entry.value)))
                .collect();
            format!("{{ {} }}", fields.join(", "))
        }
    }
}
