//! A file taken apart: every byte of it that is no blank belongs to a token.

use super::Unformatted;
use super::is_alias;
use super::values::Spelled;
use crate::document::{Node, Value};
use crate::source::Span;

/// What a piece of the text is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum What {
    /// A key or a scalar value.
    Scalar,
    /// `{` or `[`.
    Open,
    /// `}` or `]`.
    Close,
    Comma,
    Colon,
    /// The `-` before an item.
    Dash,
    /// `&name`.
    Anchor,
    /// `*name`.
    Alias,
    /// `---` or `...`.
    Marker,
    /// `|` or `>` with what belongs to it.
    Header,
    /// The lines of a block of text.
    Block,
    Comment,
    Newline,
}

/// A piece of the text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Token {
    pub what: What,
    /// Offset of its first byte.
    pub start: usize,
    /// How it is written.
    pub text: String,
}

/// The pieces of a text, in its order.
///
/// # Errors
/// [`Unformatted::Unusual`], where one of them is nothing that is laid out here.
pub(super) fn tokens(
    root: &Node,
    text: &str,
    spelled: &Spelled,
) -> Result<Vec<Token>, Unformatted> {
    let scalars = scalars(root, text);
    let mut scanner = Scanner {
        text,
        spelled,
        scalars: &scalars,
        at: 0,
        out: Vec::new(),
    };
    while scanner.at < text.len() {
        scanner.step()?;
    }
    Ok(scanner.out)
}

/// The places of all keys and scalar values, in order.
fn scalars(root: &Node, text: &str) -> Vec<Span> {
    let mut all = Vec::new();
    let mut open = vec![root];
    while let Some(node) = open.pop() {
        if is_alias(node, text) {
            continue;
        }
        match &node.value {
            Value::Map(entries) => {
                for entry in entries {
                    all.push(entry.key_span);
                    open.push(&entry.value);
                }
            }
            Value::List(items) => open.extend(items),
            // A value that is left out has the place of something else.
            Value::Null => {
                let raw = text.get(node.span.range()).unwrap_or_default();
                if matches!(raw, "~" | "null" | "Null" | "NULL") {
                    all.push(node.span);
                }
            }
            _ => all.push(node.span),
        }
    }
    all.retain(|span| !span.is_empty());
    all.sort_by_key(|span| (span.start, span.end));
    all.dedup();
    all
}

struct Scanner<'a> {
    text: &'a str,
    spelled: &'a Spelled,
    scalars: &'a [Span],
    at: usize,
    out: Vec<Token>,
}

impl Scanner<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or_default()
    }

    /// Takes so many bytes.
    fn take(&mut self, what: What, length: usize) {
        let text = self.rest().get(..length).unwrap_or_default().to_owned();
        self.out.push(Token {
            what,
            start: self.at,
            text,
        });
        self.at += length.max(1);
    }

    /// How many bytes until white space, or one of the marks of braces and brackets.
    fn word(&self) -> usize {
        let end = |c: char| c.is_whitespace() || matches!(c, ',' | '[' | ']' | '{' | '}');
        self.rest().find(end).unwrap_or(self.rest().len())
    }

    fn line(&self) -> usize {
        self.rest().find('\n').unwrap_or(self.rest().len())
    }

    fn next_scalar(&mut self) -> Option<Span> {
        while let Some((first, others)) = self.scalars.split_first() {
            if first.start as usize >= self.at {
                return Some(*first);
            }
            self.scalars = others;
        }
        None
    }

    fn step(&mut self) -> Result<(), Unformatted> {
        if let Some(span) = self.next_scalar()
            && span.start as usize == self.at
        {
            let raw = self.rest().get(..span.len() as usize).unwrap_or_default();
            let text = self.spelled.raw(span).unwrap_or(raw).to_owned();
            let start = self.at;
            self.at = span.end as usize;
            self.out.push(Token {
                what: What::Scalar,
                start,
                text,
            });
            return Ok(());
        }
        let starts_line = self.at == 0 || self.text.as_bytes()[self.at - 1] == b'\n';
        let marker = ["---", "..."]
            .iter()
            .any(|marker| self.rest().starts_with(marker));
        if starts_line && marker {
            self.take(What::Marker, 3);
            return Ok(());
        }
        let Some(first) = self.rest().chars().next() else {
            return Ok(());
        };
        match first {
            ' ' | '\t' | '\u{feff}' => self.at += first.len_utf8(),
            '\r' if self.rest().starts_with("\r\n") => self.at += 1,
            '\n' => self.take(What::Newline, 1),
            '#' => {
                let line = self.line();
                let length = self.rest()[..line].trim_end().len();
                self.take(What::Comment, length);
                self.at = self.at - length + line;
            }
            '{' | '[' => self.take(What::Open, 1),
            '}' | ']' => self.take(What::Close, 1),
            ',' => self.take(What::Comma, 1),
            ':' => self.take(What::Colon, 1),
            '-' => self.take(What::Dash, 1),
            '&' => self.take(What::Anchor, self.word()),
            '*' => self.take(What::Alias, self.word()),
            '|' | '>' => self.block()?,
            '?' => return Err(Unformatted::Unusual("a key after a question mark")),
            '\r' => {
                return Err(Unformatted::Unusual(
                    "lines that end in a carriage return alone",
                ));
            }
            _ => return Err(Unformatted::Unusual("a sign out of place")),
        }
        Ok(())
    }

    /// A block of text, with the sign before it.
    fn block(&mut self) -> Result<(), Unformatted> {
        let header = self.word();
        if self.rest()[..header].contains('+') {
            // The blank lines after it belong to it.
            return Err(Unformatted::Unusual("a block of text with `+`"));
        }
        self.take(What::Header, header);
        // A comment may stand behind it.
        while !self.rest().is_empty() && !self.rest().starts_with('\n') {
            self.step()?;
        }
        if !self.rest().is_empty() {
            self.take(What::Newline, 1);
        }
        let end = self
            .next_scalar()
            .map_or(self.at, |span| span.end as usize)
            .max(self.at);
        // An empty block has the place of nothing; what comes next is then something else.
        let lines = self.text.get(self.at..end).unwrap_or_default();
        let length = lines.trim_end_matches(['\n', '\r', ' ', '\t']).len();
        if length > 0 {
            // The blanks at the end of its last line are a part of it.
            let rest = &self.rest()[length..];
            let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
            self.take(What::Block, length + blanks);
        }
        Ok(())
    }
}
