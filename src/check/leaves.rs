//! The values of a file one by one, however they are written: what two files have in common is told by
//! these, and what differs between them.

use crate::document::{Node, Value};
use crate::units::parse_any;

/// One value of a file.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Leaf {
    /// The keys down to it; an item of a list is named by its id, where it has one, else by its number
    /// or, where lists are compared as sets, not at all.
    pub path: Vec<String>,
    /// The value as it is compared: a quantity in base units, a text without its blanks and capitals.
    pub means: String,
    /// The value as it is written.
    pub written: String,
}

impl Leaf {
    /// Where it stands, in words.
    pub fn place(&self) -> String {
        let words = self.path.iter().map(|key| key.replace('_', " "));
        words.collect::<Vec<_>>().join(", ")
    }
}

/// How the items of a list are named.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Items {
    /// By their id or number.
    Named,
    /// Not at all, so that those of another order are the same.
    AsASet,
}

/// Every value below a node.
pub(super) fn leaves(node: &Node, items: Items) -> Vec<Leaf> {
    let mut all = Vec::new();
    take(node, items, &mut Vec::new(), &mut all);
    all
}

fn take(node: &Node, items: Items, path: &mut Vec<String>, into: &mut Vec<Leaf>) {
    match &node.value {
        Value::Map(entries) => {
            for entry in entries {
                path.push(entry.key.clone());
                take(&entry.value, items, path, into);
                path.pop();
            }
        }
        Value::List(list) => {
            for (at, item) in list.iter().enumerate() {
                let named = items == Items::Named;
                if named {
                    path.push(name(item).unwrap_or_else(|| (at + 1).to_string()));
                }
                take(item, items, path, into);
                if named {
                    path.pop();
                }
            }
        }
        Value::Null => {}
        Value::Bool(truth) => push(path, truth.to_string(), truth.to_string(), into),
        Value::Int(number) => push(path, number.to_string(), number.to_string(), into),
        Value::Float(number) => push(path, format!("{number:.9e}"), number.to_string(), into),
        Value::Text(text) => push(path, means(text), plain(text), into),
    }
}

fn push(path: &[String], means: String, written: String, into: &mut Vec<Leaf>) {
    into.push(Leaf {
        path: path.to_vec(),
        means,
        written,
    });
}

fn name(item: &Node) -> Option<String> {
    let names = ["id", "users", "station", "item"];
    let id = names.into_iter().find_map(|key| item.get(key))?;
    id.as_text().map(str::to_owned)
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a text says: the same quantity in other units is the same.
fn means(text: &str) -> String {
    match parse_any(text) {
        Some(quantity) => format!("{:.9e} {:?}", quantity.value, quantity.dimension),
        None => plain(text).to_lowercase(),
    }
}
