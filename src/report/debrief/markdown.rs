//! The debrief as Markdown.

use super::words::{self, KEPT, LINK, PARTS, THRESHOLDS};
use super::{CAUTION, Told};
use crate::finding::PHYSICAL;
use crate::report::{escaped_markdown, findings_in_markdown};

/// Rows of a table that are shown; a comment has a greatest length.
const MOST: usize = 60;

/// The debrief as Markdown. Whatever comes from a file is inert.
#[must_use]
pub(crate) fn markdown(told: &Told) -> String {
    let found = &told.found;
    let mut out = format!(
        "### offing debrief of {}: {}\n\n",
        escaped_markdown(&found.mission),
        escaped_markdown(&words::verdict(told).1)
    );
    for (name, text) in words::ends(told) {
        out.push_str(&format!("- {name}: {}\n", escaped_markdown(&text)));
    }
    out.push_str(&format!(
        "- track: {}, {} fixes, sha256 {}\n- plan: digest {}\n",
        escaped_markdown(&told.track),
        found.fixes,
        told.sha256,
        told.digest()
    ));
    for text in &found.cleaned {
        out.push_str(&format!("- {}\n", escaped_markdown(text)));
    }
    out.push('\n');
    out.push_str(&findings_in_markdown(&told.outcome));
    let wind = found.wind.as_deref().unwrap_or("no wind planned");
    out.push_str(&format!(
        "Planned → run; planned in {}.\n\n",
        escaped_markdown(wind)
    ));
    let parts: Vec<_> = [&found.whole, &found.return_leg]
        .into_iter()
        .chain(&found.legs)
        .collect();
    let rows: Vec<_> = parts.iter().map(|part| words::part(part)).collect();
    table(&mut out, &PARTS, &rows);
    for doubt in parts.iter().filter_map(|part| words::doubt(part)) {
        out.push_str(&format!("- {}\n", escaped_markdown(&doubt)));
    }
    out.push_str("\nClearance, less errors of position and chart and half the beam:\n\n");
    let rows: Vec<_> = found.kept.iter().map(words::kept).collect();
    table(&mut out, &KEPT, &rows);
    if let Some(text) = words::unseen(told) {
        out.push_str(&format!("{}\n\n", escaped_markdown(&text)));
    }
    for text in words::depths(told) {
        out.push_str(&format!("- {}\n", escaped_markdown(&text)));
    }
    let (rows, sentences) = words::link(told);
    if !rows.is_empty() {
        out.push('\n');
        table(&mut out, &LINK, &rows);
    }
    for text in sentences {
        out.push_str(&format!("- {}\n", escaped_markdown(&text)));
    }
    out.push_str("\n<details><summary>Compared with (P: our own proposal)</summary>\n\n");
    table(&mut out, &THRESHOLDS, &words::thresholds());
    out.push_str("</details>\n\n");
    for text in found.assumptions.iter().chain(&told.noted()) {
        out.push_str(&format!("- {}\n", escaped_markdown(text)));
    }
    out.push_str(&format!("\n_{CAUTION}_\n\n"));
    for text in PHYSICAL {
        out.push_str(&format!("- {text}\n"));
    }
    out
}

fn table<const N: usize>(out: &mut String, headings: &[&str; N], rows: &[[String; N]]) {
    out.push_str(&format!(
        "| {} |\n|{}\n",
        headings.join(" | "),
        "---|".repeat(N)
    ));
    for row in rows.iter().take(MOST) {
        let cells: Vec<String> = row.iter().map(|cell| escaped_markdown(cell)).collect();
        out.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
    if rows.len() > MOST {
        out.push_str(&format!("\n… and {} more.\n", rows.len() - MOST));
    }
    out.push('\n');
}
