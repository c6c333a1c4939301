//! The limits of every direction in a table.

use super::{rules, tenth};
use crate::envelope::{Limits, Sector};
use crate::models::wind::Steady;
use crate::report::paint::{Look, paint};
use crate::report::prose::Page;
use crate::report::width;
use crate::units::Length;

/// Columns of a speed, of a direction or two.
pub(super) const SPEED: usize = 10;
const DIRECTIONS: usize = 14;

/// What stands against more wind from a direction.
pub(in crate::report) fn limited_by(sector: &Sector) -> String {
    match &sector.limited_by {
        None => "nothing up to the strongest wind tried".to_owned(),
        Some(limited_by) if limited_by.rules.is_empty() => {
            "the winds around it together".to_owned()
        }
        Some(limited_by) => rules(&limited_by.rules),
    }
}

/// Directions one after the other of which the same is reported.
pub(in crate::report) fn runs(limits: &Limits) -> Vec<(usize, usize)> {
    let same = |a: &Sector, b: &Sector| {
        let steady = |one: &Sector| one.strongest.map(|s| (tenth(s.mean), tenth(s.gust)));
        steady(a) == steady(b) && limited_by(a) == limited_by(b)
    };
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for index in 0..limits.sectors.len() {
        match runs.last_mut() {
            Some((_, last)) if same(&limits.sectors[*last], &limits.sectors[index]) => {
                *last = index
            }
            _ => runs.push((index, index)),
        }
    }
    runs
}

/// A cell of a table, spaces after it.
pub(super) fn cell(text: &str, wide: usize) -> String {
    let used = width::columns(text);
    format!("{text}{}", " ".repeat(wide.saturating_sub(used)))
}

/// The height of the anemometer that limits are reported for beside the plan's own, where it is another one.
pub(in crate::report) fn as_read(limits: &Limits) -> Option<Length> {
    let apart = (limits.read_at.get() - limits.height.get()).abs();
    (apart > 1e-9).then_some(limits.read_at)
}

/// The limits in a table, directions of which the same is reported on one line.
pub(super) fn table(out: &mut String, page: Page, limits: &Limits) {
    let read = as_read(limits).map_or_else(String::new, |height| {
        format!(
            "{}{}",
            cell(&format!("at {height}"), SPEED),
            cell("gusts", SPEED)
        )
    });
    let words = format!(
        "  {}{}{}{read}limited by",
        cell("from", DIRECTIONS),
        cell("strongest", SPEED),
        cell("gusts", SPEED),
    );
    out.push_str(&paint(&words, Look::Heading, page.colour));
    out.push('\n');
    for (first, last) in runs(limits) {
        let (one, other) = (&limits.sectors[first], &limits.sectors[last]);
        let from = if first == last {
            one.from.to_string()
        } else {
            format!("{} to {}", one.from, other.from)
        };
        let speeds = |steady: Option<Steady>| {
            let (mean, gust) = match steady {
                Some(steady) => (tenth(steady.mean), tenth(steady.gust)),
                None => ("none".to_owned(), String::new()),
            };
            format!("{}{}", cell(&mean, SPEED), cell(&gust, SPEED))
        };
        let read = as_read(limits).map_or_else(String::new, |_| speeds(one.as_read));
        let words = format!(
            "  {}{}{read}",
            cell(&from, DIRECTIONS),
            speeds(one.strongest)
        );
        out.push_str(&words);
        let hang = width::columns(&words);
        let room = page.width.saturating_sub(hang).max(20);
        let lines = crate::report::prose::lines(&limited_by(one), room, room);
        out.push_str(&lines.join(&format!("\n{}", " ".repeat(hang))));
        out.push('\n');
    }
}
