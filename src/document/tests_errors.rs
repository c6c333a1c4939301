//! Every fault with its exact words and place.

use crate::source::{SourceFile, SourceId};

use super::DocumentErrorKind as Kind;
use super::*;

pub(super) fn errors(text: &str) -> Vec<DocumentError> {
    errors_within(text, &ParseLimits::YAML)
}

fn errors_within(text: &str, limits: &ParseLimits) -> Vec<DocumentError> {
    parse(SourceId(0), text, limits).expect_err(text)
}

/// One fault: its sort, where its span starts, what the span covers, and the message.
pub(super) fn check(
    text: &str,
    kind: Kind,
    place: (u32, u32),
    covered: &str,
    message: &str,
) -> DocumentError {
    let mut errors = errors(text);
    assert_eq!(errors.len(), 1, "{text:?}: {errors:?}");
    let error = errors.remove(0);
    assert_eq!(error.message, message, "{text:?}");
    assert_eq!(error.to_string(), message);
    assert_eq!(error.kind, kind, "{text:?}");
    let file = SourceFile::new("a.yaml".to_owned(), text.into());
    let position = file.position(error.span.start);
    assert_eq!((position.line, position.column), place, "{text:?}");
    assert_eq!(file.slice(error.span), covered, "{text:?}");
    error
}

#[test]
fn syntax() {
    for (text, place, covered, message) in [
        ("a: [1, 2", (1, 4), "[", "this `[` is never closed"),
        ("a: {b: 1]\n", (1, 4), "{", "this `{` is closed by `]`"),
        ("a: ]\n", (1, 4), "]", "this bracket closes nothing"),
        ("a: \"x\n", (1, 4), "\"", "this quote is never closed"),
        (
            "a: 'x' y\n",
            (1, 8),
            "y",
            "something follows the closing quote",
        ),
        (
            "a: \"\\q\"\n",
            (1, 4),
            "\"",
            "the backslash is followed by a character that it cannot stand before",
        ),
        (
            "a: \"\\ud800\"\n",
            (1, 4),
            "\"",
            "this escape stands for no character",
        ),
        ("a: b: c\n", (1, 5), ":", "a `:` cannot stand here"),
        ("a: 1\n b: 2\n", (2, 3), ":", "a `:` cannot stand here"),
        (
            "a:\n  b: 1\n c: 2\n",
            (3, 2),
            "c",
            "a key followed by `:` is expected here",
        ),
        (
            "- a\nb: c\n",
            (2, 1),
            "b",
            "a list item that starts with `-` is expected here",
        ),
        ("a: - b\n", (1, 4), "-", "a list item cannot start here"),
        (
            "a:\n\tb: 1\n",
            (2, 2),
            "b",
            "a tab stands where only spaces may",
        ),
        (
            "a: @b\n",
            (1, 4),
            "@",
            "a text without quotes cannot start with `@`",
        ),
        (
            "a: *\n",
            (1, 4),
            "*",
            "a text without quotes cannot start with `&` or `*`",
        ),
        (
            "a: x # c\n  y\n",
            (1, 6),
            "#",
            "a comment stands inside a text of several lines",
        ),
        (
            "a: 'x'#c\n",
            (1, 7),
            "#",
            "a comment needs a space before its `#`",
        ),
        (
            "{\"a\": 1 \"b\": 2}",
            (1, 12),
            ":",
            "a `,` or the closing `}` is missing before this",
        ),
        ("[1, 2] x\n", (1, 8), "x", "the document ended before this"),
        ("é: ü\nb: ]", (2, 4), "]", "this bracket closes nothing"),
    ] {
        check(text, Kind::Syntax, place, covered, message);
    }
}

#[test]
fn nothing_in_it() {
    let message = "the file holds nothing";
    check("", Kind::Empty, (1, 1), "", message);
    check("\n", Kind::Empty, (1, 1), "\n", message);
    check("# só\n", Kind::Empty, (1, 1), "#", message);
    check("---\n", Kind::Empty, (1, 1), "-", message);
    assert!(parse(SourceId(0), "~", &ParseLimits::YAML).is_ok());
}

#[test]
fn several_documents() {
    check(
        "a: 1\n---\nb: 2\n",
        Kind::SeveralDocuments,
        (2, 1),
        "---",
        "a second document starts here, and a file holds one",
    );
}

#[test]
fn directives_and_tags() {
    check(
        "%YAML 1.2\n---\na: 1\n",
        Kind::Directive,
        (1, 1),
        "%",
        "directives are not allowed",
    );
    for (text, covered, name) in [
        ("a: !x 1\n", "!x", "!x"),
        ("a: !!str 1\n", "!!str", "!!str"),
        ("a: ! 1\n", "!", "!"),
        ("a: !m {b: 1}\n", "!m", "!m"),
        ("a: !l\n- 1\n", "!l", "!l"),
    ] {
        let message = format!("tags such as `{name}` are not allowed");
        check(text, Kind::Tag, (1, 4), covered, &message);
    }
    check(
        "a: !e!x b\n",
        Kind::Tag,
        (1, 4),
        "!",
        "tags are not allowed",
    );
}

#[test]
fn keys() {
    let text = "a: 1\nb: 2\n'a': 3\n";
    let error = check(
        text,
        Kind::DuplicateKey,
        (3, 1),
        "'a'",
        "the key `a` stands twice in this mapping",
    );
    let (first, what) = error.related.unwrap();
    assert_eq!((&text[first.range()], first.start), ("a", 0));
    assert_eq!(what, "it stands here first");
    check(
        "{\"x\": {\"k\": 1, \"k\": 1}}",
        Kind::DuplicateKey,
        (1, 16),
        "\"k\"",
        "the key `k` stands twice in this mapping",
    );
    check(
        "a: &m {b: 1}\nc:\n  <<: *m\n",
        Kind::MergeKey,
        (3, 3),
        "<<",
        "mappings cannot be merged with `<<`",
    );
    for (key, read_as) in [
        ("1", "a whole number"),
        ("1.5", "a number"),
        ("true", "a true-or-false value"),
        ("null", "an empty value"),
        ("012", "a number"),
        (".nan", "a number"),
    ] {
        let message = format!("the key `{key}` is read as {read_as}, not as a text");
        let error = check(
            &format!("{key}: x\n"),
            Kind::NonTextKey,
            (1, 1),
            key,
            &message,
        );
        assert_eq!(error.help, Some(format!("write it as \"{key}\"")));
    }
    check(
        "a: 1\n: 2\n",
        Kind::NonTextKey,
        (2, 1),
        ":",
        "a key is missing before the `:`",
    );
    check(
        "? [a, {b: c}]\n: 1\nd: 2\n",
        Kind::ComplexKey,
        (1, 3),
        "[",
        "a list cannot be a key",
    );
    check(
        "{ {a: 1}: 2 }\n",
        Kind::ComplexKey,
        (1, 3),
        "{",
        "a mapping cannot be a key",
    );
    check(
        "a: &x y\n*x : 1\n",
        Kind::ComplexKey,
        (2, 1),
        "*x",
        "an alias cannot be a key",
    );
    check(
        "&k key: 1\n",
        Kind::Alias,
        (1, 4),
        "key",
        "an anchor stands before a key",
    );
}

#[test]
fn duplicates_among_many_keys() {
    let keys: String = (0..40).map(|n| format!("k{n}: 1\n")).collect();
    for number in [0, 15, 16, 17, 39] {
        let text = format!("{keys}k{number}: 2\n");
        let message = format!("the key `k{number}` stands twice in this mapping");
        let error = check(
            &text,
            Kind::DuplicateKey,
            (41, 1),
            &format!("k{number}"),
            &message,
        );
        let (first, _) = error.related.unwrap();
        let file = SourceFile::new(String::new(), text.as_str().into());
        assert_eq!(file.position(first.start).line, number + 1);
    }
}

#[test]
fn numbers() {
    let octal = " starts with a zero, which some read as a number to the base 8";
    for (word, rest) in [
        ("012", octal),
        ("-007", octal),
        ("00", octal),
        ("08.5", octal),
        ("0o14", " is an octal number"),
        ("0x1F", " is a hexadecimal number"),
        (".inf", " is not a finite number"),
        ("-.INF", " is not a finite number"),
        (".nan", " is not a finite number"),
        ("1e400", " is too large for a number"),
        ("9223372036854775808", " is too large for a whole number"),
        ("-9223372036854775809", " is too large for a whole number"),
    ] {
        let text = format!("a: 1\nb: {word}\n");
        let message = format!("`{word}`{rest}");
        let error = check(&text, Kind::Number, (2, 4), word, &message);
        assert!(error.help.is_some());
    }
}

#[test]
fn nesting() {
    let message = "lists and mappings are nested more than 32 deep";
    let lists = |depth: usize| "[".repeat(depth) + &"]".repeat(depth);
    check(&lists(33), Kind::TooDeep, (1, 33), "[", message);
    check(&lists(39), Kind::TooDeep, (1, 33), "[", message);
    assert_eq!(errors(&lists(5000))[0].kind, Kind::TooDeep);
    assert_eq!(errors(&lists(5000))[0].message, message);
    assert_eq!(errors(&"[".repeat(100_000))[0].message, message);
    assert_eq!(errors(&"- ".repeat(100_000))[0].message, message);
    assert_eq!(errors(&"? ".repeat(100_000))[1].message, message);
    assert_eq!(errors(&"{a: ".repeat(100_000))[0].message, message);
    let inside_key = format!("? {}\n: 1\n", lists(33));
    assert!(
        errors(&inside_key)
            .iter()
            .any(|error| error.message == message)
    );
}

#[test]
fn aliases() {
    check(
        "a: *x\nb: &x 1\n",
        Kind::Alias,
        (1, 4),
        "*x",
        "the alias `*x` names nothing that stands before it",
    );
    let inside = "the alias `*x` stands inside what it names";
    check("a: &x [1, *x]\n", Kind::Alias, (1, 11), "*x", inside);
    check("&x\na:\n  b: *x\n", Kind::Alias, (3, 6), "*x", inside);
    check(
        "- 1\n- &x\n  - a: {b: *x}\n",
        Kind::Alias,
        (3, 12),
        "*x",
        inside,
    );
}

#[test]
fn alias_bombs() {
    let mut text = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for level in 1..10 {
        let below = format!("*a{}, ", level - 1).repeat(10);
        text.push_str(&format!("a{level}: &a{level} [{below}]\n"));
    }
    let found = errors(&text);
    assert_eq!(
        found[0].message,
        "with `*a2`, the aliases of this file stand for more than 10000 values or 1048576 bytes of \
         text"
    );
    let long = format!(
        "a: &a {}\nb: [{}]\n",
        "x".repeat(60_000),
        "*a, ".repeat(100)
    );
    let found = errors(&long);
    assert_eq!(found.len(), 1, "told once: {found:?}");
    assert_eq!(found[0].kind, Kind::TooLarge);
    assert!(found[0].message.starts_with("with `*a`, the aliases"));

    // Each level doubles the depth, not the number.
    let mut deep = String::from("a0: &a0 [[[[[[[[1]]]]]]]]\n");
    for level in 1..5 {
        deep.push_str(&format!(
            "a{level}: &a{level} [[[[[[[[*a{}]]]]]]]]\n",
            level - 1
        ));
    }
    let found = errors(&deep);
    assert_eq!(found[0].kind, Kind::TooDeep);
    assert_eq!(
        found[0].message,
        "with `*a2`, lists and mappings are nested more than 32 deep"
    );
}

#[test]
fn sizes() {
    let limits = ParseLimits {
        nodes: 10,
        text: 20,
        errors: 3,
        ..ParseLimits::YAML
    };
    let fits = "[1, 2, 3, 4, 5, 6, 7, 8, 9]";
    assert!(parse(SourceId(0), fits, &limits).is_ok());
    let found = errors_within("[1, 2, 3, 4, 5, 6, 7, 8, 9, 10]", &limits);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, Kind::TooLarge);
    assert_eq!(
        found[0].message,
        "the file holds more than 10 keys and values"
    );
    assert_eq!(found[0].span.range(), 28..30);

    let long = format!("a: {}\nb: 1\n", "x".repeat(21));
    let found = errors_within(&long, &limits);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].kind, Kind::TextTooLong);
    assert_eq!(
        found[0].message,
        "a text of 21 bytes; at most 20 are allowed"
    );
    assert_eq!(found[0].span.range(), 3..24);
    let key = format!("{}: 1\nb: 1\n", "x".repeat(21));
    assert_eq!(errors_within(&key, &limits)[0].span.range(), 0..21);

    let found = errors_within("[01, 02, 03, 04]", &limits);
    assert_eq!(found.len(), 4);
    assert_eq!(found[3].kind, Kind::TooManyErrors);
    assert_eq!(
        found[3].message,
        "there are 3 errors or more; the rest is not looked for"
    );
}

#[test]
fn all_faults_are_collected_in_order() {
    let text = "a: 012\na: 1\n2: x\nc: !t y\nd: *no\ne: [\n";
    let kinds: Vec<Kind> = errors(text).iter().map(|error| error.kind).collect();
    assert_eq!(
        kinds,
        [
            Kind::Number,
            Kind::DuplicateKey,
            Kind::NonTextKey,
            Kind::Tag,
            Kind::Alias,
            Kind::Syntax
        ]
    );
}

#[test]
fn unsettled_merges() {
    let text = "a: 1\n<<<<<<< ours\nb: 2\n=======\nb: 3\n>>>>>>> theirs\n";
    let error = check(
        text,
        Kind::ConflictMarker,
        (2, 1),
        "<<<<<<< ours",
        "line 2 is a merge-conflict marker: two versions of this file were joined and the \
         difference was not settled",
    );
    let (last, what) = error.related.unwrap();
    assert_eq!(&text[last.range()], ">>>>>>> theirs");
    assert_eq!(what, "the last marker is line 6");
    for marker in ["<<<<<<<", "=======", ">>>>>>> x", "||||||| base"] {
        let text = format!("a: 1\r\n{marker}\r\n");
        let error = &errors(&text)[0];
        assert_eq!(error.kind, Kind::ConflictMarker);
        assert_eq!(&text[error.span.range()], marker);
    }
    let harmless = "a: |\n  <<<<<<< x\n  =======\nb: ======= x\n";
    assert!(parse(SourceId(0), harmless, &ParseLimits::YAML).is_ok());
}

#[test]
fn control_characters() {
    for (character, name) in [
        ('\0', "U+0000 (NUL)"),
        ('\u{1b}', "U+001B (escape)"),
        ('\u{7f}', "U+007F (delete)"),
        ('\u{85}', "U+0085"),
        ('\u{9b}', "U+009B"),
        ('\u{ffff}', "U+FFFF"),
    ] {
        let message = format!("the character {name} is not allowed in a file");
        check(
            &format!("a: é\nb: '{character}'\n"),
            Kind::ControlCharacter,
            (2, 5),
            &character.to_string(),
            &message,
        );
    }
    assert_eq!(errors(&"\0".repeat(1000)).len(), 10);
    check(
        "a: 1\n\u{feff}b: 2\n",
        Kind::Syntax,
        (2, 1),
        "\u{feff}",
        "a byte-order mark stands inside the file",
    );
}

#[test]
fn messages_are_safe_to_print() {
    let text = "\"a\u{202e}b\": 1\n\"a\u{202e}b\": 2\n";
    assert_eq!(
        errors(text)[0].message,
        "the key `a\\u{202e}b` stands twice in this mapping"
    );
    let long = format!("'{0}': 1\n'{0}': 2\n", "k".repeat(300));
    assert_eq!(
        errors(&long)[0].message,
        format!(
            "the key `{}...` stands twice in this mapping",
            "k".repeat(40)
        )
    );
}
