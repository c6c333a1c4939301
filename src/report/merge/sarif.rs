//! Joining reports as SARIF.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

use super::{Key, NoMerge, Part, in_order, is_of_a_part, nature};
use crate::finding::{Nature, Severity};
use crate::report::sarif::caution;

/// Joins the reports of all partitions of a check, as `--format sarif` writes them.
///
/// # Errors
/// [`NoMerge`] where one is no such report, or they are not all parts of one whole.
pub(crate) fn sarif(parts: &[Part]) -> Result<Value, NoMerge> {
    for part in parts {
        if !is_ours(&part.value) {
            let name = &part.name;
            let text = format!("{name}: it is not as `offing check --format sarif` writes it");
            return Err(NoMerge::new(text));
        }
    }
    let partition = "/runs/0/properties/partition";
    let order = in_order(parts, ("/runs/0/tool/driver/version", partition))?;
    let runs: Vec<&Value> = order
        .iter()
        .map(|at| &parts[*at].value["runs"][0])
        .collect();
    let mut whole = parts[order[0]].value.clone();
    let rules = rules(&runs);
    let results = results(&runs, &rules)?;
    let run = &mut whole["runs"][0];
    run["tool"]["driver"]["rules"] = rules.into_values().cloned().collect();
    run["invocations"] = json!([invocation(&runs)]);
    run["results"] = results;
    if let Some(fields) = run.as_object_mut() {
        fields.shift_remove("properties");
    }
    Ok(whole)
}

fn is_ours(value: &Value) -> bool {
    let runs = value["runs"].as_array();
    let one = runs.is_some_and(|runs| runs.len() == 1);
    let run = &value["runs"][0];
    let said = run["invocations"][0]["toolExecutionNotifications"].is_array();
    one && said
        && value["version"] == "2.1.0"
        && run["tool"]["driver"]["name"] == "offing"
        && run["tool"]["driver"]["rules"].is_array()
        && run["results"].is_array()
        && run["results"]
            .as_array()
            .is_some_and(|all| all.iter().all(|one| key(one).is_some()))
}

fn list<'a>(value: &'a Value, pointer: &str) -> impl Iterator<Item = &'a Value> {
    let list = value.pointer(pointer).and_then(Value::as_array);
    list.into_iter().flatten()
}

/// Rules by id; of those that several policies set, as the first policy by id has it.
fn rules<'a>(runs: &[&'a Value]) -> BTreeMap<&'a str, &'a Value> {
    let policy = |rule: &'a Value| rule["properties"]["policy"].as_str();
    let mut rules: BTreeMap<&str, &Value> = BTreeMap::new();
    for rule in runs.iter().flat_map(|run| list(run, "/tool/driver/rules")) {
        let id = rule["id"].as_str().unwrap_or_default();
        let known = rules.entry(id).or_insert(rule);
        if policy(rule).is_some() && policy(rule) < policy(known) {
            *known = rule;
        }
    }
    rules
}

fn results(runs: &[&Value], rules: &BTreeMap<&str, &Value>) -> Result<Value, NoMerge> {
    let index: BTreeMap<&str, usize> = rules.keys().copied().zip(0..).collect();
    let mut ahead = Vec::new();
    let mut rest = Vec::new();
    for run in runs {
        let kept = run["properties"]["partition"]["ahead"]
            .as_u64()
            .unwrap_or(0);
        for (result, number) in list(run, "/results").zip(0_u64..) {
            let mut result = result.clone();
            let id = result["ruleId"].as_str().and_then(|id| index.get(id));
            let unknown = || NoMerge::new("a result names a rule that its report does not have");
            result["ruleIndex"] = (*id.ok_or_else(unknown)?).into();
            if number < kept {
                ahead.push(result);
            } else if let Some(key) = key(&result) {
                rest.push((key, result));
            }
        }
    }
    rest.sort_by(|(a, _), (b, _)| a.cmp(b));
    let rest = rest.into_iter().map(|(_, result)| result);
    Ok(ahead.into_iter().chain(rest).collect())
}

fn severity(level: &str) -> Option<Severity> {
    match level {
        "error" => Some(Severity::Error),
        "warning" => Some(Severity::Warning),
        "note" => Some(Severity::Advice),
        _ => None,
    }
}

fn key(result: &Value) -> Option<Key> {
    let text = |pointer: &str| result.pointer(pointer)?.as_str();
    let at = "/locations/0/physicalLocation";
    let start = |field: &str| result.pointer(&format!("{at}/region/{field}"))?.as_u64();
    let mission = text("/properties/mission");
    let said = text("/message/text")?.lines().next()?;
    let said = mission
        .and_then(|mission| said.strip_prefix(&format!("Mission {mission}: ")))
        .unwrap_or(said);
    let kind = text("/properties/nature")?;
    Some(Key {
        not_input: kind != Nature::Input.name(),
        accepted: result.get("suppressions").is_some(),
        severity: u8::MAX - severity(text("/level")?)? as u8,
        nature: nature(kind)?,
        path: decoded(text(&format!("{at}/artifactLocation/uri"))?),
        start: (start("startLine")?, start("startColumn")?),
        rule: text("/ruleId")?.to_owned(),
        message: said.strip_suffix('.').unwrap_or(said).to_owned(),
        mission: mission.map(str::to_owned),
    })
}

/// The bytes of a path that was written as a relative reference.
fn decoded(uri: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(uri.len());
    let mut rest = uri.as_bytes();
    while let Some((&first, after)) = rest.split_first() {
        let digits = after.get(..2).and_then(|two| std::str::from_utf8(two).ok());
        let coded = digits.and_then(|two| u8::from_str_radix(two, 16).ok());
        match coded {
            Some(byte) if first == b'%' => {
                bytes.push(byte);
                rest = &after[2..];
            }
            _ => {
                bytes.push(first);
                rest = after;
            }
        }
    }
    bytes
}

fn invocation(runs: &[&Value]) -> Value {
    let told = || {
        let at = "/invocations/0/toolExecutionNotifications";
        runs.iter().flat_map(move |run| {
            // The last one counts the missions of the part.
            let all: Vec<&Value> = list(run, at).collect();
            let count = all.len().saturating_sub(1);
            all.into_iter().take(count)
        })
    };
    let mut missed: Vec<&Value> = told().filter(|one| one["level"] == "error").collect();
    missed.sort_by_key(|one| {
        let text = |field: &str| one["properties"][field].as_str();
        (text("path"), text("why"))
    });
    missed.dedup();
    let of = u32::try_from(runs.len()).unwrap_or(u32::MAX);
    let notes: BTreeSet<&str> = told()
        .filter(|one| one["level"] != "error")
        .filter_map(|one| one["message"]["text"].as_str())
        .filter(|note| !is_of_a_part(note, of))
        .collect();
    let notes = notes
        .into_iter()
        .map(|text| json!({ "level": "note", "message": { "text": text } }));
    let summed = |field: &str| -> usize {
        let stated = runs
            .iter()
            .map(|run| &run["properties"]["partition"][field]);
        let numbers = stated.filter_map(Value::as_u64);
        numbers
            .filter_map(|number| usize::try_from(number).ok())
            .sum()
    };
    let last = caution(summed("missions"), summed("clean"));
    let successful = missed.is_empty();
    let all = missed.into_iter().cloned().chain(notes).chain([last]);
    json!({
        "executionSuccessful": successful,
        "toolExecutionNotifications": all.collect::<Vec<_>>(),
    })
}

/// The exit status of a whole, as [`exit_status`](crate::report::exit_status) has it.
#[must_use]
pub(crate) fn sarif_status(whole: &Value, failing: Severity) -> u8 {
    let run = &whole["runs"][0];
    let results = || list(run, "/results");
    let input = results().any(|result| result["properties"]["nature"] == Nature::Input.name());
    let fails = |result: &Value| {
        let severity = result["level"].as_str().and_then(severity);
        let stands = result.get("suppressions").is_none();
        stands && severity.is_none_or(|severity| severity >= failing)
    };
    if input || run["invocations"][0]["executionSuccessful"] != true {
        2
    } else if results().any(fails) {
        1
    } else {
        0
    }
}
