//! JSON read by itself, many times as fast as YAML. It takes only what both languages read alike, and leaves
//! every other text, sound or not, to the parser of YAML: that tells what is wrong.

use crate::source::{SourceId, Span};

use super::limits::ParseLimits;
use super::node::{Entry, Node, Value};
use super::offset::offset;
use super::scalar;

/// Longest key that the parser of YAML takes whatever follows, with room to spare, in bytes.
const LONGEST_KEY: usize = 512;
/// Mappings with more keys are left to the other parser, which looks for the same key among them faster.
const MOST_KEYS: usize = 64;

/// The value that a text holds, where it is JSON within the limits that needs no other parser.
pub(super) fn read(source: SourceId, text: &str, limits: &ParseLimits) -> Option<Node> {
    read_but(source, text, limits, &mut |_, _| false)
}

/// Who takes the items of lists by themselves: it is asked by the key of a list in the outermost mapping,
/// and given its items if it takes them.
pub(super) type Takes<'a> = dyn FnMut(&str, Option<&Node>) -> bool + 'a;

/// As [`read`], but for lists whose items are taken by themselves, which are left empty. The limit of values
/// then holds for each of these items, and for all the rest.
pub(super) fn read_but(
    source: SourceId,
    text: &str,
    limits: &ParseLimits,
    takes: &mut Takes<'_>,
) -> Option<Node> {
    let mut reader = Reader {
        source,
        text,
        bytes: text.as_bytes(),
        at: 0,
        limits,
        nodes: 0,
    };
    reader.space();
    let root = match reader.next()? {
        b'{' => {
            let from = reader.at;
            reader.count()?;
            let entries = reader.map(0, Some(takes))?;
            Node {
                span: reader.span(from),
                value: Value::Map(entries),
                plain: false,
            }
        }
        b'[' => reader.value(0)?,
        _ => return None,
    };
    reader.space();
    (reader.at == reader.bytes.len()).then_some(root)
}

struct Reader<'t> {
    source: SourceId,
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    limits: &'t ParseLimits,
    nodes: usize,
}

impl Reader<'_> {
    fn next(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    /// Goes past blanks and ends of lines. A tab is left standing: it means something in YAML.
    fn space(&mut self) {
        while matches!(self.next(), Some(b' ' | b'\n')) {
            self.at += 1;
        }
    }

    fn span(&self, from: usize) -> Span {
        Span::new(self.source, offset(from), offset(self.at))
    }

    /// Counts one more key or value.
    fn count(&mut self) -> Option<()> {
        self.nodes += 1;
        (self.nodes <= self.limits.nodes).then_some(())
    }

    fn value(&mut self, depth: usize) -> Option<Node> {
        let from = self.at;
        self.count()?;
        let (value, plain) = match self.next()? {
            b'[' => (Value::List(self.list(depth)?), false),
            b'{' => (Value::Map(self.map(depth, None)?), false),
            b'"' => (Value::Text(self.quoted()?.to_owned()), false),
            _ => (scalar::resolve(self.word()?).ok()?, true),
        };
        Some(Node {
            span: self.span(from),
            value,
            plain,
        })
    }

    fn list(&mut self, depth: usize) -> Option<Vec<Node>> {
        let mut items = Vec::new();
        self.open(depth)?;
        if self.next()? == b']' {
            self.at += 1;
            return Some(items);
        }
        loop {
            items.push(self.value(depth + 1)?);
            if self.ends(b']')? {
                return Some(items);
            }
        }
    }

    /// The items of a list, each given away and let go.
    fn items(&mut self, depth: usize, take: &mut dyn FnMut(&Node)) -> Option<()> {
        let beside = self.nodes;
        self.open(depth)?;
        if self.next()? == b']' {
            self.at += 1;
            return Some(());
        }
        loop {
            self.nodes = 0;
            take(&self.value(depth + 1)?);
            if self.ends(b']')? {
                self.nodes = beside;
                return Some(());
            }
        }
    }

    fn map(&mut self, depth: usize, mut takes: Option<&mut Takes<'_>>) -> Option<Vec<Entry>> {
        let mut entries: Vec<Entry> = Vec::new();
        self.open(depth)?;
        if self.next()? == b'}' {
            self.at += 1;
            return Some(entries);
        }
        loop {
            let from = self.at;
            self.count()?;
            let key = self.quoted()?;
            let known = entries.iter().any(|entry| entry.key == key);
            if known || key.len() > LONGEST_KEY || entries.len() >= MOST_KEYS {
                return None;
            }
            let (key, key_span) = (key.to_owned(), self.span(from));
            if self.next()? != b':' {
                return None;
            }
            self.at += 1;
            self.space();
            let by_itself = self.next() == Some(b'[')
                && takes.as_deref_mut().is_some_and(|takes| takes(&key, None));
            let value = match takes.as_deref_mut().filter(|_| by_itself) {
                Some(takes) => {
                    let from = self.at;
                    self.count()?;
                    self.items(depth + 1, &mut |item| {
                        takes(&key, Some(item));
                    })?;
                    Node {
                        span: self.span(from),
                        value: Value::List(Vec::new()),
                        plain: false,
                    }
                }
                None => self.value(depth + 1)?,
            };
            entries.push(Entry {
                key,
                key_span,
                value,
            });
            if self.ends(b'}')? {
                return Some(entries);
            }
        }
    }

    fn open(&mut self, depth: usize) -> Option<()> {
        self.at += 1;
        self.space();
        (depth < self.limits.depth).then_some(())
    }

    /// Whether a list or mapping ends here; otherwise there is a comma, and another child.
    fn ends(&mut self, bracket: u8) -> Option<bool> {
        self.space();
        let next = self.next()?;
        self.at += 1;
        match next {
            b',' => {
                self.space();
                Some(false)
            }
            _ => (next == bracket).then_some(true),
        }
    }

    /// A text in quotes on one line, without escapes.
    fn quoted(&mut self) -> Option<&str> {
        if self.next()? != b'"' {
            return None;
        }
        let from = self.at + 1;
        let length = self.bytes[from..].iter().position(|&byte| {
            matches!(byte, b'"' | b'\\') || byte < b' ' || (0xe2..=0xef).contains(&byte)
        })?;
        let end = from + length;
        // What stands for the end of a line elsewhere is left to the other parser, with its neighbours.
        if self.bytes[end] != b'"' || length > self.limits.text {
            return None;
        }
        self.at = end + 1;
        self.text.get(from..end)
    }

    /// A number, or `true`, `false` or `null`.
    fn word(&mut self) -> Option<&str> {
        let rest = &self.bytes[self.at..];
        let length = rest
            .iter()
            .position(|byte| matches!(byte, b',' | b']' | b'}' | b' ' | b'\n'))?;
        let word = &rest[..length];
        if !(is_number(word) || matches!(word, b"true" | b"false" | b"null")) {
            return None;
        }
        let from = self.at;
        self.at += length;
        if length > self.limits.text {
            return None;
        }
        self.text.get(from..self.at)
    }
}

/// Whether a word is a number by the grammar of JSON (RFC 8259, section 6).
fn is_number(word: &[u8]) -> bool {
    let digits = |rest: &[u8]| rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    let rest = word.strip_prefix(b"-").unwrap_or(word);
    let whole = digits(rest);
    if whole == 0 || (whole > 1 && rest[0] == b'0') {
        return false;
    }
    let mut rest = &rest[whole..];
    if let Some(fraction) = rest.strip_prefix(b".") {
        let length = digits(fraction);
        if length == 0 {
            return false;
        }
        rest = &fraction[length..];
    }
    if let [b'e' | b'E', exponent @ ..] = rest {
        let exponent = match exponent {
            [b'+' | b'-', digits @ ..] => digits,
            digits => digits,
        };
        let length = digits(exponent);
        if length == 0 {
            return false;
        }
        rest = &exponent[length..];
    }
    rest.is_empty()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::build::parse_yaml;
    use super::super::precheck;
    use super::*;

    const LIMITS: ParseLimits = ParseLimits {
        nodes: 60,
        depth: 6,
        text: 40,
        ..ParseLimits::YAML
    };

    /// What both read must be the same, to the byte.
    fn agree(text: &str) -> Result<bool, TestCaseError> {
        let told = precheck::check(SourceId(0), text);
        let Some(own) = read(SourceId(0), text, &LIMITS).filter(|_| told.is_empty()) else {
            return Ok(false);
        };
        let other = parse_yaml(SourceId(0), text, &LIMITS);
        let other = other.map(|document| document.root);
        prop_assert_eq!(Some(own), other.ok(), "{}", text);
        Ok(true)
    }

    #[test]
    fn a_file_as_programs_write_it_is_read_here() {
        for text in [
            r#"{"type":"Polygon","coordinates":[[[-24.31,52.39],[-24.3,52.4]]],"n":null,"b":true}"#,
            "{\n  \"type\": \"FeatureCollection\",\n  \"features\": [\n    { \"id\": 7, \"x\": -1.5e-3 }\n  ]\n}\n",
            " [ ] ",
            "{}",
            r#"{"name": "Rücken, 40 °", "": 0}"#,
        ] {
            assert!(agree(text).expect("alike"), "{text}");
        }
    }

    #[test]
    fn what_yaml_reads_otherwise_or_tells_of_is_left_to_it() {
        for text in [
            "",
            "7",
            "\"a\"",
            "{a: 1}",
            "{\"a\": 1, \"a\": 2}",
            "{\"a\": 1,}",
            "[1, 2",
            "[01]",
            "[+1]",
            "[.5]",
            "[1e400]",
            "[\t1]",
            "[1]\r\n",
            "[1] # one",
            "[1]\n---\n[2]",
            "[\"a\\n\"]",
            "[\"a\nb\"]",
            "[\"a\u{2028}b\"]",
            "{\"a\" : 1}",
            "[tru]",
            "[nan]",
            "\u{feff}[1]",
            "[[[[[[[1]]]]]]]",
            "[\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\"]",
        ] {
            assert_eq!(read(SourceId(0), text, &LIMITS), None, "{text}");
        }
    }

    fn json() -> impl Strategy<Value = String> {
        let word = prop_oneof![
            "-?(0|[1-9][0-9]{0,20})([.][0-9]{1,20})?([eE][-+]?[0-9]{1,3})?",
            "\"[ -~é°]{0,12}\"",
            Just("true".to_owned()),
            Just("null".to_owned()),
        ];
        let space = "[ \n]{0,2}";
        word.prop_recursive(4, 40, 5, move |inner| {
            let item = (space, inner.clone(), space).prop_map(|(a, b, c)| format!("{a}{b}{c}"));
            let entry = ("\"[a-z:# -]{0,5}\"", space, inner, space)
                .prop_map(|(key, a, b, c)| format!("{key}:{a}{b}{c}"));
            prop_oneof![
                prop::collection::vec(item, 0..5).prop_map(|all| format!("[{}]", all.join(","))),
                prop::collection::vec((space, entry), 0..5).prop_map(|all| {
                    let all = all.into_iter().map(|(space, entry)| space + &entry);
                    format!("{{{}}}", all.collect::<Vec<_>>().join(","))
                }),
            ]
        })
    }

    proptest! {
        #[test]
        fn what_is_read_is_what_yaml_reads(text in json()) {
            agree(&text)?;
        }

        #[test]
        fn also_where_it_is_damaged(
            text in json(),
            at in 0_usize..200,
            put in "[\\[\\]{},:\"' \n\t\r#&*!|>%@`0-9.eE~tn\u{85}\u{2028}-]{0,2}",
            cut in 0_usize..3,
        ) {
            let chars: Vec<char> = text.chars().collect();
            let at = at.min(chars.len());
            let before = chars[..at].iter();
            let after = chars[(at + cut).min(chars.len())..].iter();
            let text: String = before.copied().chain(put.chars()).chain(after.copied()).collect();
            agree(&text)?;
        }
    }
}
