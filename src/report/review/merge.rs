//! Joining the reports of all partitions of a review into that of the whole.

use std::collections::BTreeSet;

use serde_json::Value;

use super::schema;
use crate::report::merge::{NoMerge, Part, check};

/// Joins the reports of all partitions of a review, as `--format json` writes them.
///
/// # Errors
/// [`NoMerge`] where one is no such report, or they are not all parts of one whole.
pub(crate) fn merge(parts: &[Part]) -> Result<Value, NoMerge> {
    let validator = jsonschema::validator_for(&schema())
        .ok()
        .ok_or_else(|| NoMerge::new("the schema of the reports cannot be read"))?;
    for part in parts {
        if !validator.is_valid(&part.value) {
            let name = &part.name;
            let text = format!("{name}: it is not as `offing review --format json` writes it");
            return Err(NoMerge::new(text));
        }
    }
    let checks: Vec<Part> = parts
        .iter()
        .map(|part| Part {
            name: part.name.clone(),
            value: part.value["check"].clone(),
        })
        .collect();
    let joined = check(&checks)?;
    let first = &parts[0];
    for part in parts {
        for field in ["base", "head", "policy_from", "missions_in_all"] {
            if part.value[field] != first.value[field] {
                return Err(NoMerge::new(format!(
                    "{} and {} are of different reviews: their `{field}` differs",
                    first.name, part.name
                )));
            }
        }
    }
    let all = |field: &str| -> Vec<&Value> {
        let lists = parts.iter().filter_map(|part| part.value[field].as_array());
        lists.flatten().collect()
    };
    let text = |value: &Value, field: &str| value[field].as_str().map(str::to_owned);
    let mut whole = first.value.clone();
    let mut missions = all("missions");
    missions.sort_by_key(|one| text(one, "mission"));
    whole["missions"] = missions.into_iter().cloned().collect();
    for field in ["fixed", "still"] {
        let mut told = all(field);
        told.sort_by_key(|one| {
            (
                text(one, "mission"),
                text(one, "rule"),
                text(one, "message"),
            )
        });
        whole[field] = told.into_iter().cloned().collect();
    }
    let mut worse = all("worse");
    worse.sort_by_key(|one| {
        (
            text(one, "mission"),
            text(one, "rule"),
            text(one, "fingerprint"),
        )
    });
    whole["worse"] = worse.into_iter().cloned().collect();
    let only: BTreeSet<&str> = all("only_under_change")
        .into_iter()
        .filter_map(Value::as_str)
        .collect();
    let findings = joined["findings"].as_array().into_iter().flatten();
    whole["only_under_change"] = findings
        .filter_map(|finding| finding["fingerprint"].as_str())
        .filter(|fingerprint| only.contains(fingerprint))
        .collect();
    whole["check"] = joined;
    Ok(whole)
}
