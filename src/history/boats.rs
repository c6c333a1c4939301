//! Which boat each run was made with: by the vessel's file as its commit has it, under whatever name.

use std::collections::BTreeMap;

use super::objects::{once, text};
use super::records::{Record, Records};
use crate::document::{ParseLimits, parse};
use crate::git::{Git, GitError};
use crate::plan::boats::boat_of;
use crate::source::Sources;

/// The boat of a vessel as a text of its file says: stated, or the vessel that it was calibrated from.
fn said(text: &str) -> Option<String> {
    let mut sources = Sources::new();
    let source = sources.add("vessel", text);
    let document = parse(source, text, &ParseLimits::YAML).ok()?;
    let stated = document.root.get("boat").and_then(|boat| boat.as_text());
    let from = document.root.get("calibration");
    let from = from.and_then(|one| one.get("from")?.get("vessel")?.as_text());
    stated.or(from).map(str::to_owned)
}

/// The boat of each record, in their order. Where a file is not there, or says nothing, it is the vessel's
/// own name.
pub(super) fn for_records(records: &Records, git: &dyn Git) -> Result<Vec<String>, GitError> {
    let vessel = |record: &Record| {
        let run = &record.run;
        let mut inputs = run.inputs.iter();
        let input = inputs.find(|input| input.role == "vessel" && input.name == run.vessel);
        let path = input.map_or("", |input| input.path.value.as_str());
        format!("{}:{path}", run.commit.value)
    };
    let names: Vec<String> = records.records.iter().map(vessel).collect();
    let objects = git.named(&names)?;
    let mut known: BTreeMap<String, Option<String>> = BTreeMap::new();
    let mut boats: BTreeMap<&str, String> = BTreeMap::new();
    for (record, object) in records.records.iter().zip(objects) {
        let Some(object) = object else { continue };
        let of = once(&mut known, object.clone(), || {
            Ok(text(git, &object)?.and_then(|text| said(&text)))
        })?;
        let id = record.run.vessel.as_str();
        if let Some(boat) = of.filter(|boat| boat != id) {
            boats.entry(id).or_insert(boat);
        }
    }
    let records = records.records.iter();
    let boats = records.map(|one| boat_of(&one.run.vessel, |id| boats.get(id).cloned()));
    Ok(boats.collect())
}
