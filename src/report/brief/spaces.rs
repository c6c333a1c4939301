//! Numbers that stay on one line with their units.

use crate::units::is_unit;

/// A space that no line ends at.
const NO_BREAK: char = '\u{a0}';
/// What ends a word in the text of a page.
const ENDS: [char; 4] = [' ', '\n', '<', '&'];

/// A page with a no-break space between every number and its unit (as the SI brochure has a space
/// there, section 5.4.3, and one quantity is one word to whoever reads it). Only text is touched:
/// neither tags nor style sheets nor drawings, whose text does not wrap.
#[must_use]
pub(crate) fn unbroken(page: &str) -> String {
    let mut out = String::with_capacity(page.len() + 1024);
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        joined(&mut out, text);
        let end = match tag {
            _ if tag.starts_with("<style") => past(tag, "</style>"),
            _ if tag.starts_with("<svg") => past(tag, "</svg>"),
            _ => past(tag, ">"),
        };
        let (tag, after) = tag.split_at(end);
        out.push_str(tag);
        rest = after;
    }
    joined(&mut out, rest);
    out
}

fn past(text: &str, end: &str) -> usize {
    text.find(end).map_or(text.len(), |at| at + end.len())
}

fn joined(out: &mut String, text: &str) {
    let mut before = ' ';
    for (at, character) in text.char_indices() {
        let unit = character == ' ' && before.is_ascii_digit() && unit_follows(&text[at + 1..]);
        out.push(if unit { NO_BREAK } else { character });
        before = character;
    }
}

fn unit_follows(text: &str) -> bool {
    let word = text.split(ENDS).next().unwrap_or_default();
    is_unit(word.trim_end_matches(['.', ',', ';', ':', ')', '!', '?', '”', '…']))
}

#[cfg(test)]
mod tests {
    use super::unbroken;

    #[test]
    fn a_number_is_not_parted_from_its_unit() {
        let page = "<style>a{margin:1 m}</style><p title=\"1 m\">35 % of 4.2 m/s, (12 min) in 3 parts, \
                    10 m&quot;</p><svg><text>5 m</text></svg>6 V";
        assert_eq!(
            unbroken(page),
            "<style>a{margin:1 m}</style><p title=\"1 m\">35\u{a0}% of 4.2\u{a0}m/s, (12\u{a0}min) in 3 \
             parts, 10\u{a0}m&quot;</p><svg><text>5 m</text></svg>6\u{a0}V"
        );
    }
}
