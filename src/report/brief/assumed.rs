//! What was taken for granted.

use maud::{Markup, html};

use super::{said, shortened};
use crate::check::{MissionResult, Outcome};
use crate::plan::laid::Laid;

/// Assumptions that are reported.
const ASSUMPTIONS: usize = 8;
/// Those of them that paper shows at most.
const ON_PAPER: usize = 2;

/// What was taken for granted.
pub(super) fn assumed(outcome: &Outcome, checked: &MissionResult) -> Markup {
    let repeats = checked.repeats.iter();
    let repeats = repeats.map(|laid| format!("This mission repeats {}.", laid.id));
    let other = |laid: &Option<Laid>, have: &str| -> Vec<String> {
        let differs = laid.iter().flat_map(|laid| &laid.differs);
        differs.map(|one| one.sentence(have)).collect()
    };
    let otherwise: Vec<String> = repeats
        .chain(other(&checked.repeats, "that plan has"))
        .chain(other(&checked.orders, "the orders have"))
        .collect();
    let noted = checked.assumptions.iter().chain(&outcome.notes);
    let all: Vec<&String> = otherwise.iter().chain(noted).collect();
    if all.is_empty() {
        return html! {};
    }
    html! {
        section {
            h2 { "Assumed and noted" }
            ul {
                @for (index, text) in all.iter().take(ASSUMPTIONS).enumerate() {
                    li.on-screen[index >= ON_PAPER] { (said(&shortened(text, 160))) }
                }
                @if all.len() > ASSUMPTIONS {
                    li.on-screen { "and " (all.len() - ASSUMPTIONS) " more; " code { "offing check" } " lists them" }
                }
                @if all.len() > ON_PAPER {
                    li.only-print { "and " (all.len() - ON_PAPER) " more, on the screen" }
                }
            }
        }
    }
}
