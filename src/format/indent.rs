//! How far in the keys and dashes of a file stand that are not in braces or brackets.

use std::collections::BTreeMap;

use super::in_flow;
use super::tokens::{Token, What};
use crate::document::{Node, Value};

/// Columns by which each level stands in.
pub(super) const STEP: usize = 2;

/// The columns of keys and dashes, by the offset of their first byte.
pub(super) type Columns = BTreeMap<usize, usize>;

/// The column of every key and dash that begins a line, or may.
pub(super) fn columns(root: &Node, text: &str, tokens: &[Token]) -> Columns {
    let dashes: Vec<usize> = tokens
        .iter()
        .filter(|token| token.what == What::Dash)
        .map(|token| token.start)
        .collect();
    let mut columns = Columns::new();
    let mut open = vec![(root, 0)];
    while let Some((node, column)) = open.pop() {
        if in_flow(node, text) {
            continue;
        }
        match &node.value {
            Value::Map(entries) => {
                for entry in entries {
                    columns.insert(entry.key_span.start as usize, column);
                    open.push((&entry.value, column + STEP));
                }
            }
            Value::List(items) => {
                for item in items {
                    let start = item.span.start as usize;
                    // Of an item that is left out, the dash is its place.
                    let own = item.is_null() && text.as_bytes().get(start) == Some(&b'-');
                    let after = dashes.partition_point(|dash| *dash < start + usize::from(own));
                    if let Some(dash) = after.checked_sub(1).and_then(|at| dashes.get(at)) {
                        columns.insert(*dash, column);
                    }
                    open.push((item, column + STEP));
                }
            }
            _ => {}
        }
    }
    columns
}
