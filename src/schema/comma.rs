//! A comma for the point of a number, which between brackets parts it into two values.

use super::problem::Problem;
use crate::document::{Entry, Node, Value};
use crate::source::Span;

/// A number that a comma parts, and what of the schema's errors comes of it.
#[derive(Clone, Debug)]
pub(super) struct Split {
    /// What to tell.
    pub problem: Problem,
    /// The pointer to what holds the number: errors of the whole of it come of the comma.
    holder: String,
    /// The pointer to its first half, and the field that the second half has become; of a position, which
    /// is nothing but numbers, there is neither.
    halves: Option<(String, String)>,
}

impl Split {
    /// Whether an error of what stands at a pointer comes of the comma alone.
    pub(super) fn explains(&self, pointer: &str) -> bool {
        let outer = self.halves.as_ref().map_or(&self.holder, |(half, _)| half);
        let rest = pointer.strip_prefix(outer.as_str());
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    }

    /// Whether the comma made a field of the mapping at a pointer.
    pub(super) fn adds_to(&self, pointer: &str) -> bool {
        self.halves.is_some() && self.holder == pointer
    }

    /// Whether it made this one.
    pub(super) fn made(&self, pointer: &str, name: &str) -> bool {
        let made = self.halves.as_ref().map(|(_, made)| made.as_str());
        self.holder == pointer && made == Some(name)
    }
}

/// Every quantity in a mapping between brackets that is written as `1,0 m/s`: the comma makes a field of
/// what follows it.
pub(super) fn in_numbers(root: &Node) -> Vec<Split> {
    let mut found = Vec::new();
    // Bounded as the document is, and with no recursion.
    let mut open: Vec<(String, &Node)> = vec![(String::new(), root)];
    while let Some((pointer, node)) = open.pop() {
        match &node.value {
            Value::Map(entries) => {
                let pairs = entries.iter().zip(entries.iter().skip(1));
                found.extend(pairs.filter_map(|(one, next)| of_pair(&pointer, one, next)));
                let step = |entry: &Entry| {
                    format!(
                        "{pointer}/{}",
                        entry.key.replace('~', "~0").replace('/', "~1")
                    )
                };
                open.extend(
                    entries
                        .iter()
                        .filter(|one| holds(&one.value))
                        .map(|one| (step(one), &one.value)),
                );
            }
            Value::List(items) => {
                let items = items.iter().enumerate().filter(|(_, item)| holds(item));
                open.extend(items.map(|(index, item)| (format!("{pointer}/{index}"), item)));
            }
            _ => {}
        }
    }
    found
}

fn holds(node: &Node) -> bool {
    matches!(node.value, Value::Map(_) | Value::List(_))
}

fn of_pair(pointer: &str, one: &Entry, next: &Entry) -> Option<Split> {
    let whole = one.value.as_int()?;
    let digit = next.key.starts_with(|first: char| first.is_ascii_digit());
    let bare = next.key_span.range().len() == next.key.len();
    let joined = one.value.span.end.checked_add(1) == Some(next.key_span.start);
    if !(digit && bare && joined && next.value.is_null()) {
        return None;
    }
    let name = one.key.replace('~', "~0").replace('/', "~1");
    let span = Span::new(
        one.value.span.source,
        one.value.span.start,
        next.key_span.end,
    );
    let (key, rest) = (&one.key, &next.key);
    Some(Split {
        problem: Problem::value(
            span,
            format!("`{key}` is `{whole},{rest}`; write `{whole}.{rest}`, with a point"),
        )
        .labelled("the comma parts this number"),
        holder: pointer.to_owned(),
        halves: Some((format!("{pointer}/{name}"), rest.clone())),
    })
}

/// The position that holds the item at a pointer, where commas for points have made more than two
/// numbers of its two.
pub(super) fn in_position(root: &Node, pointer: &str) -> Option<Split> {
    let (holder, _) = pointer.rsplit_once('/')?;
    let node = root.at_pointer(holder)?;
    let items = node.as_list()?;
    let mut numbers: Vec<String> = Vec::new();
    let mut at = 0;
    while let Some(item) = items.get(at) {
        let whole = item.as_int();
        let after = items
            .get(at + 1)
            .filter(|after| item.span.end.checked_add(1) == Some(after.span.start));
        match (
            whole,
            after.and_then(Node::as_int).filter(|after| *after >= 0),
        ) {
            (Some(whole), Some(after)) => {
                // The sign of nothing is not in the value, and would be guessed at.
                if whole == 0 && item.span.range().len() > 1 {
                    return None;
                }
                numbers.push(format!("{whole}.{after}"));
                at += 2;
            }
            _ => {
                numbers.push(item.as_number()?.to_string());
                at += 1;
            }
        }
    }
    let [latitude, longitude] = numbers.as_slice() else {
        return None;
    };
    Some(Split {
        problem: Problem::value(
            node.span,
            format!(
                "a position is two numbers, and commas make {} of this one; write [{latitude}, {longitude}], \
                 with points",
                items.len()
            ),
        )
        .labelled("the commas part the numbers"),
        holder: holder.to_owned(),
        halves: None,
    })
}
