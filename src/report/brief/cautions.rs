//! What can hurt people, whatever the figures say.

use maud::{Markup, html};

use crate::finding::PHYSICAL;
use crate::picture::Picture;

/// The same three lines as every other report has, for a page without a section of its own on them.
#[must_use]
pub(crate) fn cautions_box() -> Markup {
    html! { ul.physical { @for text in PHYSICAL { li { (text) } } } }
}

/// All cautions, by what the site has.
pub(super) fn cautions(picture: &Picture) -> Markup {
    let kinds = &picture.orders.kinds;
    let has = |kind: &str| kinds.contains(&kind);
    html! {
        section {
            h2 { "Cautions" }
            ul {
                li {
                    b { "A clean check is never “safe to launch”." } " All figures are a model’s."
                }
                li {
                    b { "At the water’s edge" } " everybody wears what keeps them afloat, in warm water \
                     too. Cold water takes breath and strength within minutes; nobody goes in after a boat."
                }
                @if has("weir") || has("intake") || has("other") {
                    li {
                        b { "Never follow a boat towards a weir or an intake." } " Let it go."
                    }
                }
                li {
                    b { "Other users" } " have right of way in practice: stop for anglers, swimmers and \
                     craft."
                }
                li {
                    b { "Fetching the boat: " } "two people in buoyancy aids, within the limits of \
                                                 the safety boat; motors off before a hand is near \
                                                 a propeller."
                }
                li {
                    b { "Lithium packs" } " burn when crushed, soaked or charged wrongly. Put a wet pack outdoors, \
                     away from everything, and keep clear of it."
                }
                li {
                    b { "Local rules" } ", the owner of the water and the practice of those licensed to work on it \
                     come before this page; a permission stated in the plan is not proof of one."
                }
            }
        }
    }
}
