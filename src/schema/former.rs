//! What files stated before: under another name, or not at all any more. Whoever meets such a name asks here once.

use super::kinds::Kind;
use super::problem::Problem;
use super::{removed, renamed};
use crate::source::Span;

/// What became of a name that files had before.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Former {
    /// It has this one now.
    Renamed(&'static str),
    /// Nothing states it any more; what is done in its place.
    Removed(&'static str),
}

impl Former {
    /// What became of a built-in rule.
    #[must_use]
    pub(crate) fn rule(id: &str) -> Option<Self> {
        let renamed = renamed::rule(id).map(Self::Renamed);
        renamed.or_else(|| removed::rule(id).map(Self::Removed))
    }

    /// What became of a measure.
    #[must_use]
    pub(crate) fn measure(name: &str) -> Option<Self> {
        let renamed = renamed::measure(name).map(Self::Renamed);
        renamed.or_else(|| removed::measure(name).map(Self::Removed))
    }

    /// What became of a field of one mapping of a file, by JSON pointer.
    pub(super) fn field(kind: Kind, pointer: &str, name: &str) -> Option<Self> {
        let mut renamed = renamed::fields(kind, pointer);
        let renamed = renamed.find(|(old, _)| *old == name);
        let renamed = renamed.map(|(_, new)| Self::Renamed(new));
        renamed.or_else(|| removed::field(kind, pointer, name).map(Self::Removed))
    }

    /// It in a sentence.
    #[must_use]
    pub(crate) fn sentence(self, old: &str) -> String {
        match self {
            Self::Renamed(new) => renamed::sentence(old, new),
            Self::Removed(_) => removed::sentence(old),
        }
    }

    /// What became of it, to somebody who asks what the name means.
    #[must_use]
    pub(crate) fn explained(self, old: &str) -> String {
        match self {
            Self::Renamed(new) => renamed::sentence(old, new),
            Self::Removed(help) => removed::explained(old, help),
        }
    }

    /// What to write, or to do.
    #[must_use]
    pub(crate) fn help(self) -> String {
        match self {
            Self::Renamed(new) => renamed::help(new),
            Self::Removed(help) => help.to_owned(),
        }
    }

    /// What is wrong where the name stands.
    #[must_use]
    pub(crate) fn problem(self, code: &'static str, span: Span, old: &str) -> Problem {
        let label = match self {
            Self::Renamed(_) => "the old name",
            Self::Removed(_) => "belongs to a launch",
        };
        Problem::new(code, span, self.sentence(old))
            .labelled(label)
            .help(self.help())
    }
}
