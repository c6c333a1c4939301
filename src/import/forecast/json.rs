//! The hours of a JSON file, by paths of names.

use super::stated::{Stated, StatedUnit};
use super::{Cell, MOST_READ, Row};
use crate::document::{Node, ParseLimits, Value, parse};
use crate::import::fault::{Fault, Place, counted, excerpt};
use crate::source::Sources;

const LIMITS: ParseLimits = ParseLimits {
    nodes: 1_000_000,
    ..ParseLimits::YAML
};

/// The rows of a text, each with the values that are wanted, and what it states of these: the paths lead to as many
/// values each.
pub(super) fn rows(text: &str, wanted: &[&str]) -> Result<(Vec<Row>, Stated), Fault> {
    let mut sources = Sources::new();
    let source = sources.add("the file", text);
    let place = |node: &Node| Place::in_text(text, node.span.range().start);
    let document = parse(source, text, &LIMITS).map_err(|errors| {
        errors.first().map_or_else(
            || Fault::whole("the file cannot be read"),
            |error| {
                let at = error.span.range().start;
                Fault::at(Place::in_text(text, at), error.message.to_string())
            },
        )
    })?;
    let mut found: Vec<Vec<&Node>> = Vec::new();
    for path in wanted {
        let mut nodes = Vec::new();
        follow(&document.root, path, path, &mut nodes)
            .map_err(|(node, why)| Fault::at(place(node), why))?;
        found.push(nodes);
    }
    let count = found[0].len();
    if count == 0 {
        return Err(Fault::whole("the file holds no hour"));
    }
    for (path, nodes) in wanted.iter().zip(&found) {
        if nodes.len() != count {
            return Err(Fault::whole(format!(
                "`{}` leads to {}, and `{}` to {count}: each hour needs one of both",
                excerpt(path),
                counted(nodes.len(), "value"),
                excerpt(wanted[0])
            )));
        }
    }
    if count > MOST_READ {
        return Err(Fault::whole(format!(
            "there are more than {MOST_READ} hours"
        )));
    }
    let places = Places::new(text);
    let row = |index: usize| -> Result<Row, Fault> {
        let mut cells = Vec::new();
        for nodes in &found {
            let node = nodes[index];
            let cell = match &node.value {
                Value::Text(text) => Cell::Text(text.clone()),
                _ => match node.as_number() {
                    Some(number) => Cell::Number(number),
                    None => {
                        return Err(Fault::at(place(node), "a number or a text is due here"));
                    }
                },
            };
            cells.push((cell, places.at(node.span.range().start)));
        }
        Ok(cells)
    };
    let rows: Result<Vec<Row>, Fault> = (0..count).map(row).collect();
    let unit = |path: &&str| {
        let (node, text, certain) = unit(&document.root, path)?;
        let place = place(node);
        Some(StatedUnit {
            text,
            place,
            certain,
        })
    };
    let ahead = wanted.first().and_then(|path| {
        let steps = steps(&document.root, path);
        let mut stated = steps.iter().rev().filter_map(|(map, _)| map.get(AHEAD));
        let node = stated.next()?;
        Some((node.as_number()?, place(node)))
    });
    let units = wanted.iter().map(unit).collect();
    Ok((rows?, Stated { units, ahead }))
}

/// The key of how far times are ahead of UTC, as open forecast services have it (from memory).
const AHEAD: &str = "utc_offset_seconds";

/// Names of what a mapping holds beside its unit where that is of nothing else.
const ONE_VALUE: [&str; 3] = ["value", "values", "data"];

/// The mappings that a path goes through, each with the name that it goes on by; of a list by its first item.
fn steps<'a, 'p>(root: &'a Node, path: &'p str) -> Vec<(&'a Node, &'p str)> {
    let mut all = Vec::new();
    let mut at = root;
    for name in path.split(['.', '[', ']']) {
        if name.is_empty() || name.bytes().all(|byte| byte.is_ascii_digit()) {
            continue;
        }
        while let Some(first) = at.as_list().and_then(<[Node]>::first) {
            at = first;
        }
        let Some(next) = at.get(name) else {
            break;
        };
        all.push((at, name));
        at = next;
    }
    all
}

/// The unit that a file states for what a path leads to, in the mapping nearest to it: `hourly_units` beside `hourly`
/// under the same name, `units` beside the values, or in a `meta` there, by name, or as a text. Whether it is of this
/// value for certain: a text beside several may be of another one.
fn unit<'a>(root: &'a Node, path: &str) -> Option<(&'a Node, String, bool)> {
    let steps = steps(root, path);
    let (_, last) = steps.last()?;
    for (index, (map, name)) in steps.iter().enumerate().rev() {
        let beside = [format!("{name}_units"), format!("{name}_unit")];
        let beside = beside.iter().filter_map(|key| map.get(key));
        let own = ["units", "unit"];
        let here = own.iter().filter_map(|key| map.get(key));
        let meta = own.iter().filter_map(|key| map.get("meta")?.get(key));
        for stated in beside.chain(here).chain(meta) {
            let near = steps.len() - index <= 2;
            let node = if stated.as_text().is_some() {
                near.then_some(stated)
            } else {
                stated.get(last)
            };
            if let Some((node, text)) = node.and_then(|node| Some((node, node.as_text()?))) {
                let certain = stated.as_text().is_none() || ONE_VALUE.contains(last);
                return Some((node, text.to_owned(), certain));
            }
        }
    }
    None
}

/// Places in a text, cheap where they are requested from one line.
struct Places<'a> {
    text: &'a str,
    /// Bytes at which lines begin.
    lines: Vec<usize>,
}

impl<'a> Places<'a> {
    fn new(text: &'a str) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let lines = std::iter::once(0).chain(ends.map(|(at, _)| at + 1));
        Self {
            text,
            lines: lines.collect(),
        }
    }

    /// Line and column; of a long line the column in bytes, which is that of its characters where all are plain.
    fn at(&self, byte: usize) -> Place {
        let line = self.lines.partition_point(|begins| *begins <= byte).max(1);
        let begins = self.lines.get(line - 1).copied().unwrap_or(0);
        let before = self.text.get(begins..byte).unwrap_or_default();
        let column = if before.len() > 10_000 {
            before.len()
        } else {
            before.chars().count()
        };
        Place::Line(line, column + 1)
    }
}

/// Gathers what a path leads to: names apart by points, `[]` behind one for each of its list, `[2]` for one of it,
/// counted from 0. A list at the end stands for its items.
fn follow<'a>(
    node: &'a Node,
    rest: &str,
    whole: &str,
    into: &mut Vec<&'a Node>,
) -> Result<(), (&'a Node, String)> {
    if rest.is_empty() {
        match node.as_list() {
            Some(items) => into.extend(items),
            None => into.push(node),
        }
        return Ok(());
    }
    let shown = excerpt(whole);
    if let Some(rest) = rest.strip_prefix('[') {
        let Some((index, rest)) = rest.split_once(']') else {
            return Err((
                node,
                format!("in the path `{shown}` a bracket is not closed"),
            ));
        };
        let rest = rest.strip_prefix('.').unwrap_or(rest);
        let Some(items) = node.as_list() else {
            return Err((
                node,
                format!("the path `{shown}` goes through a list here, and there is none"),
            ));
        };
        if index.is_empty() {
            return items
                .iter()
                .try_for_each(|item| follow(item, rest, whole, into));
        }
        let one = index.parse().ok().and_then(|index: usize| items.get(index));
        let one = one.ok_or_else(|| {
            (
                node,
                format!("the path `{shown}` asks for an item that the list has not"),
            )
        })?;
        return follow(one, rest, whole, into);
    }
    let ends = rest.find(['.', '[']).unwrap_or(rest.len());
    let (name, behind) = rest.split_at(ends);
    let behind = behind.strip_prefix('.').unwrap_or(behind);
    match node.get(name) {
        Some(next) => follow(next, behind, whole, into),
        None => Err((
            node,
            format!(
                "there is no `{}` here, which the path `{shown}` goes through",
                excerpt(name)
            ),
        )),
    }
}
