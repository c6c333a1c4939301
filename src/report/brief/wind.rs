//! The strongest winds that the plan bears, as whoever stands at the water reads them.

use maud::{Markup, html};

use crate::envelope::{Limits, Sector};
use crate::models::wind::Steady;
use crate::report::limits::few_rules;
use crate::units::{Angle, FromDirection, Length};

/// Degrees that a row stands for, which keeps the table short.
const ROW: f64 = 30.0;

/// Directions one after the other, with the least of their limits.
struct Row<'a> {
    first: &'a Sector,
    last: &'a Sector,
    /// As read off the anemometer, and at the plan's height; `None` where not even a calm passes.
    limit: Option<(Steady, Steady)>,
}

/// The most wind that the plan bears from where the wind is planned for.
#[derive(Clone, Copy)]
pub(super) enum Limit {
    /// Off the instrument, and at the height that the plan states.
    UpTo {
        read: Steady,
        stated: Steady,
        height: Length,
    },
    /// The plan fails in any wind.
    AnyWindFails,
    /// From there it fails even in a calm.
    CalmFails,
    /// No wind is planned for.
    NoWind,
}

/// The least limit of the directions that the planned one lies between. Each of them holds for the plan's
/// spread to either side.
pub(super) fn planned_limit(limits: &Limits) -> Limit {
    if !limits.regardless.is_empty() {
        return Limit::AnyWindFails;
    }
    let Some(planned) = &limits.planned else {
        return Limit::NoWind;
    };
    let off = |sector: &Sector| {
        let turn = sector.from.angle() - planned.from.angle();
        turn.wrapped().to_degrees().abs()
    };
    let near = limits.sectors.iter();
    let near: Vec<Sector> = near
        .filter(|sector| off(sector) < limits.step.to_degrees() - 1e-6)
        .cloned()
        .collect();
    match least(&near) {
        Some((read, stated)) => Limit::UpTo {
            read,
            stated,
            height: limits.height,
        },
        None => Limit::CalmFails,
    }
}

/// The limits by direction: off the instrument first, at the height that the plan states beside it.
pub(super) fn limits(limits: &Result<Limits, String>) -> Markup {
    let Ok(limits) = limits else {
        return html! {};
    };
    if !limits.regardless.is_empty() {
        return html! {
            section.winds {
                h2 { "Strongest wind" }
                p { b.error { "None: " } "the plan fails in any wind, by " (few_rules(&limits.regardless)) "." }
            }
        };
    }
    let rows = rows(limits);
    html! {
        section.winds {
            h2 { "Strongest wind" }
            p.note {
                "As an anemometer shows it " (limits.read_at) " over the water; “none”: the plan \
                 fails even in a calm. Where two rows meet, the lower limit holds. A wind below a limit is no \
                 permission to launch."
            }
            table {
                thead {
                    tr {
                        th scope="col" { "from" }
                        th scope="col" { "at " (limits.read_at) }
                        th scope="col" { "at " (limits.height) }
                    }
                }
                tbody {
                    @for row in &rows {
                        tr {
                            th scope="row" { (directions(row, limits.step)) }
                            @match &row.limit {
                                Some((read, stated)) => {
                                    td { b { (speeds(read)) } }
                                    td { (speeds(stated)) }
                                },
                                None => { td { b.error { "none" } } td {} },
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rows(limits: &Limits) -> Vec<Row<'_>> {
    let each = (ROW / limits.step.to_degrees()).round().max(1.0) as usize;
    let mut rows: Vec<Row<'_>> = Vec::new();
    for some in limits.sectors.chunks(each) {
        let (Some(first), Some(last)) = (some.first(), some.last()) else {
            continue;
        };
        let limit = least(some);
        match rows.last_mut() {
            Some(row) if row.limit == limit => row.last = last,
            _ => rows.push(Row { first, last, limit }),
        }
    }
    rows
}

/// The least limit of some directions, as it is read and as it is; `None` where one of them lets no wind pass.
fn least(some: &[Sector]) -> Option<(Steady, Steady)> {
    let all: Option<Vec<(Option<Steady>, Steady)>> = some
        .iter()
        .map(|one| Some((one.as_read, one.strongest?)))
        .collect();
    let (read, stated) = all?
        .into_iter()
        .min_by(|(_, one), (_, other)| one.mean.get().total_cmp(&other.mean.get()))?;
    Some((read?, stated))
}

/// From where to where a row holds: half a step past its directions on either side, for which their limits
/// hold too, so that no direction lies between two rows.
fn directions(row: &Row<'_>, step: Angle) -> String {
    let half = step.to_degrees() / 2.0;
    let degrees = |from: FromDirection| from.angle().to_degrees().rem_euclid(360.0);
    let (first, last) = (
        degrees(row.first.from) - half,
        degrees(row.last.from) + half,
    );
    if last - first > 359.99 {
        return "all round".to_owned();
    }
    format!("{} to {}", edge(first), edge(last))
}

/// A direction on the edge of two rows, with a decimal where a step is odd.
fn edge(degrees: f64) -> String {
    let degrees = degrees.rem_euclid(360.0);
    if (degrees - degrees.round()).abs() < 0.01 {
        format!("{:03.0}°", degrees.round() % 360.0)
    } else {
        format!("{degrees:05.1}°")
    }
}

fn speeds(wind: &Steady) -> String {
    format!("{}, gusts {}", wind.mean, wind.gust)
}
