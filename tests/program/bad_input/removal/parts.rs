//! What can be cut out of a file, and how a figure that stands there could be worse.

use offing::door::document::{Node, ParseLimits, Value, parse};
use offing::door::source::SourceId;

/// Something that can be cut out of a file.
pub struct Part {
    /// Its keys, items by their id or number: `radios/control/antenna/gain`.
    pub path: String,
    start: usize,
    end: usize,
    /// Where its value stands, if that is one word or figure.
    scalar: Option<(usize, usize)>,
}

impl Part {
    /// The text without it.
    pub fn cut(&self, text: &str) -> String {
        format!("{}{}", &text[..self.start], &text[self.end..])
    }

    /// The text with its figure or word changed, in every way that is tried.
    pub fn changed(&self, text: &str) -> Vec<(String, String)> {
        let Some((start, end)) = self.scalar else {
            return Vec::new();
        };
        let others = others(&text[start..end]);
        let with = |other: String| {
            let whole = format!("{}{other}{}", &text[..start], &text[end..]);
            (other, whole)
        };
        others.into_iter().map(with).collect()
    }
}

/// Words of which one stands where another may: every pair is tried both ways.
const WORDS: &[&[&str]] = &[
    &["straight", "along the route"],
    &["needed", "logged aboard", "not used"],
    &["fresh", "salt"],
    &["yes", "no"],
    &["aboard", "ashore"],
    &["measured", "as set"],
    &["charge", "voltage"],
    &["full", "lines"],
    &["no order", "order 1a", "exclusive order"],
    &["vertical", "horizontal"],
    &["hold", "drift", "return", "stop"],
    &["nmc", "lfp", "lead"],
    &["weir", "rock", "swimming", "moorings"],
];

/// What could stand in place of a word or figure.
fn others(value: &str) -> Vec<String> {
    if let Some(words) = WORDS.iter().find(|words| words.contains(&value)) {
        let other = words.iter().filter(|word| **word != value);
        return other.map(|word| (*word).to_owned()).collect();
    }
    let digits = value
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .unwrap_or(value.len());
    let Ok(figure) = value[..digits].parse::<f64>() else {
        return Vec::new();
    };
    let unit = &value[digits..];
    if unit.starts_with('-') || unit.starts_with(':') || digits > 8 {
        return Vec::new();
    }
    if unit == "°" {
        let turned = |by: f64| format!("{:03}°", (figure + by).rem_euclid(360.0).round());
        return vec![turned(90.0), turned(150.0), "5°".to_owned()];
    }
    let mut all: Vec<String> = [0.2, 0.5, 2.0, 5.0]
        .iter()
        .map(|by| format!("{}{unit}", (figure * by * 1000.0).round() / 1000.0))
        .collect();
    if unit == " %" {
        all.push("64 %".to_owned());
        all.push("100 %".to_owned());
    }
    all
}

/// Every key and every item of a list in a text.
pub fn parts_of(text: &str) -> Vec<Part> {
    let document = parse(SourceId(0), text, &ParseLimits::YAML).expect("the file parses");
    let mut parts = Vec::new();
    collect(text, &document.root, "", &mut parts);
    parts
}

fn collect(text: &str, node: &Node, prefix: &str, parts: &mut Vec<Part>) {
    let join = |name: &str| {
        if prefix.is_empty() {
            name.to_owned()
        } else {
            format!("{prefix}/{name}")
        }
    };
    let scalar = |node: &Node| {
        let one = !matches!(node.value, Value::Map(_) | Value::List(_));
        one.then_some((node.span.start as usize, node.span.end as usize))
    };
    match &node.value {
        Value::Map(entries) => {
            for entry in entries {
                let path = join(&entry.key);
                let span = (entry.key_span.start as usize, entry.value.span.end as usize);
                let (start, end) = widened(text, span);
                parts.push(Part {
                    path: path.clone(),
                    start,
                    end,
                    scalar: scalar(&entry.value),
                });
                collect(text, &entry.value, &path, parts);
            }
        }
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                let name = ["id", "item", "link", "station", "time", "users"]
                    .iter()
                    .find_map(|key| item.get(key).and_then(Node::as_text))
                    .map_or_else(|| index.to_string(), str::to_owned);
                let path = join(&name);
                let from = item.span.start as usize;
                // The item's dash where the list is one of lines.
                let line = text[..from].rfind('\n').map_or(0, |at| at + 1);
                let dashed = text[line..from].trim() == "-";
                let begin = if dashed {
                    line + text[line..from].find('-').expect("the dash")
                } else {
                    from
                };
                let (start, end) = widened(text, (begin, item.span.end as usize));
                parts.push(Part {
                    path: path.clone(),
                    start,
                    end,
                    scalar: scalar(item),
                });
                collect(text, item, &path, parts);
            }
        }
        _ => {}
    }
}

/// The bytes to cut so that what is left is still YAML: whole lines where nothing else stands on
/// them, else the comma too.
fn widened(text: &str, (start, end): (usize, usize)) -> (usize, usize) {
    let before = text[..start].trim_end_matches(' ');
    let after = text[end..].trim_start_matches(' ');
    if before.ends_with(['{', '[', ',']) {
        return if after.starts_with(',') {
            (start, text.len() - after.len() + 1)
        } else if before.ends_with(',') {
            (before.len() - 1, end)
        } else {
            (start, end)
        };
    }
    let line_end = text[end..].find('\n').map_or(text.len(), |at| end + at);
    if before.is_empty() || before.ends_with('\n') {
        (before.len(), (line_end + 1).min(text.len()))
    } else {
        (start, line_end)
    }
}
