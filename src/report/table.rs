//! The missions of a check in one compact table.

use std::borrow::Cow;

use super::nearest;
use super::paint::{Look, paint};
use super::prose::{Page, lines, on_one_line};
use super::tally::{MissionTally, Tally, counted};
use super::width;

/// Columns left free before the table and between two of its columns.
const INDENT: usize = 2;
const GAP: usize = 2;
/// Columns below which the last column is not worth having.
const LEAST: usize = 24;
/// Columns that the names and the findings are given at most, before they are broken.
const WIDEST: [usize; 3] = [32, 20, 10];
const HEADINGS: [&str; 4] = ["mission", "findings", "passed", "tightest limit"];

/// Writes the table; where it does not fit, what belongs to a mission stands below its name.
pub(super) fn missions(out: &mut String, page: Page, missions: &[MissionTally<'_>]) {
    let rows: Vec<[String; 4]> = missions.iter().map(cells).collect();
    let mut widths = [0; 4];
    for (column, wide) in widths.iter_mut().enumerate().take(3) {
        let cells = rows.iter().map(|row| width::columns(&row[column]));
        let widest = cells.max().unwrap_or_default().min(WIDEST[column]);
        *wide = widest.max(width::columns(HEADINGS[column]));
    }
    let before = INDENT + widths[..3].iter().map(|wide| wide + GAP).sum::<usize>();
    widths[3] = page.width.saturating_sub(before);
    if widths[3] >= LEAST {
        let heading = HEADINGS.map(str::to_owned);
        side_by_side(out, page, &heading, widths, Some(Look::Heading));
        for row in &rows {
            side_by_side(out, page, row, widths, None);
        }
    } else {
        for row in &rows {
            stacked(out, page, row);
        }
    }
}

fn side_by_side(
    out: &mut String,
    page: Page,
    cells: &[String; 4],
    widths: [usize; 4],
    look: Option<Look>,
) {
    let broken: Vec<(usize, Vec<String>)> = cells
        .iter()
        .zip(widths)
        .map(|(cell, wide)| (wide, lines(cell, wide, wide)))
        .collect();
    let tallest = broken.iter().map(|(_, lines)| lines.len()).max();
    for number in 0..tallest.unwrap_or_default() {
        // Spaces are written only before text, so that no line ends in them.
        let mut due = INDENT;
        for (wide, lines) in &broken {
            let text = lines.get(number).map_or("", String::as_str);
            if !text.is_empty() {
                out.push_str(&" ".repeat(due));
                out.push_str(
                    &look.map_or(Cow::Borrowed(text), |look| paint(text, look, page.colour)),
                );
                due = 0;
            }
            due += wide.saturating_sub(width::columns(text)) + GAP;
        }
        out.push('\n');
    }
}

fn stacked(out: &mut String, page: Page, cells: &[String; 4]) {
    let [mission, findings, kept, nearest] = cells;
    let below = [
        findings.clone(),
        format!("limits met: {kept}"),
        format!("tightest limit: {nearest}"),
    ];
    for (indent, text) in std::iter::once((INDENT, mission)).chain(below.iter().map(|b| (4, b))) {
        let room = page.width.saturating_sub(indent);
        for line in lines(text, room, room.saturating_sub(2)).iter().enumerate() {
            let hang = if line.0 > 0 { indent + 2 } else { indent };
            out.push_str(&" ".repeat(hang));
            out.push_str(line.1);
            out.push('\n');
        }
    }
}

fn cells(tally: &MissionTally<'_>) -> [String; 4] {
    let findings = match tally.findings.describe() {
        words if words.is_empty() => "no findings".to_owned(),
        words => words,
    };
    let mut nearest = tally
        .nearest
        .map_or_else(|| "none was measured".to_owned(), nearest::describe);
    if tally.unknown > 0 {
        nearest.push_str(&format!("; {} could not be judged", tally.unknown));
    }
    for doubt in &tally.checked.in_doubt {
        nearest.push_str(&format!("; {doubt}"));
    }
    [
        on_one_line(&tally.checked.mission),
        findings,
        format!("{} of {}", tally.kept, tally.judged),
        on_one_line(&nearest),
    ]
}

/// The line of totals in two parts, what was found and in what: `2 errors, 1 warning` and
/// `in 7 missions (5 clean)`. Files with errors or that were not checked make the whole incomplete.
pub(super) fn totals(tally: &Tally<'_>, not_checked: usize) -> (String, String) {
    let missions = tally.missions.len();
    let mut found = match tally.findings.describe() {
        none if none.is_empty() => "no findings".to_owned(),
        some => some,
    };
    let mut rest = if missions == 0 {
        found.push(';');
        "no mission was checked".to_owned()
    } else {
        format!(
            "in {} ({} clean)",
            counted(missions, "mission", "missions"),
            tally.clean()
        )
    };
    let mut lacking = Vec::new();
    if tally.with_errors > 0 {
        let files = counted(tally.with_errors, "file", "files");
        let have = if tally.with_errors == 1 {
            "has"
        } else {
            "have"
        };
        lacking.push(format!("{files} {have} errors"));
    }
    if not_checked > 0 {
        lacking.push(format!(
            "{} not checked",
            counted(not_checked, "file", "files")
        ));
    }
    if !lacking.is_empty() {
        let lacking = lacking.join(", ");
        rest.push_str(&format!("; the check is incomplete: {lacking}"));
    }
    (found, rest)
}
