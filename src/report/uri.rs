//! Paths as references that a reader of a report can follow.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// What stands for something else in a reference: everything but the unreserved characters
/// (RFC 3986, section 2.3) and the `/` between folders.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// A path as a relative reference: a byte that could end the link, or mean more than a name, is
/// written in percent (RFC 3986, section 2.1).
pub(super) fn relative_reference(path: &str) -> String {
    utf8_percent_encode(path, ENCODED).to_string()
}

#[cfg(test)]
mod tests {
    use super::relative_reference;

    #[test]
    fn a_reference_holds_nothing_that_ends_it() {
        assert_eq!(relative_reference("../a b/(c).svg"), "../a%20b/%28c%29.svg");
        assert_eq!(relative_reference("ä]<"), "%C3%A4%5D%3C");
        assert_eq!(relative_reference("a-z_0~9.yaml"), "a-z_0~9.yaml");
        assert_eq!(relative_reference("50%25?#\u{7f}"), "50%2525%3F%23%7F");
    }
}
