//! The wind limits in words: what stands below the rings, and what stands in for the figure.

use crate::envelope::Limits;
use crate::report::limits::{few_rules, limited_by, regardless, runs, tenth};

/// What has to be said below the rings beside what bars.
pub(super) fn notes(limits: &Limits) -> Vec<(&'static str, String)> {
    let mut notes = Vec::new();
    if !limits.regardless.is_empty() {
        notes.push((
            "strong danger",
            "No wind passes: these are the limits of the other rules.".to_owned(),
        ));
        let words = format!("Failed in any wind: {}", few_rules(&limits.regardless));
        notes.push(("small danger", words));
    }
    if limits.sectors.iter().any(|one| !one.again.is_empty()) {
        notes.push((
            "small soft",
            "Hatched: stronger winds that pass again; not a limit.".to_owned(),
        ));
    }
    if limits.sectors.iter().any(|one| one.strongest.is_none()) {
        notes.push((
            "small soft",
            "×: from here the plan fails even in a calm.".to_owned(),
        ));
    }
    let spread = format!("Each limit holds {} to either side.", limits.spread);
    notes.push(("small soft", spread));
    let lower = "An anemometer held lower shows less.";
    notes.push(("small soft", lower.to_owned()));
    let careful = "A model’s numbers: a wind below a limit is no permission to launch.";
    notes.push(("small soft", careful.to_owned()));
    notes
}

/// The figure in words.
pub(super) fn described(limits: &Limits) -> String {
    let mut said: Vec<String> = regardless(limits).into_iter().collect();
    said.push(format!(
        "Winds are those at {} over the water.",
        limits.height
    ));
    for (first, last) in runs(limits) {
        let (one, other) = (&limits.sectors[first], &limits.sectors[last]);
        let from = if first == last {
            format!("From {}", one.from)
        } else {
            format!("From {} to {}", one.from, other.from)
        };
        let limit = match one.strongest {
            Some(steady) => format!(
                "up to {} with gusts of {}",
                tenth(steady.mean),
                tenth(steady.gust)
            ),
            None => "no wind".to_owned(),
        };
        said.push(format!("{from}: {limit}; limited by {}.", limited_by(one)));
    }
    if let Some(planned) = &limits.planned {
        said.push(format!(
            "Planned for: from {}, {} to either side, {} with gusts of {}.",
            planned.from, planned.spread, planned.mean, planned.gust
        ));
    }
    said.join(" ")
}
