//! The form of a file: its indentation, its spaces, how its values are spelled. The text is edited where it
//! stands, so that comments, order, quotes and line breaks stay.
//!
//! What comes out is parsed again and compared: the same keys, in the same order, with the same values. A file
//! that the program cannot bring into form in this way is left as it is.

mod indent;
mod lines;
mod tokens;
mod values;

use crate::document::{Document, Node, ParseLimits, Value, parse};
use crate::schema::Kind;
use crate::source::SourceId;
use values::Spelled;

/// Why a file that was parsed is not brought into form.
#[derive(Clone, Copy, PartialEq, Eq, Debug, thiserror::Error)]
pub(crate) enum Unformatted {
    /// It has something that is rare and hard to lay out.
    #[error("it has {0}, which offing does not lay out")]
    Unusual(&'static str),
    /// Laid out, it would not be the same file.
    #[error("laid out, it would not hold the same values")]
    Different,
}

/// The text of a file of a kind, in form.
///
/// # Errors
/// [`Unformatted`]; the file is best left as it is.
pub(crate) fn formatted(
    kind: Kind,
    document: &Document,
    text: &str,
) -> Result<String, Unformatted> {
    let spelled = values::spelled(kind, &document.root, text);
    let tokens = tokens::tokens(&document.root, text, &spelled)?;
    let columns = indent::columns(&document.root, text, &tokens);
    let out = lines::lay_out(text, &tokens, &columns);
    let again = parse(SourceId(0), &out, &ParseLimits::YAML);
    match again {
        Ok(again) if same(&document.root, &again.root, &spelled) => Ok(out),
        _ => Err(Unformatted::Different),
    }
}

/// Whether a tree is the same as before, but for texts that were spelled otherwise.
fn same(before: &Node, after: &Node, spelled: &Spelled) -> bool {
    match (&before.value, &after.value) {
        (Value::Map(before), Value::Map(after)) => {
            before.len() == after.len()
                && before
                    .iter()
                    .zip(after)
                    .all(|(a, b)| a.key == b.key && same(&a.value, &b.value, spelled))
        }
        (Value::List(before), Value::List(after)) => {
            before.len() == after.len()
                && before.iter().zip(after).all(|(a, b)| same(a, b, spelled))
        }
        (Value::Text(a), Value::Text(b)) => {
            a == b || spelled.value(before.span) == Some(b.as_str())
        }
        (Value::Float(a), Value::Float(b)) => a.to_bits() == b.to_bits(),
        (a, b) => a == b,
    }
}

/// Whether a value is written in braces or brackets, or is an alias, whose inside lies elsewhere.
fn in_flow(node: &Node, text: &str) -> bool {
    let first = text.as_bytes().get(node.span.start as usize);
    matches!(first, Some(b'{' | b'[' | b'*'))
}

/// Whether what stands at a value's place is an alias.
fn is_alias(node: &Node, text: &str) -> bool {
    text.as_bytes().get(node.span.start as usize) == Some(&b'*')
}

#[cfg(test)]
mod tests;
