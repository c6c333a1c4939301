//! How many columns of a terminal text takes, by the tables of Unicode Standard Annex #11 (East Asian
//! Width) as the crate `unicode-width` has them.

use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// Columns that a character takes by itself: two where it is wide, none where it is a mark on the one
/// before or does not show. A control character counts as one, and is shown as an escape anyway.
pub(super) fn columns_of_char(character: char) -> usize {
    character.width().unwrap_or(1)
}

/// Columns that a printable text takes. Characters that are drawn as one count as one, so that it may
/// be fewer than those of its characters together.
#[must_use]
pub(crate) fn columns(text: &str) -> usize {
    text.width()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Classes W and F of the annex take two columns, Na, H and N one, and so does A (ambiguous) outside
    /// East Asian typography (Unicode Standard Annex #11, section 5).
    #[test]
    fn wide_and_fullwidth_characters_take_two_columns() {
        for (text, expected) in [
            ("Weir 3", 6),
            ("M\u{fc}hle", 5),
            ("\u{6c34}\u{6df1}", 4),
            ("\u{30c0}\u{30e0}", 4),
            ("\u{ff37}\u{ff13}", 4),
            ("\u{ff80}\u{ff9e}", 2),
            ("\u{d55c}", 2),
            ("\u{1f6a4}", 2),
            ("\u{2212}5 \u{b0} \u{2026} \u{2500}", 8),
        ] {
            assert_eq!(columns(text), expected, "{text}");
            let each: usize = text.chars().map(columns_of_char).sum();
            assert_eq!(each, expected, "{text}");
        }
    }

    /// The composed and the decomposed spelling of a text are drawn alike (Unicode Standard Annex #15),
    /// a syllable of Hangul in its letters as well.
    #[test]
    fn marks_take_no_column_of_their_own() {
        for (composed, decomposed) in [
            ("M\u{fc}hle", "Mu\u{308}hle"),
            ("\u{e9}tang", "e\u{301}tang"),
            ("\u{1ead}", "a\u{323}\u{302}"),
            ("\u{d55c}", "\u{1112}\u{1161}\u{11ab}"),
        ] {
            assert_eq!(columns(composed), columns(decomposed), "{composed}");
        }
        assert_eq!(columns(&format!("x{}", "\u{301}".repeat(100))), 1);
        // A vowel sign above its letter (general category Mn) takes none; one beside it (Mc) takes its own.
        assert_eq!(columns("\u{915}\u{947}"), 1);
        assert_eq!(columns("\u{915}\u{93e}"), 2);
    }

    #[test]
    fn characters_that_do_not_show_take_no_column() {
        for character in ['\u{200b}', '\u{200d}', '\u{2060}', '\u{feff}', '\u{fe0f}'] {
            assert_eq!(columns_of_char(character), 0, "{character:?}");
            assert_eq!(columns(&format!("a{character}b")), 2, "{character:?}");
        }
    }

    /// A skin tone after a hand is one picture (Unicode Technical Standard #51); taken apart it would be two.
    #[test]
    fn characters_that_are_drawn_as_one_count_as_one() {
        let hand = "\u{1f44d}\u{1f3fd}";
        assert_eq!(columns(hand), 2);
        assert_eq!(hand.chars().map(columns_of_char).sum::<usize>(), 4);
    }
}
