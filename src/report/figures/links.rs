//! Links from a report in Markdown to the files of its figures.

use super::figures;
use crate::check::Outcome;
use crate::report::escaped_markdown;
use crate::report::uri::relative_reference;

/// A section with a link to every figure of every mission, in files below a folder as the report
/// names it; empty where no figures were drawn.
#[must_use]
pub(crate) fn figure_links(outcome: &Outcome, folder: &str) -> String {
    let mut out = String::new();
    for checked in &outcome.checked {
        let drawn = figures(checked);
        if drawn.is_empty() {
            continue;
        }
        if out.is_empty() {
            out.push_str("\n#### Figures\n\n");
        }
        let links: Vec<String> = drawn
            .iter()
            .map(|figure| {
                let path = format!("{folder}/{}/{}.svg", checked.mission, figure.id);
                let title = escaped_markdown(&figure.title);
                format!("[{title}]({})", relative_reference(&path))
            })
            .collect();
        let mission = escaped_markdown(&checked.mission);
        out.push_str(&format!("- {mission}: {}\n", links.join(", ")));
    }
    out
}
