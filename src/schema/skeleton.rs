//! The skeleton of a file: every field that it must have as a marked gap, the others as comments.
//!
//! A gap is an empty value, which a check refuses on its line: nothing is judged as if something stood there.

use std::fmt::Write as _;

use serde_json::Value as Json;

use super::form::Form;
use super::kinds::Kind;
use super::marks::{PROPOSED, TO_BE_FILLED, gap, proposal};

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

/// What is settled of a field before anybody fills it in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Settled {
    /// It has this value, as YAML.
    Known(String),
    /// It gets this value, as YAML, which whoever fills in the file may change.
    Proposed(String),
    /// Another file states it.
    Elsewhere,
}

/// The skeleton of a file of a kind under an id, which must be one. `settled` tells what is settled of fields
/// already, by their paths with dots; an item of a list is `[]` there.
#[must_use]
pub(crate) fn skeleton(
    kind: Kind,
    id: &str,
    settled: &dyn Fn(&str) -> Option<Settled>,
) -> Skeleton {
    let head = format!("# Begun by `offing new {kind}`.\n");
    skeleton_under(&head, kind, id, settled)
}

/// As [`skeleton`], under a head of one's own: comments, each line of them ended.
#[must_use]
pub(crate) fn skeleton_under(
    head: &str,
    kind: Kind,
    id: &str,
    settled: &dyn Fn(&str) -> Option<Settled>,
) -> Skeleton {
    let mut writing = Writing {
        kind,
        id,
        settled,
        text: format!(
            "{head}# Fill in each field marked \"{TO_BE_FILLED}\": `offing check` names the line until you do.\n\
             # Read each value marked \"{PROPOSED}\", and change it where it does not hold.\n\
             # A field that stands in a comment may be left out; take away the `#` to state it.\n"
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

/// A field to be written.
struct Field<'a> {
    key: &'a str,
    form: Form<'a>,
    description: &'a str,
    /// The value that it gets where nothing else is known.
    proposed: Option<&'a str>,
}

fn begun(field: &Json, form: Form<'_>) -> Option<Begun> {
    match form.says(field, "x-begun")? {
        "gap" => Some(Begun::Gap),
        "whole" => Some(Begun::Whole),
        _ => Some(Begun::No),
    }
}

struct Writing<'a> {
    kind: Kind,
    id: &'a str,
    settled: &'a dyn Fn(&str) -> Option<Settled>,
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

/// What a field is, with an example and the range that it may lie in.
fn told(field: &Field<'_>) -> String {
    let form = field.form;
    let mut text = field.description.to_owned();
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
        let _ = write!(text, " How to measure it: docs/how-to/measuring/{page}.md.");
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
            let stands = Field {
                key,
                form: field,
                description: field.says(stated, "description").unwrap_or_default(),
                proposed: field.says(stated, "x-proposed"),
            };
            self.field(&stands, &path, (need, begun(stated, field)), indent);
        }
    }

    fn field(
        &mut self,
        field: &Field<'_>,
        path: &str,
        (need, begun): (Need, Option<Begun>),
        indent: usize,
    ) {
        let (key, form) = (field.key, field.form);
        let margin = " ".repeat(indent);
        match self.settled(path) {
            Some(Settled::Known(value)) => {
                // A list stands on lines of its own.
                let part = if value.starts_with('\n') { "" } else { " " };
                let _ = writeln!(self.text, "{margin}{key}:{part}{value}");
                return;
            }
            Some(Settled::Proposed(value)) => return self.propose(field, &value, indent),
            Some(Settled::Elsewhere) => return,
            None => {}
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
            let _ = writeln!(self.text, "{margin}# {key}: # {}", told(field));
        } else if let Some(value) = field.proposed {
            self.propose(field, value, indent);
        } else if begun == Some(Begun::Gap) {
            self.gap(field, indent);
        } else {
            self.value(field, path, indent);
        }
    }

    fn value(&mut self, field: &Field<'_>, path: &str, indent: usize) {
        let (key, form, description) = (field.key, field.form, field.description);
        let margin = " ".repeat(indent);
        if form.json().get("properties").is_some() {
            let before = (self.text.len(), self.gaps);
            let _ = writeln!(self.text, "{margin}{key}: # {description}");
            let begun = self.text.len();
            self.mapping(form, path, indent + 2);
            // A mapping of which nothing is stated here is stated elsewhere.
            if !states(&self.text[begun..]) {
                self.text.truncate(before.0);
            }
        } else if let Some(items) = form
            .items()
            .filter(|items| items.json().get("properties").is_some())
        {
            let _ = writeln!(self.text, "{margin}{key}: # {description}");
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
            let _ = writeln!(self.text, "{margin}{key}: {{}} # {description}");
        } else {
            self.gap(field, indent);
        }
    }

    fn gap(&mut self, field: &Field<'_>, indent: usize) {
        self.gaps += 1;
        let margin = " ".repeat(indent);
        let _ = writeln!(self.text, "{margin}{}", gap(field.key, &told(field)));
    }

    fn propose(&mut self, field: &Field<'_>, value: &str, indent: usize) {
        let margin = " ".repeat(indent);
        let (key, description) = (field.key, field.description);
        let words = names(field.form, "enum");
        let words = match words[..] {
            [] => String::new(),
            _ => format!(" One of: {}.", words.join(", ")),
        };
        let what = format!("{description}{words}");
        let _ = writeln!(self.text, "{margin}{}", proposal(key, value, &what));
    }

    fn settled(&self, path: &str) -> Option<Settled> {
        let known = |value: &str| Some(Settled::Known(value.to_owned()));
        match path {
            "kind" => known(self.kind.name()),
            "format" => known("1"),
            "id" => known(self.id),
            path => (self.settled)(path),
        }
    }
}

/// Whether some lines of a file hold more than comments.
fn states(lines: &str) -> bool {
    let mut lines = lines.lines();
    lines.any(|line| !line.trim_start().starts_with('#'))
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
        let known = |path: &str| (path == "vessel").then(|| Settled::Known("heron".to_owned()));
        let with = skeleton(Kind::Mission, "first", &known);
        assert!(with.text.contains("\nvessel: heron\n"), "{}", with.text);
        assert_eq!(with.gaps + 1, begun(Kind::Mission).gaps);
    }
}
