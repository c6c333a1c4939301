//! Values of a plan that a command proposed and that nobody has made their own: their mark still stands.
//!
//! A mark changes no judgement: the value counts as it stands. Whoever takes the mark away states the value.

use crate::plan::Plan;
use crate::schema::marks;
use crate::source::Sources;

/// How many values of a plan's files are marked as proposed, in a sentence; `None` where none is.
pub(super) fn proposals(plan: &Plan, sources: &Sources) -> Option<String> {
    let laid = [&plan.orders, &plan.repeats];
    let mut files = vec![
        plan.mission.id.span().source,
        plan.vessel.id.span().source,
        plan.site.id.span().source,
    ];
    files.extend(laid.into_iter().flatten().map(|laid| laid.source));
    let mut all = 0;
    let counts = files.into_iter().filter_map(|id| {
        let file = sources.get(id)?;
        let count = marks::proposals(file.text());
        all += count;
        (count > 0).then(|| format!("{count} in {}", sources.path(id)))
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
