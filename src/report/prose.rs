//! Prose from files and models, made printable and broken at a width.

use std::borrow::Cow;

use super::paint::{Look, paint};
use super::width;
use crate::source::printable_line;

/// The width prose is broken at and whether it may be coloured.
#[derive(Clone, Copy)]
pub(super) struct Page {
    /// Columns.
    pub width: usize,
    /// Whether colour is wanted.
    pub colour: bool,
}

/// What a paragraph begins with: spaces, then words of its own look.
pub(super) struct Lead<'a> {
    /// Columns left free.
    pub indent: usize,
    /// The words, which need not be printable.
    pub words: &'a str,
    /// How they look.
    pub look: Look,
}

/// The words of a text, made printable. Line breaks and tabs part words as spaces do, so that
/// text of a file cannot begin a line of its own.
fn printable_words(text: &str) -> impl Iterator<Item = Cow<'_, str>> {
    text.split_ascii_whitespace().map(printable_line)
}

/// Whether two words are better not parted: a number and its unit, the parts of a position.
fn belong_together(first: &str, second: &str) -> bool {
    let unit = second.chars().count() <= 5 && !second.starts_with(|c: char| c.is_ascii_digit());
    let number = first.len() <= 12 && first.ends_with(|c: char| c.is_ascii_digit());
    let position = first.starts_with('[') && first.ends_with(',') && first.len() <= 12;
    number && unit || position
}

/// A text on one line, printable.
pub(super) fn on_one_line(text: &str) -> String {
    let words: Vec<_> = printable_words(text).collect();
    words.join(" ")
}

/// Breaks a text into lines of at most so many columns; the first has less room where something
/// stands before it. A word that is longer than a line is broken anywhere.
pub(super) fn lines(text: &str, first: usize, rest: usize) -> Vec<String> {
    let rest = rest.max(1);
    let mut done = Vec::new();
    let mut line = String::new();
    let (mut used, mut room) = (0, first);
    let mut words = printable_words(text).peekable();
    while let Some(mut word) = words.next() {
        if let Some(next) = words.next_if(|next| belong_together(&word, next)) {
            word = Cow::Owned(format!("{word} {next}"));
        }
        let wide = width::columns(&word);
        let gap = usize::from(!line.is_empty());
        if used + gap + wide <= room {
            if gap == 1 {
                line.push(' ');
            }
            line.push_str(&word);
            used += gap + wide;
            continue;
        }
        if !line.is_empty() || done.is_empty() && wide <= rest {
            done.push(std::mem::take(&mut line));
            (used, room) = (0, rest);
        }
        for character in word.chars() {
            let wide = width::columns_of_char(character);
            if used + wide > room {
                done.push(std::mem::take(&mut line));
                (used, room) = (0, rest);
            }
            line.push(character);
            used += wide;
        }
    }
    if !line.is_empty() || done.is_empty() {
        done.push(line);
    }
    done
}

/// Wraps each line of a text at a width; further lines are indented as the line that they go on
/// from, and past the mark of a list.
#[must_use]
pub(crate) fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let body = line.trim_start();
        let indent = line.len() - body.len();
        let hang = indent + if body.starts_with("- ") { 2 } else { 0 };
        let (first, rest) = (width.saturating_sub(indent), width.saturating_sub(hang));
        for (number, part) in lines(body, first, rest).iter().enumerate() {
            let blank = if part.is_empty() {
                0
            } else if number == 0 {
                indent
            } else {
                hang
            };
            out.push_str(&" ".repeat(blank));
            out.push_str(part);
            out.push('\n');
        }
    }
    out
}

/// Writes a paragraph; its further lines hang `hang` columns in.
pub(super) fn paragraph(out: &mut String, page: Page, lead: &Lead<'_>, hang: usize, text: &str) {
    let own = on_one_line(lead.words);
    let before = lead.indent + width::columns(&own) + usize::from(!own.is_empty());
    out.push_str(&" ".repeat(lead.indent));
    out.push_str(&paint(&own, lead.look, page.colour));
    let first = page.width.saturating_sub(before);
    let rest = page.width.saturating_sub(hang);
    for (number, line) in lines(text, first, rest).iter().enumerate() {
        if number > 0 {
            out.push('\n');
            out.push_str(&" ".repeat(hang));
        } else if !own.is_empty() && !line.is_empty() {
            out.push(' ');
        }
        out.push_str(line);
    }
    out.push('\n');
}

/// What the items of a list begin with.
#[derive(Clone, Copy)]
pub(super) enum Sign {
    /// A dash.
    Dash,
    /// Their number.
    Number,
}

/// Writes a heading with a list below it; nothing where the list is empty.
pub(super) fn list(
    out: &mut String,
    page: Page,
    indent: usize,
    heading: &str,
    items: &[String],
    sign: Sign,
) {
    if items.is_empty() {
        return;
    }
    let lead = Lead {
        indent,
        words: heading,
        look: Look::Heading,
    };
    paragraph(out, page, &lead, indent, "");
    let indent = indent + 2;
    for (number, item) in (1..).zip(items) {
        let sign = match sign {
            Sign::Dash => "-".to_owned(),
            Sign::Number => format!("{number}."),
        };
        let lead = Lead {
            indent,
            words: &sign,
            look: Look::Quiet,
        };
        paragraph(out, page, &lead, indent + sign.len() + 1, item);
    }
}
