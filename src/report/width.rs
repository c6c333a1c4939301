//! How many columns of a terminal text takes.

use unicode_normalization::char::is_combining_mark;

/// Columns that a character takes: none for a mark on the one before, two for the wide East Asian
/// and emoji blocks, one for every other.
///
/// The wide blocks are those of Unicode Standard Annex #11 (East Asian Width), W and F, each taken
/// from its first to its last wide character, code points without a character among them. Marks
/// that take a column of their own, as some Indic scripts have, are counted as taking none.
pub(super) fn of_char(character: char) -> usize {
    if character.is_ascii() {
        return 1;
    }
    let wide = matches!(u32::from(character),
        0x1100..=0x115f
        | 0x231a..=0x231b
        | 0x2329..=0x232a
        | 0x23e9..=0x23ec
        | 0x23f0
        | 0x23f3
        | 0x25fd..=0x25fe
        | 0x2614..=0x2615
        | 0x2648..=0x2653
        | 0x267f
        | 0x2693
        | 0x26a1
        | 0x26aa..=0x26ab
        | 0x26bd..=0x26be
        | 0x26c4..=0x26c5
        | 0x26ce
        | 0x26d4
        | 0x26ea
        | 0x26f2..=0x26f3
        | 0x26f5
        | 0x26fa
        | 0x26fd
        | 0x2705
        | 0x270a..=0x270b
        | 0x2728
        | 0x274c
        | 0x274e
        | 0x2753..=0x2755
        | 0x2757
        | 0x2795..=0x2797
        | 0x27b0
        | 0x27bf
        | 0x2b1b..=0x2b1c
        | 0x2b50
        | 0x2b55
        | 0x2e80..=0x3029
        | 0x3030..=0x303e
        | 0x3041..=0x3096
        | 0x309b..=0x3247
        | 0x3250..=0x4dbf
        | 0x4e00..=0xa4cf
        | 0xa960..=0xa97f
        | 0xac00..=0xd7a3
        | 0xf900..=0xfaff
        | 0xfe30..=0xfe6f
        | 0xff01..=0xff60
        | 0xffe0..=0xffe6
        | 0x17000..=0x18cff
        | 0x1b000..=0x1b2ff
        | 0x1f300..=0x1f320
        | 0x1f32d..=0x1f335
        | 0x1f337..=0x1f37c
        | 0x1f37e..=0x1f393
        | 0x1f3a0..=0x1f3ca
        | 0x1f3cf..=0x1f3d3
        | 0x1f3e0..=0x1f3f0
        | 0x1f3f4
        | 0x1f3f8..=0x1f43e
        | 0x1f440
        | 0x1f442..=0x1f4fc
        | 0x1f4ff..=0x1f53d
        | 0x1f54b..=0x1f54e
        | 0x1f550..=0x1f567
        | 0x1f57a
        | 0x1f595..=0x1f596
        | 0x1f5a4
        | 0x1f5fb..=0x1f64f
        | 0x1f680..=0x1f6c5
        | 0x1f6cc
        | 0x1f6d0..=0x1f6d2
        | 0x1f6d5..=0x1f6d7
        | 0x1f7e0..=0x1f7eb
        | 0x1f7f0
        | 0x1f90c..=0x1f93a
        | 0x1f93c..=0x1f945
        | 0x1f947..=0x1f9ff
        | 0x1fa70..=0x1faff
        | 0x20000..=0x3fffd);
    // The later letters of a Hangul syllable stand within its first one.
    let inner = matches!(u32::from(character), 0x1160..=0x11ff | 0xd7b0..=0xd7fb);
    match character {
        _ if wide => 2,
        _ if inner || is_combining_mark(character) => 0,
        _ => 1,
    }
}

/// Columns that a printable text takes.
pub(super) fn of(text: &str) -> usize {
    text.chars().map(of_char).sum()
}
