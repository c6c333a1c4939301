//! A judgement in a clause.

use super::quantity;
use crate::check::{RuleResult, Verdict};

/// A judgement in a clause: `reserve-at-turnaround 34 %, at least 30 %`.
pub(super) fn describe(judged: &RuleResult) -> String {
    let mut text = judged.rule.to_string();
    if !judged.subject.is_empty() {
        text.push_str(&format!(" ({})", judged.subject));
    }
    if let (Some(measured), Some(limit), Some(side)) = (judged.measured, judged.limit, judged.side)
    {
        let (value, bound) = quantity::beside(measured, limit);
        text.push_str(&format!(" {value}, {} {bound}", side.label()));
    }
    if judged.verdict == Verdict::Fails {
        text.push_str(": not met");
    }
    text
}
