//! The figures of the passage, those of the JSON report, and the times.

use maud::{Markup, html};

use super::super::quantity;
use crate::check::MissionResult;
use crate::picture::{Orders, Picture, RAISER};
use crate::units::Quantity;

/// A figure, and the one that says where it is, which stands beside it.
const LEAST: &str = "least_reserve";
const PLACE: &str = "least_reserve_at";

/// Names of figures in words.
fn name(figure: &str) -> &str {
    match figure {
        "length" => "route",
        "turnaround" => "turnaround at",
        "farthest_from_recovery" => "farthest from recovery",
        "usable_energy" => "usable energy",
        "duration" => "time out",
        "energy" => "energy for it",
        "reserve_at_end" => "left at the end",
        "reserve_at_farthest" => "to spare at the farthest point",
        LEAST => "least to spare on the route",
        "point_of_no_return" => "point of no return at",
        other => other,
    }
}

/// A quantity with its value in the JSON report, for whoever compares the two.
fn value(quantity: Quantity) -> Markup {
    html! { data value=(quantity.value) { (quantity::text(quantity)) } }
}

/// When what is to happen before the boat is due back, in a line.
pub(super) fn times(picture: &Picture) -> Markup {
    let times = &picture.orders.times;
    html! {
        section.times aria-label="Times" {
            dl {
                div { dt { "day" } dd { (times.day) ", times in " (times.offset) } }
                div { dt { "launch" } dd { (times.launch) } }
                @if let Some(latest) = &times.latest_launch {
                    div { dt { "not later than" } dd { (latest) } }
                }
                div { dt { "water" } dd { (picture.orders.water) } }
            }
        }
    }
}

/// Whoever raises the alarm, where anybody is named.
pub(super) fn raiser(orders: &Orders) -> Option<&str> {
    let mut duties = orders.duties.iter();
    let raiser = duties.find(|duty| duty.duty == RAISER)?;
    Some(raiser.role.as_str()).filter(|role| !role.trim().is_empty())
}

/// The figures of the passage, as the JSON report has them.
pub(super) fn figures(checked: &MissionResult) -> Markup {
    let has = |figure: &str| checked.figures.iter().any(|(name, _)| *name == figure);
    let mut all = checked.figures.iter();
    let place = all.find(|(name, _)| *name == PLACE).map(|(_, at)| *at);
    html! {
        section.figures {
            h2 { "Figures" }
            dl {
                @for (figure, quantity) in &checked.figures {
                    @if *figure != PLACE {
                        div data-figure=(figure) {
                            dt { (name(figure)) }
                            dd {
                                (value(*quantity))
                                @if *figure == LEAST && let Some(place) = place {
                                    span data-figure=(PLACE) { " at " (value(place)) }
                                }
                            }
                        }
                    }
                }
                @if !has("point_of_no_return") {
                    div {
                        dt { "point of no return" }
                        dd {
                            @if has("reserve_at_farthest") { "none on the route" }
                            @else { "cannot be calculated" }
                        }
                    }
                }
            }
        }
    }
}
