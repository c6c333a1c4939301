//! XML files read as a stream of elements, for the formats of others that plans come from and go
//! to. What a plain file of positions does not need is refused: document types and the entities
//! that they define, other encodings, depth without end.

use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use quick_xml::reader::Reader;

/// The bounds on one file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct XmlLimits {
    /// Elements inside one another.
    pub depth: usize,
    /// Elements in the file.
    pub elements: usize,
}

impl XmlLimits {
    /// For a file of routes or of a track.
    pub(crate) const GEODATA: Self = Self {
        depth: 32,
        elements: 4_000_000,
    };
}

/// What is wrong with a file, and on which line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub(crate) struct XmlError {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// In a clause.
    pub message: String,
}

/// An attribute's name and value.
pub(crate) type Attribute = (String, String);

/// Who is told of the elements. A path holds the names of the elements that are open, without their
/// prefixes, from the root to the one in question.
pub(crate) trait Visitor {
    /// Whatever comes next begins at this byte of the text; told before every other call.
    fn at(&mut self, _offset: usize) {}

    /// An element begins.
    ///
    /// # Errors
    /// What is wrong with it, in a clause; the reading ends there.
    fn open(&mut self, path: &[String], attributes: &[Attribute]) -> Result<(), String>;

    /// An element ends; `text` is what it holds itself, without that of the elements in it.
    ///
    /// # Errors
    /// As [`Self::open`].
    fn close(&mut self, path: &[String], text: &str) -> Result<(), String>;
}

/// The value of an attribute.
#[must_use]
pub(crate) fn attribute<'a>(attributes: &'a [Attribute], name: &str) -> Option<&'a str> {
    attributes
        .iter()
        .find(|(key, _)| key == name)
        .map(|(_, value)| value.as_str())
}

/// Reads a file from its first element to its last.
///
/// # Errors
/// What is not well formed, is refused or past the limits, and what the visitor finds.
pub(crate) fn walk(
    text: &str,
    limits: &XmlLimits,
    visitor: &mut dyn Visitor,
) -> Result<(), XmlError> {
    let whole = text.len();
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let before = whole - text.len();
    let mut reader = Reader::from_str(text);
    let mut walker = Walker {
        limits,
        visitor,
        path: Vec::new(),
        texts: Vec::new(),
        elements: 0,
        rooted: false,
    };
    let mut lines = Lines::new(text);
    loop {
        let offset = reader.buffer_position();
        let line = lines.at(offset);
        walker
            .visitor
            .at(before + usize::try_from(offset).unwrap_or(whole));
        let event = match reader.read_event() {
            Ok(event) => event,
            Err(error) => {
                let line = lines.at(reader.error_position());
                return Err(XmlError {
                    line,
                    column: lines.column(),
                    message: format!("this is not well-formed XML: {error}"),
                });
            }
        };
        match walker.take(event) {
            Ok(true) => {}
            Ok(false) => return Ok(()),
            Err(message) => {
                let column = lines.column();
                return Err(XmlError {
                    line,
                    column,
                    message,
                });
            }
        }
    }
}

struct Walker<'a> {
    limits: &'a XmlLimits,
    visitor: &'a mut dyn Visitor,
    path: Vec<String>,
    texts: Vec<String>,
    elements: usize,
    /// Whether the root has begun.
    rooted: bool,
}

impl Walker<'_> {
    /// Takes one event; false at the end.
    fn take(&mut self, event: Event<'_>) -> Result<bool, String> {
        match event {
            Event::Start(start) => self.open(&start)?,
            Event::Empty(start) => {
                self.open(&start)?;
                self.close()?;
            }
            Event::End(_) => self.close()?,
            Event::Text(text) => self.add(&text.xml10_content())?,
            Event::CData(data) => self.add(&data.xml10_content())?,
            Event::GeneralRef(reference) => {
                let resolved = match reference.resolve_char_ref() {
                    Ok(Some(character)) => character.to_string(),
                    Ok(None) => predefined(&reference)?.to_owned(),
                    Err(error) => return Err(error.to_string()),
                };
                self.add(&resolved)?;
            }
            Event::DocType(_) => {
                return Err("a document type is not read, nor are entities of its own".to_owned());
            }
            Event::Decl(declaration) => {
                let encoding = declaration.encoding();
                let encoding = encoding.and_then(Result::ok);
                let encoding = encoding.as_deref().unwrap_or("UTF-8");
                if !["utf-8", "us-ascii"].contains(&encoding.to_ascii_lowercase().as_str()) {
                    return Err("the file says that it is not in UTF-8".to_owned());
                }
            }
            Event::Comment(_) | Event::PI(_) => {}
            Event::Eof if self.path.is_empty() && self.rooted => return Ok(false),
            Event::Eof => {
                return Err(match self.path.last() {
                    Some(open) => format!("the file ends within `{open}`"),
                    None => "there is no element in the file".to_owned(),
                });
            }
        }
        Ok(true)
    }

    fn open(&mut self, start: &BytesStart<'_>) -> Result<(), String> {
        if self.path.is_empty() && self.rooted {
            return Err("a second root element begins here".to_owned());
        }
        self.rooted = true;
        self.elements += 1;
        if self.path.len() >= self.limits.depth {
            return Err(format!(
                "elements lie more than {} deep in one another",
                self.limits.depth
            ));
        }
        if self.elements > self.limits.elements {
            return Err(format!(
                "there are more than {} elements",
                self.elements - 1
            ));
        }
        let mut attributes = Vec::new();
        for attribute in start.attributes() {
            let attribute = attribute.map_err(|error| error.to_string())?;
            let value = attribute
                .normalized_value(XmlVersion::Implicit1_0)
                .map_err(|error| error.to_string())?;
            legal(&value)?;
            attributes.push((attribute.key.as_ref().to_owned(), value.into_owned()));
        }
        self.path.push(start.local_name().as_ref().to_owned());
        self.texts.push(String::new());
        self.visitor.open(&self.path, &attributes)
    }

    fn close(&mut self) -> Result<(), String> {
        let text = self.texts.pop().unwrap_or_default();
        self.visitor.close(&self.path, text.trim())?;
        self.path.pop();
        Ok(())
    }

    fn add(&mut self, text: &str) -> Result<(), String> {
        legal(text)?;
        match self.texts.last_mut() {
            Some(open) => open.push_str(text),
            None if text.trim().is_empty() => {}
            None => return Err("there is text outside of any element".to_owned()),
        }
        Ok(())
    }
}

/// The five entities that every XML file has (XML 1.0, section 4.6).
fn predefined(name: &str) -> Result<&'static str, String> {
    Ok(match name {
        "lt" => "<",
        "gt" => ">",
        "amp" => "&",
        "apos" => "'",
        "quot" => "\"",
        _ => return Err("an entity is named that XML does not define itself".to_owned()),
    })
}

/// Refuses characters that XML 1.0 (section 2.2) does not allow, written out or by their number.
fn legal(text: &str) -> Result<(), String> {
    let allowed = |c: char| matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..);
    match text.chars().find(|c| !allowed(*c)) {
        Some(bad) => Err(format!(
            "the character U+{:04X} has no place in an XML file",
            u32::from(bad)
        )),
        None => Ok(()),
    }
}

/// Lines by offsets that only grow.
struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            text: text.as_bytes(),
            at: 0,
            line: 1,
        }
    }

    fn at(&mut self, offset: u64) -> usize {
        let offset = usize::try_from(offset).unwrap_or(usize::MAX);
        let offset = offset.clamp(self.at, self.text.len().max(self.at));
        let passed = &self.text[self.at..offset];
        self.line += passed.iter().filter(|byte| **byte == b'\n').count();
        self.at = offset;
        self.line
    }

    /// The column of the offset that was looked up last.
    fn column(&self) -> usize {
        let before = self.text.get(..self.at).unwrap_or_default();
        let from = before.iter().rposition(|byte| *byte == b'\n');
        let line = before.get(from.map_or(0, |at| at + 1)..);
        1 + String::from_utf8_lossy(line.unwrap_or_default())
            .chars()
            .count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Keeps what it is told.
    #[derive(Default)]
    struct Kept(Vec<String>);

    impl Visitor for Kept {
        fn open(&mut self, path: &[String], attributes: &[Attribute]) -> Result<(), String> {
            self.0.push(format!("+{} {attributes:?}", path.join("/")));
            Ok(())
        }
        fn close(&mut self, path: &[String], text: &str) -> Result<(), String> {
            self.0.push(format!("-{} {text}", path.join("/")));
            Ok(())
        }
    }

    const SMALL: XmlLimits = XmlLimits {
        depth: 4,
        elements: 5,
    };

    fn told(text: &str) -> Result<Vec<String>, String> {
        let mut kept = Kept::default();
        walk(text, &SMALL, &mut kept).map_err(|error| error.to_string())?;
        Ok(kept.0)
    }

    #[test]
    fn elements_come_with_path_attributes_and_their_own_text() {
        let text =
            "<?xml version='1.0'?><!-- c --><x:a q='1&amp;2'>o<b/>n&#x65;<![CDATA[<]]></x:a>";
        let due = ["+a [(\"q\", \"1&2\")]", "+a/b []", "-a/b ", "-a one<"];
        assert_eq!(told(text).unwrap(), due);
    }

    #[test]
    fn what_is_off_is_refused_on_its_line() {
        for (text, due) in [
            ("", "line 1: there is no element in the file"),
            ("no xml", "line 1: there is text outside of any element"),
            ("<a>\n<b>", "line 2: the file ends within `b`"),
            ("<a/>\n<b/>", "line 2: a second root element begins here"),
            (
                "<a>\n\n<b><c><d><e/></d></c></b></a>",
                "line 3: elements lie more than 4 deep in one another",
            ),
            (
                "<a><b/><b/><b/><b/>\n<b/></a>",
                "line 2: there are more than 5 elements",
            ),
            (
                "<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>",
                "line 1: a document type is not read, nor are entities of its own",
            ),
            (
                "<a>&b;</a>",
                "line 1: an entity is named that XML does not define itself",
            ),
            (
                "<a>&#27;</a>",
                "line 1: the character U+001B has no place in an XML file",
            ),
            (
                "<a q='&#1;'/>",
                "line 1: the character U+0001 has no place in an XML file",
            ),
            (
                "<?xml version='1.0' encoding='ISO-8859-1'?><a/>",
                "line 1: the file says that it is not in UTF-8",
            ),
        ] {
            assert_eq!(told(text).unwrap_err(), due, "{text}");
        }
        for text in [
            "<a></b>",
            "<a q=1/>",
            "<a q='1' q='2'/>",
            "<a",
            "<a q='&b;'/>",
        ] {
            assert!(told(text).is_err(), "{text}");
        }
    }
}
