//! A mission as a type of the JSON of a check: what it was judged to be, its digests, signatures and figures.

use schemars::JsonSchema;
use serde::Serialize;

use super::Counts;
use crate::check::{self, Approval, Failing, InputDigest, RuleResult, Spread as Sampled};
use crate::plan::laid::Laid;
use crate::report::output::{Location, Quantity, SHA256, Side, Verdict};
use crate::report::tally::MissionTally;
use crate::source::Sources;

/// A mission that was checked.
#[derive(Serialize, JsonSchema)]
pub(super) struct Mission<'a> {
    /// Id of the mission.
    mission: &'a str,
    /// Path of its file.
    path: &'a str,
    /// Id of the policy in force.
    policy: &'a str,
    /// The standing orders that hold for what it does not state; null where it names none.
    orders: Option<Under<'a>>,
    /// The mission that it repeats on another day; null where it repeats none.
    repeats: Option<Under<'a>>,
    /// SHA-256 of the plan as a whole: of the lines that name each of its files by role, id and digest. They
    /// name no path, so it is the same in every clone.
    #[schemars(regex(pattern = SHA256))]
    digest: &'a str,
    /// Signatures beside the mission.
    approvals: Vec<Approved<'a>>,
    /// Signatures on the plan that its policy asks for at a launch.
    signatures_needed: Vec<Needed<'a>>,
    /// The files that the plan is made of and judged by.
    inputs: Vec<Input<'a>>,
    /// Whether it was judged by the policy and rules that were meant, none of whose files has errors, has no
    /// finding and meets every limit.
    clean: bool,
    /// Its findings by severity.
    findings: Counts,
    /// Every rule judged, by id and subject.
    judged: Vec<Judged<'a>>,
    /// What was assumed for want of a stated figure.
    assumptions: &'a [String],
    /// Which of it weighs on the tightest limit that any of it moves, the weightiest first; empty where more than
    /// one mission was checked.
    weights: Vec<Weight<'a>>,
    /// Figures of the passage.
    figures: Vec<Figure>,
    /// How often each rule fails in sampled variations; null where none were requested.
    spread: Option<Spread<'a>>,
}

/// What an assumption keeps from a limit.
#[derive(Serialize, JsonSchema)]
struct Weight<'a> {
    /// The assumption.
    assumption: &'a str,
    /// The best figure that could stand in its place.
    with: &'a str,
    /// Id of the rule.
    rule: &'a str,
    /// What the rule is about, empty for the mission as a whole.
    subject: &'a str,
    /// The value with the assumption.
    measured: Quantity,
    /// The value with the other figure; null where the rule would not apply.
    would_be: Option<Quantity>,
}

/// What is laid under a mission: its orders, or the mission that it repeats.
#[derive(Serialize, JsonSchema)]
struct Under<'a> {
    /// Its id.
    id: &'a str,
    /// What the mission states otherwise.
    differs: Vec<Differs<'a>>,
}

/// Something that a mission states otherwise than what is laid under it.
#[derive(Serialize, JsonSchema)]
struct Differs<'a> {
    /// Which field, as a path with dots.
    field: &'a str,
    /// The mission's value, in words.
    own: &'a str,
    /// Where it is stated.
    location: Location<'a>,
    /// The other value, in words.
    other: &'a str,
    /// Where that is stated.
    other_location: Location<'a>,
}

/// A signature beside a mission.
#[derive(Serialize, JsonSchema)]
struct Approved<'a> {
    /// The role, with hyphens for spaces.
    role: &'a str,
    /// Path of the signature.
    path: &'a str,
    /// Whether it is one of that role on this plan as it is.
    good: bool,
}

/// A signature that a policy asks for.
#[derive(Serialize, JsonSchema)]
struct Needed<'a> {
    /// Whose.
    role: &'a str,
    /// Whether that role has signed the plan as it is.
    signed: bool,
}

/// A file that a plan is made of or judged by.
#[derive(Serialize, JsonSchema)]
struct Input<'a> {
    /// What it is to the plan.
    #[schemars(extend("enum" = InputDigest::ROLES))]
    role: &'static str,
    /// Its id; for geodata the id of the site.
    name: &'a str,
    /// Its path.
    path: &'a str,
    /// SHA-256 of its bytes.
    #[schemars(regex(pattern = SHA256))]
    sha256: &'a str,
}

/// A rule judged on a mission, met or not.
#[derive(Serialize, JsonSchema)]
struct Judged<'a> {
    /// Id of the rule.
    #[schemars(length(min = 1))]
    rule: &'a str,
    /// What was judged within the mission; empty for the mission as a whole.
    subject: &'a str,
    /// What came of it. `not evaluated` counts as a failure.
    verdict: Verdict,
    /// The value, for a rule that bounds a quantity.
    measured: Option<Quantity>,
    /// The limit in force, for a rule that bounds a quantity.
    limit: Option<Quantity>,
    /// Which side of the limit passes.
    side: Option<Side>,
    /// The scenario of its worst case.
    scenario: Option<&'a str>,
}

/// A figure.
#[derive(Serialize, JsonSchema)]
struct Figure {
    /// What it is.
    #[schemars(length(min = 1))]
    name: &'static str,
    /// Its value.
    quantity: Quantity,
}

/// What came of sampled variations of a mission.
#[derive(Serialize, JsonSchema)]
struct Spread<'a> {
    /// Variations asked for.
    #[schemars(range(min = 1))]
    runs: u32,
    /// Seed; the same one gives the same variations on every machine.
    seed: u64,
    /// Variations judged; 0 where the plan is too large to be judged over and over.
    judged: u32,
    /// Variations in which some rule fails or could not be judged.
    any: u32,
    /// Rules that fail or could not be judged in some variation, most often first.
    rules: Vec<Often<'a>>,
    /// What was drawn by lot, in sentences.
    drawn: &'a [String],
}

/// How often a rule fails.
#[derive(Serialize, JsonSchema)]
struct Often<'a> {
    /// Id of the rule.
    rule: &'a str,
    /// Variations in which it fails.
    failed: u32,
    /// Variations in which it could not be judged.
    unknown: u32,
}

impl<'a> Mission<'a> {
    pub(super) fn from_tally(tally: &MissionTally<'a>, sources: &'a Sources) -> Self {
        let checked = tally.checked;
        let needed = checked.signatures_needed();
        let figures = checked.figures.iter();
        let under = |laid: &'a Option<Laid>| {
            let laid = laid.as_ref();
            laid.map(|laid| Under::from_laid(laid, sources))
        };
        Self {
            mission: &checked.mission,
            path: &checked.path,
            policy: &checked.policy,
            orders: under(&checked.orders),
            repeats: under(&checked.repeats),
            digest: &checked.digests.whole,
            approvals: checked
                .approvals
                .iter()
                .map(Approved::from_approval)
                .collect(),
            signatures_needed: needed
                .map(|(role, signed)| Needed { role, signed })
                .collect(),
            inputs: checked
                .digests
                .files
                .iter()
                .map(Input::from_input)
                .collect(),
            clean: tally.is_clean(),
            findings: tally.findings.into(),
            judged: checked.judged.iter().map(Judged::from_result).collect(),
            assumptions: &checked.assumptions,
            weights: checked.weights.iter().map(Weight::from_weight).collect(),
            figures: figures
                .map(|&(name, figure)| Figure {
                    name,
                    quantity: figure.into(),
                })
                .collect(),
            spread: checked.spread.as_ref().map(Spread::from_sampled),
        }
    }
}

impl<'a> Weight<'a> {
    fn from_weight(weight: &'a check::Weight) -> Self {
        Self {
            assumption: &weight.assumption,
            with: &weight.with,
            rule: &weight.rule,
            subject: &weight.subject,
            measured: weight.measured.into(),
            would_be: weight.would_be.map(Into::into),
        }
    }
}

impl<'a> Under<'a> {
    fn from_laid(laid: &'a Laid, sources: &'a Sources) -> Self {
        let differs = laid.differs.iter();
        Self {
            id: &laid.id,
            differs: differs
                .map(|one| Differs {
                    field: &one.field,
                    own: &one.own.0,
                    location: Location::from_span(one.own.1, sources),
                    other: &one.other.0,
                    other_location: Location::from_span(one.other.1, sources),
                })
                .collect(),
        }
    }
}

impl<'a> Approved<'a> {
    fn from_approval(approval: &'a Approval) -> Self {
        Self {
            role: &approval.principal,
            path: &approval.path,
            good: approval.good,
        }
    }
}

impl<'a> Input<'a> {
    fn from_input(file: &'a InputDigest) -> Self {
        Self {
            role: file.role,
            name: &file.name,
            path: &file.path,
            sha256: &file.sha256,
        }
    }
}

impl<'a> Judged<'a> {
    fn from_result(judged: &'a RuleResult) -> Self {
        let (measured, limit) = match (judged.measured, judged.limit) {
            (Some(value), Some(bound)) => {
                let (measured, limit) = Quantity::beside(value, bound);
                (Some(measured), Some(limit))
            }
            (value, bound) => (value.map(Quantity::from), bound.map(Quantity::from)),
        };
        Self {
            rule: &judged.rule,
            subject: &judged.subject,
            verdict: judged.verdict.into(),
            measured,
            limit,
            side: judged.side.map(Side::from),
            scenario: judged.scenario.as_deref(),
        }
    }
}

impl<'a> Spread<'a> {
    fn from_sampled(spread: &'a Sampled) -> Self {
        Self {
            runs: spread.sampling.runs,
            seed: spread.sampling.seed,
            judged: spread.judged,
            any: spread.any,
            rules: spread.rules.iter().map(Often::from_failing).collect(),
            drawn: &spread.drawn,
        }
    }
}

impl<'a> Often<'a> {
    fn from_failing(rule: &'a Failing) -> Self {
        Self {
            rule: &rule.rule,
            failed: rule.failed,
            unknown: rule.unknown,
        }
    }
}
