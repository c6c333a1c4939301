//! What a schema says of a field: its bounds, its default, what an assumption of it is called. The schema is
//! where each of them stands, for the reader as for the documents and an editor.

use serde_json::Value as Json;

use super::bounds::Bounds;
use super::kinds::Kind;
use super::validate::schema_of;
use crate::units::{Dimension, Quantity, parse_quantity};

/// A part of a schema, with the whole that it may refer to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Form<'a> {
    root: &'a Json,
    node: &'a Json,
}

impl Form<'static> {
    /// The whole of a kind's schema.
    #[must_use]
    pub(crate) fn for_kind(kind: Kind) -> Self {
        Self::of_schema(schema_of(kind))
    }
}

impl<'a> Form<'a> {
    /// The whole of a schema.
    #[must_use]
    pub(crate) fn of_schema(schema: &'a Json) -> Self {
        Self {
            root: schema,
            node: schema,
        }
    }

    /// The same schema at another part of it, followed where that refers elsewhere.
    #[must_use]
    pub(crate) fn at(self, node: &'a Json) -> Self {
        let reference = node.get("$ref").and_then(Json::as_str);
        let pointer = reference.and_then(|reference| reference.strip_prefix('#'));
        let node = pointer
            .and_then(|pointer| self.root.pointer(pointer))
            .unwrap_or(node);
        Self {
            root: self.root,
            node,
        }
    }

    /// A text that a schema has for a field which is `stated` where this part is meant: what stands beside a
    /// reference counts before what it refers to says.
    #[must_use]
    pub(crate) fn says(self, stated: &'a Json, key: &str) -> Option<&'a str> {
        let own = stated.get(key).and_then(Json::as_str);
        own.or_else(|| self.text(key))
    }

    /// The part itself.
    #[must_use]
    pub(crate) fn json(self) -> &'a Json {
        self.node
    }

    /// A field of a mapping, in whichever of its forms it stands.
    #[must_use]
    pub(crate) fn field(self, key: &str) -> Option<Self> {
        let own = self.node.get("properties").and_then(|all| all.get(key));
        let named = own.or_else(|| {
            self.node
                .get("additionalProperties")
                .filter(|one| one.is_object())
        });
        if let Some(node) = named {
            return Some(self.at(node));
        }
        self.choices().find_map(|choice| choice.field(key))
    }

    /// The forms of which it has one or more.
    fn choices(self) -> impl Iterator<Item = Self> {
        let keys = ["oneOf", "anyOf", "allOf"].into_iter();
        let lists = keys.filter_map(move |key| self.node.get(key)?.as_array());
        lists.flatten().map(move |choice| self.at(choice))
    }

    /// The items of a list.
    #[must_use]
    pub(crate) fn items(self) -> Option<Self> {
        let own = self.node.get("items").map(|node| self.at(node));
        own.or_else(|| self.choices().find_map(Self::items))
    }

    /// A field by the fields that lead to it.
    #[must_use]
    pub(crate) fn path(self, keys: &[&str]) -> Option<Self> {
        keys.iter().try_fold(self, |form, key| form.field(key))
    }

    /// What a key of it says.
    fn text(self, key: &str) -> Option<&'a str> {
        self.node.get(key)?.as_str()
    }

    /// A quantity that a key of it says.
    fn quantity(self, key: &str, dimension: Dimension) -> Option<Quantity> {
        parse_quantity(self.text(key)?, dimension).ok()
    }

    /// The values that the field may have.
    pub(super) fn bounds(self, dimension: Dimension) -> Bounds {
        Bounds {
            at_least: self.least(dimension).map(|q| q.value),
            more_than: self.quantity("x-more-than", dimension).map(|q| q.value),
            at_most: self.quantity("x-at-most", dimension).map(|q| q.value),
            words: self.range(),
        }
    }

    /// The values that the field may have, in words: `between 1 cm, what a staff is read to, and 100 m`.
    #[must_use]
    pub(crate) fn range(self) -> Option<String> {
        if let Some(words) = self.text("x-range") {
            return Some(words.to_owned());
        }
        let (least, more) = (self.text("x-at-least"), self.text("x-more-than"));
        match (least, more, self.text("x-at-most")) {
            (Some(least), _, None) if is_nothing(least) => Some("zero or more".to_owned()),
            (None, Some(more), None) if is_nothing(more) => Some("more than zero".to_owned()),
            (Some(least), _, None) => Some(format!("at least {least}")),
            (None, Some(more), None) => Some(format!("more than {more}")),
            (Some(least), _, Some(most)) => Some(format!("between {least} and {most}")),
            (None, Some(more), Some(most)) => Some(format!("more than {more} and at most {most}")),
            (None, None, Some(most)) => Some(format!("at most {most}")),
            (None, None, None) => None,
        }
    }

    /// The least number that the field may have.
    #[must_use]
    pub(crate) fn least_number(self) -> Option<f64> {
        self.node.get("minimum")?.as_f64()
    }

    /// The least quantity that the field may have.
    #[must_use]
    pub(crate) fn least(self, dimension: Dimension) -> Option<Quantity> {
        self.quantity("x-at-least", dimension)
    }

    /// The page of the documents that says how the field is measured.
    #[must_use]
    pub(crate) fn measured(self) -> Option<&'a str> {
        self.text("x-measured")
    }

    /// The value of a field that is not stated: a default on the safe side.
    #[must_use]
    pub(crate) fn default_quantity(self, dimension: Dimension) -> Option<Quantity> {
        self.quantity("default", dimension)
    }

    /// A figure for what is drawn, of a field that is not stated and has no default.
    #[must_use]
    pub(crate) fn stand_in(self, dimension: Dimension) -> Option<Quantity> {
        self.quantity("x-stand-in", dimension)
    }

    /// The number that a field has which is not stated.
    #[must_use]
    pub(crate) fn default_number(self) -> Option<f64> {
        self.node.get("default")?.as_f64()
    }

    /// The default as documents tell it: with what makes it the careful one, where that is not plain.
    #[must_use]
    pub(crate) fn default_told(self) -> Option<String> {
        let default = match self.node.get("default")? {
            Json::String(text) => text.clone(),
            other => other.to_string(),
        };
        Some(match self.text("x-default-note") {
            Some(note) => format!("{default}, {note}"),
            None => default,
        })
    }

    /// The range as documents tell it; nothing of one that only keeps out what is negative.
    #[must_use]
    pub(crate) fn range_told(self) -> Option<String> {
        let least = self
            .text("x-at-least")
            .is_some_and(|least| !is_nothing(least));
        (least || self.text("x-at-most").is_some())
            .then(|| self.range())
            .flatten()
    }

    /// What the field is called where its value is assumed.
    #[must_use]
    pub(crate) fn assumed(self) -> Option<&'a str> {
        self.text("x-assumed")
    }
}

/// Whether a quantity is written as zero.
fn is_nothing(text: &str) -> bool {
    text.split_once([' ', '°'])
        .is_some_and(|(number, _)| number == "0")
}
