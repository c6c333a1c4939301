//! The band at the top: what somebody at the water needs within two seconds, in five boxes.

use maud::{Markup, html};

use super::drift::{Drift, gravest_drift};
use super::facts::raiser;
use super::paper::Fitted;
use super::wind::{Limit, planned_limit};
use super::{paper, short_text, shortened};
use crate::envelope::Limits;
use crate::models::wind::Steady;
use crate::picture::{BY_HAND, Orders, Picture, Reading, TurnBacks};

/// The wind planned for, and the most that the plan bears from there.
pub(super) fn wind(picture: &Picture, limits: &Result<Limits, String>) -> Markup {
    let limit = limits.as_ref().map(planned_limit);
    let at = limits.as_ref().map_or(BY_HAND, |limits| limits.read_at);
    html! {
        section.box.wind-box {
            h2 { "Wind, read at " (at) }
            @match &picture.wind {
                Some(wind) => {
                    p.from { "from " b { (wind.from) " ± " (wind.spread) } }
                    @if let Some(read) = wind.by_hand { (figure("planned", speeds(read))) }
                    @else {
                        (figure("planned, at 10 m", speeds(Steady { mean: wind.sustained, gust: wind.gust })))
                    }
                },
                None => p { b.error { "no wind is planned for" } },
            }
            @match limit {
                Ok(Limit::AnyWindFails) => (figure("limit", none("fails in any wind"))),
                Ok(Limit::CalmFails) => (figure("limit", none("fails in a calm"))),
                Ok(Limit::UpTo { read, .. }) => (figure("limit", speeds(read))),
                Ok(Limit::NoWind) => p { "limit: see the wind card" },
                Err(why) => p { "limit: " b.error { "not calculated: " } (shortened(why, 90)) },
            }
            @if let Some(wind) = &picture.wind {
                p.fine {
                    "at 10 m: planned " (wind.sustained) ", gusts " (wind.gust)
                    @if let Ok(Limit::UpTo { stated, height, .. }) = limit {
                        "; limit at " (height) " " (stated.mean) ", gusts " (stated.gust)
                    }
                }
            }
        }
    }
}

/// A figure that is read from afar, with what it is.
fn figure(name: &str, shown: Markup) -> Markup {
    html! { p.big { span.tag { (name) } span { (shown) } } }
}

/// A wind in figures.
fn speeds(wind: Steady) -> Markup {
    html! { b { (wind.mean) } " " span.then { "gusts " (wind.gust) } }
}

fn none(why: &str) -> Markup {
    html! { b.error { "none" } " " span.then { (why) } }
}

/// The strictest threshold of the whole route: who heeds it heeds all.
pub(super) fn turn_back(picture: &Picture) -> Markup {
    let turn = &picture.turn_backs;
    let strictest = Strictest::of_rows(turn);
    html! {
        section.box.turn-box {
            h2 { "Turn back below" }
            @if let Some(found) = &strictest {
                @if let Some(volts) = found.volts { (figure("pack", html! { b { (format!("{volts:.1} V")) } })) }
                @if let Some(gauge) = found.gauge { (figure("gauge", html! { b { (format!("{gauge:.0} %")) } })) }
                (figure("or used", html! { b { (format!("{:.1} Ah", found.used)) } }))
                p.fine {
                    "strictest of the route, under way; by waypoint in the table"
                    @if found.barred { "; " b.error { "some waypoints are out of reach" } }
                }
            } @else {
                p { b.error { "cannot be calculated" } }
                p.fine { "the boat does not get home with that much left: see the table" }
            }
        }
    }
}

/// The thresholds that are the strictest of their kind.
struct Strictest {
    volts: Option<f64>,
    /// Per cent.
    gauge: Option<f64>,
    /// Ampere hours.
    used: f64,
    /// Whether the table forbids to go to some waypoint.
    barred: bool,
}

impl Strictest {
    /// Of the rows that have a threshold that can be used; `None` where none has.
    fn of_rows(turn: &TurnBacks) -> Option<Self> {
        let usable = |limit: &&Reading| !limit.before_the_launch();
        let limits = turn.rows.iter().filter_map(|row| row.limit.as_ref());
        let limits: Vec<&Reading> = limits.filter(usable).collect();
        let most = |of: &dyn Fn(&Reading) -> Option<f64>| {
            limits.iter().filter_map(|limit| of(limit)).reduce(f64::max)
        };
        let used = limits.iter().map(|limit| limit.used.get() / 3600.0);
        Some(Self {
            volts: most(&|limit| limit.voltage.map(|volts| volts.get())),
            gauge: most(&|limit| limit.gauge.map(|shown| (shown.get() * 100.0).ceil())),
            // Rounded down, the safe side of what may be used.
            used: (used.reduce(f64::min)? * 10.0).floor() / 10.0,
            barred: turn.rows.iter().any(|row| {
                row.is_past() || row.limit.is_none_or(|limit| limit.before_the_launch())
            }),
        })
    }
}

/// When the boat is to be back, when the alarm is raised, and whom to call.
pub(super) fn back(picture: &Picture) -> Markup {
    let orders = &picture.orders;
    let times = &orders.times;
    let clock = |time: &Option<String>| {
        html! {
            @if let Some(time) = time { b { (time) } } @else { b.error { "not stated" } }
        }
    };
    html! {
        section.box.back-box {
            h2 { "Back, alarm, call" }
            (figure("back by", clock(&times.latest_return)))
            div.alarm-at { (figure("alarm", clock(&times.overdue))) }
            (call(orders))
            @if let Some(raiser) = raiser(orders) {
                p.fine { "raised by " (Fitted::new(raiser, paper::BOX_FINE).shown()) }
            }
        }
    }
}

/// Whom to call, with room for a number, which no file holds.
fn call(orders: &Orders) -> Markup {
    html! {
        p {
            "call "
            @if let Some(contact) = &orders.contact { b { (Fitted::new(contact, paper::BOX_CALL).shown()) } }
            @else { b.error { "nobody named" } }
        }
        p.number { "number" span.blank { } }
    }
}

/// Whom to call, near the top of a page of no mission: what the site of its runs names.
#[must_use]
pub(crate) fn contact_at(contact: Option<&str>) -> Markup {
    html! {
        p.contact {
            (whom(contact))
            " · who raises the alarm, and how, stands in the plan of the run"
        }
    }
}

fn whom(contact: Option<&str>) -> Markup {
    html! {
        "In an emergency call "
        @if let Some(contact) = contact { b { (short_text(contact)) } }
        @else { b.error { "nobody named" } }
    }
}

/// Whom to call, near the top of a page that has no band.
#[must_use]
pub(crate) fn contact(orders: &Orders) -> Markup {
    html! {
        p.contact {
            (whom(orders.contact.as_deref()))
            @if let Some(means) = &orders.alarm_by { " · by " (short_text(means)) }
            @if let Some(raiser) = raiser(orders) { " · alarm raised by " (short_text(raiser)) }
        }
    }
}

/// What the boat does when the link is lost, and what becomes of it adrift.
pub(super) fn lost(picture: &Picture) -> Markup {
    let orders = &picture.orders;
    let link = orders.contingencies.first();
    let adrift = gravest_drift(picture);
    html! {
        section.box.lost-box {
            h2 { "If it is lost" }
            @if let Some(link) = link {
                p {
                    "link lost " (link.after) ": "
                    @if link.boat.is_empty() { b.error { "not stated" } }
                    @else { b { (Fitted::new(&link.boat, paper::BOX).shown()) } }
                }
            }
            @match adrift {
                Some(Drift { end, after, late, there, .. }) => p {
                    "adrift: " b { (Fitted::new(&end, paper::BOX).shown()) } " after " b { (after) }
                    @if let Some(there) = there { "; safety boat after " b { (there) } }
                    @if let Some(late) = late { ": " b.error { (late) } }
                },
                None => p { "adrift: it comes to nothing within a day, as far as known" },
            }
            p.fine {
                (orders.fetches.duty) ": "
                @if orders.fetches.role.trim().is_empty() { b.error { "nobody named" } }
                @else { (Fitted::new(&orders.fetches.role, paper::BOX_FINE).shown()) }
            }
        }
    }
}
