//! Links from a report in Markdown to the files of its figures.

use super::figures;
use crate::check::Outcome;
use crate::report::escaped_markdown;

/// A section with a link to every figure of every mission, in files below a folder as the report
/// names it; empty where no figures were drawn.
#[must_use]
pub fn figure_links(outcome: &Outcome, folder: &str) -> String {
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
                format!("[{title}]({})", percent_encoded(&path))
            })
            .collect();
        let mission = escaped_markdown(&checked.mission);
        out.push_str(&format!("- {mission}: {}\n", links.join(", ")));
    }
    out
}

/// A path as a link's target: whatever could end the link, or mean more than a name, is encoded
/// (RFC 3986, section 2.1).
fn percent_encoded(path: &str) -> String {
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::percent_encoded;

    #[test]
    fn a_target_holds_nothing_that_ends_it() {
        assert_eq!(percent_encoded("../a b/(c).svg"), "../a%20b/%28c%29.svg");
        assert_eq!(percent_encoded("ä]<"), "%C3%A4%5D%3C");
    }
}
