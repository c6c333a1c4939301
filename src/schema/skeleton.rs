//! The skeleton of a file: every field that it must have as a marked gap, the others as comments.
//!
//! A gap is an empty value, which a check refuses on its line: nothing is judged as if something stood there.

use std::fmt::Write as _;

use serde_json::Value as Json;

use super::form::Form;
use super::kinds::Kind;

/// The mark of a gap.
const TO_BE_FILLED: &str = "to be filled";

/// What parts a field from what is to be filled in.
pub(crate) const GAP: &str = ": # to be filled: ";

/// How a position is written.
const POSITION: &str = "[52.396067, -24.310500]";

/// Most items that a list is begun with, where it must have more than one.
const MOST_ITEMS: u64 = 3;

/// A file begun.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Skeleton {
    /// Its text.
    pub text: String,
    /// How many gaps it has.
    pub gaps: usize,
}

/// The skeleton of a file of a kind under an id, which must be one. `known` tells the values of fields that
/// are settled already, by their paths with dots, as YAML.
#[must_use]
pub(crate) fn skeleton(kind: Kind, id: &str, known: &dyn Fn(&str) -> Option<String>) -> Skeleton {
    let mut writing = Writing {
        kind,
        id,
        known,
        text: format!(
            "# Begun by `offing new {kind}`. Fill in each field marked \"{TO_BE_FILLED}\": `offing check` names the\n\
             # line until you do. A field that stands in a comment may be left out; take away the `#` to state it.\n"
        ),
        gaps: 0,
    };
    writing.mapping(Form::for_kind(kind), "", 0);
    Skeleton {
        text: writing.text,
        gaps: writing.gaps,
    }
}

/// Whether a mapping has to have a field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Need {
    /// It has to.
    Must,
    /// It may have it in place of one that it has.
    Instead,
    /// It may.
    May,
}

/// How a schema says that a skeleton begins a field that a file may leave out, as `x-begun`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Begun {
    /// As a gap, since rules cannot be judged without it; of a list, as one gap for all of it.
    Gap,
    /// With the gaps of what it has to hold.
    Whole,
    /// As a comment, though much like it is begun.
    No,
}

/// What stands beside a reference counts before what it refers to says.
fn begun(field: &Json, form: Form<'_>) -> Option<Begun> {
    let says = |json: &Json| json.get("x-begun")?.as_str().map(str::to_owned);
    match says(field).or_else(|| says(form.json()))?.as_str() {
        "gap" => Some(Begun::Gap),
        "whole" => Some(Begun::Whole),
        _ => Some(Begun::No),
    }
}

struct Writing<'a> {
    kind: Kind,
    id: &'a str,
    known: &'a dyn Fn(&str) -> Option<String>,
    text: String,
    gaps: usize,
}

/// The names in a list of a schema.
fn names<'a>(form: Form<'a>, key: &str) -> Vec<&'a str> {
    let list = form.json().get(key).and_then(Json::as_array);
    list.into_iter()
        .flatten()
        .filter_map(Json::as_str)
        .collect()
}

/// The fields of which a mapping has one or another.
fn either<'a>(form: Form<'a>) -> Vec<&'a str> {
    let json = form.json();
    let choices = json.get("oneOf").and_then(Json::as_array);
    let choices = choices.into_iter().flatten();
    let mut either: Vec<&str> = choices
        .flat_map(|one| names(form.at(one), "required"))
        .collect();
    if json.get("maxProperties").and_then(Json::as_u64) == Some(1) {
        let fields = json.get("properties").and_then(Json::as_object);
        either.extend(
            fields
                .into_iter()
                .flat_map(|fields| fields.keys())
                .map(String::as_str),
        );
    }
    either
}

/// The fields that a mapping must have: where it has one of several, the first of them.
fn needed<'a>(form: Form<'a>) -> Vec<&'a str> {
    let mut needed = names(form, "required");
    match form.json().get("oneOf").and_then(|all| all.get(0)) {
        Some(first) => needed.extend(names(form.at(first), "required")),
        None => needed.extend(either(form).first()),
    }
    needed
}

fn description(form: Form<'_>) -> &str {
    form.json()
        .get("description")
        .and_then(Json::as_str)
        .unwrap_or_default()
}

/// What a field is, with an example and the range that it may lie in.
fn told(form: Form<'_>) -> String {
    let mut text = description(form).to_owned();
    let example = form.json().get("examples").and_then(|all| all.get(0));
    let example = example.map(|one| match one {
        Json::String(text) => text.clone(),
        other => other.to_string().replace(',', ", "),
    });
    // What is a list of two by place is a position.
    let position = form.json().get("prefixItems").map(|_| POSITION.to_owned());
    let example = example.or(position);
    let words = names(form, "enum");
    if !words.is_empty() {
        let _ = write!(text, " One of: {}.", words.join(", "));
    } else if let Some(example) = example {
        let _ = write!(text, " Such as `{example}`.");
    }
    match form.json().get("type").and_then(Json::as_str) {
        Some("integer") => text.push_str(" A whole number."),
        Some("number") => text.push_str(" A number."),
        _ => {}
    }
    if let Some(range) = form.range_told() {
        let _ = write!(text, " Range: {range}.");
    }
    if let Some(page) = form.measured() {
        let _ = write!(text, " How to measure it: docs/measuring/{page}.md.");
    }
    text
}

impl Writing<'_> {
    /// The fields of a mapping, in the order of the schema.
    fn mapping(&mut self, form: Form<'_>, path: &str, indent: usize) {
        let (needed, either) = (needed(form), either(form));
        let fields = form.json().get("properties").and_then(Json::as_object);
        for (key, stated) in fields.into_iter().flatten() {
            let Some(field) = form.field(key) else {
                continue;
            };
            let path = match path {
                "" => key.clone(),
                path => format!("{path}.{key}"),
            };
            let need = match key.as_str() {
                key if needed.contains(&key) => Need::Must,
                key if either.contains(&key) => Need::Instead,
                _ => Need::May,
            };
            self.field((key, field), &path, (need, begun(stated, field)), indent);
        }
    }

    fn field(
        &mut self,
        (key, form): (&str, Form<'_>),
        path: &str,
        (need, begun): (Need, Option<Begun>),
        indent: usize,
    ) {
        let margin = " ".repeat(indent);
        if let Some(value) = self.settled(path) {
            let _ = writeln!(self.text, "{margin}{key}: {value}");
            return;
        }
        // Nothing of orders is needed by itself, and all of it is what they are for.
        let whole = self.kind == Kind::Orders && indent < 4 && path != "title";
        // A field without which rules cannot be judged is as good as needed.
        let wanted = match (need, begun) {
            (Need::Must, _) | (Need::May, Some(Begun::Gap | Begun::Whole)) => true,
            (Need::Instead, _) | (Need::May, Some(Begun::No)) => false,
            (Need::May, None) => whole || form.json().get("x-stand-in").is_some(),
        };
        if !wanted {
            let _ = writeln!(self.text, "{margin}# {key}: # {}", told(form));
            return;
        }
        if begun == Some(Begun::Gap) {
            self.gap((key, form), indent);
        } else {
            self.value((key, form), path, indent);
        }
    }

    fn value(&mut self, (key, form): (&str, Form<'_>), path: &str, indent: usize) {
        let margin = " ".repeat(indent);
        if form.json().get("properties").is_some() {
            let _ = writeln!(self.text, "{margin}{key}: # {}", description(form));
            self.mapping(form, path, indent + 2);
        } else if let Some(items) = form
            .items()
            .filter(|items| items.json().get("properties").is_some())
        {
            let _ = writeln!(self.text, "{margin}{key}: # {}", description(form));
            let least = form.json().get("minItems").and_then(Json::as_u64);
            for _ in 0..least.unwrap_or(1).clamp(1, MOST_ITEMS) {
                let before = self.text.len();
                self.mapping(items, &format!("{path}[]"), indent + 4);
                // The first field of an item stands behind its dash.
                let item = self.text.split_off(before);
                self.text.push_str(&dashed(&item, indent + 2));
            }
        } else if let [only] = names(form, "enum")[..] {
            let _ = writeln!(self.text, "{margin}{key}: {only}");
        } else if form.json().get("type").and_then(Json::as_str) == Some("object") {
            let _ = writeln!(self.text, "{margin}{key}: {{}} # {}", description(form));
        } else {
            self.gap((key, form), indent);
        }
    }

    fn gap(&mut self, (key, form): (&str, Form<'_>), indent: usize) {
        self.gaps += 1;
        let margin = " ".repeat(indent);
        let _ = writeln!(self.text, "{margin}{key}{GAP}{}", told(form));
    }

    fn settled(&self, path: &str) -> Option<String> {
        match path {
            "kind" => Some(self.kind.to_string()),
            "format" => Some("1".to_owned()),
            "id" => Some(self.id.to_owned()),
            path => (self.known)(path),
        }
    }
}

/// The fields of an item, the first that is no comment behind a dash.
fn dashed(item: &str, indent: usize) -> String {
    let mut dash = false;
    let lines = item.lines().map(|line| {
        let field = line.trim_start();
        if dash || field.starts_with('#') {
            return format!("{line}\n");
        }
        dash = true;
        format!("{}- {field}\n", " ".repeat(indent))
    });
    lines.collect()
}

#[cfg(test)]
mod tests {
    use super::super::validate::validate;
    use super::*;
    use crate::document::{ParseLimits, parse};
    use crate::source::Sources;

    const KINDS: [Kind; 6] = [
        Kind::Mission,
        Kind::Vessel,
        Kind::Site,
        Kind::Orders,
        Kind::Policy,
        Kind::Rule,
    ];

    fn begun(kind: Kind) -> Skeleton {
        skeleton(kind, "first", &|_| None)
    }

    fn problems(kind: Kind, text: &str) -> Vec<String> {
        let mut sources = Sources::default();
        let source = sources.add("one.yaml", text.to_owned());
        let document = parse(source, text, &ParseLimits::YAML).expect("YAML");
        let all = validate(kind, &document).into_iter();
        all.map(|problem| {
            format!(
                "{}: {}",
                sources.position(problem.span).line,
                problem.message
            )
        })
        .collect()
    }

    /// Each gap filled with the example or the first word that its comment gives, or with a plain id.
    fn filled(text: &str) -> String {
        let lines = text.lines().map(|line| {
            let Some((field, told)) = line.split_once(": # to be filled: ") else {
                return format!("{line}\n");
            };
            let between = |from: &str, to: char| told.split_once(from)?.1.split_once(to);
            let value = between("Such as `", '`')
                .or_else(|| between("One of: ", ','))
                .or_else(|| told.contains("A whole number.").then_some(("4", "")))
                .or_else(|| told.contains("A number.").then_some(("0.5", "")))
                .or_else(|| told.contains("An empty list").then_some(("[]", "")))
                .map_or("one", |(value, _)| value.trim_end_matches('.'));
            format!("{field}: {value}\n")
        });
        lines.collect()
    }

    #[test]
    fn each_gap_is_refused_until_it_is_filled_and_then_all_is_sound() {
        for kind in KINDS {
            let begun = begun(kind);
            let marks = begun.text.matches(": # to be filled: ").count();
            assert_eq!(marks, begun.gaps, "{kind}");
            assert!(begun.gaps > 0 || kind == Kind::Policy, "{kind}");
            let open = problems(kind, &begun.text);
            assert!(open.len() >= begun.gaps, "{kind}: {open:?}\n{}", begun.text);
            let whole = filled(&begun.text);
            assert_eq!(
                problems(kind, &whole),
                Vec::<String>::new(),
                "{kind}:\n{whole}"
            );
        }
    }

    #[test]
    fn a_gap_says_its_unit_and_its_range() {
        let text = begun(Kind::Vessel).text;
        assert!(
            text.contains(
                "  length_overall: # to be filled: Length overall. Such as `1.2 m`. Range: more than 0 m and at \
                 most 24 m"
            ),
            "{text}"
        );
        assert!(text.contains("One of: nmc, nca, lfp, lead-acid."), "{text}");
    }

    #[test]
    fn what_is_known_is_no_gap() {
        let known = |path: &str| (path == "vessel").then(|| "heron".to_owned());
        let with = skeleton(Kind::Mission, "first", &known);
        assert!(with.text.contains("\nvessel: heron\n"), "{}", with.text);
        assert_eq!(with.gaps + 1, begun(Kind::Mission).gaps);
    }
}
