//! When to turn back, in figures that can be read off an instrument.

use maud::{Markup, html};

use super::{paper, short_text};
use crate::picture::Picture;
use crate::picture::{Planned, Reading, Stop, TurnBack};
use crate::units::Speed;

pub(super) fn turn_back(picture: &Picture) -> Markup {
    let turn = &picture.turn_backs;
    let voltage = turn.no_voltage.is_none();
    let rows = turn.rows.iter().filter_map(|row| row.limit.as_ref());
    let gauge = rows.clone().any(|limit| limit.gauge.is_some());
    let columns = 1 + 2 * usize::from(voltage) + usize::from(gauge);
    let lines = paper::names_have_lines(picture);
    html! {
        section.turn-back.lines[lines] {
            h2 { "Turn back" }
            p.note {
                "Turn back as soon as the boat passes one of these on the way to a waypoint: the \
                 return leg then still leaves "
                @if turn.asked { b { (turn.kept) " of the usable energy" } ", as the policy \
                                                                            requires." }
                @else { b { "nothing" } ": the policy requires no reserve." }
                @if shared(picture) {
                    " Waypoints in one row share the figures of the strictest one."
                }
                @if long(picture, lines) {
                    span.on-paper { " Long names are cut on paper; the numbers are those of the map." }
                }
            }
                table.cards role="table" aria-label="When to turn back" {
                    thead role="rowgroup" {
                        tr role="row" {
                            th.before scope="col" role="columnheader" { "before" }
                            th.leg scope="col" role="columnheader" { "leg (track true)" }
                            @if voltage { th.volts scope="col" role="columnheader" { "pack shows less than" } }
                            th.used scope="col" role="columnheader" { "more used than" }
                            @if gauge { th.gauge scope="col" role="columnheader" { "gauge below" } }
                            @if voltage { th.draw scope="col" role="columnheader" { "valid at" } }
                        }
                    }
                    tbody role="rowgroup" {
                        @for row in &turn.rows {
                            tr role="row" {
                                th.before scope="row" role="rowheader" { span.lead { "before " } (before(row)) }
                                td.leg role="cell" data-label="leg (track true)" {
                                    div {
                                        (leg(row, &picture.map.stops))
                                        @if turned(row) {
                                            " " b.error { "as planned, the boat turns back on the \
                                                           way" }
                                        }
                                    }
                                }
                                @match &row.limit {
                                    Some(limit) if limit.before_the_launch() => td.bad colspan=(columns) role="cell" {
                                        b { "do not go there" }
                                        ": it takes more than the charge at launch"
                                    },
                                    Some(limit) if row.is_past() => td.bad colspan=(columns) role="cell" {
                                        b { "already past as planned: do not go on" }
                                        "; " (used(limit)) " may be used by then, and in its worst \
                                                            wind the plan uses more"
                                    },
                                    Some(limit) => (cells(limit, voltage, gauge)),
                                    None => td.bad colspan=(columns) role="cell" {
                                        b { "cannot be calculated" }
                                        ": the boat does not get home from there"
                                    },
                                }
                            }
                        }
                    }
                }
            p.note {
                b {
                    "Charge used counts from a launch \
                     with " (turn.launched_with) " charge; if launched with less: "
                    @if let Some((charge, energy)) = turn.per_cent {
                        "subtract " (format!("{:.2} Ah", up(charge.get() / 3600.0, 100.0))) ", "
                        (format!("{:.1} Wh", up(energy.get() / 3600.0, 10.0))) " per 1 %. "
                    } @else { "cannot be calculated. " }
                }
                @if let Some(why) = turn.no_voltage {
                    "Go by the charge used: " (why) "."
                } @else {
                    "Voltages are those of the whole pack, each valid while the pack gives the \
                     stated power or more; with the motors off it shows more and means nothing."
                }
            }
        }
    }
}

/// The waypoints that a row is for, each on a line of its own where paper has room for two. Paper cuts long
/// names to their line, never their numbers.
fn before(row: &TurnBack) -> Markup {
    let ((first, last), (from, to)) = (&row.before, row.numbers);
    html! {
        span.names {
            span.part { span { (from) } " " span.name { (short_text(first)) } }
            @if from != to {
                " " span.part { span { "to " (to) } " " span.name { (short_text(last)) } }
            }
        }
    }
}

/// Characters of names that a line of a row has room for on paper; of two names half each, and of the second
/// less what stands before it.
const ROOM: usize = 24;
const BEFORE_SECOND: usize = 5;

/// Whether waypoints share a row.
fn shared(picture: &Picture) -> bool {
    let mut rows = picture.turn_backs.rows.iter();
    rows.any(|row| row.numbers.0 != row.numbers.1)
}

/// Whether a name may be cut on paper, where each has a line of its own or not.
fn long(picture: &Picture, lines: bool) -> bool {
    let mut rows = picture.turn_backs.rows.iter();
    rows.any(|row| {
        let (first, last) = (row.before.0.chars().count(), row.before.1.chars().count());
        let taken = match row.numbers {
            (from, to) if from == to => first,
            _ if lines => first.max(last + BEFORE_SECOND),
            _ => first + last + 9,
        };
        taken > ROOM
    })
}

/// Whether the boat is turned back on the way there as planned.
fn turned(row: &TurnBack) -> bool {
    let usable = row.limit.is_some_and(|limit| !limit.before_the_launch());
    usable && row.planned == Planned::PassesOnTheWay
}

/// Track, length and speed of the way there.
fn leg(row: &TurnBack, stops: &[Stop]) -> String {
    let (from, to) = row.numbers;
    let those: Vec<&Stop> = stops
        .iter()
        .filter(|stop| (from..=to).contains(&stop.number))
        .collect();
    let length = those.iter().fold(0.0, |sum, stop| sum + stop.length.get());
    let mut words = Vec::new();
    if let [stop] = those.as_slice() {
        words.extend(stop.track.map(|track| track.to_string()));
        if stop.track.is_none()
            && let Some(lines) = stop.lines
        {
            let lines = match lines.count {
                1 => format!("1 line, {}", lines.first),
                count => format!("{count} lines, the first {}", lines.first),
            };
            words.push(lines);
        }
    }
    words.push(format!("{length:.0} m"));
    let slowest = those.iter().map(|stop| stop.slowest).reduce(Speed::min);
    let fastest = those.iter().map(|stop| stop.fastest).reduce(Speed::max);
    if let (Some(slowest), Some(fastest)) = (slowest, fastest) {
        let (least, most) = (slowest.to_string(), fastest.to_string());
        words.push(if least == most {
            most
        } else {
            format!("{least} to {most}")
        });
    }
    words.join(", ")
}

/// What may be used, rounded down.
fn used(limit: &Reading) -> String {
    format!(
        "{:.1} Ah, {:.0} Wh",
        down(limit.used.get() / 3600.0),
        (limit.used_energy.get() / 3600.0).floor()
    )
}

fn cells(limit: &Reading, voltage: bool, gauge: bool) -> Markup {
    html! {
        @if voltage {
            td.volts role="cell" data-label="pack shows less than" {
                @if let Some(volts) = limit.voltage { b { (format!("{:.1} V", volts.get())) } }
                @else { "–" }
            }
        }
        td.used role="cell" data-label="more used than" {
            (used(limit))
        }
        @if gauge {
            td.gauge role="cell" data-label="gauge below" {
                @if let Some(shown) = limit.gauge {
                    (format!("{:.0} %", (shown.get() * 100.0).ceil()))
                } @else { "–" }
            }
        }
        @if voltage {
            td.draw role="cell" data-label="voltage valid at" { (format!("{:.0} W or more", limit.draw.get().ceil())) }
        }
    }
}

/// Rounded down to a tenth: the safe side of what may be used.
fn down(value: f64) -> f64 {
    (value * 10.0).floor() / 10.0
}

/// Rounded up to so many parts of one: the safe side of what is subtracted.
fn up(value: f64, parts: f64) -> f64 {
    (value * parts - 1e-9).ceil() / parts
}
