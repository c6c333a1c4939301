//! The debrief at a terminal.

use super::words::{self, KEPT, LINK, PARTS, THRESHOLDS};
use super::{CAUTION, Told};
use crate::finding::PHYSICAL;
use crate::report::{Settings, columns, findings_at_terminal, wrapped};
use crate::source::printable_line;

/// Rows of a table that are shown at a terminal.
const MOST: usize = 60;

/// The debrief for people at a terminal.
#[must_use]
pub(crate) fn text(told: &Told, settings: &Settings) -> String {
    let found = &told.found;
    let mut out = findings_at_terminal(&told.outcome, settings);
    let mut say = |text: &str| out.push_str(&wrapped(text, settings.width));
    say(&format!(
        "{}: {}",
        printable_line(&found.mission),
        words::verdict(told).1
    ));
    for (name, text) in words::ends(told) {
        say(&format!("  {name}: {text}"));
    }
    say(&format!(
        "  track: {}, {} fixes, sha256 {}",
        printable_line(&told.track),
        found.fixes,
        told.sha256
    ));
    say(&format!("  plan: digest {}", told.digest()));
    for text in &found.cleaned {
        say(&format!("  - {text}"));
    }
    out.push('\n');
    let wind = found.wind.as_deref().unwrap_or("no wind planned");
    out.push_str(&wrapped(
        &format!("Planned → run; planned in {wind}"),
        settings.width,
    ));
    let parts: Vec<_> = [&found.whole, &found.return_leg]
        .into_iter()
        .chain(&found.legs)
        .collect();
    let rows: Vec<_> = parts
        .iter()
        .take(MOST)
        .map(|part| words::part(part))
        .collect();
    table(&mut out, settings.width, &PARTS, &rows);
    more(&mut out, parts.len());
    for part in &parts {
        if let Some(doubt) = words::doubt(part) {
            out.push_str(&wrapped(&format!("  - {doubt}"), settings.width));
        }
    }
    out.push_str("\nClearance, less errors of position and chart and half the beam\n");
    let rows: Vec<_> = found.kept.iter().take(MOST).map(words::kept).collect();
    table(&mut out, settings.width, &KEPT, &rows);
    more(&mut out, found.kept.len());
    if let Some(text) = words::unseen(told) {
        out.push_str(&wrapped(&format!("  {text}"), settings.width));
    }
    out.push_str("\nDepth\n");
    for text in words::depths(told) {
        out.push_str(&wrapped(&format!("  {text}"), settings.width));
    }
    out.push_str("\nLink\n");
    let (rows, sentences) = words::link(told);
    if !rows.is_empty() {
        table(&mut out, settings.width, &LINK, &rows);
    }
    for text in sentences {
        out.push_str(&wrapped(&format!("  {text}"), settings.width));
    }
    out.push_str("\nCompared with (P: our own proposal)\n");
    for [what, words, from] in words::thresholds() {
        let [_, told, _] = THRESHOLDS;
        out.push_str(&wrapped(
            &format!("  - {what}; {told} {words}. {from}."),
            settings.width,
        ));
    }
    out.push_str("\nAssumed and noted\n");
    for text in found.assumptions.iter().chain(&told.noted()) {
        out.push_str(&wrapped(&format!("  - {text}"), settings.width));
    }
    out.push('\n');
    out.push_str(&wrapped(CAUTION, settings.width));
    for text in PHYSICAL {
        out.push_str(&wrapped(text, settings.width));
    }
    out
}

fn more(out: &mut String, count: usize) {
    if count > MOST {
        out.push_str(&format!(
            "  … and {} more; `--format json` has them\n",
            count - MOST
        ));
    }
}

/// A table with its columns in line, the first to the left and the others to the right; where it is
/// wider than the page, each row's cells stand below its first.
fn table<const N: usize>(
    out: &mut String,
    page: usize,
    headings: &[&str; N],
    rows: &[[String; N]],
) {
    let cells: Vec<[String; N]> = std::iter::once(headings.map(str::to_owned))
        .chain(rows.iter().cloned())
        .map(|row| row.map(|cell| printable_line(&cell).into_owned()))
        .collect();
    let width = |column: usize| {
        let widths = cells.iter().map(|row| columns(&row[column]));
        widths.max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..N).map(width).collect();
    if widths.iter().map(|wide| wide + 2).sum::<usize>() > page {
        for row in cells.iter().skip(1) {
            out.push_str(&wrapped(&format!("  {}", row[0]), page));
            let below = headings.iter().zip(row).skip(1);
            let below: Vec<String> = below.map(|(name, cell)| format!("{name} {cell}")).collect();
            out.push_str(&wrapped(&format!("    {}", below.join("; ")), page));
        }
        return;
    }
    for row in &cells {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let room = " ".repeat(widths[column] - columns(cell));
            line.push_str("  ");
            if column == 0 {
                line.push_str(cell);
                line.push_str(&room);
            } else {
                line.push_str(&room);
                line.push_str(cell);
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every row ends in the same column of a terminal, whatever the names of legs are written in.
    #[test]
    fn columns_stand_in_line_below_wide_and_combining_characters() {
        let rows = ["quay", "\u{6c34}\u{6df1}", "Mu\u{308}hle"];
        let rows = rows.map(|name| [name.to_owned(), "1.2 m/s".to_owned()]);
        let mut out = String::new();
        table(&mut out, 80, &["leg", "speed"], &rows);
        let widths: Vec<usize> = out.lines().map(columns).collect();
        assert_eq!(widths, [2 + 5 + 2 + 7; 4], "{out}");
    }
}
