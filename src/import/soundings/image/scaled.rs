//! Whether the numbers of an image are to be multiplied or moved before they are heights.

use crate::document::xml::{Attribute, Visitor, XmlLimits, attribute, walk};
use crate::import::fault::{Fault, excerpt};
use crate::import::lines::number;

/// Refuses an image whose metadata state a scale or an offset of its numbers, which are then no heights as they stand.
///
/// # Errors
/// Such metadata, and some that cannot be read.
pub(super) fn refuse(metadata: &str) -> Result<(), Fault> {
    let mut items = Items {
        role: None,
        stated: None,
    };
    if walk(metadata.trim(), &XmlLimits::GEODATA, &mut items).is_err() {
        return Err(Fault::whole(
            "the metadata of the image cannot be read; a scale of its numbers may stand there",
        ));
    }
    match items.stated {
        None => Ok(()),
        Some((role, value)) => Err(Fault::whole(format!(
            "the image states the {role} `{}` of its numbers, which is not applied here; write it out with numbers \
             that are heights or depths themselves",
            excerpt(&value)
        ))),
    }
}

/// Looks through the items of metadata.
struct Items {
    /// What the item says that is open, and what it is the same as.
    role: Option<(&'static str, f64)>,
    /// The first scale or offset that changes a number.
    stated: Option<(&'static str, String)>,
}

impl Visitor for Items {
    fn open(&mut self, _: &[String], attributes: &[Attribute]) -> Result<(), String> {
        self.role = match attribute(attributes, "role") {
            Some("scale") => Some(("scale", 1.0)),
            Some("offset") => Some(("offset", 0.0)),
            _ => None,
        };
        Ok(())
    }

    fn close(&mut self, _: &[String], text: &str) -> Result<(), String> {
        let Some((role, none)) = self.role.take() else {
            return Ok(());
        };
        let changes = number(text).is_none_or(|value| value.is_nan() || (value - none).abs() > 0.0);
        if changes && self.stated.is_none() {
            self.stated = Some((role, text.trim().to_owned()));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::refuse;

    fn item(role: &str, value: &str) -> String {
        format!(
            "<Metadata>\n  <Item name=\"AREA\">5</Item>\n  <Item name=\"X\" sample=\"0\" role=\"{role}\">{value}</Item>\n\
             </Metadata>\n"
        )
    }

    #[test]
    fn a_scale_or_an_offset_that_changes_numbers_is_refused() {
        for (text, due) in [
            (item("scale", "0.01"), "the scale `0.01`"),
            (item("offset", "-100"), "the offset `-100`"),
            (item("scale", "a tenth"), "the scale `a tenth`"),
            (item("scale", "nan"), "the scale `nan`"),
            ("<Metadata>".to_owned(), "cannot be read"),
        ] {
            let told = refuse(&text).unwrap_err().message;
            assert!(told.contains(due), "{text}: {told}");
        }
        for text in [
            item("scale", "1"),
            item("offset", "0.0"),
            item("unittype", "m"),
        ] {
            assert!(refuse(&text).is_ok(), "{text}");
        }
    }
}
