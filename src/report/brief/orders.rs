//! People, radio, checklist, contingencies, cautions, and the line to sign.

use maud::{Markup, html};

use super::{shortened, words};
use crate::check::picture::{Done, Duty, Fan};
use crate::check::{Checked, Picture};

/// Rows of a list that a page has room for.
const MOST: usize = 12;

/// Characters of what people do from which on paper may cut it.
const CUT: usize = 80;

pub(super) fn contingencies(picture: &Picture) -> Markup {
    let stated = &picture.orders.contingencies;
    html! {
        section.contingencies {
            h2 { "When something fails" }
            table.cards role="table" aria-label="When something fails" {
                    thead role="rowgroup" {
                        tr role="row" {
                            th scope="col" role="columnheader" { "what" }
                            th scope="col" role="columnheader" { "when" }
                            th scope="col" role="columnheader" { "the boat" }
                            th scope="col" role="columnheader" { "people" }
                        }
                    }
                    tbody role="rowgroup" {
                        @for one in stated {
                            tr role="row" {
                                th scope="row" role="rowheader" { (one.when) }
                                td role="cell" { (words(&one.after)) }
                                td role="cell" {
                                    @if one.boat.is_empty() { b { "not stated" } }
                                    @else { div.told { (words(&one.boat)) } }
                                }
                                td role="cell" { (acts(&one.acts, &one.people)) }
                            }
                        }
                        @for fan in &picture.map.fans {
                            @let drifts = drifts(fan);
                            @if !drifts.is_empty() {
                                tr role="row" {
                                    th scope="row" role="rowheader" { "adrift without power" }
                                    td role="cell" { "from " (fan.place()) }
                                    td role="cell" {
                                        @for one in &drifts { div.told { (one) } }
                                    }
                                    td role="cell" { (acts(&picture.orders.fetches, &fetched(fan))) }
                                }
                            }
                        }
                    }
                }
                @if stated.iter().any(|one| one.people.chars().count() > CUT) {
                    p.note.only-print { "What ends in … here goes on, on the screen." }
                }
        }
    }
}

/// Who acts, and what they do.
fn acts(who: &Duty, what: &str) -> Markup {
    html! {
        div.told {
            (who.duty) ": "
            @if who.role.trim().is_empty() { b.error { "nobody named" } }
            @else { b { (words(&who.role)) } }
            @if !what.is_empty() { "; " (words(what)) }
        }
    }
}

/// Where a boat adrift comes to, if it comes anywhere within a day, each in the wind that takes it
/// there.
fn drifts(fan: &Fan) -> Vec<String> {
    let on_to = fan.on_to.as_ref().map(|one| {
        let title = shortened(&one.title, 60);
        format!("{}: on to {title} after {}", one.driven.words(), one.after)
    });
    let ashore = fan
        .ashore
        .map(|(time, driven)| format!("{}: ashore after {time}, the soonest", driven.words()));
    on_to.into_iter().chain(ashore).collect()
}

fn fetched(fan: &Fan) -> String {
    match fan.on_to.as_ref().map(|one| one.fetched) {
        Some(Some(after)) => format!("their craft is there after {after}"),
        Some(None) => "no craft is known to get there".to_owned(),
        None => String::new(),
    }
}

pub(super) fn people(checked: &Checked, picture: &Picture) -> Markup {
    let orders = &picture.orders;
    html! {
        section.people {
            h2 { "People" }
            dl {
                @for duty in &orders.duties {
                    div {
                        dt { (duty.duty) }
                        dd {
                            @if duty.role.trim().is_empty() { b { "nobody named" } }
                            @else { (words(&duty.role)) }
                        }
                    }
                }
                @for (role, signed) in checked.signatures_needed().take(MOST) {
                    div {
                        dt { "signs for a launch: " (shortened(role, 40)) }
                        dd { @if signed { "has signed" } @else { b { "has not signed yet" } } }
                    }
                }
                @if checked.approvals_needed.is_empty() {
                    div { dt { "signs for a launch" } dd { "nobody, by the policy" } }
                }
            }
        }
    }
}

pub(super) fn on_the_water(picture: &Picture) -> Markup {
    let facts = &picture.orders.facts;
    if facts.is_empty() {
        return html! {};
    }
    html! {
        section {
            h2 { "On the water" }
            dl {
                @for fact in facts.iter().take(MOST) {
                    div { dt { (fact.name) } dd { (words(&fact.text)) } }
                }
            }
        }
    }
}

pub(super) fn radio(picture: &Picture) -> Markup {
    let orders = &picture.orders;
    html! {
        section {
            h2 { "Antennas and hand-over" }
            dl {
                @for one in orders.antennas.iter().take(MOST) {
                    div {
                        dt { (words(&one.station)) ", " (one.link) }
                        dd { "point at " b { (one.bearing) } " true, beam " (one.beam) }
                    }
                }
                @if orders.antennas.is_empty() {
                    div { dt { "antennas" } dd { "none that has to be pointed" } }
                }
                @for one in &orders.hand_overs {
                    div {
                        dt { "hand-over, " (one.link) }
                        dd {
                            (words(&one.from)) " to " b { (words(&one.to)) } " at " (one.along)
                            ", before " (words(&one.before))
                        }
                    }
                }
                @if orders.hand_overs.is_empty() {
                    div { dt { "hand-over" } dd { "none: one station serves the route" } }
                }
            }
        }
    }
}

pub(super) fn checklist(picture: &Picture) -> Markup {
    let orders = &picture.orders;
    html! {
        section.checklist {
            h2 { "Checklist at the water" }
            ul {
                @for (index, one) in orders.checklist.iter().take(2 * MOST).enumerate() {
                    li {
                        input type="checkbox" id={ "tick-" (index) };
                        label for={ "tick-" (index) } {
                            (item(one))
                            @if let Some(done) = &one.done {
                                span.soft {
                                    " (in the plan: " (done)
                                    @if let Some(by) = &one.by { ", " (shortened(by, 40)) }
                                    ")"
                                }
                            }
                        }
                    }
                }
                @for (index, one) in orders.missing.iter().take(MOST).enumerate() {
                    li {
                        input type="checkbox" id={ "miss-" (index) };
                        label for={ "miss-" (index) } {
                            b { (item(one)) } span.soft { " (asked for, not in the plan)" }
                        }
                    }
                }
                @for (index, item) in ALWAYS.iter().enumerate() {
                    li {
                        input type="checkbox" id={ "always-" (index) };
                        label for={ "always-" (index) } { (item) }
                    }
                }
            }
        }
    }
}

/// An item in words, with the name that the files have for it.
fn item(one: &Done) -> Markup {
    html! {
        @if let Some(text) = &one.text { (words(text)) " " }
        code.id { (words(&one.item)) }
    }
}

/// What is looked at at the water whatever the plan says: our own proposal.
const ALWAYS: [&str; 4] = [
    "wind and waves at the water are no worse than planned for",
    "this page and the plan aboard are of the same digest",
    "everybody at the water wears what keeps them afloat",
    "the alarm can be raised from here",
];

pub(super) fn cautions(picture: &Picture) -> Markup {
    let kinds = &picture.orders.kinds;
    let has = |kind: &str| kinds.contains(&kind);
    html! {
        section {
            h2 { "Cautions" }
            ul {
                li {
                    b { "Cold water" } " takes breath and strength within minutes; nobody goes in \
                     after a boat."
                }
                @if has("weir") || has("intake") || has("other") {
                    li {
                        b { "Weirs and intakes" } " take whoever comes after the boat too. A boat that \
                         drifts towards one is let go."
                    }
                }
                li {
                    b { "Other users" } " have right of way in practice: stop for anglers, swimmers and \
                     craft."
                }
                li {
                    b { "Fetching the boat: " } "two people, afloat by what they wear, within the \
                     limits of their craft; motors off before a hand is near a propeller."
                }
                li {
                    b { "Local rules" } " and the owner of the water come before this page; a permission \
                     stated in the plan is not proof of one."
                }
                li {
                    "All figures are a model's. " b { "A clean check is never “safe to launch”." }
                }
            }
        }
    }
}

pub(super) fn sign_off(picture: &Picture) -> Markup {
    let duties = picture.orders.duties.iter().take(2);
    html! {
        section.sign {
            h2 { "Go or no go" }
            table {
                thead {
                    tr {
                        th scope="col" { "role" }
                        th scope="col" { "decision" }
                        th scope="col" { "signature" }
                        th scope="col" { "day and time" }
                    }
                }
                tbody {
                    @for duty in duties {
                        tr {
                            th scope="row" {
                                (duty.duty)
                                @if !duty.role.is_empty() { ": " (shortened(&duty.role, 40)) }
                            }
                            td { "☐ go  ☐ no go" }
                            td {}
                            td {}
                        }
                    }
                }
            }
        }
    }
}
