//! A decision on a launch: go or no-go, its reasons, and what it was decided by.

use super::before::Earlier;
use super::readings::Readings;
use crate::check::Digests;
use crate::envelope::Moment;
use crate::finding::{Finding, Nature};

/// Something that makes a launch a no-go, or is to be known.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Reason {
    /// Id of the rule, or what of the launch itself is amiss.
    pub rule: String,
    /// In a sentence.
    pub says: String,
    /// What was lacking, where a rule could not be judged: several may lack the same.
    pub lacking: Option<String>,
    /// Whether a rule of the policy fails, and it is not the launch itself that something is amiss with.
    pub of_rule: bool,
}

impl Reason {
    /// One that lacks nothing.
    pub(super) fn new(rule: &str, says: String) -> Self {
        Self {
            rule: rule.to_owned(),
            says,
            lacking: None,
            of_rule: false,
        }
    }

    /// What a finding comes to, told `how`.
    pub(super) fn from_finding(finding: &Finding, how: &str) -> Self {
        let unknown = finding.nature == Nature::NotEvaluated && !finding.reason.is_empty();
        Self {
            lacking: unknown.then(|| format!("{how}: {}", finding.reason)),
            of_rule: true,
            ..Self::new(&finding.rule, format!("{how}: {}", finding.message))
        }
    }
}

/// A finding that was waived.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Waived {
    /// Id of the rule.
    pub rule: String,
    /// By which role.
    pub by: String,
    /// What it says.
    pub says: String,
    /// By whom, until when and why.
    pub accepted: String,
}

/// Where the files that a decision is about stand in git.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Committed {
    /// All of them stand in this commit as they were judged.
    In(String),
    /// They do not, or it cannot be determined; in sentences.
    Not(Vec<String>),
    /// There is no repository in which they could.
    NoRepository,
}

/// Whether a commit is in the branch that reviewed ones lead to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Reviewed {
    /// It is in this branch, by its full name, as this clone has it.
    In(String),
    /// It is not, or that branch is not here; in a sentence.
    Not(String),
    /// The policy names no such branch.
    Unknown,
}

/// A signature that the policy asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Signature {
    /// Whose: a role, or who does what is signed.
    pub who: String,
    /// On what, one of [`ON`](Self::ON).
    pub on: &'static str,
    /// Whether it is there; `None` where what is signed is still to come.
    pub signed: Option<bool>,
}

impl Signature {
    /// What can be signed.
    pub const ON: [&'static str; 3] = ["plan", "record", "commit"];
}

/// A decision.
#[derive(Clone, PartialEq, Debug)]
pub struct Decision {
    /// Its id: the mission and the time of the launch, with a number where one of that name is there.
    pub id: String,
    /// The commit in which everything stands that was judged; `None` where that is not known of any.
    pub commit: Option<String>,
    /// Whether that one is known to have been reviewed; `None` where there is none.
    pub reviewed: Option<Reviewed>,
    /// Id of the mission.
    pub mission: String,
    /// Path of its file.
    pub path: String,
    /// Id of the policy that judges.
    pub policy: String,
    /// When the boat is to be launched.
    pub at: Moment,
    /// What was read and said.
    pub readings: Readings,
    /// Whether nothing makes it a no-go.
    pub go: bool,
    /// What does, the gravest first.
    pub reasons: Vec<Reason>,
    /// What is not met and weighs less.
    pub warnings: Vec<Reason>,
    /// What is accepted.
    pub waived: Vec<Waived>,
    /// The rules of severity error that are nearest to their limits, as the readings make them: id
    /// and words.
    pub tightest: Vec<(String, String)>,
    /// Digests of everything.
    pub digests: Digests,
    /// Files beside these that it rests on, what they are and their paths: the signers, signatures.
    pub beside: Vec<(String, String)>,
    /// The principals whose signatures are good.
    pub signed: Vec<String>,
    /// Every signature that the policy asks for.
    pub signatures: Vec<Signature>,
    /// Decisions on this launch, and on others of the mission about that time, that were recorded before.
    pub earlier: Vec<Earlier>,
    /// Goes that were not used, as is said with this decision: path and SHA-256.
    pub unused: Vec<(String, String)>,
    /// How the readings were taken.
    pub told: Vec<String>,
    /// Things to know of the policy.
    pub notes: Vec<String>,
    /// What was assumed for want of a stated figure.
    pub assumptions: Vec<String>,
}

impl Decision {
    /// Holds the decision against git. What stands in no commit can be held to nothing later, and
    /// is a no-go, and so is it that there is no repository, unless somebody means to decide
    /// without one; that is noted then.
    pub fn hold_against(&mut self, committed: Committed, without_git: bool) {
        match committed {
            Committed::In(commit) => self.commit = Some(commit),
            Committed::Not(why) => {
                for says in why {
                    self.stop("not-committed", says);
                }
            }
            Committed::NoRepository if without_git => self.notes.push(
                "the plan is in no git repository, so nobody can verify its history against this \
                 decision"
                    .to_owned(),
            ),
            Committed::NoRepository => {
                let says = "the plan is in no git repository, so nobody can verify this decision \
                            later; put it into one, or decide with `--without-git`";
                self.stop("not-committed", says.to_owned());
            }
        }
    }
}

impl Decision {
    /// Holds the decision against the branch that reviewed commits lead to.
    pub fn hold_to_review(&mut self, reviewed: Reviewed) {
        if let Reviewed::Not(why) = &reviewed {
            self.stop("not-reviewed", why.clone());
        }
        self.reviewed = Some(reviewed);
    }

    /// A no-go for one reason more.
    pub fn stop(&mut self, rule: &str, says: String) {
        self.go = false;
        self.reasons.push(Reason::new(rule, says));
    }
}
