//! The map of a page with its legend.

use maud::{Markup, PreEscaped, html};

use super::{paper, short_text};
use crate::report::figures::{KeyItem, MapOnPage};

/// A map under its title, its legend below it as text.
#[must_use]
pub(crate) fn map(map: &MapOnPage) -> Markup {
    let entries = map.key.iter();
    let shown = paper::key(entries.map(|item| (item.words.as_str(), item.sample.is_none())));
    let left_out = shown.iter().filter(|shown| !**shown).count();
    html! {
        figure.map {
            figcaption { (map.figure.title) }
            (PreEscaped(map.figure.inline()))
        }
        section.key aria-label="What the map shows" {
            ul.fig {
                @for (item, shown) in map.key.iter().zip(&shown) { (entry(item, !shown)) }
                @if left_out > 0 {
                    li.only-print { "and " (left_out) " more, on the screen" }
                }
            }
        }
    }
}

fn entry(item: &KeyItem, more: bool) -> Markup {
    html! {
        li class=[more.then_some("more")] {
            @if let Some(sample) = &item.sample { (sample) }
            @if let Some(letter) = &item.letter { b { (letter) } " " }
            (short_text(&item.words))
        }
    }
}
