//! Items of the checklist that a later revision of a policy puts in other words.

use super::checklist::ItemWords;
use super::effective::EffectivePolicy;
use crate::source::Span;

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
