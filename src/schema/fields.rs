//! Reading typed values out of a mapping, collecting every problem on the way.

use std::cell::RefCell;

use super::bounds::Bounds;
use super::problem::Problem;
use super::stated::Stated;
use crate::document::{Node, Value};
use crate::source::Span;
use crate::units::{Typed, parse_quantity};

/// A mapping being read. Problems go to one list that all fields of a file share, so that a
/// reader sees all of them at once.
#[derive(Clone, Copy)]
pub struct Fields<'a> {
    node: &'a Node,
    /// The key that leads here, which is a better line to show than the whole mapping.
    key_span: Span,
    problems: &'a RefCell<Vec<Problem>>,
}

impl<'a> Fields<'a> {
    /// Begins with the root mapping of a file.
    #[must_use]
    pub fn root(node: &'a Node, problems: &'a RefCell<Vec<Problem>>) -> Self {
        let key_span = match &node.value {
            Value::Map(entries) => entries.first().map_or(node.span, |entry| entry.key_span),
            _ => node.span,
        };
        Self {
            node,
            key_span,
            problems,
        }
    }

    /// The line to show for the mapping as a whole.
    #[must_use]
    pub fn span(&self) -> Span {
        self.key_span
    }

    /// The node itself.
    #[must_use]
    pub fn node(&self) -> &'a Node {
        self.node
    }

    /// Adds a problem.
    pub fn problem(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// The value of a field.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&'a Node> {
        self.node.get(key)
    }

    /// A field that is itself a mapping.
    #[must_use]
    pub fn map(&self, key: &str) -> Option<Fields<'a>> {
        let entry = self.node.entry(key)?;
        Some(Fields {
            node: &entry.value,
            key_span: entry.key_span,
            problems: self.problems,
        })
    }

    /// A field that must be a mapping; its lack is a problem.
    #[must_use]
    pub fn required_map(&self, key: &str) -> Option<Fields<'a>> {
        let found = self.map(key);
        if found.is_none() {
            self.missing(key);
        }
        found
    }

    /// The items of a list field; none where the field is not there.
    #[must_use]
    pub fn list(&self, key: &str) -> &'a [Node] {
        match self.get(key).map(|node| &node.value) {
            Some(Value::List(items)) => items,
            _ => &[],
        }
    }

    /// The mappings of a list field.
    pub fn maps(&self, key: &str) -> impl Iterator<Item = Fields<'a>> + use<'a> {
        let problems = self.problems;
        self.list(key)
            .iter()
            .map(move |node| Fields::root(node, problems))
    }

    /// The entries of a mapping whose keys are names.
    #[must_use]
    pub fn entries(&self) -> Vec<(&'a str, Span, Fields<'a>)> {
        match &self.node.value {
            Value::Map(entries) => entries
                .iter()
                .map(|entry| {
                    let fields = Fields {
                        node: &entry.value,
                        key_span: entry.key_span,
                        problems: self.problems,
                    };
                    (entry.key.as_str(), entry.key_span, fields)
                })
                .collect(),
            _ => Vec::new(),
        }
    }

    fn missing(&self, key: &str) {
        self.problem(
            Problem::new("input-schema", self.key_span, format!("`{key}` is missing"))
                .labelled(format!("`{key}` belongs in here")),
        );
    }

    /// A quantity, where it is stated. A malformed one is a problem and reads as not stated.
    #[must_use]
    pub fn quantity<T: Typed>(&self, key: &str, bounds: Bounds) -> Option<Stated<T>> {
        let node = self.get(key)?;
        self.quantity_of(node, key, bounds)
    }

    fn quantity_of<T: Typed>(&self, node: &Node, key: &str, bounds: Bounds) -> Option<Stated<T>> {
        let Some(text) = node.as_text() else {
            self.problem(Problem::value(
                node.span,
                format!(
                    "`{key}` is {} where {} with its unit is due, such as `{}`",
                    node.kind_name(),
                    T::DIMENSION.with_article(),
                    T::DIMENSION.example()
                ),
            ));
            return None;
        };
        match parse_quantity(text, T::DIMENSION) {
            Ok(quantity) => match bounds.refusal(quantity) {
                None => Some(Stated::written(T::from_stored(quantity.value), node.span)),
                Some(why) => {
                    self.problem(Problem::value(
                        node.span,
                        format!("`{key}` is {text}: {why}"),
                    ));
                    None
                }
            },
            Err(error) => {
                self.problem(Problem::value(node.span, format!("`{key}`: {error}")));
                None
            }
        }
    }

    /// A quantity that must be stated.
    #[must_use]
    pub fn required<T: Typed>(&self, key: &str, bounds: Bounds) -> Option<Stated<T>> {
        if self.get(key).is_none() {
            self.missing(key);
        }
        self.quantity(key, bounds)
    }

    /// A quantity with a default on the safe side, which becomes a listed assumption.
    #[must_use]
    pub fn quantity_or<T: Typed>(
        &self,
        key: &str,
        bounds: Bounds,
        default: T,
        what: &str,
    ) -> Stated<T> {
        if self.get(key).is_none() {
            let text = format!("{what} {} (`{key}` not stated)", default.quantity());
            return Stated::assumed(default, self.key_span, text);
        }
        // A malformed value is already a problem, so the file is not judged with the stand-in.
        self.quantity(key, bounds)
            .unwrap_or_else(|| Stated::assumed(default, self.key_span, what))
    }

    /// A quantity that has no default on the safe side. Where it is not stated, a figure stands in for what
    /// is drawn, and what follows from it cannot be judged.
    #[must_use]
    pub fn quantity_to_state<T: Typed>(
        &self,
        key: &str,
        bounds: Bounds,
        stand_in: T,
        what: &str,
    ) -> Stated<T> {
        if self.get(key).is_none() {
            let text = format!(
                "{what} is not stated (`{key}`); figures use {}",
                stand_in.quantity()
            );
            return Stated::missing(stand_in, self.key_span, text);
        }
        self.quantity(key, bounds)
            .unwrap_or_else(|| Stated::missing(stand_in, self.key_span, what))
    }

    /// A bare number with a default.
    #[must_use]
    pub fn number_or(&self, key: &str, default: f64, what: &str) -> Stated<f64> {
        match self.get(key) {
            None => Stated::assumed(
                default,
                self.key_span,
                format!("{what} {default} (`{key}` not stated)"),
            ),
            Some(node) => match node.as_number() {
                Some(value) => Stated::written(value, node.span),
                None => {
                    self.problem(Problem::value(
                        node.span,
                        format!("`{key}` is {} where a number is due", node.kind_name()),
                    ));
                    Stated::assumed(default, node.span, what)
                }
            },
        }
    }

    /// A text, where it is stated.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<Stated<String>> {
        let node = self.get(key)?;
        match node.as_text() {
            Some(text) => Some(Stated::written(text.to_owned(), node.span)),
            None => {
                self.problem(Problem::value(
                    node.span,
                    format!("`{key}` is {} where a text is due", node.kind_name()),
                ));
                None
            }
        }
    }

    /// A text that must be stated.
    #[must_use]
    pub fn required_text(&self, key: &str) -> Option<Stated<String>> {
        if self.get(key).is_none() {
            self.missing(key);
        }
        self.text(key)
    }

    /// One of a set of words.
    #[must_use]
    pub fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<Stated<T>> {
        let stated = self.text(key)?;
        match words.iter().find(|(word, _)| *word == stated.value) {
            Some((_, value)) => Some(stated.map(|_| *value)),
            None => {
                let known: Vec<String> = words.iter().map(|(w, _)| format!("`{w}`")).collect();
                self.problem(Problem::value(
                    stated.span(),
                    format!(
                        "`{key}` is `{}`; it may be {}",
                        stated.value,
                        known.join(", ")
                    ),
                ));
                None
            }
        }
    }
}
