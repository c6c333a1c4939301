//! The figures of the passage, those of the JSON report, and the times.

use maud::{Markup, html};

use super::super::quantity;
use crate::check::{Checked, Picture};
use crate::units::Quantity;

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
        "point_of_no_return" => "point of no return at",
        other => other,
    }
}

/// A quantity with its value in the JSON report, for whoever compares the two.
fn value(quantity: Quantity) -> Markup {
    html! { data value=(quantity.value) { (quantity::text(quantity)) } }
}

pub(super) fn facts(checked: &Checked, picture: &Picture) -> Markup {
    let orders = &picture.orders;
    let no_return = checked
        .figures
        .iter()
        .any(|(name, _)| *name == "point_of_no_return");
    let told = checked
        .figures
        .iter()
        .any(|(name, _)| *name == "reserve_at_farthest");
    html! {
        section.facts {
            h2 { "Times and figures" }
            dl {
                div { dt { "launch" } dd { (orders.launch) } }
                @if let Some(latest) = &orders.latest_launch {
                    div { dt { "not later than" } dd { (latest) } }
                }
                div {
                    dt { "back by" }
                    dd { (orders.latest_return.as_deref().unwrap_or("not stated")) }
                }
                div.alarm {
                    dt { "overdue: raise the alarm" }
                    dd { (orders.overdue.as_deref().unwrap_or("not stated")) }
                }
                @if let Some(wind) = &picture.wind {
                    div {
                        dt { "planned for wind" }
                        dd {
                            "from " (wind.from) " ± " (wind.spread) ", " (wind.sustained)
                            ", gusts " (wind.gust)
                        }
                    }
                }
                div { dt { "water" } dd { (orders.water) } }
                @for (figure, quantity) in &checked.figures {
                    div data-figure=(figure) { dt { (name(figure)) } dd { (value(*quantity)) } }
                }
                @if !no_return {
                    div {
                        dt { "point of no return" }
                        dd { @if told { "none on the route" } @else { "cannot be told" } }
                    }
                }
            }
        }
    }
}
