//! A finding that somebody accepted.

use crate::source::Span;

/// In which way a finding is accepted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Accepted {
    /// By a waiver of the mission.
    Waiver,
    /// By the baseline, as one that was there before the repository was checked.
    Baseline,
    /// By its rule, whose file names the mission as one that it must fail.
    Example,
}

impl Accepted {
    /// Its name in reports: `waiver`, `baseline`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Waiver => "waiver",
            Self::Baseline => "baseline",
            Self::Example => "example",
        }
    }

    /// What became of the finding, in a word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Waiver => "waived",
            Self::Baseline => "in the baseline",
            Self::Example => "meant to fail",
        }
    }
}

/// Who accepted a finding, until when, and why.
#[derive(Clone, PartialEq, Debug)]
pub struct Acceptance {
    /// In which way.
    pub how: Accepted,
    /// By which role; for an example by which rule.
    pub by: String,
    /// The last day on which it holds, `2027-08-31`; an example stays one.
    pub until: Option<String>,
    /// Why.
    pub reason: String,
    /// The line that says so.
    pub line: Span,
}

impl Acceptance {
    /// All of it in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let Self {
            how,
            by,
            until,
            reason,
            ..
        } = self;
        let way = how.word();
        let until = until.as_deref();
        let until = until.map_or_else(String::new, |until| format!(" until {until}"));
        format!("{way} by {by}{until}: {}", reason.trim())
    }
}
