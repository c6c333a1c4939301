//! Keys: texts only, and each once in a mapping.

use std::borrow::Cow;

use crate::source::Span;

use super::build::Builder;
use super::error::{DocumentError, DocumentErrorKind as Kind, quoted};
use super::node::{Node, Value};
use super::scalar;

impl Builder<'_> {
    pub(super) fn key(&mut self, name: Cow<'_, str>, plain: bool, anchor: usize, span: Span) {
        let shown = self.visible(span);
        if anchor != 0 {
            self.error(
                DocumentError::new(Kind::Alias, shown, "an anchor stands before a key")
                    .help("put the anchor after the `:`, before the value"),
            );
        }
        let fault = if plain {
            plain_fault(&name, shown)
        } else {
            None
        };
        let fault = fault.or_else(|| {
            let first = self.stack.last()?.earlier(&name)?;
            let message = format!("the key {} stands twice in this mapping", quoted(&name));
            let error = DocumentError::new(Kind::DuplicateKey, shown, message);
            Some(
                error
                    .related(first, "it stands here first")
                    .help("keep one of the two"),
            )
        });
        match fault {
            Some(error) => {
                self.error(error);
                self.refuse_key(span);
            }
            None => {
                if let Some(frame) = self.stack.last_mut() {
                    frame.set_key(Some(name.into_owned()), span);
                }
            }
        }
    }

    /// Goes on to the value of a key that was refused.
    pub(super) fn refuse_key(&mut self, at: Span) {
        if let Some(frame) = self.stack.last_mut() {
            frame.set_key(None, at);
        }
    }

    pub(super) fn key_is_next(&self) -> bool {
        self.stack.last().is_some_and(|frame| frame.awaits_key())
    }
}

/// What is wrong with a key that has no quotes.
fn plain_fault(name: &str, span: Span) -> Option<DocumentError> {
    if name == "<<" {
        let message = "mappings cannot be merged with `<<`";
        return Some(
            DocumentError::new(Kind::MergeKey, span, message)
                .help("write the fields out, or use an alias for the whole value"),
        );
    }
    if name.is_empty() {
        let message = "a key is missing before the `:`";
        return Some(DocumentError::new(Kind::NonTextKey, span, message));
    }
    let read_as = match scalar::resolve(name) {
        Ok(Value::Text(_)) => return None,
        Ok(value) => {
            let plain = true;
            Node { span, value, plain }.kind_name()
        }
        Err(_) => "a number",
    };
    let message = format!(
        "the key {} is read as {read_as}, not as a text",
        quoted(name)
    );
    let error = DocumentError::new(Kind::NonTextKey, span, message);
    Some(error.help(format!("write it as \"{name}\"")))
}
