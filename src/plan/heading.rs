//! What a mission's file is about, told from its lines without parsing it, where that is certain.
//!
//! Of a repository with thousands of missions, those that a change does not bear on need not be
//! parsed to know that it does not. A text that is written in any but the plainest way has no
//! heading, and is parsed.

use memchr::{memchr_iter, memchr2, memchr3_iter};

use super::out::Out;
use super::plain_line::{is_blank, is_comment, keyed};
use super::quoted;

/// The names that a mission's file states at its top level.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Heading {
    /// Its id.
    pub id: String,
    /// Id of its vessel.
    pub vessel: String,
    /// Id of its site.
    pub site: String,
    /// Id of the policy that it names, where it names one.
    pub policy: Option<String>,
    /// Id of the orders that it names, where it names any.
    pub orders: Option<String>,
    /// Between when it has its boat out, where the lines of its launch are plain.
    pub(crate) out: Option<Out>,
}

impl Heading {
    /// The heading of a text, where it is certain that the text either is a mission with these
    /// names or cannot be parsed at all.
    ///
    /// That is so where every line that begins at its margin is a comment, a list's item or a bare
    /// key with its colon; where the first that is neither blank nor comment is a key, so that the
    /// file is a mapping written in lines; and where `kind`, `id`, `vessel` and `site` stand there
    /// once each, and `policy` and `orders` at most once, with one bare word that no line below goes on with (YAML
    /// 1.2.2, sections 7.3.3, 8.2.2). Quotes, brackets,
    /// anchors, tags, `?`, document markers at the margin, a text in quotes that may go on in the next line, and ends
    /// of line that not everybody counts as such, make it uncertain.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let Margin { found, launch } = Margin::read(text, FIELDS, word)?;
        let [kind, id, vessel, site, policy, orders] = found;
        (kind? == "mission").then_some(())?;
        Some(Self {
            id: id?.to_owned(),
            vessel: vessel?.to_owned(),
            site: site?.to_owned(),
            policy: policy.map(str::to_owned),
            orders: orders.map(str::to_owned),
            out: launch.and_then(|(value, lines)| Out::from_lines(value, &lines, orders.is_some())),
        })
    }
}

/// What stands at the margin of a text that is a mapping written in plain lines.
pub(super) struct Margin<'t, const N: usize> {
    /// What stands behind the keys that are looked for, each one value on its line.
    pub(super) found: [Option<&'t str>; N],
    /// What stands behind `launch:`, and the lines below it.
    pub(super) launch: Option<(&'t str, Vec<&'t str>)>,
}

impl<'t, const N: usize> Margin<'t, N> {
    /// Reads it; `None` where anything at the margin is not plain, or one of the values looked for is not what
    /// `value` takes for a text and nothing else.
    pub(super) fn read(
        text: &'t str,
        fields: [&str; N],
        value: impl Fn(&'t str) -> Option<&'t str>,
    ) -> Option<Self> {
        if has_odd_ends(text) {
            return None;
        }
        let mut found = [None; N];
        let mut launch: Option<(&str, Vec<&str>)> = None;
        let mut begun = false;
        let quoted = memchr2(b'"', b'\'', text.as_bytes()).is_some();
        // Whether a value of ours could go on in the next line, and whether a line is one of the launch.
        let (mut open, mut launching) = (false, false);
        for line in lines(text) {
            if quoted && !is_comment(line) && !quoted::end_in(line) {
                return None;
            }
            let first = match line.bytes().next() {
                None => continue,
                Some(b' ' | b'\t') if line.bytes().all(is_blank) => continue,
                Some(b'#') => continue,
                Some(first) => first,
            };
            if matches!(first, b' ' | b'\t') || first == b'-' {
                let item = line.len() == 1 || line.starts_with("- ");
                if open || !begun || (first == b'-' && !item) {
                    return None;
                }
                if let Some((_, lines)) = launch.as_mut().filter(|_| launching) {
                    lines.push(line);
                }
                continue;
            }
            let (key, rest) = entry(line)?;
            begun = true;
            open = false;
            launching = key == "launch";
            if launching {
                if launch.is_some() {
                    return None;
                }
                launch = Some((rest, Vec::new()));
            }
            if let Some(at) = fields.iter().position(|field| *field == key) {
                if found[at].is_some() {
                    return None;
                }
                found[at] = Some(value(rest)?);
                open = true;
            }
        }
        Some(Self { found, launch })
    }
}

/// Ends of a line to some readers and to others not.
const ENDS_TO_SOME: [&str; 3] = ["\u{85}", "\u{2028}", "\u{2029}"];
/// The byte that each of them ends with.
const LAST_BYTES: [u8; 3] = [0x85, 0xa8, 0xa9];

/// Whether a text has them, or a carriage return that no line feed follows.
fn has_odd_ends(text: &str) -> bool {
    let bytes = text.as_bytes();
    let [one, two, three] = LAST_BYTES;
    let odd = |last: usize| {
        let before = bytes.get(..=last).unwrap_or_default();
        ENDS_TO_SOME
            .iter()
            .any(|end| before.ends_with(end.as_bytes()))
    };
    let alone = |at: usize| bytes.get(at + 1).is_some_and(|next| *next != b'\n');
    memchr3_iter(one, two, three, bytes).any(odd) || memchr_iter(b'\r', bytes).any(alone)
}

/// The lines of a text without their ends.
fn lines(text: &str) -> impl Iterator<Item = &str> {
    let ends = memchr_iter(b'\n', text.as_bytes()).chain([text.len()]);
    ends.scan(0, |from, end| {
        let line = text.get(*from..end)?;
        *from = end + 1;
        Some(line.strip_suffix('\r').unwrap_or(line))
    })
}

/// What is looked for.
const FIELDS: [&str; 6] = ["kind", "id", "vessel", "site", "policy", "orders"];

/// A line as a bare key and what follows its colon.
fn entry(line: &str) -> Option<(&str, &str)> {
    let (key, rest) = keyed(line)?;
    let apart = rest.is_empty() || rest.starts_with(' ');
    apart.then_some((key, rest))
}

/// One bare word that is read as a text, with nothing but a comment behind it.
fn word(value: &str) -> Option<&str> {
    let value = value.trim_matches(' ');
    let (word, rest) = value.split_once(' ').unwrap_or((value, ""));
    let rest = rest.trim_start_matches(' ');
    if !(rest.is_empty() || rest.starts_with('#')) {
        return None;
    }
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_.".contains(&b);
    let begins = word.bytes().next().is_some_and(|b| b.is_ascii_alphabetic());
    let meant = ["null", "true", "false"];
    let other = meant.iter().any(|other| other.eq_ignore_ascii_case(word));
    (begins && !other && word.bytes().all(plain)).then_some(word)
}
