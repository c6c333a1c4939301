//! What the writers share: degrees in digits, and XML.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

use crate::source::printable;

/// Degrees in digits: nine after the point, a tenth of a millimetre, without needless zeros.
pub(super) fn degrees(value: f64) -> String {
    let text = format!("{value:.9}");
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    let kept = decimals.trim_end_matches('0').len().max(6);
    let decimals = decimals.get(..kept).unwrap_or(decimals);
    let text = format!("{whole}.{decimals}");
    match text.strip_prefix('-') {
        // No minus before nothing.
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

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

#[cfg(test)]
mod tests {
    use super::degrees;

    #[test]
    fn degrees_keep_a_tenth_of_a_millimetre() {
        assert_eq!(degrees(52.396_063), "52.396063");
        assert_eq!(degrees(-24.310_461_234_567), "-24.310461235");
        assert_eq!(degrees(10.0), "10.000000");
        assert_eq!(degrees(-1e-10), "0.000000");
        assert_eq!(degrees(-0.000_000_002), "-0.000000002");
    }
}
