//! A parsed document as a table of places, from which its tree is made again without being parsed: for
//! texts of the program's own, which are the same at each start.
//!
//! One line a key or value, in the order of the text: `{` and `[` with the bytes and how many entries or items
//! follow, `k` a key, `w` a bare word, and `t` a text with what it says behind its bytes. Keys and words are
//! read off the text itself.

#[cfg(test)]
use std::fmt::Write as _;
use std::str::Lines;

use super::build::Document;
use super::node::{Entry, Node, Value};
use super::scalar;
use crate::source::{SourceId, Span};

/// The depth to which a table is followed.
const DEEPEST: usize = 16;

/// A document as a table of lines; `None` where it holds something that a table cannot: a key in quotes, a
/// value that is left out, a mapping in brackets that begins at none.
#[cfg(test)]
#[must_use]
pub(crate) fn table(document: &Document, text: &str) -> Option<String> {
    let mut lines = String::new();
    write(&document.root, &mut lines)?;
    // What comes of it is what was put into it.
    (read(document.source, text, &lines).as_ref() == Some(document)).then_some(lines)
}

#[cfg(test)]
fn write(node: &Node, into: &mut String) -> Option<()> {
    let Span { start, end, .. } = node.span;
    match &node.value {
        Value::Map(entries) => {
            writeln!(into, "{{ {start} {end} {}", entries.len()).ok()?;
            for entry in entries {
                let Span { start, end, .. } = entry.key_span;
                writeln!(into, "k {start} {end}").ok()?;
                write(&entry.value, into)?;
            }
        }
        Value::List(items) => {
            writeln!(into, "[ {start} {end} {}", items.len()).ok()?;
            for item in items {
                write(item, into)?;
            }
        }
        Value::Text(says) if !node.plain => {
            let says = says.replace('\\', "\\\\").replace('\n', "\\n");
            writeln!(into, "t {start} {end} {says}").ok()?;
        }
        _ => writeln!(into, "w {start} {end}").ok()?,
    }
    Some(())
}

/// A document of a text by its table; `None` where the table is not of it.
#[must_use]
pub(crate) fn read(source: SourceId, text: &str, table: &str) -> Option<Document> {
    let mut reader = Reader {
        source,
        text,
        lines: table.lines(),
    };
    let root = reader.node(0)?;
    Some(Document { source, root })
}

struct Reader<'a> {
    source: SourceId,
    text: &'a str,
    lines: Lines<'a>,
}

impl<'a> Reader<'a> {
    fn node(&mut self, depth: usize) -> Option<Node> {
        let (sort, span, rest) = self.line()?;
        let mut plain = false;
        let value = match sort {
            _ if depth > DEEPEST => return None,
            "{" => {
                let count: usize = rest.parse().ok()?;
                let mut entries = Vec::with_capacity(count.min(self.text.len()));
                for _ in 0..count {
                    entries.push(self.entry(depth)?);
                }
                Value::Map(entries)
            }
            "[" => {
                let count: usize = rest.parse().ok()?;
                let mut items = Vec::with_capacity(count.min(self.text.len()));
                for _ in 0..count {
                    items.push(self.node(depth + 1)?);
                }
                Value::List(items)
            }
            "w" => {
                plain = true;
                scalar::resolve(self.text.get(span.range())?).ok()?
            }
            "t" => Value::Text(unescaped(rest)),
            _ => return None,
        };
        Some(Node { span, value, plain })
    }

    fn entry(&mut self, depth: usize) -> Option<Entry> {
        let ("k", key_span, _) = self.line()? else {
            return None;
        };
        Some(Entry {
            key: self.text.get(key_span.range())?.to_owned(),
            key_span,
            value: self.node(depth + 1)?,
        })
    }

    /// What a line is of, the bytes, and what follows.
    fn line(&mut self) -> Option<(&'a str, Span, &'a str)> {
        let line = self.lines.next()?;
        let mut parts = line.splitn(4, ' ');
        let sort = parts.next()?;
        let start: u32 = parts.next()?.parse().ok()?;
        let end: u32 = parts.next()?.parse().ok()?;
        let rest = parts.next().unwrap_or_default();
        (start <= end && end as usize <= self.text.len()).then_some(())?;
        Some((sort, Span::new(self.source, start, end), rest))
    }
}

fn unescaped(text: &str) -> String {
    if !text.contains('\\') {
        return text.to_owned();
    }
    let mut says = String::with_capacity(text.len());
    let mut characters = text.chars();
    while let Some(character) = characters.next() {
        let meant = match character {
            '\\' => characters
                .next()
                .map(|next| if next == 'n' { '\n' } else { next }),
            other => Some(other),
        };
        says.extend(meant);
    }
    says
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{ParseLimits, parse};
    use crate::source::Sources;

    fn parsed(text: &str) -> Document {
        let source = Sources::new().add("a.yaml", text);
        parse(source, text, &ParseLimits::YAML).expect("YAML")
    }

    #[test]
    fn a_document_comes_back_from_its_table() {
        for text in [
            "a: 1\nb: [x, 2.5, true, ~]\nc: { d: \"e\\\\f\" }\n",
            "# first\na: >-\n  one\n  two\nb: |\n  three\n\n  four\n",
            "a:\n  - b: 'it''s'\n  - c\n",
        ] {
            let document = parsed(text);
            let lines = table(&document, text).expect("all of it");
            let again = read(document.source, text, &lines);
            assert_eq!(again, Some(document), "{lines}");
        }
    }

    #[test]
    fn what_a_table_cannot_hold_has_none() {
        for text in ["\"a\": 1\n", "a:\nb: 1\n"] {
            assert_eq!(table(&parsed(text), text), None, "{text}");
        }
    }

    #[test]
    fn a_table_of_another_text_makes_nothing() {
        let text = "a: one\nb: two\n";
        let document = parsed(text);
        let lines = table(&document, text).expect("all of it");
        for other in ["a: one\n", ""] {
            assert_eq!(read(document.source, other, &lines), None);
        }
        for lines in [
            "",
            "{ 0 6 1",
            "x 0 1",
            "{ 0 6 99999999999\n",
            "w 5 2",
            "w 0",
        ] {
            assert_eq!(read(document.source, text, lines), None);
        }
    }
}
