//! Joining reports as JSON.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use super::{Key, NoMerge, Part, in_order, is_of_a_part, nature};
use crate::finding::Severity;
use crate::report::schema;
use crate::source::printable_line;

/// Joins the reports of all partitions of a check, as `--format json` writes them.
///
/// # Errors
/// [`NoMerge`] where one is no such report, or they are not all parts of one whole.
pub(crate) fn check(parts: &[Part]) -> Result<Value, NoMerge> {
    let validator = jsonschema::validator_for(&schema())
        .ok()
        .ok_or_else(|| NoMerge::new("the schema of the reports cannot be read"))?;
    for part in parts {
        if let Err(error) = validator.validate(&part.value) {
            return Err(NoMerge::new(format!(
                "{}: it is not as `offing check --format json` writes it: {}: {}",
                part.name,
                error.instance_path(),
                printable_line(&shortened(&error.to_string())),
            )));
        }
    }
    let order = in_order(parts, ("/program/version", "/partition"))?;
    let values: Vec<&Value> = order.iter().map(|at| &parts[*at].value).collect();
    let all = |field: &str| -> Vec<&Value> {
        let lists = values.iter().filter_map(|value| value[field].as_array());
        lists.flatten().collect()
    };
    let mut whole = values[0].clone();
    whole["partition"] = Value::Null;
    whole["findings"] = findings(&values)?;
    let mut missions = all("missions");
    missions.sort_by_key(|mission| mission["path"].as_str());
    whole["missions"] = missions.into_iter().cloned().collect();
    let mut not_checked = all("not_checked");
    not_checked.sort_by_key(|file| (file["path"].as_str(), file["why"].as_str()));
    not_checked.dedup();
    whole["not_checked"] = not_checked.into_iter().cloned().collect();
    let of = u32::try_from(values.len()).unwrap_or(u32::MAX);
    let notes: BTreeSet<&str> = all("notes")
        .into_iter()
        .filter_map(Value::as_str)
        .filter(|note| !is_of_a_part(note, of))
        .collect();
    whole["notes"] = notes.into_iter().collect();
    whole["limits_in_force"] = limits(&values)?;
    let summed = |values: &[&Value], pointer: &str| -> u64 {
        let numbers = values.iter().filter_map(|value| value.pointer(pointer));
        numbers.filter_map(Value::as_u64).sum()
    };
    let mut summary = whole["summary"].clone();
    for field in ["missions_checked", "missions_clean"] {
        summary[field] = summed(&values, &format!("/summary/{field}")).into();
    }
    if let Some(counts) = summary["findings"].as_object_mut() {
        for (field, count) in counts {
            *count = summed(&values, &format!("/summary/findings/{field}")).into();
        }
    }
    summary["files_not_checked"] = whole["not_checked"].as_array().map_or(0, Vec::len).into();
    whole["summary"] = summary;
    Ok(whole)
}

fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(200).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// Findings in their order, those that stand ahead of it first.
fn findings(values: &[&Value]) -> Result<Value, NoMerge> {
    let mut ahead = Vec::new();
    let mut rest: Vec<(Key, &Value)> = Vec::new();
    for value in values {
        let kept = value["partition"]["ahead"].as_u64().unwrap_or(0);
        let all = value["findings"].as_array().into_iter().flatten();
        for (finding, number) in all.zip(0_u64..) {
            if number < kept {
                ahead.push(finding);
            } else {
                let key =
                    key(finding).ok_or_else(|| NoMerge::new("a finding has an unknown form"))?;
                rest.push((key, finding));
            }
        }
    }
    rest.sort_by(|(a, _), (b, _)| a.cmp(b));
    let rest = rest.into_iter().map(|(_, finding)| finding);
    Ok(ahead.into_iter().chain(rest).cloned().collect())
}

fn key(finding: &Value) -> Option<Key> {
    let text = |pointer: &str| finding.pointer(pointer)?.as_str();
    let severity = Severity::named(text("/severity")?)?;
    let nature = nature(text("/nature")?)?;
    Some(Key {
        not_input: text("/nature")? != crate::finding::Nature::Input.name(),
        accepted: !finding["accepted"].is_null(),
        severity: u8::MAX - severity as u8,
        nature,
        path: text("/primary/location/path")?.as_bytes().to_vec(),
        start: (
            finding.pointer("/primary/location/start/byte")?.as_u64()?,
            0,
        ),
        rule: text("/rule")?.to_owned(),
        message: text("/message")?.to_owned(),
        mission: text("/mission").map(str::to_owned),
    })
}

/// The limits in force by policy; what one policy asks for is the same in every part.
fn limits(values: &[&Value]) -> Result<Value, NoMerge> {
    let mut by_policy: BTreeMap<&str, Vec<&Value>> = BTreeMap::new();
    for value in values {
        let mut own: BTreeMap<&str, Vec<&Value>> = BTreeMap::new();
        for limit in value["limits_in_force"].as_array().into_iter().flatten() {
            let policy = limit["policy"].as_str().unwrap_or_default();
            own.entry(policy).or_default().push(limit);
        }
        for (policy, limits) in own {
            let known = by_policy.entry(policy).or_insert_with(|| limits.clone());
            if *known != limits {
                return Err(NoMerge::new(format!(
                    "the parts were judged by different limits of policy `{}`",
                    printable_line(policy)
                )));
            }
        }
    }
    Ok(by_policy.into_values().flatten().cloned().collect())
}

/// The exit status of a whole, as [`exit_status`](crate::report::exit_status) has it.
#[must_use]
pub(crate) fn status(whole: &Value, failing: Severity) -> u8 {
    let findings = || whole["findings"].as_array().into_iter().flatten();
    let input = findings().any(|finding| finding["nature"] == crate::finding::Nature::Input.name());
    let missed = whole["not_checked"]
        .as_array()
        .is_none_or(|files| !files.is_empty());
    let fails = |finding: &Value| {
        let severity = finding["severity"].as_str().and_then(Severity::named);
        finding["accepted"].is_null() && severity.is_none_or(|severity| severity >= failing)
    };
    if input || missed {
        2
    } else if findings().any(fails) {
        1
    } else {
        0
    }
}

/// A value as the text of a report.
///
/// # Errors
/// Those of the serializer.
pub(crate) fn json_text(value: &Value) -> Result<String, serde_json::Error> {
    crate::report::output::text(value)
}
