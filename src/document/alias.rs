//! Aliases: finding what an anchor marked in the tree as far as it is built, and its size.

use crate::source::Span;

use super::build::Builder;
use super::error::{DocumentError, DocumentErrorKind as Kind, quoted};
use super::frame::Frame;
use super::node::{Node, Value};

impl Builder<'_> {
    /// Notes where the value that comes next will stand.
    pub(super) fn remember(&mut self, anchor: usize) {
        if anchor != 0 {
            let path = self.stack.iter().map(Frame::len).collect();
            self.anchors.insert(anchor, path);
        }
    }

    /// An alias to an anchor, or to none.
    pub(super) fn alias(&mut self, anchor: Option<usize>, span: Span) {
        self.count(1, span);
        if self.skipping > 0 {
            return;
        }
        if self.key_is_next() {
            self.error(
                DocumentError::new(Kind::ComplexKey, span, "an alias cannot be a key")
                    .help("write the key out"),
            );
            return self.refuse_key(span);
        }
        match self.expansion(anchor, span) {
            Ok(node) => {
                self.expanded_nodes += node.size.nodes;
                self.expanded_text += node.size.text;
                self.count(node.size.nodes, span);
                self.add(node.copy);
            }
            // Every further alias would be too much as well.
            Err(error) if error.kind == Kind::TooLarge => self.stop(error),
            Err(error) => {
                self.error(error);
                self.add_placeholder(span);
            }
        }
    }

    /// A copy of what an alias stands for.
    fn expansion(&self, anchor: Option<usize>, span: Span) -> Result<Expansion, DocumentError> {
        let name = quoted(self.text.get(span.range()).unwrap_or_default());
        let error = |message| Err(DocumentError::new(Kind::Alias, span, message));
        // An anchor on a key was refused, and is not remembered.
        let path = anchor.and_then(|anchor| self.anchors.get(&anchor));
        let node = match path.map_or(Target::Missing, |path| find(&self.stack, path)) {
            Target::Node(node) => node,
            Target::Open => {
                return error(format!("the alias {name} stands inside what it names"));
            }
            Target::Missing => {
                let message = format!("the alias {name} names nothing that stands before it");
                return Err(DocumentError::new(Kind::Alias, span, message)
                    .help("put the text in quotes if it is not meant as an alias"));
            }
        };
        let limits = self.limits;
        let size = measure(node, limits.expanded_nodes);
        if self.expanded_nodes + size.nodes > limits.expanded_nodes
            || self.expanded_text + size.text > limits.expanded_text
        {
            let message = format!(
                "with {name}, the aliases of this file stand for more than {} values or {} bytes \
                 of text",
                limits.expanded_nodes, limits.expanded_text
            );
            return Err(DocumentError::new(Kind::TooLarge, span, message));
        }
        if self.stack.len() + size.depth > limits.depth {
            let message = format!(
                "with {name}, lists and mappings are nested more than {} deep",
                limits.depth
            );
            return Err(DocumentError::new(Kind::TooDeep, span, message));
        }
        let copy = Node {
            span,
            ..node.clone()
        };
        Ok(Expansion { copy, size })
    }
}

struct Expansion {
    copy: Node,
    size: Size,
}

/// What an anchor marks.
enum Target<'tree> {
    /// A value that is complete.
    Node(&'tree Node),
    /// A list or mapping that is still being read: the alias stands inside it.
    Open,
    /// Nothing that can be found.
    Missing,
}

/// Follows a path of child numbers, first through the lists and mappings that are still open, then
/// through complete ones. Holding paths instead of copies costs nothing where no alias is used.
fn find<'tree>(open: &'tree [Frame], path: &[u32]) -> Target<'tree> {
    for (depth, &child) in path.iter().enumerate() {
        let Some(frame) = open.get(depth) else {
            return Target::Missing;
        };
        if let Some(node) = frame.child(child) {
            return match descend(node, &path[depth + 1..]) {
                Some(node) => Target::Node(node),
                None => Target::Missing,
            };
        }
    }
    if open.len() > path.len() {
        Target::Open
    } else {
        Target::Missing
    }
}

fn descend<'tree>(mut node: &'tree Node, path: &[u32]) -> Option<&'tree Node> {
    for &child in path {
        node = match &node.value {
            Value::List(items) => items.get(child as usize)?,
            Value::Map(entries) => &entries.get(child as usize)?.value,
            _ => return None,
        };
    }
    Some(node)
}

/// How large a value is.
#[derive(Debug, Default, Clone, Copy)]
struct Size {
    /// Keys and values.
    nodes: usize,
    /// Bytes in texts and keys.
    text: usize,
    /// Lists and mappings inside one another.
    depth: usize,
}

/// Measures a value, and stops once it has more nodes than `enough`.
fn measure(node: &Node, enough: usize) -> Size {
    let mut size = Size::default();
    let mut todo = vec![(node, 0)];
    while let Some((node, above)) = todo.pop() {
        size.nodes += 1;
        if size.nodes > enough {
            break;
        }
        let depth = above + 1;
        match &node.value {
            Value::Text(text) => size.text += text.len(),
            Value::List(items) => {
                size.depth = size.depth.max(depth);
                todo.extend(items.iter().map(|item| (item, depth)));
            }
            Value::Map(entries) => {
                size.depth = size.depth.max(depth);
                size.nodes += entries.len();
                for entry in entries {
                    size.text += entry.key.len();
                    todo.push((&entry.value, depth));
                }
            }
            _ => {}
        }
    }
    size
}
