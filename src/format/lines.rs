//! The lines of a file laid out anew.

use super::indent::{Columns, STEP};
use super::tokens::{Token, What};

/// The file laid out: the line breaks are those that it has, and of several blank lines one stays.
pub(super) fn lay_out(text: &str, tokens: &[Token], columns: &Columns) -> String {
    let mut layout = Layout {
        text,
        columns,
        out: String::new(),
        held: Vec::new(),
        open: Vec::new(),
        entry: Entry::default(),
        depth: 0,
        flow_base: 0,
        stated: false,
    };
    for line in tokens.split(|token| token.what == What::Newline) {
        layout.line(line);
    }
    layout.settle(0, 0);
    let end = layout.out.trim_end_matches('\n').len();
    layout.out.truncate(end);
    layout.out.push('\n');
    layout.out
}

/// The key or dash that was last, outside of braces and brackets.
#[derive(Clone, Copy, Default)]
struct Entry {
    /// Where it stood.
    old: usize,
    /// Where it stands.
    new: usize,
    /// Whether it is a dash.
    dash: bool,
}

/// A line that is written once it is known what follows.
enum Held {
    Blank,
    Comment { old: usize, text: String },
}

struct Layout<'a> {
    text: &'a str,
    columns: &'a Columns,
    out: String,
    held: Vec<Held>,
    /// Old and new column of the lists and mappings that are open.
    open: Vec<(usize, usize)>,
    entry: Entry,
    /// How many braces and brackets are open.
    depth: usize,
    /// What lines within them stand in from.
    flow_base: usize,
    /// Whether the last block of text states how far in it stands.
    stated: bool,
}

impl Layout<'_> {
    /// The column that an offset stood at.
    fn old_column(&self, at: usize) -> usize {
        let before = self.text.get(..at).unwrap_or_default();
        let line = before.rfind('\n').map_or(0, |end| end + 1);
        before
            .get(line..)
            .unwrap_or_default()
            .trim_start_matches('\u{feff}')
            .chars()
            .count()
    }

    fn line(&mut self, line: &[Token]) {
        let Some(first) = line.first() else {
            self.held.push(Held::Blank);
            return;
        };
        if first.what == What::Block {
            return self.block(&first.text);
        }
        let old = self.old_column(first.start);
        if first.what == What::Comment {
            let text = comment(&first.text);
            self.held.push(Held::Comment { old, text });
            return;
        }
        let indent = self.indent(first);
        self.settle(old, indent);
        self.out.push_str(&" ".repeat(indent));
        let mut before: Option<&Token> = None;
        for token in line {
            if let Some(before) = before {
                self.out.push_str(between(before, token));
            }
            self.put(token, token.start == first.start, indent);
            before = Some(token);
        }
        self.out.push('\n');
    }

    /// How far in a line stands that begins with a token.
    fn indent(&self, first: &Token) -> usize {
        if self.depth > 0 {
            let closes = usize::from(first.what == What::Close);
            return self.flow_base + STEP * (self.depth - closes);
        }
        match self.columns.get(&first.start) {
            Some(column) => *column,
            None if first.what == What::Marker => 0,
            None if self.open.is_empty() => 0,
            None => self.entry.new + STEP,
        }
    }

    /// Writes a token, and keeps account of where it leads.
    fn put(&mut self, token: &Token, begins: bool, indent: usize) {
        match token.what {
            What::Open => {
                if self.depth == 0 {
                    let content = self.entry.new + STEP * usize::from(self.entry.dash);
                    self.flow_base = if begins { indent } else { content };
                }
                self.depth += 1;
            }
            What::Header => self.stated = token.text.contains(|c: char| c.is_ascii_digit()),
            What::Close => self.depth = self.depth.saturating_sub(1),
            What::Scalar | What::Dash if self.depth == 0 => {
                if let Some(new) = self.columns.get(&token.start) {
                    self.entry = Entry {
                        old: self.old_column(token.start),
                        new: *new,
                        dash: token.what == What::Dash,
                    };
                    while self.open.last().is_some_and(|(_, open)| open >= new) {
                        self.open.pop();
                    }
                    self.open.push((self.entry.old, *new));
                }
            }
            _ => {}
        }
        if token.what == What::Comment {
            self.out.push_str(&comment(&token.text));
        } else if token.what == What::Scalar && token.text.contains('\n') {
            self.several_lines(&token.text);
        } else {
            self.out.push_str(&token.text);
        }
    }

    /// A text of several lines, in quotes or without: what stands before the first sign of a line is no part of
    /// it.
    fn several_lines(&mut self, text: &str) {
        let margin = match self.depth {
            0 => self.entry.new + STEP * (1 + usize::from(self.entry.dash)),
            depth => self.flow_base + STEP * (depth + 1),
        };
        for (index, line) in text.split('\n').enumerate() {
            let line = line.strip_suffix('\r').unwrap_or(line);
            if index == 0 {
                self.out.push_str(line);
                continue;
            }
            let line = line.trim_start_matches([' ', '\t']);
            self.out.push('\n');
            if !line.is_empty() {
                self.out.push_str(&" ".repeat(margin));
                self.out.push_str(line);
            }
        }
    }

    /// A block of text: all its lines move by the same.
    fn block(&mut self, lines: &str) {
        let blanks = |line: &str| line.bytes().take_while(|byte| *byte == b' ').count();
        let first = lines.split('\n').find(|line| !line.trim().is_empty());
        let old = first.map_or(0, blanks);
        let new = match self.stated {
            // So many columns from what holds it, which are stated.
            true => (old + self.entry.new).saturating_sub(self.entry.old),
            false => self.entry.new + STEP,
        };
        for line in lines.split('\n') {
            let line = line.strip_suffix('\r').unwrap_or(line);
            let own = blanks(line);
            let text = &line[own..];
            if !text.is_empty() || own > old {
                self.out
                    .push_str(&" ".repeat((own + new).saturating_sub(old)));
            }
            self.out.push_str(text);
            self.out.push('\n');
        }
    }

    /// Writes the comments and the blank line before a line, which stood at one column and stands at another. A
    /// comment that stands farther in than it belongs to what is open there.
    fn settle(&mut self, old_next: usize, new_next: usize) {
        let held = std::mem::take(&mut self.held);
        let mut blank = false;
        for one in held {
            match one {
                Held::Blank => blank = true,
                Held::Comment { old, text } => {
                    let deeper = self.open.iter().rev().find(|(open, _)| *open <= old);
                    let column = match deeper {
                        _ if self.depth > 0 => self.flow_base + STEP * self.depth,
                        Some((_, deeper)) if old > old_next => new_next.max(*deeper),
                        _ => new_next,
                    };
                    self.blank(blank);
                    blank = false;
                    self.out.push_str(&" ".repeat(column));
                    self.out.push_str(&text);
                    self.out.push('\n');
                }
            }
        }
        self.blank(blank);
    }

    /// One blank line, but for the first of a file.
    fn blank(&mut self, wanted: bool) {
        if wanted && !self.out.is_empty() {
            self.out.push('\n');
        }
    }
}

/// What stands between two tokens of a line.
fn between(before: &Token, token: &Token) -> &'static str {
    match (before.what, token.what) {
        (_, What::Comment) => " ",
        (What::Open, What::Close) => "",
        (What::Open, _) if before.text == "[" => "",
        (_, What::Close) if token.text == "]" => "",
        (What::Colon, What::Comma) => " ",
        (What::Alias, What::Colon) => " ",
        (_, What::Comma | What::Colon) => "",
        _ => " ",
    }
}

/// A comment with a blank after its sign, where letters follow.
fn comment(text: &str) -> String {
    let words = text.trim_start_matches('#');
    let signs = &text[..text.len() - words.len()];
    match words.chars().next() {
        Some(first) if first.is_alphanumeric() => format!("{signs} {words}"),
        _ => text.to_owned(),
    }
}
