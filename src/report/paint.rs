//! Colour, where it is asked for: the plain "select graphic rendition" sequences of ECMA-48.

use std::borrow::Cow;

use crate::finding::Severity;

/// How a piece of text is set off.
#[derive(Clone, Copy)]
pub(super) enum Look {
    /// The word of a severity.
    Severity(Severity),
    /// A heading.
    Heading,
    /// Nothing is wrong here.
    Quiet,
}

/// Sets text off, or leaves it alone where no colour is wanted. The text must be printable.
pub(super) fn paint(text: &str, look: Look, colour: bool) -> Cow<'_, str> {
    if !colour || text.is_empty() {
        return Cow::Borrowed(text);
    }
    let code = match look {
        Look::Severity(Severity::Error) => "1;31",
        Look::Severity(Severity::Warning) => "1;33",
        Look::Severity(Severity::Advice) => "1;36",
        Look::Heading => "1",
        Look::Quiet => "2",
    };
    Cow::Owned(format!("\u{1b}[{code}m{text}\u{1b}[0m"))
}
