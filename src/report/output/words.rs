//! Words of outputs that stand for one of a few things. Where such a word is explained, its schema is
//! another, so that those that explain themselves are not.

#![allow(
    clippy::missing_docs_in_private_items,
    reason = "the words are their own explanation"
)]

use schemars::JsonSchema;
use serde::Serialize;

use crate::{check, finding};

/// How much a finding weighs.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Severity {
    Error,
    Warning,
    Advice,
}

impl From<finding::Severity> for Severity {
    fn from(of: finding::Severity) -> Self {
        match of {
            finding::Severity::Error => Self::Error,
            finding::Severity::Warning => Self::Warning,
            finding::Severity::Advice => Self::Advice,
        }
    }
}

/// What kind of finding it is.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Nature {
    Violation,
    #[serde(rename = "not evaluated")]
    NotEvaluated,
    Input,
}

impl From<finding::Nature> for Nature {
    fn from(of: finding::Nature) -> Self {
        match of {
            finding::Nature::Violation => Self::Violation,
            finding::Nature::NotEvaluated => Self::NotEvaluated,
            finding::Nature::Input => Self::Input,
        }
    }
}

/// Which side of a limit passes.
#[derive(Clone, Copy, Serialize, JsonSchema)]
pub(crate) enum Side {
    #[serde(rename = "at least")]
    AtLeast,
    #[serde(rename = "at most")]
    AtMost,
}

impl From<finding::Side> for Side {
    fn from(of: finding::Side) -> Self {
        match of {
            finding::Side::AtLeast => Self::AtLeast,
            finding::Side::AtMost => Self::AtMost,
        }
    }
}

/// What came of a rule. `not evaluated` counts as a failure.
#[derive(Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Verdict {
    Holds,
    Fails,
    #[serde(rename = "not evaluated")]
    NotEvaluated,
    #[serde(rename = "not applicable")]
    NotApplicable,
}

impl From<check::Verdict> for Verdict {
    fn from(of: check::Verdict) -> Self {
        match of {
            check::Verdict::Holds => Self::Holds,
            check::Verdict::Fails => Self::Fails,
            check::Verdict::Unknown => Self::NotEvaluated,
            check::Verdict::NotApplicable => Self::NotApplicable,
        }
    }
}
