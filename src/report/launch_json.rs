//! A decision on a launch for other programs.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::CAUTION;
use super::output::{self, Head, Moment, Output, PROGRAM, Program, SHA256};
use crate::launch::{self, Reviewed};

/// What the id of a commit looks like: 40 or 64 hexadecimal digits.
const COMMIT: &str = "^([0-9a-f]{40}|[0-9a-f]{64})$";

/// What `offing launch --format json` writes. No field is ever left out.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Decision on a launch")]
struct Decision<'a> {
    #[serde(flatten)]
    head: Head<Self>,
    /// What wrote it.
    program: Program,
    /// Id of the mission.
    mission: &'a str,
    /// Its file, from the root of the repository.
    path: &'a str,
    /// Id of the policy that judged.
    policy: &'a str,
    /// When the boat was to be launched.
    at: Moment<'a>,
    /// Who decided, by role.
    by: &'a str,
    /// What was decided.
    decision: Word,
    /// The reasons for the no-go.
    reasons: Vec<Reason<'a>>,
    /// What was not met and weighs less.
    warnings: Vec<Reason<'a>>,
    /// Findings that were waived.
    waived: Vec<Waived<'a>>,
    /// Rules of severity error that are nearest to their limits, with what was read.
    tightest: Vec<Tight<'a>>,
    /// Decisions on this launch, and on others of the mission within a day of it, that were recorded before.
    earlier: Vec<Earlier<'a>>,
    /// Why an earlier go about this launch was not used, where that was said.
    again: Option<&'a str>,
    /// Every signature that the policy asks for.
    signatures: Vec<Signature<'a>>,
    /// How the readings were taken.
    taken: &'a [String],
    /// SHA-256 of the plan as a whole.
    #[schemars(regex(pattern = SHA256))]
    digest: &'a str,
    /// The commit in which every file stands as it was judged; null where none is known of, or there is no git
    /// repository.
    #[schemars(regex(pattern = COMMIT))]
    commit: Option<&'a str>,
    /// The branch by its full name that reviewed commits lead to and that this one is in, as the clone has it;
    /// null where the policy names none, or it is not in it.
    reviewed_in: Option<&'a str>,
    /// File that the decision was recorded in.
    record: &'a str,
    /// Things to know of the policy.
    notes: &'a [String],
    /// What was assumed for want of a stated figure.
    assumptions: &'a [String],
    /// What the answer does not say.
    caution: &'static str,
}

impl Output for Decision<'_> {
    const FORMAT: &'static str = "offing-launch";
    const VERSION: u32 = 1;
}

/// A decision in one word.
#[derive(Serialize, JsonSchema)]
enum Word {
    #[serde(rename = "go")]
    Go,
    #[serde(rename = "no-go")]
    NoGo,
}

impl Word {
    fn from_go(go: bool) -> Self {
        if go { Self::Go } else { Self::NoGo }
    }
}

/// Why a launch is a no-go, or what weighs less.
#[derive(Serialize, JsonSchema)]
struct Reason<'a> {
    /// Id of the rule, or what of the launch itself is amiss.
    rule: &'a str,
    /// In a sentence.
    says: &'a str,
}

/// A finding that was waived.
#[derive(Serialize, JsonSchema)]
struct Waived<'a> {
    /// Id of the rule.
    rule: &'a str,
    /// What the finding says.
    says: &'a str,
    /// By whom, until when and why.
    accepted: &'a str,
}

/// A rule near its limit.
#[derive(Serialize, JsonSchema)]
struct Tight<'a> {
    /// Id of the rule.
    rule: &'a str,
    /// The value and the limit.
    margin: &'a str,
}

/// A decision that was recorded before.
#[derive(Serialize, JsonSchema)]
struct Earlier<'a> {
    /// Its file.
    record: &'a str,
    /// What was decided.
    decision: Word,
    /// For which launch, in the site's own time.
    at: &'a str,
    /// When it was decided, in the site's own time.
    decided: &'a str,
    /// Who decided, by role.
    by: &'a str,
    /// Ids of the reasons for the no-go.
    reasons: &'a [String],
    /// Whether somebody stated that the boat stayed ashore after this go.
    unused: bool,
}

/// A signature that the policy asks for.
#[derive(Serialize, JsonSchema)]
struct Signature<'a> {
    /// Whose: a role, or who does what is signed.
    who: &'a str,
    /// What is signed.
    #[schemars(extend("enum" = launch::Signature::ON))]
    on: &'static str,
    /// Whether the signature is there and good; null where what is signed is still to come.
    signed: Option<bool>,
}

impl<'a> Reason<'a> {
    fn all(of: &'a [launch::Reason]) -> Vec<Self> {
        let all = of.iter().map(|one| Self {
            rule: &one.rule,
            says: &one.says,
        });
        all.collect()
    }
}

impl<'a> Earlier<'a> {
    fn from_earlier(one: &'a launch::Earlier) -> Self {
        Self {
            record: &one.path,
            decision: Word::from_go(one.go),
            at: &one.at,
            decided: &one.decided,
            by: &one.by,
            reasons: &one.reasons,
            unused: one.unused,
        }
    }
}

/// The JSON Schema of the JSON form.
#[must_use]
pub(crate) fn launch_schema() -> Value {
    output::schema::<Decision<'_>>()
}

/// The decision as JSON, as its schema ([`launch_schema`]) describes it.
///
/// # Errors
/// Those of the serializer; no decision is known to cause one.
pub(crate) fn launch_json(
    decision: &launch::Decision,
    record: &str,
) -> Result<String, serde_json::Error> {
    let waived = decision.waived.iter().map(|one| Waived {
        rule: &one.rule,
        says: &one.says,
        accepted: &one.accepted,
    });
    let tightest = decision.tightest.iter();
    let tightest = tightest.map(|(rule, margin)| Tight { rule, margin });
    let signatures = decision.signatures.iter().map(|one| Signature {
        who: &one.who,
        on: one.on,
        signed: one.signed,
    });
    output::text(&Decision {
        head: Head::NEW,
        program: PROGRAM,
        mission: &decision.mission,
        path: &decision.path,
        policy: &decision.policy,
        at: (&decision.at).into(),
        by: &decision.readings.by,
        decision: Word::from_go(decision.go),
        reasons: Reason::all(&decision.reasons),
        warnings: Reason::all(&decision.warnings),
        waived: waived.collect(),
        tightest: tightest.collect(),
        earlier: decision.earlier.iter().map(Earlier::from_earlier).collect(),
        again: decision.readings.again.as_deref(),
        signatures: signatures.collect(),
        taken: &decision.told,
        digest: &decision.digests.whole,
        commit: decision.commit.as_deref(),
        reviewed_in: match &decision.reviewed {
            Some(Reviewed::In(branch)) => Some(branch),
            _ => None,
        },
        record,
        notes: &decision.notes,
        assumptions: &decision.assumptions,
        caution: CAUTION,
    })
}
