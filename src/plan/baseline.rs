//! Findings that were there when a repository began to be checked.

use jiff::civil::Date;

use super::gathered::FileOfKind;
use super::time;
use crate::schema::{Fields, Former, Problem, Stated, renamed};

/// One finding of a baseline.
#[derive(Clone, PartialEq, Debug)]
pub struct Known {
    /// Its fingerprint.
    pub fingerprint: Stated<String>,
    /// Id of its rule.
    pub rule: String,
    /// Id of its mission.
    pub mission: String,
    /// The value that is accepted, as it is written; a worse one is not.
    pub measured: Option<Stated<String>>,
    /// What it said.
    pub says: Option<String>,
}

impl Known {
    /// Whether another one says the same, wherever it stands.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        let all = |known: &Self| {
            let measured = known.measured.as_ref().map(|one| one.value.clone());
            let fingerprint = known.fingerprint.value.clone();
            (
                fingerprint,
                known.rule.clone(),
                known.mission.clone(),
                measured,
                known.says.clone(),
            )
        };
        all(self) == all(other)
    }
}

/// A baseline.
#[derive(Clone, PartialEq, Debug)]
pub struct Baseline {
    /// Its id.
    pub id: Stated<String>,
    /// The last day on which a mission may be launched under it.
    pub review_by: Stated<Date>,
    /// Who accepted it, by role.
    pub by: Stated<String>,
    /// Why.
    pub reason: Stated<String>,
    /// The findings.
    pub findings: Vec<Known>,
}

/// Reads a baseline from a file that fits its schema.
///
/// # Errors
/// Every [`Problem`] of the file.
pub(crate) fn baseline(file: &FileOfKind) -> Result<Baseline, Vec<Problem>> {
    file.parse_with(parse)
}

fn parse(fields: Fields<'_>) -> Option<Baseline> {
    let mut findings: Vec<Known> = Vec::new();
    let mut first = std::collections::BTreeMap::new();
    for one in fields.maps("findings") {
        let rule = one.required_text("rule")?;
        if let Some(now) = renamed::rule(&rule.value) {
            let help =
                "write the baseline again with `offing baseline`: its rule identifies a finding";
            let problem = Former::Renamed(now).problem("input-value", rule.span(), &rule.value);
            fields.problem(problem.help(help));
        }
        let known = Known {
            fingerprint: one.required_text("fingerprint")?,
            rule: rule.value,
            mission: one.required_text("mission")?.value,
            measured: one.text("measured"),
            says: one.text("says").map(|says| says.value),
        };
        let span = known.fingerprint.span();
        if let Some(other) = first.insert(known.fingerprint.value.clone(), span) {
            let text = "the baseline has this finding twice";
            fields.problem(Problem::value(span, text).with(other, "the other one"));
            return None;
        }
        findings.push(known);
    }
    Some(Baseline {
        id: fields.required_text("id")?,
        review_by: time::date(fields, "review_by")?,
        by: fields.required_text("by")?,
        reason: fields.required_text("reason")?,
        findings,
    })
}
