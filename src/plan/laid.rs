//! One file laid under another: where both state a value, what the two say.

use crate::document::{Entry, Node, Value};
use crate::source::{SourceId, Span};

/// Fields of a group of which one stands in for the other.
const EITHER: &[(&str, [&str; 2])] = &[
    ("safety_boat", ["place", "at"]),
    ("operator", ["place", "at"]),
    ("conditions", ["wind", "forecast"]),
    ("return_leg", ["path", "via"]),
];

/// A file that is laid under a mission: its orders, or the mission that it repeats.
#[derive(Clone, PartialEq, Debug)]
pub struct Laid {
    /// Its id.
    pub id: String,
    /// Which source.
    pub source: SourceId,
    /// What the mission states otherwise.
    pub differs: Vec<Differs>,
}

/// Something that a mission states otherwise than the file laid under it.
#[derive(Clone, PartialEq, Debug)]
pub struct Differs {
    /// Which field, as a path with dots.
    pub field: String,
    /// The mission's value, and where it stands.
    pub own: (String, Span),
    /// That of the other file, and where it stands.
    pub other: (String, Span),
}

impl Differs {
    /// It in words; `others` is what the other file is.
    #[must_use]
    pub fn sentence(&self, others: &str) -> String {
        format!(
            "`{}` is {}, where {others} {}",
            self.field, self.own.0, self.other.0
        )
    }

    /// Notes that a value is another than that of the other file, where it is.
    pub(super) fn note((field, own): (&str, &Node), other: &Node, differs: &mut Vec<Self>) {
        let (mine, theirs) = (own.to_json(), other.to_json());
        if mine != theirs {
            differs.push(Self {
                field: field.to_owned(),
                own: (in_words(own), own.span),
                other: (in_words(other), other.span),
            });
        }
    }
}

/// Lays the fields of a group under those that a mission states of it: what it leaves out is added, what it
/// states otherwise is noted.
pub(super) fn lay_fields(
    group: &str,
    mine: &mut Vec<Entry>,
    others: &[Entry],
    differs: &mut Vec<Differs>,
) {
    let mut added = Vec::new();
    for other in others {
        match stated_for(group, &other.key, mine) {
            None => added.push(other.clone()),
            Some(one) => {
                let field = format!("{group}.{}", other.key);
                Differs::note((&field, &one.value), &other.value, differs);
            }
        }
    }
    mine.extend(added);
}

/// What a group of a mission states in a field's place: the field itself, or another that stands in for it.
fn stated_for<'a>(group: &str, field: &str, mine: &'a [Entry]) -> Option<&'a Entry> {
    let mut either = EITHER.iter();
    let either = either.find(|(of, keys)| *of == group && keys.contains(&field));
    let own = mine.iter().find(|entry| entry.key == field);
    let means_it = |key: &str| either.is_some_and(|(_, keys)| keys.contains(&key));
    own.or_else(|| mine.iter().find(|entry| means_it(&entry.key)))
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
