//! When to turn back, in figures that can be read off an instrument.

use maud::{Markup, html};

use super::shortened;
use crate::check::Picture;
use crate::check::picture::{Reading, Stop, TurnBack};

pub(super) fn turn_back(picture: &Picture) -> Markup {
    let turn = &picture.turn_backs;
    let voltage = turn.no_voltage.is_none();
    let rows = turn.rows.iter().filter_map(|row| row.limit.as_ref());
    let gauge = rows.clone().any(|limit| limit.gauge.is_some());
    html! {
        section.turn-back {
            h2 { "Turn back" }
            p.note {
                "On the way to each waypoint, turn back as soon as one of these is passed: from there \
                 the way home still leaves "
                @if turn.asked { b { (turn.kept) " of the usable energy" } ", as the policy asks." }
                @else { b { "nothing" } ": the policy asks for no reserve." }
            }
            div.scroll tabindex="0" role="region" aria-label="When to turn back" {
                table {
                    thead {
                        tr {
                            th scope="col" { "before" }
                            th scope="col" { "leg" }
                            @if voltage { th scope="col" { "pack shows less than" } }
                            th scope="col" { "more used than" }
                            @if gauge { th scope="col" { "gauge below" } }
                            @if voltage { th scope="col" { "drawing" } }
                        }
                    }
                    tbody {
                        @for row in &turn.rows {
                            tr {
                                th scope="row" { (before(row)) }
                                td { (leg(row, &picture.map.stops)) }
                                @match &row.limit {
                                    Some(limit) if limit.before_the_launch() => td.bad colspan="4" {
                                        b { "do not go there" }
                                        ": what it takes is more than is charged at the launch"
                                    },
                                    Some(limit) => (cells(limit, voltage, gauge)),
                                    None => td.bad colspan="4" {
                                        b { "cannot be told" }
                                        ": the boat does not get home from there with that left"
                                    },
                                }
                            }
                        }
                    }
                }
            }
            p.note {
                @if let Some(why) = turn.no_voltage {
                    "Go by the charge used: " (why) "."
                } @else {
                    "Voltages are of the whole pack under way, drawing what the last column says or \
                     more; with the motors slower or off it shows more than this and tells nothing. \
                     The cut-off is no such figure: there is no way home from it."
                }
            }
        }
    }
}

fn before(row: &TurnBack) -> String {
    let ((first, last), (from, to)) = (&row.before, row.numbers);
    if from == to {
        format!("{from} {}", shortened(first, 40))
    } else {
        format!(
            "{from} {} to {to} {}",
            shortened(first, 30),
            shortened(last, 30)
        )
    }
}

/// Track, length and speed of the way there.
fn leg(row: &TurnBack, stops: &[Stop]) -> String {
    let (from, to) = row.numbers;
    let those = stops
        .iter()
        .filter(|stop| (from..=to).contains(&stop.number));
    let length = those.clone().fold(0.0, |sum, stop| sum + stop.length.get());
    let one = those.clone().next().filter(|_| from == to);
    match one.and_then(|stop| Some((stop, stop.track?))) {
        Some((stop, track)) => format!("{track}, {length:.0} m, {}", stop.speed),
        None => format!("{length:.0} m"),
    }
}

fn cells(limit: &Reading, voltage: bool, gauge: bool) -> Markup {
    html! {
        @if voltage {
            td {
                @if let Some(volts) = limit.voltage { b { (format!("{:.1} V", volts.get())) } }
                @else { "–" }
            }
        }
        td {
            (format!("{:.1} Ah", down(limit.used.get() / 3600.0))) ", "
            (format!("{:.0} Wh", (limit.used_energy.get() / 3600.0).floor()))
        }
        @if gauge {
            td {
                @if let Some(shown) = limit.gauge {
                    (format!("{:.0} %", (shown.get() * 100.0).ceil()))
                } @else { "–" }
            }
        }
        @if voltage { td { (format!("{:.0} W", limit.draw.get().floor())) } }
    }
}

/// Rounded down to a tenth: the safe side of what may be used.
fn down(value: f64) -> f64 {
    (value * 10.0).floor() / 10.0
}
