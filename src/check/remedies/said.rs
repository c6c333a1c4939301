//! A fix in words, made from what it sets.

use super::place::Placed;
use crate::measures::Fix;
use crate::source::SourceId;

/// What somebody does, in a sentence.
pub(super) fn deed(fix: &Fix) -> String {
    ended(fix.says.trim_end_matches('.'), fix)
}

/// What somebody sets by hand, in a sentence: fields in words, each with its value.
pub(super) fn by_hand(fix: &Fix, fields: &[String]) -> String {
    let set: Vec<&str> = fields.iter().map(String::as_str).collect();
    ended(&format!("Set {}", and(&set)), fix)
}

/// What is set, in a sentence; `elsewhere` has the path of a file that is not the mission's.
pub(super) fn sentence<'a>(
    fix: &Fix,
    placed: &[Placed],
    elsewhere: impl Fn(SourceId) -> Option<&'a str>,
) -> String {
    let mut groups: Vec<(String, Vec<&Placed>)> = Vec::new();
    // Fields of the file before those of its items.
    let (items, fields): (Vec<&Placed>, Vec<&Placed>) =
        placed.iter().partition(|one| !one.item.is_empty());
    for one in fields.into_iter().chain(items) {
        let to = match &one.added {
            Some(_) => String::new(),
            None => format!("{}\n{}", one.field, one.edit.value),
        };
        match groups
            .iter_mut()
            .find(|(known, _)| *known == to && !to.is_empty())
        {
            Some((_, held)) => held.push(one),
            None => groups.push((to, vec![one])),
        }
    }
    let mut clauses: Vec<String> = Vec::new();
    // “Set” goes on for what is set next.
    let mut setting = false;
    for (_, group) in &groups {
        let Some(first) = group.first() else { continue };
        let value = value(&first.edit.value);
        let path = elsewhere(first.edit.file);
        let path = path.map_or_else(String::new, |path| format!(" in {path}"));
        let items: Vec<&str> = group.iter().map(|one| one.item.as_str()).collect();
        let of = if items.iter().all(|item| item.is_empty()) {
            String::new()
        } else {
            format!(" of {}", and(&items))
        };
        clauses.push(match &first.added {
            None => {
                let set = if setting { "" } else { "set " };
                setting = true;
                format!("{set}`{}`{of}{path} to {value}", first.field)
            }
            Some(ahead) => {
                setting = false;
                let ahead = if ahead.is_empty() {
                    String::new()
                } else {
                    format!(", ahead of {ahead}")
                };
                format!("add {value} to `{}`{path}{ahead}", first.field)
            }
        });
    }
    let set = and(&clauses.iter().map(String::as_str).collect::<Vec<_>>());
    let set = if fix.says.is_empty() {
        let mut characters = set.chars();
        let first = characters.next().unwrap_or_default();
        first.to_uppercase().chain(characters).collect()
    } else {
        format!("{}: {set}", fix.says)
    };
    ended(&set, fix)
}

/// A sentence with the note of a fix at its end, where it has one.
fn ended(sentence: &str, fix: &Fix) -> String {
    if fix.note.is_empty() {
        format!("{sentence}.")
    } else {
        format!("{sentence}, {}.", fix.note)
    }
}

/// A value in a sentence: figures as they are, words and what has brackets as code.
pub(super) fn value(value: &str) -> String {
    if value.starts_with(|first: char| first.is_ascii_digit()) {
        value.to_owned()
    } else {
        format!("`{value}`")
    }
}

fn and(all: &[&str]) -> String {
    match all {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
