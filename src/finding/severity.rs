//! How much a finding weighs and what kind it is.

use std::fmt;

/// How much a finding weighs, rising.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Severity {
    /// Good to know.
    Advice,
    /// To be looked at before launch.
    Warning,
    /// The plan is not to be run as it is.
    Error,
}

impl Severity {
    /// The severity of this name, as files write it.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "advice" => Some(Self::Advice),
            "warning" => Some(Self::Warning),
            "error" => Some(Self::Error),
            _ => None,
        }
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Advice => "advice",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// What kind of finding it is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Nature {
    /// A limit is not met.
    Violation,
    /// A rule could not be judged.
    NotEvaluated,
    /// A file could not be read, or says something that cannot be.
    Input,
}

impl Nature {
    /// Its name in reports.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Violation => "violation",
            Self::NotEvaluated => "not evaluated",
            Self::Input => "input",
        }
    }
}
