//! Commands that list and explain: rules, measures, schemas, generated chapters.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use serde_json::Value as Json;

use super::args::{Chapter, Docs, Explain, Rules, RulesAction, Schema};
use super::{Failure, output, reference};
use crate::check::{Loaded, catalogue, check, load_on, reader};
use crate::finding::EXPLAINED;
use crate::report::{schema_text, wrapped};
use crate::rules::{
    EffectivePolicy, RuleInForce, Verdict, examples, explain as explain_rule, explain_word,
};
use crate::schema::explain::{first_of, nearest, part_of};
use crate::schema::{Former, Kind};
use crate::source::{ReadError, WorkTree, open_argument, printable_block, printable_line};

/// Width that explanations are wrapped at.
const WIDTH: usize = 100;

/// The folder whose policies and rules apply, read; where it has no policy, and no vessels and sites
/// that would make it one by itself, the whole repository that it lies in, whose policies and rules judge
/// what lies in the folder.
pub(super) fn loaded(path: &Path) -> Result<(WorkTree, Loaded), Failure> {
    let unreadable = |error: ReadError| Failure::Unreadable(error.to_string());
    let opened = open_argument(path).map_err(unreadable)?;
    let mut reader = reader();
    let part = reader.gather(&opened.tree, None).map_err(unreadable)?;
    let holds = |kind| part.of_kind(kind).next().is_some();
    let by_itself = holds(Kind::Policy) || (holds(Kind::Vessel) && holds(Kind::Site));
    if opened.within.is_empty() || by_itself {
        let loaded = load_on(&opened.tree, None, &mut reader).map_err(unreadable)?;
        return Ok((opened.tree, loaded));
    }
    let whole = WorkTree::open(opened.tree.root()).map_err(unreadable)?;
    let loaded = load_on(&whole, None, &mut reader).map_err(unreadable)?;
    Ok((whole, loaded))
}

/// The policy asked for; where none is, the repository's only one, else the built-in one, which
/// is then told.
fn policy<'a>(
    loaded: &'a Loaded,
    named: Option<&str>,
) -> Result<(&'a EffectivePolicy, Option<String>), Failure> {
    let builtin = loaded.policies.builtin();
    let known: Vec<&str> = loaded
        .policies
        .team()
        .map(|policy| policy.policy.as_str())
        .collect();
    match (named, known.as_slice()) {
        (Some(id), _) => match loaded.policies.get(id) {
            Some(policy) => Ok((policy, None)),
            None => {
                let hint = nearest(id, &known).map_or_else(
                    || {
                        format!(
                            "there are {}",
                            [&["builtin"], known.as_slice()].concat().join(", ")
                        )
                    },
                    |near| format!("did you mean `{near}`?"),
                );
                Err(Failure::Usage(format!("there is no policy `{id}`; {hint}")))
            }
        },
        (None, []) => Ok((builtin, None)),
        (None, [only]) => Ok((loaded.policies.get(only).unwrap_or(builtin), None)),
        (None, several) => {
            let note = format!(
                "there are several policies here, {}; this shows the built-in one; choose with \
                 `--policy`",
                several.join(", ")
            );
            Ok((builtin, Some(note)))
        }
    }
}

pub(super) fn explain(options: &Explain) -> Result<u8, Failure> {
    let (_, loaded) = loaded(&options.plans)?;
    let (policy, note) = policy(&loaded, options.policy.as_deref())?;
    let Some(rule) = policy.get(&options.rule) else {
        let word = options.rule.as_str();
        if let Some(text) = explain_word(word, &policy.rules, &catalogue()) {
            output::print(&wrapped(&text, WIDTH))?;
            return Ok(0);
        }
        if let Some(text) = crate::debrief::explained(word) {
            output::print(&wrapped(&text, WIDTH))?;
            return Ok(0);
        }
        let known: Vec<&str> = policy
            .rules
            .iter()
            .map(|rule| &*rule.rule.id.value)
            .chain(EXPLAINED.iter().map(|one| one.id))
            .chain(crate::debrief::THRESHOLDS.iter().map(|one| one.id))
            .collect();
        if let Some(former) = Former::rule(word).or_else(|| Former::measure(word)) {
            return Err(Failure::Usage(former.explained(word)));
        }
        let hint = match (nearest(word, &known), part_of(word, &known).as_slice()) {
            (Some(near), _) => format!("did you mean `{near}`?"),
            (None, [only]) => format!("did you mean `{only}`?"),
            (None, []) => "`offing rules` lists them".to_owned(),
            (None, several) => format!("did you mean one of {}?", first_of(several, 5)),
        };
        return Err(Failure::Usage(format!(
            "there is no rule `{}`; {hint}",
            options.rule
        )));
    };
    let mut text = explain_rule(
        rule,
        policy.waivable(&options.rule),
        &catalogue(),
        &loaded.sources,
    );
    if let Some(note) = note {
        let _ = write!(
            text,
            "
Note: {note}.
"
        );
    }
    let text = printable_block(&text).into_owned();
    output::print(&wrapped(&text, WIDTH))?;
    // A broken mission changes no limit; a broken policy or rule may.
    let bears = |path: &str| {
        let of = |kind| {
            loaded
                .gathered
                .of_kind(kind)
                .any(|file| loaded.sources.path(file.source) == path)
        };
        !(of(Kind::Mission) || of(Kind::Vessel) || of(Kind::Site) || of(Kind::Orders))
    };
    let doubtful = loaded
        .problems
        .iter()
        .any(|problem| bears(loaded.sources.path(problem.span.source)));
    if doubtful {
        return Err(Failure::Unreadable(
            "files here have errors that may change this limit; `offing check` shows them"
                .to_owned(),
        ));
    }
    Ok(0)
}

pub(super) fn rules(options: &Rules) -> Result<u8, Failure> {
    match options.action {
        Some(RulesAction::Test) => test(&options.plans),
        None => list(&options.plans, options.policy.as_deref()),
    }
}

fn line(rule: &RuleInForce, loaded: &Loaded) -> String {
    let judged = if rule.enabled.value {
        rule.severity.value.name()
    } else {
        "off"
    };
    format!(
        "{:<24} {:<8} {} {}  ({})",
        rule.rule.id.value,
        judged,
        rule.rule.measure.text(),
        rule.bound.describe(),
        rule.set_by(&loaded.sources)
    )
}

fn list(path: &Path, named: Option<&str>) -> Result<u8, Failure> {
    let (_, loaded) = loaded(path)?;
    let (policy, several) = policy(&loaded, named)?;
    let mut text = format!(
        "policy {}: {}\n",
        policy.policy,
        policy.chain.join(" extends ")
    );
    for rule in &policy.rules {
        // Writing to a String cannot fail.
        let _ = writeln!(text, "{}", printable_line(&line(rule, &loaded)));
    }
    for note in policy.notes().into_iter().chain(several) {
        let _ = writeln!(text, "note: {}", printable_line(&note));
    }
    output::print(&text)?;
    complain_of_problems(&loaded)
}

/// Files that could not be read leave the list short, which must not pass for the whole of it.
fn complain_of_problems(loaded: &Loaded) -> Result<u8, Failure> {
    if loaded.problems.is_empty() {
        return Ok(0);
    }
    let count = loaded.problems.len();
    let problems = if count == 1 {
        "a problem in the files here leaves".to_owned()
    } else {
        format!("{count} problems in the files here leave")
    };
    Err(Failure::Unreadable(format!(
        "{problems} this list short; `offing check` shows more"
    )))
}

fn test(path: &Path) -> Result<u8, Failure> {
    let (tree, loaded) = loaded(path)?;
    let outcome = check(&tree, None).map_err(|error| Failure::Unreadable(error.to_string()))?;
    let mut text = String::new();
    let (mut tried, mut wrong) = (0, 0);
    for rule in loaded.rules.rules() {
        let id = &rule.id.value;
        let mut verdicts: BTreeMap<String, Verdict> = BTreeMap::new();
        for mission in &outcome.checked {
            let of_rule = mission.judged.iter().filter(|judged| judged.rule == *id);
            // The worst over the subjects is the rule's verdict on the mission.
            if let Some(worst) = of_rule.map(|judged| judged.verdict).max() {
                verdicts.insert(mission.mission.clone(), worst);
            }
        }
        let mismatches = examples(rule, &verdicts);
        tried += rule.examples.fail.len() + rule.examples.pass.len();
        wrong += mismatches.len();
        for mismatch in mismatches {
            let position = loaded.sources.position(mismatch.span);
            let path = loaded.sources.path(mismatch.span.source);
            let at = format!(
                "{path}:{}:{}: {}",
                position.line,
                position.column,
                mismatch.message()
            );
            let _ = writeln!(text, "{}", printable_line(&at));
        }
    }
    let _ = writeln!(
        text,
        "examples: {tried} tried, {wrong} not as their rules say"
    );
    output::print(&text)?;
    complain_of_problems(&loaded)?;
    Ok(u8::from(wrong > 0))
}

pub(super) fn measures() -> Result<u8, Failure> {
    let mut text = String::new();
    for measure in catalogue() {
        let _ = writeln!(
            text,
            "{:<32} {}",
            measure.name,
            reference::value_kind(measure.of)
        );
        let _ = writeln!(text, "    {}", measure.title);
    }
    output::print(&text)?;
    Ok(0)
}

/// An output of the program, and what makes its schema.
type Output = (&'static str, fn() -> Json);

/// Schemas of what the program writes.
const OUTPUTS: [Output; 8] = [
    ("check-output", crate::report::schema),
    ("window-output", crate::report::window_schema),
    ("limits-output", crate::report::limits_schema),
    ("calibrate-output", crate::report::calibrate::schema),
    ("launch-output", crate::report::launch_schema),
    ("debrief-output", crate::report::debrief::schema),
    ("history-output", crate::report::history::schema),
    ("review-output", crate::report::review::schema),
];

pub(super) fn schema(options: &Schema) -> Result<u8, Failure> {
    if let Some((_, schema)) = OUTPUTS.iter().find(|(name, _)| *name == options.kind) {
        let text =
            schema_text(&schema()).map_err(|error| Failure::Unreadable(error.to_string()))?;
        output::print(&text)?;
        return Ok(0);
    }
    let Some(kind) = Kind::named(&options.kind) else {
        let mut names: Vec<&str> = Kind::ALL.iter().map(|kind| kind.name()).collect();
        names.extend(OUTPUTS.iter().map(|(name, _)| *name));
        return Err(Failure::Usage(format!(
            "there is no schema `{}`; there are {}",
            options.kind,
            names.join(", ")
        )));
    };
    output::print(kind.schema_text())?;
    Ok(0)
}

pub(super) fn docs(options: &Docs) -> Result<u8, Failure> {
    let text = match options.chapter {
        Chapter::Rules => reference::rules_chapter(),
        Chapter::Measures => reference::measures_chapter(),
        Chapter::Files => reference::files_chapter(),
    };
    output::print(&text.map_err(Failure::Unreadable)?)?;
    Ok(0)
}
