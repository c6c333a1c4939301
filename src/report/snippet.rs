//! The source lines of a finding, drawn with its labels on them.
//!
//! Each file, and each distant part of a file, is a diagnostic of its own to the drawing library:
//! as related diagnostics of one they would each be headed by a severity that they do not have.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode};

use super::excerpt::{Cut, Excerpt, Mark};
use super::prose;
use super::settings::Settings;
use crate::finding::{Finding, Label, Severity};
use crate::source::{SourceFile, SourceId, Sources, Span};

/// Labels that are drawn of one finding; there is no use in more.
const MOST: usize = 16;

/// Draws source lines.
pub(super) struct Drawing {
    theme: GraphicalTheme,
    width: usize,
    ellipsis: &'static str,
}

impl Drawing {
    pub(super) fn new(settings: &Settings, width: usize) -> Self {
        let mut theme = match (settings.unicode, settings.colour) {
            (true, true) => GraphicalTheme::unicode(),
            (true, false) => GraphicalTheme::unicode_nocolor(),
            (false, true) => GraphicalTheme::ascii(),
            (false, false) => GraphicalTheme::none(),
        };
        // The severity is written out above.
        for glyph in [
            &mut theme.characters.error,
            &mut theme.characters.warning,
            &mut theme.characters.advice,
        ] {
            glyph.clear();
        }
        Self {
            theme,
            width,
            ellipsis: if settings.unicode { "…" } else { "..." },
        }
    }

    /// Draws every label of a finding: its own line first, then the rest of that file, then the
    /// other files in the order in which they are first named.
    pub(super) fn finding(&self, out: &mut String, finding: &Finding, sources: &Sources) {
        let labels = std::iter::once(&finding.primary).chain(&finding.related);
        let mut files: Vec<(SourceId, Vec<Mark>)> = Vec::new();
        let mut lost = Vec::new();
        for (number, label) in labels.take(MOST).enumerate() {
            let Some(file) = sources.get(label.span.source) else {
                lost.push(label);
                continue;
            };
            let mark = mark(file, label, number == 0);
            let source = label.span.source;
            match files.iter_mut().find(|(known, _)| *known == source) {
                Some((_, marks)) => marks.push(mark),
                None => files.push((source, vec![mark])),
            }
        }
        for (source, marks) in files {
            if let Some(file) = sources.get(source) {
                for group in groups(marks) {
                    self.group(out, file, &group, finding.severity);
                }
            }
        }
        for label in lost {
            let text = prose::on_one_line(&label.text);
            out.push_str(&format!("  (source not available) {text}\n"));
        }
        let more = (finding.related.len() + 1).saturating_sub(MOST);
        if more > 0 {
            out.push_str(&format!("  ({more} more that contributed)\n"));
        }
    }

    fn group(&self, out: &mut String, file: &SourceFile, marks: &[Mark], severity: Severity) {
        let cut = Cut {
            width: self.width,
            ellipsis: self.ellipsis,
        };
        let excerpt = Excerpt::new(file, marks, cut);
        let mut theme = self.theme.clone();
        let own = match severity {
            Severity::Error => theme.styles.error,
            Severity::Warning => theme.styles.warning,
            Severity::Advice => theme.styles.advice,
        };
        if let Some(&other) = theme.styles.highlights.first() {
            let styles = marks.iter().map(|m| if m.primary { own } else { other });
            theme.styles.highlights = styles.collect();
        }
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(self.width)
            .with_context_lines(1)
            .with_links(false)
            .without_cause_chain()
            .without_syntax_highlighting();
        let mut drawn = String::new();
        if handler
            .render_report(&mut drawn, &Snippet { excerpt })
            .is_err()
        {
            let path = prose::on_one_line(file.path());
            out.push_str(&format!("  (the lines of {path} cannot be shown)\n"));
            return;
        }
        // The first line is for a message, which stands above already.
        for line in drawn.lines().skip(1) {
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
}

/// The label as a mark on its first line.
fn mark(file: &SourceFile, label: &Label, primary: bool) -> Mark {
    let Span { source, start, end } = label.span;
    let at = file.position(start);
    let line = file.line_text(at.line).unwrap_or_default();
    let before = line.chars().take((at.column as usize).saturating_sub(1));
    let from: usize = before.map(char::len_utf8).sum();
    // What ends with a line break ends on the line that it breaks.
    let trimmed = file.slice(label.span).trim_end().len();
    let end = match u32::try_from(trimmed) {
        Ok(0) if file.slice(label.span).contains(['\n', '\r']) => start,
        Ok(length) if length > 0 => start.saturating_add(length),
        _ => end,
    };
    let to = (from + Span::new(source, start, end).len() as usize).min(line.len());
    let mut text = prose::on_one_line(&label.text);
    let last = file.position(end).line;
    if last > at.line {
        let gap = if text.is_empty() { "" } else { " " };
        text.push_str(&format!("{gap}(to line {last})"));
    }
    Mark {
        at,
        from,
        to: to.max(from),
        text,
        primary,
    }
}

/// Marks whose lines meet, together: the group of the primary one first, the others in the order
/// of the file.
fn groups(mut marks: Vec<Mark>) -> Vec<Vec<Mark>> {
    marks.sort_by_key(|mark| (mark.at.line, mark.from, mark.to));
    let mut groups: Vec<Vec<Mark>> = Vec::new();
    for mark in marks {
        match groups.last_mut() {
            Some(group)
                if group
                    .last()
                    .is_some_and(|last| *mark.lines().start() <= last.lines().end() + 1) =>
            {
                group.push(mark);
            }
            _ => groups.push(vec![mark]),
        }
    }
    groups.sort_by_key(|group| !group.iter().any(|mark| mark.primary));
    groups
}

/// An excerpt as the drawing library takes it: a diagnostic without a message.
#[derive(Debug)]
struct Snippet {
    excerpt: Excerpt,
}

impl fmt::Display for Snippet {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Snippet {}

impl Diagnostic for Snippet {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.excerpt)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.excerpt.labels().iter().cloned()))
    }
}
