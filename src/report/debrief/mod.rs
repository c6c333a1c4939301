//! A debrief told: at a terminal, for other programs, in Markdown, on a page.

mod charts;
mod json;
mod markdown;
mod page;
mod text;
mod words;

pub(crate) use json::{json, schema};
pub(crate) use markdown::markdown;
pub(crate) use page::html;
pub(crate) use text::text;

use jiff::tz::TimeZone;

use crate::check::Outcome;
use crate::debrief::Debrief;
use crate::finding::{Nature, Severity};
use crate::picture::Picture;

/// What a debrief does not say of itself.
pub(crate) const CAUTION: &str = "A run that went as planned says nothing about the next one, about \
                           another wind, or about what was not recorded. One bad run is reason to \
                           make a figure worse; one calm run never makes it better.";

/// A debrief with what it is told beside.
pub(crate) struct Told {
    /// The debrief.
    pub found: Debrief,
    /// The check of the plan, its findings replaced by those of the debrief.
    pub outcome: Outcome,
    /// Findings of the check that stand.
    pub of_plan: usize,
    /// Path of the track.
    pub track: String,
    /// Digest of its bytes, SHA-256.
    pub sha256: String,
    /// Things to know of the policy.
    pub notes: Vec<String>,
    /// The site's time.
    pub zone: Option<TimeZone>,
}

impl Told {
    /// A debrief with the check of its plan, and the path and digest of the track.
    #[must_use]
    pub(crate) fn new(
        mut found: Debrief,
        mut outcome: Outcome,
        (track, sha256): (String, String),
        notes: Vec<String>,
        zone: Option<&TimeZone>,
    ) -> Self {
        let of_plan = outcome
            .findings
            .iter()
            .filter(|finding| finding.stands())
            .count();
        outcome.findings = std::mem::take(&mut found.findings);
        Self {
            found,
            outcome,
            of_plan,
            track,
            sha256,
            notes,
            zone: zone.cloned(),
        }
    }

    /// Digest of the plan and of what judged it.
    fn digest(&self) -> &str {
        self.outcome
            .checked
            .first()
            .map_or("", |one| one.digests.whole.as_str())
    }

    fn picture(&self) -> Option<&Picture> {
        self.outcome.checked.first()?.picture.as_deref()
    }

    /// Everything to know that is no finding.
    fn noted(&self) -> Vec<String> {
        let mut all = self.notes.clone();
        if self.of_plan > 0 {
            let findings = if self.of_plan == 1 {
                "finding"
            } else {
                "findings"
            };
            all.push(format!(
                "`offing check` has {} {findings} of the plan as it is now",
                self.of_plan
            ));
        }
        for doubt in self.outcome.checked.iter().flat_map(|one| &one.in_doubt) {
            all.push(format!("in doubt: {doubt}"));
        }
        all
    }
}

/// 0 where nothing reaches the failing severity; 1 where some figure of the plan did not hold; 2
/// where something of that weight could not be judged, whatever else was found.
#[must_use]
pub(crate) fn exit_status(told: &Told, failing: Severity) -> u8 {
    let mut findings = told.outcome.findings.iter();
    let unknown = findings.any(|one| one.nature != Nature::Violation && one.severity >= failing);
    if unknown {
        2
    } else {
        crate::report::exit_status(&told.outcome, failing)
    }
}
