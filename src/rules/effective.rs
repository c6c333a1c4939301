//! Rules as a policy has them, and what else it asks for.

use super::approvals::{self, Approvals};
use super::checklist::{self, ItemWords};
use super::floors::{self, Floors};
use super::in_force::{Loosened, Part, RuleInForce};
use super::launch_from::{self, LaunchFrom};
use super::margins::{self, Margins};
use super::policy::{Policy, Setting};
use super::rule::crossed;
use super::set::RuleSet;
use super::waivable::{self, Waivable};
use crate::finding::Side;
use crate::schema::{Problem, Stated};
use crate::source::{SourceId, Span};
use crate::units::{Quantity, parse_quantity};

/// Every rule as one policy has it.
#[derive(Clone, Debug)]
pub struct EffectivePolicy {
    /// Id of the policy.
    pub policy: String,
    /// Ids of the policies that it comes from, itself first and `builtin` last.
    pub chain: Vec<String>,
    /// Every rule, also one that is switched off, in order of id.
    pub rules: Vec<RuleInForce>,
    /// What is allowed for what is not known.
    pub margins: Margins,
    /// The least that counts of what a crew and a boat are said to do.
    pub floors: Floors,
    /// Items that a mission's checklist must have, those of the policies above first. A policy adds
    /// to them and takes none away.
    pub checklist: Vec<Stated<String>>,
    /// What these items say to people, where a policy says it.
    pub checklist_words: Vec<ItemWords>,
    /// Whether every mission has to keep what it asks for, whichever policy that mission names, with
    /// the line that says so. It is not handed down to policies that extend this one.
    pub judges_every: Stated<bool>,
    /// Rules that a policy which extends this one may loosen.
    pub open: Vec<Stated<String>>,
    /// Rules that a mission may have waived, in order of id.
    pub waivable: Vec<Waivable>,
    /// Who may sign, and whose approval a launch needs.
    pub approvals: Option<Approvals>,
    /// The branch from which a launch is decided, where one is named.
    pub launch_from: Option<LaunchFrom>,
    /// A line of the policy's own file; for the built-in one the first that there is.
    pub span: Span,
}

impl EffectivePolicy {
    /// Every rule as its own file has it.
    pub(super) fn builtin(policy: &str, rules: &RuleSet) -> Self {
        let span = rules
            .rules()
            .first()
            .map_or(Span::new(SourceId(0), 0, 0), |rule| rule.id.span());
        Self {
            policy: policy.to_owned(),
            chain: vec![policy.to_owned()],
            judges_every: Stated::assumed(false, span, ""),
            rules: rules.rules().iter().map(RuleInForce::as_stated).collect(),
            margins: Margins::default(),
            floors: Floors::default(),
            checklist: Vec::new(),
            checklist_words: Vec::new(),
            open: Vec::new(),
            waivable: Vec::new(),
            approvals: None,
            launch_from: None,
            span,
        }
    }

    /// The rule of this id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&RuleInForce> {
        self.rules.iter().find(|rule| &*rule.rule.id.value == id)
    }

    /// What may be waived of a rule, where anything may.
    #[must_use]
    pub fn waivable(&self, rule: &str) -> Option<&Waivable> {
        self.waivable.iter().find(|one| one.rule.value == rule)
    }

    /// What this policy says of an item of the checklist.
    #[must_use]
    pub fn words_of(&self, item: &str) -> Option<&ItemWords> {
        let mut all = self.checklist_words.iter();
        all.find(|one| one.item.value == item)
    }

    /// What to tell of this policy that is no finding: each way in which it asks for less than
    /// the rules' own files do.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        self.looser().map(|(says, _)| says).collect()
    }

    /// The same, each with the line that does.
    pub fn looser(&self) -> impl Iterator<Item = (String, Span)> {
        self.rules
            .iter()
            .flat_map(|rule| rule.loosened.iter().map(move |loosened| (rule, loosened)))
            .map(|(rule, loosened)| {
                let says = format!(
                    "policy `{}` is less strict than rule `{}` by itself: {}; its reason: {}",
                    loosened.policy, rule.rule.id.value, loosened.what, loosened.reason
                );
                (says, loosened.span)
            })
    }
}

/// A policy of the chain above another, with the rules as it has them.
pub(super) struct Above<'a> {
    /// The file; `None` for the built-in policy, which opens every rule.
    pub policy: Option<&'a Policy>,
    pub rules: &'a EffectivePolicy,
}

impl Above<'_> {
    fn opens(&self, rule: &str) -> bool {
        self.policy.is_none_or(|policy| policy.opens(rule))
    }
}

/// The rules as a policy has them that stands below others, nearest first. What it may not do is
/// a problem, and the rule stays as it was above.
pub(super) fn below(
    policy: &Policy,
    above: &[Above<'_>],
    rules: &RuleSet,
) -> (EffectivePolicy, Vec<Problem>) {
    let mut problems = Vec::new();
    let id = policy.id.value.as_str();
    let mut effective = match above.first() {
        Some(nearest) => nearest.rules.clone(),
        None => EffectivePolicy::builtin(id, rules),
    };
    effective.policy = id.to_owned();
    effective.open.clone_from(&policy.open);
    effective.span = policy.id.span();
    let unstated = || Stated::assumed(false, policy.id.span(), "");
    effective.judges_every = policy.judges.clone().unwrap_or_else(unstated);
    if !above.is_empty() {
        effective.chain.insert(0, id.to_owned());
    }
    let (margins, found) = margins::below(&policy.margins, id, &effective.margins);
    effective.margins = margins;
    problems.extend(found);
    let (floors, found) = floors::below(&policy.floors, id, &effective.floors);
    effective.floors = floors;
    problems.extend(found);
    // Below the built-in policy, which lets nothing be waived, a team is free to say what may be.
    let opened = |rule: &str| above.iter().all(|one| one.opens(rule));
    let (waivable, found) = waivable::below(&policy.waivable, &effective.waivable, &opened, rules);
    effective.waivable = waivable;
    problems.extend(found);
    let (approvals, found) =
        approvals::below(policy.approvals.as_ref(), id, effective.approvals.as_ref());
    effective.approvals = approvals;
    problems.extend(found);
    let (launch_from, found) = launch_from::below(
        policy.launch_from.as_ref(),
        id,
        effective.launch_from.as_ref(),
    );
    effective.launch_from = launch_from;
    problems.extend(found);
    problems.extend(checklist::below(
        &policy.checklist,
        &policy.checklist_words,
        &mut effective.checklist,
        &mut effective.checklist_words,
    ));
    for open in &policy.open {
        if rules.get(&open.value).is_none() {
            problems.extend(rules.unknown(&open.value, open.span()));
        }
    }
    for setting in &policy.settings {
        let found = effective
            .rules
            .iter_mut()
            .find(|rule| *rule.rule.id.value == *setting.rule.value);
        match found {
            Some(rule) => apply(policy, setting, above, rule, &mut problems),
            None => problems.extend(rules.unknown(&setting.rule.value, setting.rule.span())),
        }
    }
    (effective, problems)
}

fn apply(
    policy: &Policy,
    setting: &Setting,
    above: &[Above<'_>],
    rule: &mut RuleInForce,
    problems: &mut Vec<Problem>,
) {
    let mut attempt = |rule: &mut RuleInForce, part: Part, change: &dyn Fn(&mut RuleInForce)| {
        let mut changed = rule.clone();
        change(&mut changed);
        match permitted(policy, setting, above, rule, &changed, part) {
            Ok(loosened) => {
                // What was loosened before in this part is overtaken.
                changed.loosened.retain(|earlier| earlier.part != part);
                changed.loosened.extend(loosened);
                *rule = changed;
            }
            Err(problem) => problems.push(*problem),
        }
    };
    if let Some(severity) = &setting.severity {
        attempt(rule, Part::Severity, &|rule| {
            rule.severity = severity.clone();
        });
    }
    if let Some(enabled) = &setting.enabled {
        attempt(rule, Part::Enabled, &|rule| rule.enabled = enabled.clone());
    }
    let before = rule.clone();
    let mut unread = Vec::new();
    for (side, text) in &setting.limits {
        match read_limit(rule, *side, text) {
            Ok(limit) => attempt(rule, Part::Limit(*side), &|rule| {
                rule.bound.set(*side, limit.clone());
            }),
            Err(problem) => unread.push(*problem),
        }
    }
    problems.extend(unread);
    if let Some(problem) = crossed(&rule.bound) {
        *rule = before;
        problems.push(problem);
    }
}

/// A limit as a policy writes it, for a rule that has one on that side.
fn read_limit(
    rule: &RuleInForce,
    side: Side,
    text: &Stated<String>,
) -> Result<Stated<Quantity>, Box<Problem>> {
    let id = &rule.rule.id.value;
    let Some(dimension) = rule.rule.dimension() else {
        let message = format!(
            "rule `{id}` passes what is {}; it has no limit to set",
            rule.bound.describe()
        );
        let problem = Problem::new("input-policy", text.span(), message);
        return Err(Box::new(
            problem.with(rule.rule.id.span(), "the rule is here"),
        ));
    };
    if rule.bound.limit(side).is_none() {
        let other = match side {
            Side::AtLeast => "at_most",
            Side::AtMost => "at_least",
        };
        let message = format!(
            "rule `{id}` passes what is {}; it has no `{}`",
            rule.bound.describe(),
            key(side)
        );
        let problem = Problem::new("input-policy", text.span(), message)
            .with(
                rule.span(Part::Limit(opposite(side))),
                "its limit is set here",
            )
            .help(format!("write `{other}`"));
        return Err(Box::new(problem));
    }
    match parse_quantity(&text.value, dimension) {
        Ok(quantity) => Ok(Stated::written(quantity, text.span())),
        Err(error) => {
            let message = format!("`{}`: {error}", key(side));
            Err(Box::new(Problem::value(text.span(), message)))
        }
    }
}

fn key(side: Side) -> &'static str {
    match side {
        Side::AtLeast => "at_least",
        Side::AtMost => "at_most",
    }
}

fn opposite(side: Side) -> Side {
    match side {
        Side::AtLeast => Side::AtMost,
        Side::AtMost => Side::AtLeast,
    }
}

/// Whether a policy may change a part of a rule so, and if so, in what way the rule then asks for
/// less than its own file does.
///
/// A policy is held against every one above it that does not open the rule, not only against the
/// nearest: one in between cannot give away what was not its to give.
fn permitted(
    policy: &Policy,
    setting: &Setting,
    above: &[Above<'_>],
    before: &RuleInForce,
    changed: &RuleInForce,
    part: Part,
) -> Result<Option<Loosened>, Box<Problem>> {
    let id = &changed.rule.id.value;
    let (span, words) = (changed.span(part), changed.describe(part));
    let holder = above
        .iter()
        .filter(|one| !one.opens(id))
        .filter_map(|one| Some((one, one.rules.get(id)?)))
        .find(|(_, rule)| changed.looser(rule, part));
    if let Some((one, rule)) = holder {
        let message = format!(
            "rule `{id}`: `{words}` is looser than `{}`, which policy `{}` does not leave open",
            rule.describe(part),
            one.rules.policy
        );
        let problem = Problem::new("policy-loosens", span, message)
            .with(rule.span(part), "set here")
            .help(format!(
                "stay within it, or let policy `{}` list `{id}` under `open`",
                one.rules.policy
            ));
        return Err(Box::new(problem));
    }
    if changed.looser(before, part) && setting.reason.is_none() {
        let message = format!(
            "rule `{id}`: `{words}` is looser than `{}`, without a reason",
            before.describe(part)
        );
        let problem = Problem::new("policy-reason", span, message)
            .with(before.span(part), "set here")
            .help("say why under `reason`");
        return Err(Box::new(problem));
    }
    let own = RuleInForce::as_stated(&changed.rule);
    if !changed.looser(&own, part) {
        return Ok(None);
    }
    let earlier = before.loosened.iter().find(|earlier| earlier.part == part);
    let what = match part {
        Part::Limit(_) => format!("the limit is {words} in place of {}", own.describe(part)),
        Part::Severity => format!("the severity is {words} in place of {}", own.describe(part)),
        Part::Enabled => "it is not judged".to_owned(),
    };
    Ok(Some(Loosened {
        policy: policy.id.value.clone(),
        what,
        reason: setting
            .reason
            .clone()
            .or_else(|| earlier.map(|earlier| earlier.reason.clone()))
            .unwrap_or_default(),
        span,
        part,
    }))
}
