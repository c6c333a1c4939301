//! Whether a rule does on its own examples what its file says it does.

use std::collections::BTreeMap;

use super::judge::Verdict;
use super::rule::Rule;
use crate::schema::{Problem, Stated};
use crate::source::Span;

/// What a rule's file says of a mission.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Expected {
    /// The rule must fail it.
    Fail,
    /// The rule must apply to it and pass it.
    Pass,
}

/// An example that does not come out as its file says.
#[derive(Clone, PartialEq, Debug)]
pub struct Mismatch {
    /// Id of the rule.
    pub rule: String,
    /// Id of the mission.
    pub mission: String,
    /// Where the rule's file names it.
    pub span: Span,
    /// What it must come to.
    pub expected: Expected,
    /// What it came to; `None` where there is no such mission, or it was not checked.
    pub found: Option<Verdict>,
}

impl Mismatch {
    /// The mismatch in a sentence.
    #[must_use]
    pub fn message(&self) -> String {
        let Self { rule, mission, .. } = self;
        let due = match self.expected {
            Expected::Fail => "must fail for",
            Expected::Pass => "must pass for",
        };
        let found = match self.found {
            None => "which was not checked: there is no valid mission of this id",
            Some(Verdict::Fails) => "which fails it",
            Some(Verdict::Holds) => "which passes it",
            Some(Verdict::Unknown) => "for which it could not be evaluated",
            Some(Verdict::NotApplicable) => "to which it does not apply",
        };
        format!("rule `{rule}` {due} mission `{mission}`, {found}")
    }
}

impl From<&Mismatch> for Problem {
    fn from(mismatch: &Mismatch) -> Self {
        Self::new("rule-example", mismatch.span, mismatch.message())
    }
}

/// The examples of a rule that do not come out as its file says, in the order of the file, given
/// its verdict on each mission by id ([`overall`](super::overall) of the mission's judgements).
///
/// Nothing short of the verdict itself counts: a rule that does not apply to a mission has not
/// passed it, and one that could not be judged has not failed it.
#[must_use]
pub(crate) fn examples(rule: &Rule, verdicts: &BTreeMap<String, Verdict>) -> Vec<Mismatch> {
    let of = |expected: Expected, missions: &[Stated<String>]| -> Vec<Mismatch> {
        let due = match expected {
            Expected::Fail => Verdict::Fails,
            Expected::Pass => Verdict::Holds,
        };
        missions
            .iter()
            .map(|mission| (mission, verdicts.get(&mission.value).copied()))
            .filter(|(_, found)| *found != Some(due))
            .map(|(mission, found)| Mismatch {
                rule: rule.id.value.to_string(),
                mission: mission.value.clone(),
                span: mission.span(),
                expected,
                found,
            })
            .collect()
    };
    let mut all = of(Expected::Fail, &rule.examples.fail);
    all.extend(of(Expected::Pass, &rule.examples.pass));
    all.sort_by_key(|mismatch| mismatch.span);
    all
}
