//! Findings that say the same: rules of one mission that lack the same thing.

use crate::finding::{Finding, Nature, Severity};

/// Findings that are reported together, the gravest first; most often one.
pub(super) struct Group<'a> {
    pub first: &'a Finding,
    pub others: Vec<&'a Finding>,
}

/// Puts together what could not be judged in one mission for the same reason, at the same place and
/// with the same remedy. Groups keep the order of their first findings.
pub(super) fn groups<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Vec<Group<'a>> {
    let mut all: Vec<Group<'_>> = Vec::new();
    for finding in findings {
        match all.iter_mut().find(|group| same(group.first, finding)) {
            Some(group) => group.others.push(finding),
            None => all.push(Group {
                first: finding,
                others: Vec::new(),
            }),
        }
    }
    all
}

fn same(a: &Finding, b: &Finding) -> bool {
    let unknown =
        |finding: &Finding| finding.nature == Nature::NotEvaluated && !finding.reason.is_empty();
    unknown(a)
        && unknown(b)
        && a.mission == b.mission
        && a.accepted.is_some() == b.accepted.is_some()
        && a.primary.span == b.primary.span
        && a.reason == b.reason
        && a.remedies == b.remedies
}

impl Group<'_> {
    /// The finding that stands for all, where there are several: its sentence says how many rules
    /// it is about, its heading names no single one.
    pub(super) fn together(&self) -> Option<Finding> {
        if self.others.is_empty() {
            return None;
        }
        let rules = match self.rules(None).len() {
            1 => "1 rule".to_owned(),
            count => format!("{count} rules"),
        };
        let mut told = self.first.clone();
        told.message = format!("{rules} could not be evaluated, because {}", told.reason);
        told.rule = rules;
        told.why = None;
        Some(told)
    }

    /// The names of the rules, by severity: `error: a, b; warning: c`.
    pub(super) fn names(&self) -> String {
        let mut parts = Vec::new();
        for severity in [Severity::Error, Severity::Warning, Severity::Advice] {
            let rules = self.rules(Some(severity));
            if !rules.is_empty() {
                parts.push(format!("{severity}: {}", rules.join(", ")));
            }
        }
        let count = self.others.len() + 1;
        if self.rules(None).len() < count {
            parts.push(format!("{count} findings"));
        }
        parts.join("; ")
    }

    /// Each rule once.
    fn rules(&self, severity: Option<Severity>) -> Vec<&str> {
        let mut rules: Vec<&str> = Vec::new();
        for finding in std::iter::once(&self.first).chain(&self.others) {
            let wanted = severity.is_none_or(|severity| finding.severity == severity);
            if wanted && !rules.contains(&finding.rule.as_str()) {
                rules.push(&finding.rule);
            }
        }
        rules
    }
}
