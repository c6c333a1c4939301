//! Rules put into words for people.

use std::fmt::Write as _;

use super::bound::Bound;
use super::in_force::{RuleInForce, path_and_line};
use super::rule::Rule;
use super::waivable::{Waivable, describe_waivable};
use crate::finding::{Side, Who, explained};
use crate::measures::Measure;
use crate::schema::Stated;
use crate::source::{Sources, Span};

/// Everything there is to say of a rule in force, as plain text: what is measured, the limit and
/// the line that set it, why, what to change, the sources, what a plan must state, how it fails.
/// Nothing in it is made safe to print, since a team's rules are quoted in it.
#[must_use]
pub(crate) fn explain(
    rule: &RuleInForce,
    waivable: Option<&Waivable>,
    catalogue: &[Measure],
    sources: &Sources,
) -> String {
    let stated = &rule.rule;
    let mut text = format!("{}: {}\n", stated.id.value, stated.title);
    let mut section = |title: &str, body: &str| {
        // Writing to a String cannot fail.
        let _ = write!(text, "\n{title}\n");
        for line in body.lines() {
            let _ = writeln!(text, "  {line}");
        }
    };
    section("What is measured", &measured(stated, catalogue));
    section("What passes", &passes(rule, sources));
    section("Why", &stated.why);
    section(&what_to_change(stated), &stated.remedy);
    section("Sources", &listed(&sources_of(stated)));
    section(
        "What a plan must state for it",
        &listed(&needs(&catalogued(stated, catalogue))),
    );
    section("How it fails", &failing(rule));
    if let Some(waivable) = waivable {
        let body = format!(
            "policy `{}`: {}",
            waivable.policy,
            describe_waivable(waivable)
        );
        section("What may be waived", &body);
    }
    if !rule.loosened.is_empty() {
        let lines: Vec<String> = rule
            .loosened
            .iter()
            .map(|l| {
                let line = path_and_line(l.span, sources);
                format!("policy `{}` ({line}): {}; {}", l.policy, l.what, l.reason)
            })
            .collect();
        section(
            "Policies that are less strict than its own file",
            &lines.join("\n"),
        );
    }
    text
}

/// What a word is that names no rule: a measure, or a code that findings bear. `None` where it is
/// neither.
#[must_use]
pub(crate) fn explain_word(
    word: &str,
    rules: &[RuleInForce],
    catalogue: &[Measure],
) -> Option<String> {
    if let Some(measure) = catalogue.iter().find(|measure| measure.name == word) {
        let using: Vec<String> = rules
            .iter()
            .filter(|rule| rule.rule.measures().iter().any(|used| used.name == word))
            .map(|rule| format!("{} ({})", rule.rule.id.value, rule.bound.describe()))
            .collect();
        let using = match using.as_slice() {
            [] => "  no rule here".to_owned(),
            rules => format!("  {}", listed(rules).replace('\n', "\n  ")),
        };
        return Some(format!(
            "{word}: {} (a measure)\n\nWhat it is\n  {}\n\nWhat a plan must state for it\n  {}\n\n\
             Rules that use it\n{using}\n",
            measure.title,
            measure.meaning,
            listed(&needs([measure])).replace('\n', "\n  ")
        ));
    }
    explained(word)
}

fn listed(all: &[String]) -> String {
    let lines: Vec<String> = all.iter().map(|one| format!("- {one}")).collect();
    lines.join("\n")
}

fn sources_of(rule: &Rule) -> Vec<String> {
    match rule.sources.as_slice() {
        [] => vec!["none is named".to_owned()],
        named => named.to_vec(),
    }
}

/// The measures of a rule, as the catalogue in hand has them.
fn catalogued(rule: &Rule, catalogue: &[Measure]) -> Vec<Measure> {
    rule.measures()
        .into_iter()
        .map(|own| {
            let listed = catalogue.iter().find(|measure| measure.name == own.name);
            listed.copied().unwrap_or(own)
        })
        .collect()
}

/// The heading of what is to be changed, with who does it where it is not the planner.
fn what_to_change(stated: &Rule) -> String {
    match stated.who {
        Who::Planner => "What to change".to_owned(),
        who => format!("What to change, by the {}", who.label()),
    }
}

fn measured(rule: &Rule, catalogue: &[Measure]) -> String {
    let mut lines = Vec::new();
    // A rule that bounds one measure as it is has it told of below.
    if rule.measure.bare().is_none() {
        lines.push(rule.measure.text().to_owned());
    }
    if let Some(condition) = &rule.applies_when {
        lines.push(format!("applies only where: {}", condition.text()));
    }
    for measure in catalogued(rule, catalogue) {
        lines.push(format!("{}: {}", measure.name, measure.title));
        if !measure.meaning.is_empty() {
            lines.push(measure.meaning.to_owned());
        }
    }
    lines.join("\n")
}

fn passes(rule: &RuleInForce, sources: &Sources) -> String {
    let set_by =
        |words: String, span: Span| format!("{words} (set by {})", path_and_line(span, sources));
    let mut lines = Vec::new();
    match &rule.bound {
        Bound::Equals(truth) => lines.push(set_by(truth.value.to_string(), truth.span())),
        Bound::Limits { .. } => {
            for side in [Side::AtLeast, Side::AtMost] {
                if let Some(limit) = rule.bound.limit(side) {
                    let words = format!("{} {}", side.label(), limit.value);
                    lines.push(set_by(words, limit.span()));
                }
            }
        }
    }
    let severity = format!("severity: {}", rule.severity.value);
    lines.push(set_by(severity, rule.severity.span()));
    if !rule.enabled.value {
        lines.push(set_by(
            "it is switched off".to_owned(),
            Stated::span(&rule.enabled),
        ));
    }
    lines.join("\n")
}

/// What a plan must state for measures, each entry once; a group not beside an entry of its own.
fn needs<'m>(measures: impl IntoIterator<Item = &'m Measure>) -> Vec<String> {
    let mut all: Vec<&str> = Vec::new();
    for need in measures.into_iter().flat_map(|measure| measure.needs) {
        if !all.contains(need) {
            all.push(need);
        }
    }
    let holds = |group: &str, one: &str| {
        one.strip_prefix(group)
            .is_some_and(|rest| rest.starts_with(": "))
    };
    let has_entry = |group: &&str| all.iter().any(|one| holds(group, one));
    let needs = all.iter().filter(|need| !has_entry(need));
    let needs: Vec<String> = needs.map(|need| (*need).to_owned()).collect();
    if needs.is_empty() {
        return vec!["nothing beyond what every plan states".to_owned()];
    }
    needs
}

fn failing(rule: &RuleInForce) -> String {
    let name = rule.rule.measure.text();
    let mut ways: Vec<String> = Vec::new();
    match &rule.bound {
        Bound::Equals(truth) => ways.push(format!("`{name}` is {}", !truth.value)),
        Bound::Limits { at_least, at_most } => {
            if let Some(least) = at_least {
                ways.push(format!("`{name}` is less than {}", least.value));
            }
            if let Some(most) = at_most {
                ways.push(format!("`{name}` is more than {}", most.value));
            }
        }
    }
    let at_limit = match rule.bound {
        Bound::Equals(_) => "",
        Bound::Limits { .. } => "; a value at its limit passes",
    };
    format!(
        "It fails where {}{at_limit}.\nIf a plan does not state something that it needs, it cannot \
         be evaluated, and that is a finding of the same severity.",
        ways.join(" or ")
    )
}

/// The rules with their own limits as Markdown, a heading a folder and a section a rule, in the
/// order in which they are given within the folders. A rule's folder is the last one of its path.
#[must_use]
pub(crate) fn catalogue_markdown(
    rules: &[RuleInForce],
    catalogue: &[Measure],
    sources: &Sources,
) -> String {
    let folder = |rule: &RuleInForce| {
        let path = sources.path(rule.rule.source);
        let mut names = path.rsplit(['/', ':']);
        names.nth(1).unwrap_or("").to_owned()
    };
    let mut folders: Vec<String> = rules.iter().map(folder).collect();
    folders.sort();
    folders.dedup();
    let mut text = String::new();
    for name in folders {
        // Writing to a String cannot fail.
        let _ = write!(text, "## {}\n\n", capital(&name));
        for rule in rules.iter().filter(|rule| folder(rule) == name) {
            markdown_section(&mut text, rule, catalogue);
        }
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => "Rules".to_owned(),
    }
}

fn markdown_section(text: &mut String, rule: &RuleInForce, catalogue: &[Measure]) {
    let stated = &rule.rule;
    let _ = write!(
        text,
        "### `{}`\n\n{}.\n\nPasses where `{}` is **{}**. Severity: {}.\n\n",
        stated.id.value,
        plain(&stated.title),
        stated.measure.text(),
        rule.bound.describe(),
        rule.severity.value
    );
    if let Some(condition) = &stated.applies_when {
        let _ = write!(text, "Applies only where `{}`.\n\n", condition.text());
    }
    for measure in catalogued(stated, catalogue) {
        let meaning = [measure.title, measure.meaning]
            .into_iter()
            .filter(|part| !part.is_empty())
            .map(|part| format!("{}.", plain(part.trim_end_matches('.'))))
            .collect::<Vec<_>>()
            .join(" ");
        let _ = write!(text, "*Measured*: `{}`. {meaning}\n\n", measure.name);
    }
    let _ = write!(text, "*Why*: {}\n\n", plain(&stated.why));
    let heading = what_to_change(stated);
    let _ = write!(text, "*{heading}*: {}\n\n", plain(&stated.remedy));
    let _ = write!(
        text,
        "*A plan must state*: {}.\n\n",
        plain(&needs(&catalogued(stated, catalogue)).join(", "))
    );
    let _ = write!(
        text,
        "*Sources*:\n\n{}\n\n",
        listed(
            &sources_of(stated)
                .iter()
                .map(|s| plain(s))
                .collect::<Vec<_>>()
        )
    );
}

/// A text in which Markdown finds nothing to format but words in backticks, which stay as they are;
/// an underscore inside a word marks nothing.
fn plain(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    let paired = text.matches('`').count().is_multiple_of(2);
    let mut in_code = false;
    let mut before = ' ';
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let after = characters.peek().copied().unwrap_or(' ');
        let means = match character {
            '`' if paired => {
                in_code ^= true;
                false
            }
            _ if in_code => false,
            '_' => !(before.is_alphanumeric() && after.is_alphanumeric()),
            '\\' | '`' | '*' | '[' | ']' | '<' | '>' | '#' | '|' => true,
            _ => false,
        };
        if means {
            safe.push('\\');
        }
        safe.push(character);
        before = character;
    }
    safe
}
