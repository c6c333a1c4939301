//! What the writers share: XML.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use crate::source::printable;

/// An XML file in the making.
pub(super) struct Xml {
    out: Writer<Vec<u8>>,
}

impl Xml {
    pub(super) fn begin() -> io::Result<Self> {
        let mut out = Writer::new_with_indent(Vec::new(), b' ', 1);
        out.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
        Ok(Self { out })
    }

    pub(super) fn open(&mut self, name: &str, attributes: &[(&str, &str)]) -> io::Result<()> {
        let start = BytesStart::new(name).with_attributes(attributes.iter().copied());
        self.out.write_event(Event::Start(start))
    }

    pub(super) fn close(&mut self, name: &str) -> io::Result<()> {
        self.out.write_event(Event::End(BytesEnd::new(name)))
    }

    /// An element with nothing but text in it.
    pub(super) fn leaf(&mut self, name: &str, text: &str) -> io::Result<()> {
        self.leaf_with(name, &[], text)
    }

    pub(super) fn leaf_with(
        &mut self,
        name: &str,
        attributes: &[(&str, &str)],
        text: &str,
    ) -> io::Result<()> {
        self.open(name, attributes)?;
        let text = printable(text);
        self.out.write_event(Event::Text(BytesText::new(&text)))?;
        self.close(name)
    }

    pub(super) fn end(self) -> io::Result<String> {
        let mut text = String::from_utf8(self.out.into_inner()).map_err(io::Error::other)?;
        text.push('\n');
        Ok(text)
    }
}
