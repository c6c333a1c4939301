//! Findings that somebody who may do so has accepted for this one mission: which, why, until when.

use jiff::civil::Date;

use super::time;
use crate::schema::{Fields, Stated};
use crate::source::Span;

/// What a waiver is about where a finding names no leg, point or link.
pub(crate) const THE_MISSION: &str = "the mission";

/// A finding that is accepted.
#[derive(Clone, PartialEq, Debug)]
pub struct Waiver {
    /// The rule.
    pub rule: Stated<String>,
    /// Where the finding is: its leg, point or link in the words of the finding, or
    /// [`THE_MISSION`].
    pub about: Stated<String>,
    /// The worst value that is accepted, as it is written, for a rule that bounds a quantity.
    pub no_worse_than: Option<Stated<String>>,
    /// Why it is accepted.
    pub reason: Stated<String>,
    /// Who accepted it, by role.
    pub approved_by: Stated<String>,
    /// The day on which they did.
    pub approved: Stated<Date>,
    /// The last day on which it holds.
    pub expires: Stated<Date>,
    /// The line to show for it as a whole.
    pub span: Span,
}

/// Reads the waivers of a mission; `None` where one of them is malformed.
pub(super) fn parse(mission: Fields<'_>) -> Option<Vec<Waiver>> {
    // Each is read, so that every problem is reported.
    let all: Vec<Option<Waiver>> = mission.maps("waivers").map(parse_waiver).collect();
    all.into_iter().collect()
}

fn parse_waiver(fields: Fields<'_>) -> Option<Waiver> {
    let rule = fields.required_text("rule");
    let about = fields.required_text("for");
    let no_worse_than = fields.text("no_worse_than");
    let reason = fields.required_text("reason");
    let approved_by = fields.required_text("approved_by");
    let approved = time::date(fields, "approved");
    let expires = time::date(fields, "expires");
    Some(Waiver {
        rule: rule?,
        about: about?,
        no_worse_than,
        reason: reason?,
        approved_by: approved_by?,
        approved: approved?,
        expires: expires?,
        span: fields.span(),
    })
}
