//! The slip behind a fault in the syntax.

use super::DocumentErrorKind as Kind;
use super::tests_errors::{check, errors};

/// A slip is reported where it was made, and not where the parser gives up.
#[test]
fn slips() {
    let colon = "a field has its name, a colon and a blank before its value";
    for (text, place, covered, message, help) in [
        (
            "a: 1\nbed 2\nc: 3\n",
            (2, 1),
            "bed",
            colon,
            "put a colon after `bed`",
        ),
        (
            "a: 1\nbed\n  c: 3\n",
            (2, 1),
            "bed",
            colon,
            "put a colon after `bed`",
        ),
        (
            "a: 1\nbed:2\nc: 3\n",
            (2, 1),
            "bed",
            colon,
            "put a blank after `bed:`",
        ),
        (
            "a: { b: 1\nc: 2\n",
            (2, 1),
            "c",
            "the `{` on line 1 is not closed before this",
            "close it with `}`",
        ),
        (
            "a:\n  - { b: [1, 2 }\n  - { b: [1, 2] }\n",
            (2, 10),
            "[",
            "this `[` is closed by `}`",
            "close `[` with `]` and `{` with `}`",
        ),
    ] {
        let error = check(text, Kind::Syntax, place, covered, message);
        assert_eq!(error.help.as_deref(), Some(help), "{text:?}");
    }
    // Brackets within texts, comments and blocks of text are none.
    let text = "a: see [this\nb: 'x { y' # {\nc: |\n  {\nd: 1\n e: 2\n";
    assert!(errors(text)[0].related.is_none(), "{:?}", errors(text));
}
