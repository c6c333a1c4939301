//! Where a setting is written in a file, so that every other byte stays as it was.

use super::File;
use crate::document::{Node, Value};
use crate::finding::Edit;
use crate::plan::orders::{OF_ORDERS, Under};
use crate::source::{SourceId, Span};
use crate::yaml::Yaml;

/// A change of text, with what it is a change of.
pub(super) struct Placed {
    /// The change.
    pub edit: Edit,
    /// The item of a list that the field belongs to, in the file's own name; empty where it is none.
    pub item: String,
    /// The field in words: `alarm: overdue`; of an item the field within it.
    pub field: String,
    /// The item that one is added ahead of, or nothing where it comes last; `None` where nothing is added to
    /// a list.
    pub added: Option<String>,
}

/// Keys by which the files name the items of their lists.
const NAMES: [&str; 4] = ["id", "station", "waypoint", "link"];

/// The JSON pointer of the value that stands somewhere.
pub(super) fn field_of(node: &Node, span: Span) -> Option<String> {
    if node.span == span {
        return Some(String::new());
    }
    match &node.value {
        Value::Map(entries) => entries.iter().find_map(|entry| {
            let rest = field_of(&entry.value, span)?;
            let key = entry.key.replace('~', "~0").replace('/', "~1");
            Some(format!("/{key}{rest}"))
        }),
        Value::List(items) => items.iter().enumerate().find_map(|(index, item)| {
            let rest = field_of(item, span)?;
            Some(format!("/{index}{rest}"))
        }),
        _ => None,
    }
}

/// A value put in place of another.
pub(super) fn replaced(file: &File<'_>, field: String, span: Span, value: &str) -> Placed {
    let (item, words) = named(&file.document.root, &field);
    Placed {
        item,
        field: words,
        added: None,
        edit: Edit {
            file: span.source,
            field,
            value: value.to_owned(),
            replaced: span,
            text: value.to_owned(),
        },
    }
}

/// The field of a mission that states otherwise what its orders do at a place, and its value: the field
/// itself where the mission's and the orders' are laid together, else the whole that it belongs to.
pub(super) fn instead_of_orders(
    file: &File<'_>,
    field: &str,
    span: Span,
    value: &str,
) -> Option<(String, String)> {
    let top = field.split('/').nth(1)?;
    let (_, under) = OF_ORDERS.iter().find(|(known, _)| *known == top)?;
    match under {
        Under::Fields => Some((field.to_owned(), value.to_owned())),
        Under::Whole => {
            let whole = file.document.root.get(top)?;
            Some((format!("/{top}"), in_braces(file, whole, span, value)?))
        }
        Under::Items(_) => None,
    }
}

/// A mapping in braces on one line, with a value in place of the one that stands at a place in it. Comments in it
/// stay where they are.
fn in_braces(file: &File<'_>, mapping: &Node, span: Span, value: &str) -> Option<String> {
    let whole = mapping.span;
    let text = file.text.get(whole.range())?;
    if text.starts_with('{') && !text.contains(['\n', '#']) {
        let (from, to) = (span.start - whole.start, span.end - whole.start);
        let before = text.get(..from as usize)?;
        let after = text.get(to as usize..)?;
        return Some(format!("{before}{value}{after}"));
    }
    let entries = mapping.as_map()?;
    if !entries.iter().any(|entry| entry.value.span == span) {
        return None;
    }
    let fields = entries.iter().map(|entry| {
        let written = match entry.value.span == span {
            true => value.to_owned(),
            false => on_one_line(file, &entry.value)?,
        };
        Some(format!("{}: {written}", entry.key))
    });
    let fields: Option<Vec<String>> = fields.collect();
    Some(format!("{{ {} }}", fields?.join(", ")))
}

/// A scalar as it may stand in braces; `None` of a mapping or a list.
fn on_one_line(file: &File<'_>, scalar: &Node) -> Option<String> {
    if matches!(scalar.value, Value::Map(_) | Value::List(_)) {
        return None;
    }
    let text = file.text.get(scalar.span.range())?;
    let means_more = text.contains(['\n', ',', '[', ']', '{', '}', '#', ':', '"', '\'', '|', '>']);
    match scalar.as_text() {
        Some(words) if means_more => Some(Yaml::text(words).on_one_line()),
        _ => (!means_more).then(|| text.to_owned()),
    }
}

/// Fields set in a file, stated or not: those that are stated are replaced, others put ahead of what stands
/// beside them. Fields of one mapping that is not there yet make one.
pub(super) fn fields(
    file: &File<'_>,
    source: SourceId,
    settings: Vec<(String, String)>,
) -> Option<Vec<Placed>> {
    let root = &file.document.root;
    let mut placed = Vec::new();
    let mut new: Vec<(String, Vec<(String, String)>)> = Vec::new();
    for (field, value) in settings {
        if let Some(node) = root.at_pointer(&field).filter(|node| !node.is_null()) {
            placed.push(replaced(file, field, whole(file, node)?, &value));
            continue;
        }
        let (parent, key) = field.rsplit_once('/')?;
        match root.at_pointer(parent) {
            Some(node) => placed.push(beside(file, node, (&field, key), &value)?),
            None => match new.iter_mut().find(|(known, _)| known == parent) {
                Some((_, held)) => held.push((key.to_owned(), value)),
                None => new.push((parent.to_owned(), vec![(key.to_owned(), value)])),
            },
        }
    }
    for (parent, held) in new {
        let held: Vec<String> = held
            .iter()
            .map(|(key, value)| format!("{key}: {value}"))
            .collect();
        let value = format!("{{ {} }}", held.join(", "));
        let (above, key) = parent.rsplit_once('/')?;
        let node = root.at_pointer(above)?;
        placed.push(beside(file, node, (&parent, key), &value)?);
    }
    let same = placed.iter().all(|one| one.edit.file == source);
    same.then_some(placed)
}

/// The bytes of a value; those of a list with lines of its own begin at its first dash.
fn whole(file: &File<'_>, node: &Node) -> Option<Span> {
    let text = file.text.get(node.span.range())?;
    if node.as_list().is_none() || text.starts_with('[') {
        return Some(node.span);
    }
    let before = file.text.get(..node.span.start as usize)?;
    let dash = u32::try_from(before.rfind('-')?).ok()?;
    Some(Span::new(node.span.source, dash, node.span.end))
}

/// A key with its value, ahead of what a mapping states already: in a file as a whole ahead of its route.
fn beside(
    file: &File<'_>,
    mapping: &Node,
    (field, key): (&str, &str),
    value: &str,
) -> Option<Placed> {
    let entries = mapping.as_map()?;
    let route = entries.iter().find(|entry| entry.key == "route");
    let next = route.or(entries.first())?;
    let at = Span::new(
        next.key_span.source,
        next.key_span.start,
        next.key_span.start,
    );
    let text = format!("{key}: {value}{}", between(file, mapping, at)?);
    let (item, words) = named(&file.document.root, field);
    Some(Placed {
        item,
        field: words,
        added: None,
        edit: Edit {
            file: at.source,
            field: field.to_owned(),
            value: value.to_owned(),
            replaced: at,
            text,
        },
    })
}

/// What stands between two entries or items: a comma in brackets, else a new line as far in as the next one.
fn between(file: &File<'_>, whole: &Node, next: Span) -> Option<String> {
    let text = file.text.get(whole.span.range())?;
    if text.starts_with(['{', '[']) {
        return Some(", ".to_owned());
    }
    let before = file.text.get(..next.start as usize)?;
    let line = before.rsplit('\n').next().unwrap_or_default();
    if !line.chars().all(|one| one == ' ' || one == '-') {
        return None;
    }
    Some(format!("\n{}", " ".repeat(line.len())))
}

/// An item put into a list of a file ahead of the one of an id, or behind the last one.
pub(super) fn item(
    file: &File<'_>,
    source: SourceId,
    (list, ahead): (&str, Option<&str>),
    value: &str,
) -> Option<Placed> {
    let root = &file.document.root;
    let field = list.trim_start_matches('/').to_owned();
    let added = |at: Span, index: usize, text: String| {
        Some(Placed {
            item: String::new(),
            field: field.clone(),
            added: Some(ahead.unwrap_or_default().to_owned()),
            edit: Edit {
                file: source,
                field: format!("{list}/{index}"),
                value: value.to_owned(),
                replaced: at,
                text,
            },
        })
    };
    let Some(node) = root.at_pointer(list) else {
        let mut placed = fields(file, source, vec![(list.to_owned(), format!("[{value}]"))])?;
        return placed.pop();
    };
    let items = node.as_list()?;
    let flow = file.text.get(node.span.range())?.starts_with('[');
    let named =
        |item: &Node| ahead.is_some_and(|id| item.get("id").and_then(Node::as_text) == Some(id));
    let index = items.iter().position(named);
    if ahead.is_some() && index.is_none() {
        return None;
    }
    match index.and_then(|index| Some((index, items.get(index)?))) {
        Some((index, next)) => {
            let at = Span::new(source, next.span.start, next.span.start);
            let dash = if flow { "" } else { "- " };
            let gap = between(file, node, at)?;
            // The dash of the next item stands already: it becomes the new one's.
            let gap = gap
                .strip_suffix("  ")
                .filter(|_| !flow)
                .map_or(gap.clone(), str::to_owned);
            added(at, index, format!("{value}{gap}{dash}"))
        }
        None => {
            let last = items.last()?;
            let at = Span::new(source, last.span.end, last.span.end);
            if flow {
                return added(at, items.len(), format!(", {value}"));
            }
            let first = Span::new(source, last.span.start, last.span.start);
            let gap = between(file, node, first)?;
            let gap = gap.strip_suffix("  ")?;
            added(at, items.len(), format!("{gap}- {value}"))
        }
    }
}

/// The item that a field belongs to, by its name, and the field in words.
pub(super) fn named(root: &Node, field: &str) -> (String, String) {
    let (mut node, mut item, mut words) = (Some(root), String::new(), Vec::new());
    for token in field.split('/').skip(1) {
        let list = node.and_then(Node::as_list);
        if let Some(items) = list {
            node = token
                .parse::<usize>()
                .ok()
                .and_then(|index| items.get(index));
            let names = NAMES.iter().filter_map(|key| node?.get(key)?.as_text());
            let names: Vec<&str> = names.collect();
            item = match names.split_first() {
                Some((name, [])) => (*name).to_owned(),
                Some((name, more)) => format!("{name} ({})", more.join(", ")),
                None => String::new(),
            };
            words.clear();
        } else {
            node = node.and_then(|node| node.get(token));
            words.push(token.replace("~1", "/").replace("~0", "~"));
        }
    }
    (item, words.join(": "))
}
