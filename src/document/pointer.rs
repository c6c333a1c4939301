//! JSON pointers (RFC 6901), by which a schema names a place in a document.

use std::borrow::Cow;

use super::node::{Entry, Node, Value};

impl Node {
    /// The node that a JSON pointer names: `/route/0/speed`; the empty pointer is this node.
    #[must_use]
    pub fn at_pointer(&self, pointer: &str) -> Option<&Self> {
        let mut node = self;
        for token in tokens(pointer)? {
            node = match &node.value {
                Value::List(items) => items.get(index(&token)?)?,
                Value::Map(_) => node.get(&token)?,
                _ => return None,
            };
        }
        Some(node)
    }

    /// The key, with its value, that a JSON pointer names; `None` also where it names a list's item
    /// or this node itself.
    #[must_use]
    pub fn entry_at_pointer(&self, pointer: &str) -> Option<&Entry> {
        let (parent, last) = pointer.rsplit_once('/')?;
        self.at_pointer(parent)?.entry(&unescaped(last))
    }
}

fn tokens(pointer: &str) -> Option<impl Iterator<Item = Cow<'_, str>>> {
    if !pointer.is_empty() && !pointer.starts_with('/') {
        return None;
    }
    Some(pointer.split('/').skip(1).map(unescaped))
}

fn unescaped(token: &str) -> Cow<'_, str> {
    if token.contains('~') {
        Cow::Owned(token.replace("~1", "/").replace("~0", "~"))
    } else {
        Cow::Borrowed(token)
    }
}

/// An item's number: digits without a leading zero, as section 4 has it.
fn index(token: &str) -> Option<usize> {
    let digits = token.bytes().all(|byte| byte.is_ascii_digit());
    if !digits || (token.len() > 1 && token.starts_with('0')) {
        return None;
    }
    token.parse().ok()
}
