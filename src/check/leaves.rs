//! The values of a file one by one, however they are written: what two files have in common is recognised by
//! these, and what differs between them.

use std::collections::BTreeMap;

use crate::document::{Node, Value};
use crate::units::{parse_any, position};

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
    pub(super) fn place(&self) -> String {
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
            let names = match items {
                Items::Named => names(list),
                Items::AsASet => Vec::new(),
            };
            let depth = path.len();
            for (at, item) in list.iter().enumerate() {
                path.extend(names.get(at).cloned());
                take(item, items, path, into);
                path.truncate(depth);
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

/// A name for every item of a list, no two of them alike, lest an item be compared with another one.
fn names(list: &[Node]) -> Vec<String> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let all = list.iter().enumerate();
    all.map(|(at, item)| {
        let Some(name) = name(item) else {
            return (at + 1).to_string();
        };
        let times = seen.entry(name.clone()).or_default();
        *times += 1;
        match times {
            1 => name,
            times => format!("{name} ({times})"),
        }
    })
    .collect()
}

/// What an item is known by: an antenna by its station and its link, since a station may have several.
fn name(item: &Node) -> Option<String> {
    let text = |key: &str| item.get(key)?.as_text();
    let id = ["id", "users", "station", "item"]
        .into_iter()
        .find_map(text)?;
    Some(match text("link") {
        Some(link) => format!("{id}, {link}"),
        None => id.to_owned(),
    })
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a text says: the same quantity in other units is the same, and so is the same position in another
/// form.
fn means(text: &str) -> String {
    if let Some(quantity) = parse_any(text) {
        return format!("{:.9e} {:?}", quantity.value, quantity.dimension);
    }
    match position(text) {
        Ok(at) => format!("{:.9e} {:.9e}", at.latitude, at.longitude),
        Err(_) => plain(text).to_lowercase(),
    }
}

#[cfg(test)]
mod tests {
    use super::means;

    #[test]
    fn a_value_in_another_spelling_means_the_same() {
        for (one, other) in [
            ("5kn", "5 kn"),
            ("60 mohm", "0.06 ohm"),
            ("52°23.764'N 24°18.630'W", "52°23.764′N 24°18.630′W"),
            ("52°30′N 24°W", "52.5°N 24.0°W"),
            ("Survey  lead", "survey lead"),
        ] {
            assert_eq!(means(one), means(other));
        }
        assert_ne!(means("52°30′N 24°W"), means("52°30′N 24°E"));
        assert_ne!(means("5 kn"), means("5 m/s"));
    }
}
