//! The slip behind a fault in the syntax: a bracket that is not closed, a colon that is not there. The
//! parser finds the fault where it can go on no longer, which is often a line further down.

use crate::source::{SourceId, Span};

use super::error::DocumentError;
use super::offset::offset;

/// A bracket that opened a list or mapping.
#[derive(Clone, Copy)]
struct Opened {
    at: usize,
    bracket: char,
    line: usize,
    indent: usize,
}

/// The error, told by the slip that it comes of where one is plain to see.
pub(super) fn explained(source: SourceId, text: &str, error: DocumentError) -> DocumentError {
    let at = text.floor_char_boundary(error.span.start as usize);
    let (before, after) = text.split_at(at);
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = before.matches('\n').count() + 1;
    let indent = indent_of(&text[start..]);
    let ends = after.trim().is_empty();
    match still_open(before).last() {
        Some(open) if open.line < line => unclosed(source, text, *open, (indent, ends), error),
        Some(_) => error,
        None => lost_colon(source, text, start, error),
    }
}

fn indent_of(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Tells of a bracket of an earlier line. What stands no deeper than the bracket's own line belongs to it
/// no more; deeper down the fault itself is reported, with the bracket beside it.
fn unclosed(
    source: SourceId,
    text: &str,
    open: Opened,
    (indent, ends): (usize, bool),
    mut error: DocumentError,
) -> DocumentError {
    let bracket = Span::new(source, offset(open.at), offset(open.at + 1));
    if error.span == bracket {
        return error;
    }
    let (line, sign) = (open.line, open.bracket);
    let closing = if sign == '{' { '}' } else { ']' };
    let outside = outside(text, open).filter(|at| *at <= error.span.start as usize);
    if outside.is_some() || indent <= open.indent || ends {
        error.message = format!("the `{sign}` on line {line} is not closed before this");
        error.help = Some(format!("close it with `{closing}`"));
    }
    if let Some(at) = outside {
        let width = text[at..].chars().next().map_or(0, char::len_utf8);
        error.span = Span::new(source, offset(at), offset(at + width));
    }
    error.related(bracket, format!("this `{sign}` is not closed"))
}

/// Where the first line after a bracket begins that stands no deeper than the bracket's own and closes
/// nothing.
fn outside(text: &str, open: Opened) -> Option<usize> {
    let mut at = open.at + text[open.at..].find('\n')? + 1;
    for line in text[at..].split_inclusive('\n') {
        let (indent, bare) = (indent_of(line), line.trim());
        let more = bare.is_empty() || bare.starts_with(['#', ']', '}']);
        if !more && indent <= open.indent {
            return Some(at + indent);
        }
        at += line.len();
    }
    None
}

/// The brackets that are open at the end of a text. Those within texts, comments and blocks of text are
/// no brackets; a bracket outside all others is one only where a value begins.
fn still_open(text: &str) -> Vec<Opened> {
    let mut open: Vec<Opened> = Vec::new();
    // The line that begins a block of text is followed by deeper ones, which are that text.
    let mut block: Option<usize> = None;
    let mut quote: Option<char> = None;
    let mut at_line = 0;
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let indent = indent_of(line);
        let blank = line.trim().is_empty();
        if block.is_some_and(|outer| blank || indent > outer) {
            at_line += line.len();
            continue;
        }
        block = None;
        let mut last = '\n';
        let mut blank_before = true;
        for (at, character) in line.char_indices() {
            let starts = matches!(last, '\n' | ':' | '-' | ',' | '[' | '{' | '?');
            match (quote, character) {
                (Some(sign), _) => {
                    // A quote that is written twice or after a backslash ends nothing; as one that ends
                    // and begins anew it comes to the same.
                    let escaped = sign == '"' && line[..at].ends_with('\\');
                    if character == sign && !escaped {
                        quote = None;
                        last = sign;
                    }
                    continue;
                }
                (None, '"' | '\'') if starts || last == character => quote = Some(character),
                (None, '#') if blank_before => break,
                (None, '[' | '{') if starts => open.push(Opened {
                    at: at_line + at,
                    bracket: character,
                    line: number + 1,
                    indent,
                }),
                (None, ']' | '}') => {
                    open.pop();
                }
                _ => {}
            }
            blank_before = character.is_whitespace();
            if !blank_before {
                last = character;
            }
        }
        let bare = line.split(" #").next().unwrap_or(line).trim_end();
        let header = bare.rsplit(' ').next().unwrap_or("");
        let starts_block = header.starts_with(['|', '>'])
            && header[1..]
                .bytes()
                .all(|byte| matches!(byte, b'-' | b'+' | b'1'..=b'9'));
        if open.is_empty() && quote.is_none() && starts_block {
            block = Some(indent);
        }
        at_line += line.len();
    }
    open
}

/// Tells of a field whose colon is lost, or the blank after it: on the line of the fault, or on the last
/// one before it.
fn lost_colon(source: SourceId, text: &str, start: usize, error: DocumentError) -> DocumentError {
    let line_at = |start: usize| text[start..].lines().next().unwrap_or("");
    let mut lines = vec![(start, line_at(start))];
    let mut before = text[..start].lines().rev();
    let mut at = start;
    while at > 0 {
        let Some(line) = before.next() else { break };
        at = text[..at - 1].rfind('\n').map_or(0, |end| end + 1);
        let bare = line.trim();
        if !bare.is_empty() && !bare.starts_with('#') {
            lines.push((at, line));
            break;
        }
    }
    let depth = indent_of(line_at(start));
    for (number, (at, line)) in lines.into_iter().enumerate() {
        // The line before is a field only where the fault stands as deep as it; an item is one only where
        // the item goes on. Otherwise either is a text that ends there.
        let item = line.trim_start().starts_with('-');
        let before = number > 0;
        let goes_on = match (before, item) {
            (false, item) => !item,
            (true, false) => depth >= indent_of(line),
            (true, true) => depth > indent_of(line),
        };
        if !goes_on {
            continue;
        }
        let Some((column, word, help)) = without_colon(line) else {
            continue;
        };
        let span = Span::new(
            source,
            offset(at + column),
            offset(at + column + word.len()),
        );
        let mut told = error;
        told.message = "a field has its name, a colon and a blank before its value".to_owned();
        told.help = Some(help);
        told.span = span;
        return told;
    }
    error
}

/// The first word of a line that has no colon where its field should have one: its place in the line, the
/// word, and what to do.
fn without_colon(line: &str) -> Option<(usize, &str, String)> {
    let bare = line.split(" #").next().unwrap_or(line).trim_end();
    let inner = bare.trim_start_matches([' ', '-']);
    let column = bare.len() - inner.len();
    if inner.contains(": ") || inner.ends_with(':') {
        return None;
    }
    let is_name = |character: char| character.is_ascii_lowercase() || character == '_';
    let end = inner.find(|character| !is_name(character));
    let (word, rest) = inner.split_at(end.unwrap_or(inner.len()));
    if word.is_empty() {
        return None;
    }
    let help = match rest.as_bytes().first() {
        None | Some(b' ') => format!("put a colon after `{word}`"),
        Some(b':') => format!("put a blank after `{word}:`"),
        Some(_) => return None,
    };
    Some((column, word, help))
}
