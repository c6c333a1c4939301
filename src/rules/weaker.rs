//! What one policy, or one revision of a policy, asks for less than another.

use super::effective::EffectivePolicy;
use super::floors::Floor;
use super::in_force::{Part, RuleInForce};
use super::margins::About;
use crate::finding::Side;
use crate::schema::Stated;
use crate::source::Span;

/// Whether a policy that extends another may loosen what the other leaves open.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OpenRules {
    /// It may.
    MayBeLooser,
    /// What is looser is looser, whoever allows it.
    CountToo,
}

/// One thing that is asked for less, or asked for no more.
#[derive(Clone, PartialEq, Debug)]
pub struct Weaker {
    /// The rule; empty for what belongs to the policy as a whole.
    pub rule: String,
    /// In a sentence.
    pub what: String,
    /// The line that does, where there is one left.
    pub by: Option<Span>,
    /// The line that asked for more.
    pub was: Span,
}

impl EffectivePolicy {
    /// Everything that this one asks for less than an earlier one of the same name.
    #[must_use]
    pub fn weaker_than(&self, earlier: &Self) -> Vec<Weaker> {
        let mut all = self.limits_weaker_than(earlier);
        self.approvals_weaker_than(earlier, &mut all);
        if earlier.judges_every.value && !self.judges_every.value {
            all.push(Weaker {
                rule: String::new(),
                what: "it no longer judges every mission".to_owned(),
                by: Some(self.judges_every.span()),
                was: earlier.judges_every.span(),
            });
        }
        for now in &self.open {
            if !earlier.open.iter().any(|was| was.value == now.value) {
                all.push(Weaker {
                    rule: now.value.clone(),
                    what: format!("rule `{}` may now be loosened", now.value),
                    by: Some(now.span()),
                    was: earlier.span,
                });
            }
        }
        all
    }

    /// Everything that this policy asks of a mission less than another one does.
    #[must_use]
    pub fn asks_less_than(&self, other: &Self, open: OpenRules) -> Vec<Weaker> {
        let mut all = self.limits_weaker_than(other);
        self.approvals_weaker_than(other, &mut all);
        let (own, theirs) = (self.approvals.as_ref(), other.approvals.as_ref());
        if let (Some(own), Some(theirs)) = (own, theirs)
            && own.policy != theirs.policy
            && own.signers.value == theirs.signers.value
        {
            // The same words in two files may name two files.
            all.push(Weaker {
                rule: String::new(),
                what: "another place now says whose signatures count".to_owned(),
                by: Some(own.signers.span()),
                was: theirs.signers.span(),
            });
        }
        let below = self.chain.contains(&other.policy);
        if open == OpenRules::MayBeLooser && below {
            let opened = |rule: &str| other.open.iter().any(|one| one.value == rule);
            all.retain(|weaker| !opened(&weaker.rule));
        }
        all
    }

    fn limits_weaker_than(&self, earlier: &Self) -> Vec<Weaker> {
        let mut all = Vec::new();
        for was in &earlier.rules {
            let id = &was.rule.id.value;
            match self.get(id) {
                Some(now) => now.weaker_than(was, &mut all),
                None => all.push(Weaker {
                    rule: id.to_string(),
                    what: format!("rule `{id}` is gone"),
                    by: None,
                    was: was.rule.id.span(),
                }),
            }
        }
        for about in About::ALL {
            let Some(was) = earlier.margins.get(about) else {
                continue;
            };
            let now = self.margins.get(about);
            if self.margins.share(about) < was.share.value.get() {
                let left = now.map_or_else(|| "none".to_owned(), |now| now.share.value.to_string());
                all.push(Weaker {
                    rule: String::new(),
                    what: format!(
                        "the margin `{}` is {left} in place of {}",
                        about.key(),
                        was.share.value
                    ),
                    by: now.map(|now| now.share.span()),
                    was: was.share.span(),
                });
            }
        }
        for floor in Floor::ALL {
            let Some((_, was)) = earlier.floors.set_by(floor) else {
                continue;
            };
            let (now, before) = (self.floors.get(floor), earlier.floors.get(floor));
            if now.value < before.value {
                all.push(Weaker {
                    rule: String::new(),
                    what: format!("the floor `{}` is {now} in place of {before}", floor.key()),
                    by: self.floors.set_by(floor).map(|(_, span)| span),
                    was,
                });
            }
        }
        for was in &earlier.checklist {
            if !self.checklist.iter().any(|now| now.value == was.value) {
                all.push(Weaker {
                    rule: String::new(),
                    what: format!("the checklist item `{}` is no longer required", was.value),
                    by: None,
                    was: was.span(),
                });
            }
        }
        for now in &self.waivable {
            let wider = match earlier.waivable(&now.rule.value) {
                Some(was) => now.wider_than(was),
                None => vec![("it may be waived".to_owned(), now.rule.span())],
            };
            for (what, by) in wider {
                all.push(Weaker {
                    rule: now.rule.value.clone(),
                    what: format!("rule `{}`: {what}", now.rule.value),
                    by: Some(by),
                    was: earlier
                        .waivable(&now.rule.value)
                        .map_or(earlier.span, |was| was.rule.span()),
                });
            }
        }
        if let Some(was) = &earlier.launch_from {
            let now = self.launch_from.as_ref().map(|now| &now.branch);
            if now.is_none_or(|now| now.value != was.branch.value) {
                let what = match now {
                    Some(now) => format!(
                        "launch decisions are made from branch `{}` in place of `{}`",
                        now.value, was.branch.value
                    ),
                    None => format!(
                        "launch decisions are no longer made from branch `{}` alone",
                        was.branch.value
                    ),
                };
                all.push(Weaker {
                    rule: String::new(),
                    what,
                    by: now.map(Stated::span),
                    was: was.branch.span(),
                });
            }
        }
        all
    }

    fn approvals_weaker_than(&self, earlier: &Self, all: &mut Vec<Weaker>) {
        let Some(was) = &earlier.approvals else {
            return;
        };
        let mut add = |what: String, by: Option<Span>, was: Span| {
            all.push(Weaker {
                rule: String::new(),
                what,
                by,
                was,
            });
        };
        let now = self.approvals.as_ref();
        if now.is_none_or(|now| now.signers.value != was.signers.value) {
            let what = "another place now says whose signatures count, or no longer".to_owned();
            add(what, now.map(|now| now.signers.span()), was.signers.span());
        }
        for role in &was.needed {
            let needed = now.is_some_and(|now| now.needed.iter().any(|n| n.value == role.value));
            if !needed {
                let what = format!("a launch no longer needs the approval of `{}`", role.value);
                add(what, now.map(|now| now.signers.span()), role.span());
            }
        }
        let asked = [
            (
                "records",
                was.signed_records,
                now.and_then(|now| now.signed_records),
            ),
            (
                "the commits of records",
                was.signed_commits,
                now.and_then(|now| now.signed_commits),
            ),
        ];
        for (what, was, still) in asked {
            if let (Some(was), None) = (was, still) {
                let what = format!("{what} no longer need a signature");
                add(what, now.map(|now| now.signers.span()), was);
            }
        }
    }
}

impl RuleInForce {
    fn weaker_than(&self, was: &Self, all: &mut Vec<Weaker>) {
        let id = &self.rule.id.value;
        let parts = [
            Part::Limit(Side::AtLeast),
            Part::Limit(Side::AtMost),
            Part::Severity,
            Part::Enabled,
        ];
        for part in parts.into_iter().filter(|part| self.looser(was, *part)) {
            let what = match part {
                Part::Limit(_) => "the limit",
                Part::Severity => "the severity",
                Part::Enabled => "whether it applies",
            };
            all.push(Weaker {
                rule: id.to_string(),
                what: format!(
                    "rule `{id}`: {what} is {} in place of {}",
                    self.describe(part),
                    was.describe(part)
                ),
                by: Some(self.span(part)),
                was: was.span(part),
            });
        }
        // Another measure or another condition is another rule: whether it asks for more or for
        // less, no program can tell.
        let condition = |rule: &Self| {
            let when = rule.rule.applies_when.as_ref();
            when.map(|when| when.text().trim().to_owned())
        };
        let bounds = |rule: &Self| match rule.bound.describe() {
            words if rule.rule.dimension().is_none() => words,
            _ => String::new(),
        };
        let same = self.rule.measure.text().trim() == was.rule.measure.text().trim()
            && condition(self) == condition(was)
            && bounds(self) == bounds(was);
        if !same {
            all.push(Weaker {
                rule: id.to_string(),
                what: format!("rule `{id}` measures something else, or applies in other cases"),
                by: Some(self.rule.id.span()),
                was: was.rule.id.span(),
            });
        }
    }
}
