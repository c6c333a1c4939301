//! Fields of a file that are still to be filled in, told together: a file that was begun has dozens of them.

use super::paint::Look;
use super::prose::{Lead, Page, on_one_line, paragraph};
use crate::finding::{Finding, INPUT_GAP, Severity};
use crate::source::Sources;

/// Columns that what belongs to a heading is set in.
const INDENT: usize = 2;
/// Columns that the further lines of a gap hang in.
const HANG: usize = 6;

/// The gaps of each file that has several of them, and every other finding.
pub(super) fn apart(findings: &[Finding]) -> (Vec<Vec<&Finding>>, Vec<&Finding>) {
    let mut files: Vec<Vec<&Finding>> = Vec::new();
    let mut others = Vec::new();
    for finding in findings {
        if finding.rule != INPUT_GAP || !finding.related.is_empty() {
            others.push(finding);
            continue;
        }
        let source = finding.primary.span.source;
        let file = files
            .iter_mut()
            .find(|file| file[0].primary.span.source == source);
        match file {
            Some(file) => file.push(finding),
            None => files.push(vec![finding]),
        }
    }
    let (alone, files): (Vec<_>, Vec<_>) = files.into_iter().partition(|file| file.len() == 1);
    others.extend(alone.into_iter().flatten());
    (files, others)
}

/// Writes the gaps of one file, a line each.
pub(super) fn file(out: &mut String, page: Page, gaps: &[&Finding], sources: &Sources) {
    let Some(first) = gaps.first() else {
        return;
    };
    let path = on_one_line(sources.path(first.primary.span.source));
    let words = format!("{}[{INPUT_GAP}]", Severity::Error);
    let lead = Lead {
        indent: 0,
        words: &words,
        look: Look::Severity(Severity::Error),
    };
    let about = format!("{path}: {} values to be filled in", gaps.len());
    paragraph(out, page, &lead, INDENT, &about);
    for gap in gaps {
        let at = sources.position(gap.primary.span);
        let lead = Lead {
            indent: INDENT,
            words: &format!("{path}:{}:{}", at.line, at.column),
            look: Look::Quiet,
        };
        paragraph(out, page, &lead, HANG, &gap.message);
    }
}
