//! How many findings the first sheet of paper has room for.
//!
//! The sheet holds what is needed at the water on one side of A4: what is told here gives way to when
//! to turn back and to what happens when something fails, which nobody has elsewhere.

use crate::check::Picture;
use crate::finding::{Finding, Severity};

/// Findings that paper shows at most, and at least.
const MOST: usize = 6;
const LEAST: usize = 1;
/// Lines that a finding takes at most: the style sheet cuts there.
const LINES_EACH: usize = 5;
/// Lines that findings, thresholds and contingencies have between them beside a map that can still be
/// read.
const LINES: usize = 40;
/// Characters of a line that runs over the whole width, on the careful side.
const WIDE: usize = 110;

/// The findings, those first that paper shows: the gravest, in their order.
pub(super) fn gravest_first<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<&'a Finding> {
    let mut all: Vec<&Finding> = findings.collect();
    all.sort_by_key(|finding| match (finding.stands(), finding.severity) {
        (true, Severity::Error) => 0,
        (true, Severity::Warning) => 1,
        (true, Severity::Advice) => 2,
        (false, _) => 3,
    });
    all
}

/// How many of findings, given by their lengths in characters, paper shows.
pub(super) fn findings(lengths: impl Iterator<Item = usize>, picture: &Picture) -> usize {
    let rows = picture.turn_backs.rows.iter();
    let thresholds: usize = rows.map(|row| 1 + usize::from(row.is_past())).sum();
    let stated = picture.orders.contingencies.iter();
    let stated: usize = stated
        .map(|one| 1 + usize::from(one.boat.len().max(one.people.len()) > 45))
        .sum();
    let taken = thresholds + stated + 3 * picture.map.fans.len();
    let mut left = LINES.saturating_sub(taken);
    let mut shown = 0;
    for length in lengths.take(MOST) {
        let lines = length.div_ceil(WIDE).clamp(1, LINES_EACH);
        if shown >= LEAST && lines > left {
            break;
        }
        left = left.saturating_sub(lines);
        shown += 1;
    }
    shown
}
