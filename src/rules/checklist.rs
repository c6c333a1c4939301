//! The checklist that a policy asks for: its items, and what each says to people.

use super::effective::EffectivePolicy;
use super::policy::Policy;
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

/// Words of a demanded item that are others than they were, or gone.
#[derive(Clone, PartialEq, Debug)]
pub struct Reworded {
    /// The item.
    pub item: String,
    /// Its words before.
    pub was: ItemWords,
    /// Its words now, where it still has some.
    pub now: Option<ItemWords>,
    /// Where the item stands now.
    pub listed: Span,
}

impl EffectivePolicy {
    /// What this policy says of an item.
    #[must_use]
    pub fn words_of(&self, item: &str) -> Option<&ItemWords> {
        let mut all = self.checklist_words.iter();
        all.find(|one| one.item.value == item)
    }

    /// The demanded items whose words are others than in an earlier policy of the same name. Whether
    /// they ask for less no program can tell.
    #[must_use]
    pub fn reworded(&self, earlier: &Self) -> Vec<Reworded> {
        let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let still = self.checklist.iter().filter_map(|item| {
            let was = earlier.words_of(&item.value)?;
            let now = self.words_of(&item.value);
            let same = now.is_some_and(|now| plain(&now.words) == plain(&was.words));
            (!same).then(|| Reworded {
                item: item.value.clone(),
                was: was.clone(),
                now: now.cloned(),
                listed: item.span(),
            })
        });
        still.collect()
    }
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
    policy: &Policy,
    items: &mut Vec<Stated<String>>,
    words: &mut Vec<ItemWords>,
) -> Vec<Problem> {
    for item in &policy.checklist {
        if !items.iter().any(|held| held.value == item.value) {
            items.push(item.clone());
        }
    }
    let mut problems = Vec::new();
    for one in &policy.checklist_words {
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
