//! People, radio, checklist, contingencies, cautions, and the line to sign.

use maud::{Markup, html};

use super::drift::drifts;
use super::paper::{self, Fitted};
use super::{short_text, shortened, whole};
use crate::check::MissionResult;
use crate::picture::Picture;
use crate::picture::{Duty, ToSeeTo};

/// Rows of a list that a page has room for.
const MOST: usize = 12;

/// Signatures that the sheet has room for.
const SIGNERS: usize = 3;

/// Who acts, and what they do, as paper has room for it.
struct Acts {
    duty: &'static str,
    role: Fitted,
    what: Fitted,
}

impl Acts {
    fn new(who: &Duty, what: &str, lines: usize) -> Self {
        let room = (lines * paper::TOLD).saturating_sub(who.duty.len() + 4);
        let wanted = paper::breadth(&whole(what));
        // What is done is rather told than who does it, who stands in the list of people too.
        let least = if wanted == 0 { room } else { room / 3 };
        let role = Fitted::new(&who.role, room.saturating_sub(wanted).max(least));
        let taken = paper::breadth(&whole(&who.role)).min(room.saturating_sub(wanted).max(least));
        Self {
            duty: who.duty,
            what: Fitted::new(what, room.saturating_sub(taken)),
            role,
        }
    }

    fn is_cut(&self) -> bool {
        self.role.is_cut() || self.what.is_cut()
    }

    fn shown(&self, nobody: bool) -> Markup {
        html! {
            div.told {
                (self.duty) ": "
                @if nobody { b.error { "nobody named" } }
                @else { b { (self.role.shown()) } }
                @if !self.what.is_empty() { "; " (self.what.shown()) }
            }
        }
    }
}

/// What happens when something fails, beside so many lines of findings on the same sheet.
pub(super) fn contingencies(picture: &Picture, findings: usize) -> Markup {
    let orders = &picture.orders;
    let paper::Told { lines, every_end } = paper::told(picture, findings);
    let stated = orders.contingencies.iter();
    let stated = stated.map(|one| (one, Acts::new(&one.acts, &one.people, lines)));
    let stated: Vec<_> = stated.collect();
    let adrift = picture.map.fans.iter();
    let adrift = adrift.map(|fan| (fan, drifts(fan)));
    let adrift = adrift.filter(|(_, drifts)| !drifts.is_empty());
    let adrift = adrift.map(|(fan, drifts)| {
        let acts = Acts::new(&orders.fetches, "", lines);
        (fan, drifts, acts)
    });
    let adrift: Vec<_> = adrift.collect();
    let nobody = |duty: &Duty| duty.role.trim().is_empty();
    let cut = stated.iter().map(|(_, acts)| acts.is_cut());
    let cut = cut.chain(adrift.iter().map(|(_, _, acts)| acts.is_cut()));
    html! {
        section.contingencies {
            h2 { "When something fails, and at the end" }
            table.cards role="table" aria-label="When something fails, and at the end" {
                    thead role="rowgroup" {
                        tr role="row" {
                            th scope="col" role="columnheader" { "what" }
                            th scope="col" role="columnheader" { "when" }
                            th scope="col" role="columnheader" { "the boat" }
                            th scope="col" role="columnheader" { "people" }
                        }
                    }
                    tbody role="rowgroup" {
                        @for (one, acts) in &stated {
                            tr role="row" {
                                th scope="row" role="rowheader" { (one.when) }
                                td role="cell" data-label=[(!one.after.is_empty()).then_some("when")] { (short_text(&one.after)) }
                                td role="cell" data-label="the boat" {
                                    @if one.boat.is_empty() { b { "not stated" } }
                                    @else { div.told { (short_text(&one.boat)) } }
                                }
                                td role="cell" data-label="people" { (acts.shown(nobody(&one.acts))) }
                            }
                        }
                        @for (row, (fan, drifts, acts)) in adrift.iter().enumerate() {
                            tr role="row" {
                                th scope="row" role="rowheader" { "adrift, disabled" }
                                td role="cell" data-label="when" { "from " (fan.place()) }
                                td role="cell" data-label="the boat" colspan="2" {
                                    @for (index, one) in drifts.iter().enumerate() {
                                        div.told.more[index > 0 && !every_end] {
                                            (one.boat())
                                            @if let Some(late) = &one.late { "; " b.error { (late) } }
                                        }
                                    }
                                    // The same people fetch it from wherever it drifts.
                                    @if row == 0 { (acts.shown(nobody(&orders.fetches))) }
                                }
                            }
                        }
                    }
                }
            (paper::goes_on(cut))
            @if !every_end && adrift.iter().any(|(_, drifts, _)| drifts.len() > 1) {
                p.note.only-print { "Of each drift the gravest end; the others are on the screen." }
            }
        }
    }
}

pub(super) fn people(checked: &MissionResult, picture: &Picture) -> Markup {
    let duties = picture.orders.duties.iter();
    let room = paper::LINES_PEOPLE * paper::PEOPLE;
    let duties: Vec<(&Duty, Fitted)> = duties
        .map(|duty| (duty, Fitted::new(&duty.role, room)))
        .collect();
    html! {
        section.people {
            h2 { "People" }
            dl {
                @for (duty, role) in &duties {
                    div {
                        dt { (duty.duty) }
                        dd {
                            @if duty.role.trim().is_empty() { b { "nobody named" } }
                            @else { (role.shown()) }
                        }
                    }
                }
                @for (index, (role, signed)) in checked.signatures_needed().take(MOST).enumerate() {
                    div class=[(index >= SIGNERS).then_some("more")] {
                        dt { "signature needed: " (shortened(role, 40)) }
                        dd { @if signed { "has signed" } @else { b { "has not signed yet" } } }
                    }
                }
                @let signers = checked.signatures_needed().count();
                @if signers > SIGNERS {
                    div.only-print { dt { "signatures needed" } dd { "and " (signers - SIGNERS) " more" } }
                }
                @if checked.approvals_needed.is_empty() {
                    div { dt { "signatures needed" } dd { "none" } }
                }
            }
            (paper::goes_on(duties.iter().map(|(_, role)| role.is_cut())))
        }
    }
}

pub(super) fn on_the_water(picture: &Picture) -> Markup {
    let facts = &picture.orders.facts;
    if facts.is_empty() {
        return html! {};
    }
    let room = paper::LINES_COLUMN * paper::COLUMN;
    let fitted = facts.iter().take(MOST).map(|fact| {
        let text = Fitted::new(&fact.text, room - fact.name.len() - 2);
        (fact, text)
    });
    let fitted: Vec<_> = fitted.collect();
    html! {
        section {
            h2 { "On the water" }
            dl {
                @for (fact, text) in &fitted {
                    div { dt { (fact.name) } dd { (text.shown()) } }
                }
            }
            (paper::goes_on(fitted.iter().map(|(_, text)| text.is_cut())))
        }
    }
}

pub(super) fn radio(picture: &Picture) -> Markup {
    let orders = &picture.orders;
    html! {
        section {
            h2 { "Antennas and hand-over" }
            dl {
                div {
                    dt { "stations to man" }
                    dd {
                        @for (index, one) in orders.manned.iter().take(MOST).enumerate() {
                            @if index > 0 { ", " }
                            (short_text(one))
                        }
                        @if orders.manned.len() > MOST {
                            " and " (orders.manned.len() - MOST) " more"
                        }
                        @if orders.manned.is_empty() { "none is named" }
                    }
                }
                @for one in orders.antennas.iter().take(MOST) {
                    div {
                        dt { (short_text(&one.station)) ", " (one.link) }
                        dd { "point at " b { (one.bearing) } " true, beam " (one.beam) }
                    }
                }
                @if orders.antennas.is_empty() {
                    div { dt { "antennas" } dd { "none to point" } }
                }
                @for one in &orders.hand_overs {
                    div {
                        dt { "hand-over, " (one.link) }
                        dd {
                            (short_text(&one.from)) " to " b { (short_text(&one.to)) } " at " (one.along)
                            ", before " (short_text(&one.before))
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
fn item(one: &ToSeeTo) -> Markup {
    html! {
        @if let Some(text) = &one.text { (short_text(text)) " " }
        @if let Some(own) = &one.own { span.soft { "(in the plan’s words: " (short_text(own)) ") " } }
        code.id { (short_text(&one.item)) }
    }
}

/// What is looked at at the water whatever the plan says: our own proposal.
const ALWAYS: [&str; 4] = [
    "wind and waves at the water are no worse than planned for",
    "this page and the plan aboard have the same digest",
    "everybody at the water wears what keeps them afloat",
    "we can raise the alarm from here",
];

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
