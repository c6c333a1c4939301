//! A value with where it comes from: a line of a file, or an assumption that is reported.

use crate::source::Span;

/// Where a value comes from.
#[derive(Clone, PartialEq, Debug)]
pub enum Origin {
    /// A file says so, here.
    Written(Span),
    /// Nothing is said; a default on the safe side is taken.
    Assumed {
        /// The mapping that could have said it.
        near: Span,
        /// The assumption in words, with its figure.
        what: String,
    },
    /// Nothing is said, and no default is on the safe side: a figure stands in where one is drawn, and no
    /// rule that follows from it can be judged.
    Missing {
        /// The mapping that could have said it.
        near: Span,
        /// What stands in, in words.
        what: String,
    },
}

/// A value with where it comes from.
#[derive(Clone, PartialEq, Debug)]
pub struct Stated<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
}

impl<T> Stated<T> {
    /// A value that a file states.
    pub const fn written(value: T, span: Span) -> Self {
        Self {
            value,
            origin: Origin::Written(span),
        }
    }

    /// A value that is assumed.
    pub fn assumed(value: T, near: Span, what: impl Into<String>) -> Self {
        Self {
            value,
            origin: Origin::Assumed {
                near,
                what: what.into(),
            },
        }
    }

    /// A value that is not stated and that no default stands for, with a figure for what is drawn.
    pub fn missing(value: T, near: Span, what: impl Into<String>) -> Self {
        Self {
            value,
            origin: Origin::Missing {
                near,
                what: what.into(),
            },
        }
    }

    /// Whether it is not stated and no default stands for it.
    pub const fn is_missing(&self) -> bool {
        matches!(self.origin, Origin::Missing { .. })
    }

    /// The line that states it, or the mapping that could have.
    pub fn span(&self) -> Span {
        match self.origin {
            Origin::Written(span)
            | Origin::Assumed { near: span, .. }
            | Origin::Missing { near: span, .. } => span,
        }
    }

    /// The assumption in words, where it is one.
    pub fn assumption(&self) -> Option<&str> {
        match &self.origin {
            Origin::Written(_) => None,
            Origin::Assumed { what, .. } | Origin::Missing { what, .. } => Some(what),
        }
    }

    /// The same origin with another value.
    pub fn map<U>(self, with: impl FnOnce(T) -> U) -> Stated<U> {
        Stated {
            value: with(self.value),
            origin: self.origin,
        }
    }
}
