//! The tree of values.

use crate::source::Span;

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The bytes of the value: a quoted text with its quotes, a list or mapping from its first
    /// child or bracket to its last, a block of text without its `|` or `>`. A value that is left
    /// out has the `:` or `-` before it. For an alias it is the alias; what is inside then lies
    /// where it was written.
    pub span: Span,
    /// The value.
    pub value: Value,
    /// Whether it was written as a bare word, without quotes or brackets.
    pub plain: bool,
}

/// A value by the core schema of YAML 1.2, which JSON shares.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Nothing: `null`, `~`, or left out.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number written without point or exponent.
    Int(i64),
    /// A number written with point or exponent; always finite.
    Float(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// A mapping, in the order in which it was written; no key stands twice.
    Map(Vec<Entry>),
}

/// A key of a mapping with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// The bytes of the key, with its quotes.
    pub key_span: Span,
    /// The value.
    pub value: Node,
}

impl Node {
    /// The value of a key; `None` if this is no mapping or has no such key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Self> {
        self.entry(key).map(|entry| &entry.value)
    }

    /// A key with its value; `None` if this is no mapping or has no such key.
    #[must_use]
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.as_map()?.iter().find(|entry| entry.key == key)
    }

    /// Whether the value is nothing.
    #[must_use]
    pub fn is_null(&self) -> bool {
        matches!(self.value, Value::Null)
    }

    /// The text, if it is one.
    #[must_use]
    pub fn as_text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The number, whole or not, if it is one. A whole number past 2^53 is rounded.
    #[must_use]
    pub fn as_number(&self) -> Option<f64> {
        match self.value {
            #[expect(clippy::cast_precision_loss, reason = "documented above")]
            Value::Int(number) => Some(number as f64),
            Value::Float(number) => Some(number),
            _ => None,
        }
    }

    /// The whole number, if it was written as one.
    #[must_use]
    pub fn as_int(&self) -> Option<i64> {
        match self.value {
            Value::Int(number) => Some(number),
            _ => None,
        }
    }

    /// True or false, if it is one of them.
    #[must_use]
    pub fn as_bool(&self) -> Option<bool> {
        match self.value {
            Value::Bool(truth) => Some(truth),
            _ => None,
        }
    }

    /// The list's items, if it is one.
    #[must_use]
    pub fn as_list(&self) -> Option<&[Self]> {
        match &self.value {
            Value::List(items) => Some(items),
            _ => None,
        }
    }

    /// The mapping's keys and values, if it is one.
    #[must_use]
    pub fn as_map(&self) -> Option<&[Entry]> {
        match &self.value {
            Value::Map(entries) => Some(entries),
            _ => None,
        }
    }

    /// What sort of value it is, as a message names it.
    #[must_use]
    pub fn kind_name(&self) -> &'static str {
        match self.value {
            Value::Null => "an empty value",
            Value::Bool(_) => "a true-or-false value",
            Value::Int(_) => "a whole number",
            Value::Float(_) => "a number",
            Value::Text(_) => "a text",
            Value::List(_) => "a list",
            Value::Map(_) => "a mapping",
        }
    }

    /// The same value as JSON, without places. It recurses as deep as the document, which is
    /// bounded when it is parsed.
    #[must_use]
    pub fn to_json(&self) -> serde_json::Value {
        match &self.value {
            Value::Null => serde_json::Value::Null,
            Value::Bool(truth) => (*truth).into(),
            Value::Int(number) => (*number).into(),
            Value::Float(number) => (*number).into(),
            Value::Text(text) => text.as_str().into(),
            Value::List(items) => items.iter().map(Self::to_json).collect(),
            Value::Map(entries) => serde_json::Value::Object(
                entries
                    .iter()
                    .map(|entry| (entry.key.clone(), entry.value.to_json()))
                    .collect(),
            ),
        }
    }
}
