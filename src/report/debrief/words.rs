//! The cells of the tables, in words.

use super::Told;
use crate::debrief::{Beside, Kept, Part};
use crate::finding::{Nature, Severity};
use crate::plan::calendar::shown;
use crate::report::counted;
use crate::units::{Ratio, Time, Typed};

/// A track that goes on for longer than this after the boat was back is said to, s. P.
const AFTER: f64 = 60.0;
/// What stands for nothing.
const NONE: &str = "–";

/// A difference as a share, with its sign.
pub(super) fn signed(share: Ratio) -> String {
    let per_cent = (share.get() * 100.0).round();
    let sign = if per_cent < 0.0 { "−" } else { "+" };
    format!("{sign}{} %", per_cent.abs())
}

/// Planned and run, with the difference.
pub(super) fn pair<T: Typed>(of: &Beside<T>) -> String {
    let text = |value: T| value.quantity().to_string();
    match (of.planned, of.actual) {
        (Some(planned), Some(actual)) => {
            let off = of
                .off()
                .map_or_else(String::new, |off| format!(" ({})", signed(off)));
            let (planned, actual) = (text(planned.planned), text(actual));
            // One unit is enough for two.
            let unit = |text: &str| text.split_once(' ').map(|(_, unit)| unit.to_owned());
            let planned = match unit(&planned) {
                Some(one) if unit(&actual).as_ref() == Some(&one) => {
                    planned.trim_end_matches(&one).trim_end().to_owned()
                }
                _ => planned,
            };
            format!("{planned} → {actual}{off}")
        }
        (Some(planned), None) => format!("{} → ?", text(planned.planned)),
        (None, Some(actual)) => format!("? → {}", text(actual)),
        (None, None) => NONE.to_owned(),
    }
}

/// Headings of the table of parts.
pub(super) const PARTS: [&str; 6] = ["part", "length", "time", "speed", "energy", "cross-track"];

/// A part in the cells of that table.
pub(super) fn part(part: &Part) -> [String; 6] {
    let cross = part.cross.map_or_else(
        || NONE.to_owned(),
        |cross| format!("{}, at most {}", cross.most, cross.greatest),
    );
    [
        part.name.clone(),
        part.length.to_string(),
        pair(&part.time),
        pair(&part.speed),
        pair(&part.energy),
        cross,
    ]
}

/// Why a part is not judged, where it is not, and what of its power is missing.
pub(super) fn doubt(part: &Part) -> Option<String> {
    match (&part.not_judged, &part.no_energy) {
        (Some(lack), _) => Some(format!("{}: not judged, {}", part.name, lack.why())),
        (None, Some(why)) => Some(format!("{}: energy not judged, {why}", part.name)),
        (None, None) => {
            let unlogged = part.unlogged.filter(|time| *time > Time::ZERO)?;
            let most = part.energy_at_most?;
            Some(format!(
                "{}: voltage and current are missing for {unlogged}; energy is at most {most}, at the greatest \
                 power of the run",
                part.name
            ))
        }
    }
}

/// Headings of the table of clearances.
pub(super) const KEPT: [&str; 5] = ["clear of", "closest", "clearance", "planned", "limit"];

/// A clearance in the cells of that table.
pub(super) fn kept(kept: &Kept) -> [String; 5] {
    let or_none = |text: Option<String>| text.unwrap_or_else(|| NONE.to_owned());
    [
        kept.of.clone(),
        kept.distance.to_string(),
        kept.clearance().to_string(),
        or_none(kept.planned.map(|planned| planned.to_string())),
        or_none(kept.asked.map(|(asked, _)| asked.to_string())),
    ]
}

/// For how long clearance is not known, where there is no fix.
pub(super) fn unseen(told: &Told) -> Option<String> {
    let unseen = told.found.unseen?;
    Some(format!(
        "Between two fixes of one piece the track counts as a straight line. In its gaps nothing \
         is known: the longest lasts {} over {}, from {} along the route on.",
        unseen.time, unseen.apart, unseen.along
    ))
}

/// When and where it began and ended, each with its name.
pub(super) fn ends(told: &Told) -> Vec<(&'static str, String)> {
    let (ends, zone) = (&told.found.ends, told.zone.as_ref());
    let (planned, delay) = ends.launch;
    let mut all = vec![(
        "launch",
        match ends.launched {
            Some(at) => format!(
                "{}; planned {}, up to {delay} later",
                shown(at, zone),
                shown(planned, zone)
            ),
            None => format!(
                "unknown: the track begins at {}, on the way; planned {}",
                shown(ends.recorded.0, zone),
                shown(planned, zone)
            ),
        },
    )];
    let latest = match ends.latest_return {
        Some(latest) => format!("at the latest {}", shown(latest, zone)),
        None => "the plan states no latest return".to_owned(),
    };
    all.push((
        "back",
        match ends.arrived {
            Some(at) => format!("{}; {latest}", shown(at, zone)),
            None => format!(
                "not recorded: the track ends at {}; {latest}",
                shown(ends.recorded.1, zone)
            ),
        },
    ));
    if ends.clock_set {
        all.push((
            "clock",
            "it was set during the recording; the times above are in doubt".to_owned(),
        ));
    }
    let (latitude, longitude) = (
        ends.last.latitude.to_degrees(),
        ends.last.longitude.to_degrees(),
    );
    all.push((
        "end",
        format!(
            "{} from the recovery point, at [{latitude:.6}, {longitude:.6}]{}",
            ends.from_recovery,
            match (ends.at_recovery, ends.arrived) {
                (false, _) => ", outside its launch site".to_owned(),
                (true, Some(at)) if ends.recorded.1.duration_since(at).as_secs_f64() > AFTER =>
                    format!(
                        "; the track goes on for {} after the boat was back",
                        Time::seconds(ends.recorded.1.duration_since(at).as_secs_f64())
                    ),
                _ => String::new(),
            }
        ),
    ));
    if let Some((id, path, outcome)) = &told.found.record {
        all.push(("record", format!("{id}, {path}: {outcome}")));
    }
    if let Some((leg, along)) = &ends.left {
        all.push(("left", format!("on {leg}, {along} along the route")));
    }
    all
}

/// Depths in sentences.
pub(super) fn depths(told: &Told) -> Vec<String> {
    let Some(depths) = &told.found.depths else {
        return vec!["The track has no depths.".to_owned()];
    };
    let asked = depths
        .asked
        .map_or_else(String::new, |(asked, _)| format!(", limit {asked}"));
    let on = if depths.count < depths.of {
        format!(" on {} fixes", depths.of)
    } else {
        String::new()
    };
    let mut all = vec![format!(
        "Least water under the keel {}{asked}, of {} soundings{on}.",
        depths.under_keel, depths.count
    )];
    if let Some(mean) = depths.mean_difference {
        all.push(format!(
            "Against the site's soundings {mean} on average ({} compared; negative is shoaler).",
            depths.compared
        ));
    }
    match (&depths.shoal, &depths.not_compared) {
        (Some(shoal), _) => all.push(format!(
            "Shoaler by {} at worst: {} sounded, {} charted, {} allowed.",
            shoal.by, shoal.sounded, shoal.charted, shoal.allowed
        )),
        (None, Some(why)) => all.push(format!("Not compared: {why}.")),
        (None, None) if depths.too_few() => {
            all.push("Nowhere shoaler than the errors allow, where it was sounded.".to_owned());
        }
        (None, None) => all.push("Nowhere shoaler than the errors allow.".to_owned()),
    }
    all
}

/// Headings of the table of the link.
pub(super) const LINK: [&str; 4] = ["predicted margin", "fixes", "mean", "least"];

/// The rows of that table, and sentences below it.
pub(super) fn link(told: &Told) -> (Vec<[String; 4]>, Vec<String>) {
    let Some(link) = &told.found.link else {
        return (
            Vec::new(),
            vec!["The track has no figures of the link, or the plan predicts none.".to_owned()],
        );
    };
    let rows = link.rows.iter().map(|row| {
        [
            format!("{} to {}", row.from, row.to),
            row.count.to_string(),
            row.mean.to_string(),
            row.least.to_string(),
        ]
    });
    let mut all = vec![match link.correlation {
        Some(correlation) => format!(
            "Correlation with the margin predicted for the {} link: {correlation:.2}, of {} fixes.",
            link.link, link.count
        ),
        None => format!(
            "No correlation with the margin predicted for the {} link: one of the two does not vary.",
            link.link
        ),
    }];
    if link.count < link.of {
        all.push(format!(
            "No figure on {} of {} fixes on the route.",
            link.of - link.count,
            link.of
        ));
    }
    if let Some(silent) = &link.silent {
        all.push(format!(
            "None for {} where the plan promises its margin, from {} along the route on.",
            silent.time, silent.along
        ));
    }
    if let Some(worst) = &link.worst {
        all.push(format!(
            "Worst stretch: {} for {} from {} along the route on (predicted {}, limit at least \
             {}).",
            worst.mean, worst.time, worst.along, worst.margin, worst.due
        ));
    }
    (rows.collect(), all)
}

/// The verdict: whether it is good, bad or in doubt, and the words.
pub(super) fn verdict(told: &Told) -> (&'static str, String) {
    let findings = &told.outcome.findings;
    let count = |severity| {
        findings
            .iter()
            .filter(|one| one.severity == severity && one.nature == Nature::Violation)
            .count()
    };
    let unknown = findings
        .iter()
        .filter(|one| one.nature != Nature::Violation)
        .count();
    let words = [
        (Severity::Error, "error", "errors"),
        (Severity::Warning, "warning", "warnings"),
        (Severity::Advice, "advisory", "advisories"),
    ];
    let parts: Vec<String> = words
        .iter()
        .filter(|(severity, _, _)| count(*severity) > 0)
        .map(|(severity, one, more)| {
            let count = count(*severity);
            counted(count, one, more)
        })
        .collect();
    // What was not judged is not good.
    let class = match (count(Severity::Error), count(Severity::Warning), unknown) {
        (0, 0, 0) => "good",
        (0, _, _) => "doubtful",
        _ => "bad",
    };
    let text = match (parts.is_empty(), unknown) {
        (true, 0) => "The plan's figures held".to_owned(),
        (true, _) => {
            format!("The plan's figures held as far as they could be judged: {unknown} not judged")
        }
        (false, 0) => format!("The plan's figures did not all hold: {}", parts.join(", ")),
        (false, _) => format!(
            "The plan's figures did not all hold: {}, {unknown} not judged",
            parts.join(", ")
        ),
    };
    (class, text)
}

/// A threshold in the cells of its table.
pub(super) const THRESHOLDS: [&str; 3] = ["compared with", "finding if", "from"];

/// Their rows.
pub(super) fn thresholds() -> Vec<[String; 3]> {
    let rows = crate::debrief::THRESHOLDS.iter();
    rows.map(|one| {
        [
            one.title.to_owned(),
            one.words.to_owned(),
            one.from.to_owned(),
        ]
    })
    .collect()
}
