//! A list or mapping that is still being read.

use std::collections::HashMap;

use crate::source::Span;

use super::node::{Entry, Node, Value};
use super::offset::offset;

/// Mappings with at most as many keys are looked through one by one.
const FEW_KEYS: usize = 16;

/// A list or mapping that is still open.
pub(super) struct Frame {
    start: Span,
    /// Whether it was opened by a bracket, and so ends at one.
    bracketed: bool,
    children: Children,
}

enum Children {
    List(Vec<Node>),
    Map(Box<Map>),
}

#[derive(Default)]
struct Map {
    entries: Vec<Entry>,
    /// The key whose value comes next.
    key: Option<Key>,
    /// Where each key stands, once there are too many to look through.
    places: HashMap<String, usize>,
}

struct Key {
    /// `None` for a key that was refused; its value is read and dropped.
    name: Option<String>,
    span: Span,
}

impl Frame {
    pub(super) fn list(start: Span, bracketed: bool) -> Self {
        Self {
            start,
            bracketed,
            children: Children::List(Vec::new()),
        }
    }

    pub(super) fn map(start: Span, bracketed: bool) -> Self {
        Self {
            start,
            bracketed,
            children: Children::Map(Box::default()),
        }
    }

    pub(super) fn is_list(&self) -> bool {
        matches!(self.children, Children::List(_))
    }

    /// Whether the next value is a key.
    pub(super) fn awaits_key(&self) -> bool {
        matches!(&self.children, Children::Map(map) if map.key.is_none())
    }

    /// The key whose value comes next; without a name for one that was refused.
    pub(super) fn set_key(&mut self, name: Option<String>, span: Span) {
        if let Children::Map(map) = &mut self.children {
            map.key = Some(Key { name, span });
        }
    }

    /// Where the key stands whose value comes next.
    pub(super) fn key_span(&self) -> Option<Span> {
        match &self.children {
            Children::Map(map) => map.key.as_ref().map(|key| key.span),
            Children::List(_) => None,
        }
    }

    /// Where the same key stands already.
    pub(super) fn earlier(&self, name: &str) -> Option<Span> {
        let Children::Map(map) = &self.children else {
            return None;
        };
        let entry = if map.places.is_empty() {
            map.entries.iter().find(|entry| entry.key == name)
        } else {
            map.entries.get(*map.places.get(name)?)
        };
        entry.map(|entry| entry.key_span)
    }

    /// Adds a list's next item, or the value of the key that was set.
    pub(super) fn add(&mut self, value: Node) {
        let map = match &mut self.children {
            Children::List(items) => return items.push(value),
            Children::Map(map) => map,
        };
        let Some(Key {
            name: Some(key),
            span: key_span,
        }) = map.key.take()
        else {
            return;
        };
        if map.entries.len() == FEW_KEYS {
            let known = map.entries.iter().enumerate();
            map.places
                .extend(known.map(|(place, entry)| (entry.key.clone(), place)));
        }
        if !map.places.is_empty() {
            map.places.insert(key.clone(), map.entries.len());
        }
        map.entries.push(Entry {
            key,
            key_span,
            value,
        });
    }

    pub(super) fn child(&self, number: u32) -> Option<&Node> {
        let number = number as usize;
        match &self.children {
            Children::List(items) => items.get(number),
            Children::Map(map) => map.entries.get(number).map(|entry| &entry.value),
        }
    }

    /// How many children are complete, which is the number of the next.
    pub(super) fn len(&self) -> u32 {
        offset(match &self.children {
            Children::List(items) => items.len(),
            Children::Map(map) => map.entries.len(),
        })
    }

    /// The complete value. Brackets give its end, or else the last child.
    pub(super) fn close(self, at: Span) -> Node {
        let last = match &self.children {
            Children::List(items) => items.last().map(|item| item.span.end),
            Children::Map(map) => map
                .entries
                .last()
                .map(|entry| entry.value.span.end.max(entry.key_span.end)),
        };
        let end = if self.bracketed {
            at.end
        } else {
            last.unwrap_or(self.start.end)
        };
        Node {
            span: Span::new(self.start.source, self.start.start, end),
            value: match self.children {
                Children::List(items) => Value::List(items),
                Children::Map(map) => Value::Map(map.entries),
            },
            plain: false,
        }
    }
}
