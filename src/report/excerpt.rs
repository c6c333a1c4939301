//! A few lines of a file as they are shown: a printable copy, with the labels on it.

use std::ops::RangeInclusive;

use miette::{LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};

use super::clip::{Clipped, Room};
use super::{prose, width};
use crate::source::{Position, SourceFile, printable_line};

/// Lines shown above and below a line that is pointed at.
const CONTEXT: u32 = 1;

/// A label on one line of its file. What spans several lines is pointed at by its first line.
#[derive(Clone)]
pub(super) struct Mark {
    /// Where it begins.
    pub at: Position,
    /// Byte in its line where it begins.
    pub from: usize,
    /// Byte in its line where it ends, or where the line ends before it.
    pub to: usize,
    /// What it says, printable.
    pub text: String,
    /// Whether it is the line to look at first.
    pub primary: bool,
}

impl Mark {
    /// The lines that are shown for it.
    pub(super) fn lines(&self) -> RangeInclusive<u32> {
        self.at.line.saturating_sub(CONTEXT).max(1)..=self.at.line.saturating_add(CONTEXT)
    }
}

/// How excerpts are cut.
#[derive(Clone, Copy)]
pub(super) struct Cut<'a> {
    /// Columns of the terminal.
    pub width: usize,
    /// What stands for what is cut off.
    pub ellipsis: &'a str,
}

/// Neighbouring lines of one file with the marks on them.
#[derive(Debug)]
pub(super) struct Excerpt {
    path: String,
    text: String,
    /// Number of the first line, from 0.
    first: usize,
    lines: usize,
    labels: Vec<LabeledSpan>,
    /// Line and column of each label in the file, from 0.
    places: Vec<(usize, usize)>,
}

/// Widest source line that is shown, whatever the terminal's width.
const WIDEST: usize = 200;
/// Columns that a label's text is given at least.
const LABEL: usize = 24;
/// Columns that the drawing takes between a mark and its text.
const ELBOW: usize = 4;

impl Excerpt {
    /// Cuts the lines around some marks out of a file. The marks are near each other and in the
    /// order of the file; every line of them is shown.
    pub(super) fn new(file: &SourceFile, marks: &[Mark], cut: Cut<'_>) -> Self {
        let first = marks.first().map_or(1, |mark| *mark.lines().start());
        let last = marks.last().map_or(first, |mark| *mark.lines().end());
        let gutter = last.to_string().len() + 4;
        let columns = cut.width.saturating_sub(gutter).min(WIDEST);
        let mut excerpt = Self {
            path: printable_line(file.path()).into_owned(),
            text: String::new(),
            first: (first as usize).saturating_sub(1),
            lines: 0,
            labels: Vec::new(),
            places: Vec::new(),
        };
        for number in first..=last {
            let Some(line) = file.line_text(number) else {
                break;
            };
            let on_line: Vec<&Mark> = marks.iter().filter(|m| m.at.line == number).collect();
            // What follows the last line break is no line that anybody wrote.
            if line.is_empty() && on_line.is_empty() && number == file.line_count() {
                break;
            }
            excerpt.add(line, &on_line, columns, cut.ellipsis);
        }
        excerpt
    }

    fn add(&mut self, line: &str, marks: &[&Mark], columns: usize, ellipsis: &str) {
        let focus = marks.iter().find(|m| m.primary).or(marks.first());
        // The text stands right of the middle of what it labels.
        let wish = focus.map_or(0, |m| {
            let half = (m.to - m.from).min(columns / 2).div_ceil(2);
            width::columns(&m.text).min(LABEL) + ELBOW + half
        });
        let room = Room {
            columns,
            label: wish,
            ellipsis,
        };
        let clipped = Clipped::new(line, focus.map_or(0, |m| m.from), room);
        let offset = self.text.len();
        for mark in marks {
            let from = clipped.start_of(mark.from);
            let to = clipped.end_of(mark.to).max(from);
            let mut text = mark.text.clone();
            if !clipped.shows(mark.from) {
                text.push_str(&format!(" (in column {})", mark.at.column));
            }
            let middle = clipped
                .text
                .get(..(from + to) / 2)
                .map_or(0, width::columns);
            let free = columns.saturating_sub(middle + ELBOW).max(LABEL - ELBOW);
            let text = prose::lines(&text, free, free).join("\n");
            let text = Some(text).filter(|text| !text.is_empty());
            let span = SourceSpan::from((offset + from, to - from));
            self.labels.push(if mark.primary {
                LabeledSpan::new_primary_with_span(text, span)
            } else {
                LabeledSpan::new_with_span(text, span)
            });
            self.places.push((
                (mark.at.line as usize).saturating_sub(1),
                (mark.at.column as usize).saturating_sub(1),
            ));
        }
        self.text.push_str(&clipped.text);
        self.text.push('\n');
        self.lines += 1;
    }

    /// The labels, with spans in this copy.
    pub(super) fn labels(&self) -> &[LabeledSpan] {
        &self.labels
    }
}

impl SourceCode for Excerpt {
    /// The whole excerpt; or, where no context is requested, the place of a label in its file.
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        lines_before: usize,
        _lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (line, column) = if lines_before == 0 {
            let known = self.labels.iter().position(|label| label.inner() == span);
            known
                .and_then(|index| self.places.get(index))
                .copied()
                .ok_or(MietteError::OutOfBounds)?
        } else {
            (self.first, 0)
        };
        Ok(Box::new(MietteSpanContents::new_named(
            self.path.clone(),
            self.text.as_bytes(),
            SourceSpan::from((0, self.text.len())),
            line,
            column,
            self.lines,
        )))
    }
}
