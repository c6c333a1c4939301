//! Values of a plan that a command proposed and that nobody has made their own: their mark still stands.
//!
//! A mark changes no judgement: the value counts as it stands. Whoever takes the mark away states the value.

use crate::plan::Plan;
use crate::schema::marks;
use crate::source::Sources;

/// How many values of a plan's files are marked as proposed, in a sentence; `None` where none is. It names no file, so
/// that missions of one boat on one water come to the same sentence.
pub(super) fn proposals(plan: &Plan, sources: &Sources) -> Option<String> {
    let files = [
        ("mission", Some(plan.mission.id.span().source)),
        ("vessel", Some(plan.vessel.id.span().source)),
        ("site", Some(plan.site.id.span().source)),
        ("orders", plan.orders.as_ref().map(|laid| laid.source)),
        (
            "repeated mission",
            plan.repeats.as_ref().map(|laid| laid.source),
        ),
    ];
    let mut all = 0;
    let counts = files.into_iter().filter_map(|(what, source)| {
        let count = marks::proposals(sources.get(source?)?.text());
        all += count;
        (count > 0).then(|| format!("{count} of the {what}"))
    });
    let counts: Vec<String> = counts.collect();
    let words = match all {
        1 => "value is offing's proposal",
        _ => "values are offing's proposals",
    };
    (all > 0).then(|| {
        format!(
            "{all} {words}, and nobody's statement until the mark “proposed” is removed: {}",
            counts.join(", ")
        )
    })
}
