//! A way to fix a finding as a type of the outputs.

use schemars::JsonSchema;
use serde::Serialize;

use super::Location;
use crate::finding;
use crate::source::Sources;

/// One way to fix a finding.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Remedy<'a> {
    /// Who does it, by role; null where it is whoever wrote what the finding is about.
    who: Option<Who>,
    /// What they do, in a sentence.
    text: &'a str,
    /// The changes of files that do it, all of them together, in the order of the files; empty where no change
    /// of a file does.
    edits: Vec<Edit<'a>>,
}

/// A change of one field of a file.
#[derive(Serialize, JsonSchema)]
struct Edit<'a> {
    /// The field, as a JSON pointer; of an item that is added to a list, the place that it takes.
    #[schemars(regex(pattern = "^/"))]
    field: &'a str,
    /// Its value, as YAML on one line.
    #[schemars(length(min = 1))]
    value: &'a str,
    /// What is replaced; empty where something is added. Made from the last to the first, none moves another.
    replaced: Location<'a>,
    /// What stands there afterwards.
    #[schemars(length(min = 1))]
    text: &'a str,
}

/// Who does something, by role.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Who {
    Planner,
    #[serde(rename = "person in charge")]
    PersonInCharge,
    #[serde(rename = "remote operator")]
    RemoteOperator,
    #[serde(rename = "recovery crew")]
    RecoveryCrew,
    #[serde(rename = "keeper of the boat")]
    BoatKeeper,
    #[serde(rename = "keeper of the site")]
    SiteKeeper,
}

impl From<finding::Who> for Who {
    fn from(who: finding::Who) -> Self {
        match who {
            finding::Who::Planner => Self::Planner,
            finding::Who::PersonInCharge => Self::PersonInCharge,
            finding::Who::RemoteOperator => Self::RemoteOperator,
            finding::Who::RecoveryCrew => Self::RecoveryCrew,
            finding::Who::BoatKeeper => Self::BoatKeeper,
            finding::Who::SiteKeeper => Self::SiteKeeper,
        }
    }
}

impl<'a> Remedy<'a> {
    /// All remedies of a finding.
    pub(crate) fn all(finding: &'a finding::Finding, sources: &'a Sources) -> Vec<Self> {
        let edit = |edit: &'a finding::Edit| Edit {
            field: &edit.field,
            value: &edit.value,
            replaced: Location::from_span(edit.replaced, sources),
            text: &edit.text,
        };
        let all = finding.remedies.iter();
        all.map(|remedy| Self {
            who: remedy.who.map(Who::from),
            text: &remedy.text,
            edits: remedy.edits.iter().map(edit).collect(),
        })
        .collect()
    }
}
