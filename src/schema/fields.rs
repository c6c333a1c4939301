//! Reading typed values out of a mapping, collecting every problem on the way.

use std::cell::RefCell;

use super::bounds::Bounds;
use super::form::Form;
use super::problem::Problem;
use super::stated::Stated;
use crate::document::{Node, Value};
use crate::source::Span;
use crate::units::{Angle, Dimension, Quantity, Typed, direction, parse_quantity};

/// A mapping being read. Problems go to one list that all fields of a file share, so that a
/// reader sees all of them at once.
#[derive(Clone, Copy)]
pub(crate) struct Fields<'a> {
    node: &'a Node,
    /// The key that leads here, which is a better line to show than the whole mapping.
    key_span: Span,
    problems: &'a RefCell<Vec<Problem>>,
    /// What the schema says of it; nothing of a mapping that the schema does not know.
    form: Option<Form<'a>>,
    /// What turns magnetic bearings into true ones, where the site states it, positive east.
    declination: Option<Angle>,
}

impl<'a> Fields<'a> {
    /// Begins with the root mapping of a file.
    #[must_use]
    pub(crate) fn root(
        node: &'a Node,
        problems: &'a RefCell<Vec<Problem>>,
        form: impl Into<Option<Form<'a>>>,
    ) -> Self {
        let key_span = match &node.value {
            Value::Map(entries) => entries.first().map_or(node.span, |entry| entry.key_span),
            _ => node.span,
        };
        Self {
            node,
            key_span,
            problems,
            form: form.into(),
            declination: None,
        }
    }

    /// The same mapping on a site with a declination.
    #[must_use]
    pub(crate) fn with_declination(self, declination: Option<Angle>) -> Self {
        Self {
            declination,
            ..self
        }
    }

    /// The same mapping, its problems going to another list.
    #[must_use]
    pub(crate) fn with_problems(self, problems: &'a RefCell<Vec<Problem>>) -> Self {
        Self { problems, ..self }
    }

    /// Whether the schema knows a field of this name here.
    #[must_use]
    pub(crate) fn knows(&self, key: &str) -> bool {
        self.form_of(key).is_some()
    }

    fn form_of(&self, key: &str) -> Option<Form<'a>> {
        self.form.and_then(|form| form.field(key))
    }

    /// The line to show for the mapping as a whole.
    #[must_use]
    pub(crate) fn span(&self) -> Span {
        self.key_span
    }

    /// The node itself.
    #[must_use]
    pub(crate) fn node(&self) -> &'a Node {
        self.node
    }

    /// Adds a problem.
    pub(crate) fn problem(&self, problem: Problem) {
        self.problems.borrow_mut().push(problem);
    }

    /// The value of a field.
    #[must_use]
    pub(crate) fn get(&self, key: &str) -> Option<&'a Node> {
        self.node.get(key)
    }

    /// A field that is itself a mapping.
    #[must_use]
    pub(crate) fn map(&self, key: &str) -> Option<Fields<'a>> {
        let entry = self.node.entry(key)?;
        Some(Fields {
            node: &entry.value,
            key_span: entry.key_span,
            form: self.form_of(key),
            ..*self
        })
    }

    /// A field that must be a mapping; its lack is a problem.
    #[must_use]
    pub(crate) fn required_map(&self, key: &str) -> Option<Fields<'a>> {
        let found = self.map(key);
        if found.is_none() {
            self.missing(key);
        }
        found
    }

    /// The items of a list field; none where the field is not there.
    #[must_use]
    pub(crate) fn list(&self, key: &str) -> &'a [Node] {
        match self.get(key).map(|node| &node.value) {
            Some(Value::List(items)) => items,
            _ => &[],
        }
    }

    /// The mappings of a list field.
    pub(crate) fn maps(&self, key: &str) -> impl Iterator<Item = Fields<'a>> + use<'a> {
        let (problems, declination) = (self.problems, self.declination);
        let form = self.form_of(key).and_then(Form::items);
        self.list(key)
            .iter()
            .map(move |node| Fields::root(node, problems, form).with_declination(declination))
    }

    /// The entries of a mapping whose keys are names.
    #[must_use]
    pub(crate) fn entries(&self) -> Vec<(&'a str, Span, Fields<'a>)> {
        match &self.node.value {
            Value::Map(entries) => entries
                .iter()
                .map(|entry| {
                    let fields = Fields {
                        node: &entry.value,
                        key_span: entry.key_span,
                        form: self.form_of(&entry.key),
                        ..*self
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

    /// A quantity, where it is stated, within the bounds that the schema has for it. A malformed one is a
    /// problem and reads as not stated.
    #[must_use]
    pub(crate) fn quantity<T: Typed>(&self, key: &str) -> Option<Stated<T>> {
        let node = self.get(key)?;
        let form = self.form_of(key);
        let bounds = form
            .map(|form| form.bounds(T::DIMENSION))
            .unwrap_or_default();
        self.quantity_of(node, key, &bounds)
    }

    /// A direction from true north, where it is stated, within the bounds that the schema has for it: degrees, a
    /// point of the compass, or a magnetic bearing where a declination is stated. A malformed one is a problem and
    /// reads as not stated.
    #[must_use]
    pub(crate) fn direction(&self, key: &str) -> Option<Stated<Angle>> {
        let node = self.get(key)?;
        let refuse = |text: String| {
            self.problem(Problem::value(node.span, text));
            None
        };
        let Some(text) = node.as_text() else {
            return refuse(format!(
                "`{key}` is {} where a direction is due, such as `240°` or `WSW`",
                node.kind_name()
            ));
        };
        let read = match direction(text) {
            Ok(read) => read,
            Err(error) => return refuse(format!("`{key}`: {error}")),
        };
        let form = self.form_of(key);
        let bounds = form.map(|form| form.bounds(Dimension::ANGLE));
        if let Some(why) = bounds.and_then(|bounds| bounds.refusal(read.written.quantity())) {
            return refuse(format!("`{key}` is {text}: {why}"));
        }
        match read.true_angle(self.declination) {
            Some(angle) => Some(Stated::written(angle, node.span)),
            None => {
                self.problem(
                    Problem::value(
                        node.span,
                        format!("`{key}` is {text}, from magnetic north, and no declination is stated"),
                    )
                    .labelled("magnetic")
                    .help(
                        "add the `declination` to the site's file, east or west, such as `3°E`, or to the \
                         bearing, such as `015° M (3°E)`",
                    ),
                );
                None
            }
        }
    }

    /// A direction that must be stated.
    #[must_use]
    pub(crate) fn required_direction(&self, key: &str) -> Option<Stated<Angle>> {
        if self.get(key).is_none() {
            self.missing(key);
        }
        self.direction(key)
    }

    fn quantity_of<T: Typed>(&self, node: &Node, key: &str, bounds: &Bounds) -> Option<Stated<T>> {
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
    pub(crate) fn required<T: Typed>(&self, key: &str) -> Option<Stated<T>> {
        if self.get(key).is_none() {
            self.missing(key);
        }
        self.quantity(key)
    }

    /// A quantity with the default on the safe side that the schema has for it, which becomes a listed
    /// assumption.
    #[must_use]
    pub(crate) fn quantity_or<T: Typed>(&self, key: &str) -> Stated<T> {
        let form = self.form_of(key);
        let default = form.and_then(|form| form.default_quantity(T::DIMENSION));
        self.quantity_or_from(key, self.of_schema(key, default))
    }

    /// The same with a default that follows from other figures.
    #[must_use]
    pub(crate) fn quantity_or_from<T: Typed>(&self, key: &str, default: T) -> Stated<T> {
        let what = self.assumed(key);
        if self.get(key).is_none() {
            let text = format!("{what} {} (`{key}` not stated)", default.quantity());
            return Stated::assumed(default, self.key_span, text);
        }
        // A malformed value is already a problem, so the file is not judged with the stand-in.
        self.quantity(key)
            .unwrap_or_else(|| Stated::assumed(default, self.key_span, what))
    }

    /// The default of a field that lies in a mapping which is not stated.
    #[must_use]
    pub(crate) fn quantity_or_within<T: Typed>(&self, keys: &[&str]) -> Stated<T> {
        let form = self.form.and_then(|form| form.path(keys));
        let default = form.and_then(|form| form.default_quantity(T::DIMENSION));
        let default: T = self.of_schema(&keys.join("."), default);
        let what = form.and_then(Form::assumed).unwrap_or_default();
        let first = keys.first().copied().unwrap_or_default();
        let text = format!("{what} {} (no `{first}` stated)", default.quantity());
        Stated::assumed(default, self.key_span, text)
    }

    /// A quantity that has no default on the safe side. Where it is not stated, the figure that the schema has
    /// for that stands in for what is drawn, and what follows from it cannot be judged.
    #[must_use]
    pub(crate) fn quantity_to_state<T: Typed>(&self, key: &str) -> Stated<T> {
        let form = self.form_of(key);
        let stand_in = form.and_then(|form| form.stand_in(T::DIMENSION));
        self.quantity_to_state_from(key, self.of_schema(key, stand_in))
    }

    /// The same with a figure that follows from others.
    #[must_use]
    pub(crate) fn quantity_to_state_from<T: Typed>(&self, key: &str, stand_in: T) -> Stated<T> {
        let what = self.assumed(key);
        if self.get(key).is_none() {
            let text = format!(
                "{what} is not stated (`{key}`); figures use {}",
                stand_in.quantity()
            );
            return Stated::missing(stand_in, self.key_span, text);
        }
        self.quantity(key)
            .unwrap_or_else(|| Stated::missing(stand_in, self.key_span, what))
    }

    /// A bare number with the default that the schema has for it.
    #[must_use]
    pub(crate) fn number_or(&self, key: &str) -> Stated<f64> {
        let what = self.assumed(key);
        let default = self.form_of(key).and_then(Form::default_number);
        let default = default.unwrap_or_else(|| {
            self.not_in_schema(key);
            0.0
        });
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

    /// What a field is called where its value is assumed.
    fn assumed(&self, key: &str) -> &'a str {
        self.form_of(key)
            .and_then(Form::assumed)
            .unwrap_or_default()
    }

    /// A figure of the schema; where it has none, that is a problem, so that nothing is judged by another.
    fn of_schema<T: Typed>(&self, key: &str, figure: Option<Quantity>) -> T {
        if figure.is_none() {
            self.not_in_schema(key);
        }
        T::from_stored(figure.map_or(0.0, |figure| figure.value))
    }

    fn not_in_schema(&self, key: &str) {
        let text = format!("the built-in schema has no figure for `{key}` where it is not stated");
        self.problem(Problem::new("input-schema", self.key_span, text));
    }

    /// A text, where it is stated.
    #[must_use]
    pub(crate) fn text(&self, key: &str) -> Option<Stated<String>> {
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
    pub(crate) fn required_text(&self, key: &str) -> Option<Stated<String>> {
        if self.get(key).is_none() {
            self.missing(key);
        }
        self.text(key)
    }

    /// One of a set of words.
    #[must_use]
    pub(crate) fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<Stated<T>> {
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
