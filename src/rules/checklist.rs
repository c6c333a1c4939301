//! The checklist that a policy asks for: its items, and what each says to people.

use crate::schema::explain::nearest;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;

/// What an item says, in words.
#[derive(Clone, PartialEq, Debug)]
pub struct ItemWords {
    /// Name of the item.
    pub item: Stated<String>,
    /// What is to be seen to.
    pub words: String,
}

/// Reads the words of a policy's file.
pub(super) fn parse(fields: &Fields<'_>) -> Vec<ItemWords> {
    let Some(group) = fields.map("checklist_words") else {
        return Vec::new();
    };
    let named = |(name, span, _): (&str, Span, Fields<'_>)| {
        Some(ItemWords {
            item: Stated::written(name.to_owned(), span),
            words: group.text(name)?.value,
        })
    };
    group.entries().into_iter().filter_map(named).collect()
}

/// The items of a policy below another, which takes none away, and their words, which it may put
/// better. Words of what is on no checklist are a problem.
pub(super) fn below(
    own_items: &[Stated<String>],
    own_words: &[ItemWords],
    items: &mut Vec<Stated<String>>,
    words: &mut Vec<ItemWords>,
) -> Vec<Problem> {
    for item in own_items {
        if !items.iter().any(|held| held.value == item.value) {
            items.push(item.clone());
        }
    }
    let mut problems = Vec::new();
    for one in own_words {
        if !items.iter().any(|item| item.value == one.item.value) {
            problems.push(unknown(&one.item, items));
            continue;
        }
        match words
            .iter_mut()
            .find(|held| held.item.value == one.item.value)
        {
            Some(held) => *held = one.clone(),
            None => words.push(one.clone()),
        }
    }
    problems
}

fn unknown(item: &Stated<String>, items: &[Stated<String>]) -> Problem {
    let text = format!("there is no item `{}` on the checklist", item.value);
    let problem = Problem::new("input-policy", item.span(), text);
    let known: Vec<&str> = items.iter().map(|item| item.value.as_str()).collect();
    match nearest(&item.value, &known) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem.help("list it in `checklist` first"),
    }
}
