//! YAML as the program writes it: scalars, mappings and lists, laid out and quoted in one way.
//!
//! Whatever is written here, the program's own parser reads back as the same values.

mod scalar;

use scalar::{bare, escaped};

/// Characters of a sentence of the program's own that are written: as many as the schemas of these files
/// allow.
const LONGEST: usize = 2000;

/// A value of a file.
#[derive(Clone, PartialEq, Debug)]
pub enum Yaml {
    /// A text, in quotes.
    Text(String),
    /// A text without quotes where it can stand without, such as an id or a word of the format.
    Word(String),
    /// Yes or no.
    Truth(bool),
    /// A whole number.
    Whole(u64),
    /// A mapping on one line, in braces.
    Inline(Vec<(&'static str, Yaml)>),
    /// A mapping with a line for each field.
    Block(Block),
    /// A list with a line for each item.
    List(Vec<Yaml>),
}

impl Yaml {
    /// A text, in quotes.
    #[must_use]
    pub fn text(text: &str) -> Self {
        Self::Text(text.to_owned())
    }

    /// A sentence of the program's own; cut with a mark where it is longer than a file may hold.
    #[must_use]
    pub fn sentence(text: &str) -> Self {
        if text.chars().count() <= LONGEST {
            return Self::text(text);
        }
        let cut: String = text.chars().take(LONGEST - 1).collect();
        Self::Text(format!("{cut}…"))
    }

    /// A text without quotes where it can stand without.
    #[must_use]
    pub fn word(word: &str) -> Self {
        Self::Word(word.to_owned())
    }

    /// A list of texts.
    #[must_use]
    pub fn texts<T: AsRef<str>>(of: &[T]) -> Self {
        Self::List(of.iter().map(|one| Self::text(one.as_ref())).collect())
    }

    /// On one line: a scalar or a mapping in braces. What has lines of its own is not written here.
    #[must_use]
    pub fn on_one_line(&self) -> String {
        match self {
            Self::Text(text) => escaped(text),
            Self::Word(word) => bare(word).map_or_else(|| escaped(word), str::to_owned),
            Self::Truth(truth) => truth.to_string(),
            Self::Whole(number) => number.to_string(),
            Self::Inline(fields) => braces(fields.iter().map(|(key, value)| (*key, value))),
            Self::Block(block) => braces(block.fields()),
            Self::List(items) => {
                let items: Vec<String> = items.iter().map(Self::on_one_line).collect();
                format!("[{}]", items.join(", "))
            }
        }
    }

    /// Whether it takes lines of its own below its key.
    fn has_lines(&self) -> bool {
        match self {
            Self::Block(block) => block.fields().next().is_some(),
            Self::List(items) => !items.is_empty(),
            _ => false,
        }
    }

    fn write(&self, indent: usize, out: &mut String) {
        match self {
            Self::Block(block) => block.write(indent, false, out),
            Self::List(items) => {
                for item in items {
                    out.push_str(&" ".repeat(indent));
                    out.push_str("- ");
                    match item {
                        // The first field stands behind the dash.
                        Self::Block(block) if item.has_lines() => {
                            block.write(indent + 2, true, out);
                        }
                        _ => {
                            out.push_str(&item.on_one_line());
                            out.push('\n');
                        }
                    }
                }
            }
            _ => {}
        }
    }
}

fn braces<'a>(fields: impl Iterator<Item = (&'a str, &'a Yaml)>) -> String {
    let fields: Vec<String> = fields
        .map(|(key, value)| format!("{key}: {}", value.on_one_line()))
        .collect();
    if fields.is_empty() {
        return "{}".to_owned();
    }
    format!("{{ {} }}", fields.join(", "))
}

/// A mapping with a line for each field, and comments between them.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Block(Vec<Line>);

#[derive(Clone, PartialEq, Debug)]
enum Line {
    Comment(String),
    Field(&'static str, Yaml),
}

impl Block {
    /// One with no lines.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a field.
    pub fn field(&mut self, key: &'static str, value: Yaml) -> &mut Self {
        self.0.push(Line::Field(key, value));
        self
    }

    /// Adds a text, in quotes.
    pub fn text(&mut self, key: &'static str, text: &str) -> &mut Self {
        self.field(key, Yaml::text(text))
    }

    /// Adds a text without quotes where it can stand without.
    pub fn word(&mut self, key: &'static str, word: &str) -> &mut Self {
        self.field(key, Yaml::word(word))
    }

    /// Adds a field that is there.
    pub fn optional(&mut self, key: &'static str, value: Option<Yaml>) -> &mut Self {
        if let Some(value) = value {
            self.field(key, value);
        }
        self
    }

    /// Adds a comment of the program's own, a line of it for each line of the text.
    pub fn comment(&mut self, text: &str) -> &mut Self {
        let lines = text.lines().map(|line| Line::Comment(line.to_owned()));
        self.0.extend(lines);
        self
    }

    /// The text of the file that it is.
    #[must_use]
    pub fn to_text(&self) -> String {
        let mut out = String::new();
        self.write(0, false, &mut out);
        out
    }

    fn fields(&self) -> impl Iterator<Item = (&str, &Yaml)> {
        self.0.iter().filter_map(|line| match line {
            Line::Comment(_) => None,
            Line::Field(key, value) => Some((*key, value)),
        })
    }

    /// Its lines; the first of them may stand behind what is written already.
    fn write(&self, indent: usize, mut begun: bool, out: &mut String) {
        for line in &self.0 {
            if !std::mem::take(&mut begun) {
                out.push_str(&" ".repeat(indent));
            }
            match line {
                Line::Comment(text) => {
                    out.push_str(&format!("# {text}\n"));
                }
                Line::Field(key, value) if value.has_lines() => {
                    out.push_str(&format!("{key}:\n"));
                    value.write(indent + 2, out);
                }
                Line::Field(key, value) => {
                    out.push_str(&format!("{key}: {}\n", value.on_one_line()));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests;
