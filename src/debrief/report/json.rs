//! The debrief for other programs.

use serde_json::{Value, json as object};

use super::{CAUTION, Told};
use crate::debrief::{Beside, Kept, Lack, Part, THRESHOLDS, What};
use crate::finding::{Finding, Label};
use crate::report::{json_without_controls, stored_unit};
use crate::source::{Sources, Span};
use crate::units::{Quantity, Ratio, Typed};

/// What the JSON form calls itself.
pub const FORMAT: &str = "offing-debrief";
/// Version of the JSON form.
pub const VERSION: u32 = 1;
/// The JSON Schema of the JSON form.
pub const SCHEMA: &str = include_str!("../../../schemas/debrief-output.schema.json");

fn of(quantity: Quantity) -> Value {
    let unit = stored_unit(quantity.dimension);
    object!({ "value": quantity.value, "unit": unit, "text": quantity.to_string() })
}

fn value<T: Typed>(typed: T) -> Value {
    of(typed.quantity())
}

fn beside<T: Typed>(of: &Beside<T>) -> Value {
    object!({
        "planned": of.planned.map(|band| value(band.planned)),
        "planned_least": of.planned.map(|band| value(band.least)),
        "planned_most": of.planned.and_then(|band| band.most).map(value),
        "actual": of.actual.map(value),
        "off": of.off().map(Ratio::get),
    })
}

fn line(span: Span, sources: &Sources) -> Value {
    let at = sources.position(span);
    object!({ "path": sources.path(span.source), "line": at.line, "column": at.column })
}

fn part(part: &Part, sources: &Sources) -> Value {
    let what = match part.what {
        What::Leg(_) => "leg",
        What::Whole => "whole",
        What::ReturnLeg => "return leg",
        What::BrokenOff => "broken off",
    };
    object!({
        "what": what,
        "name": part.name,
        "plan": line(part.line, sources),
        "track": part.fix.map(|span| line(span, sources)),
        "length": value(part.length),
        "path": part.path.map(value),
        "time": beside(&part.time),
        "speed": beside(&part.speed),
        "energy": beside(&part.energy),
        "energy_at_most": part.energy_at_most.map(value),
        "unlogged": part.unlogged.map(value),
        "given": part.given.map(value),
        "cross_track": part.cross.map(|cross| object!({
            "most": value(cross.most),
            "greatest": value(cross.greatest),
            "fixes": cross.count,
        })),
        "not_judged": part.not_judged.as_ref().map(Lack::why),
        "no_energy": part.no_energy,
    })
}

fn kept(kept: &Kept, sources: &Sources) -> Value {
    object!({
        "of": kept.of,
        "site": line(kept.line, sources),
        "rule": kept.rule,
        "limit": kept.asked.map(|(asked, _)| value(asked)),
        "planned": kept.planned.map(value),
        "distance": value(kept.distance),
        "deducted": value(kept.deducted),
        "clearance": value(kept.clearance()),
        "too_near": kept.too_near(),
    })
}

fn label(label: &Label, sources: &Sources) -> Value {
    let mut at = line(label.span, sources);
    at["text"] = Value::from(label.text.as_str());
    at
}

fn finding(finding: &Finding, sources: &Sources) -> Value {
    object!({
        "id": finding.rule,
        "severity": finding.severity.name(),
        "nature": finding.nature.name(),
        "subject": finding.subject,
        "message": finding.message,
        "primary": label(&finding.primary, sources),
        "related": finding.related.iter().map(|one| label(one, sources)).collect::<Vec<_>>(),
        "measured": finding.comparison.as_ref().map(|one| of(one.measured)),
        "limit": finding.comparison.as_ref().map(|one| of(one.limit)),
        "steps": finding.steps,
        "remedies": finding.remedies,
        "fingerprint": finding.fingerprint,
    })
}

fn ends(told: &Told) -> Value {
    let ends = &told.found.ends;
    object!({
        "launched": ends.launched.map(|at| at.to_string()),
        "launch_planned": ends.launch.0.to_string(),
        "launch_delay": value(ends.launch.1),
        "arrived": ends.arrived.map(|at| at.to_string()),
        "latest_return": ends.latest_return.map(|at| at.to_string()),
        "recorded_from": ends.recorded.0.to_string(),
        "recorded_to": ends.recorded.1.to_string(),
        "last": [ends.last.latitude.to_degrees(), ends.last.longitude.to_degrees()],
        "from_recovery": value(ends.from_recovery),
        "nearest_to_recovery": value(ends.nearest),
        "at_recovery": ends.at_recovery,
        "clock_set": ends.clock_set,
        "left": ends.left.as_ref().map(|(leg, along)| object!({ "leg": leg, "along": value(*along) })),
    })
}

fn depths(told: &Told) -> Value {
    let depths = told.found.depths.as_ref();
    depths.map_or(Value::Null, |depths| {
        object!({
            "count": depths.count,
            "of": depths.of,
            "compared": depths.compared,
            "mean_difference": depths.mean_difference.map(value),
            "under_keel": value(depths.under_keel),
            "limit": depths.asked.map(|(asked, _)| value(asked)),
            "shoal": depths.shoal.map(|shoal| object!({
                "by": value(shoal.by),
                "sounded": value(shoal.sounded),
                "charted": value(shoal.charted),
                "allowed": value(shoal.allowed),
                "fixes": shoal.fixes,
            })),
            "not_compared": depths.not_compared,
        })
    })
}

fn link(told: &Told) -> Value {
    let link = told.found.link.as_ref();
    link.map_or(Value::Null, |link| {
        let rows = link.rows.iter().map(|row| {
            object!({
                "margin_from": value(row.from),
                "margin_to": value(row.to),
                "count": row.count,
                "mean": of(row.mean),
                "least": of(row.least),
            })
        });
        object!({
            "link": link.link,
            "share": link.share,
            "count": link.count,
            "of": link.of,
            "silent": link.silent.map(|silent| object!({
                "time": value(silent.time),
                "along": value(silent.along),
            })),
            "correlation": link.correlation,
            "rows": rows.collect::<Vec<_>>(),
            "worst": link.worst.map(|worst| object!({
                "time": value(worst.time),
                "mean": of(worst.mean),
                "due": of(worst.due),
                "margin": value(worst.margin),
                "along": value(worst.along),
                "promised": worst.promised,
            })),
        })
    })
}

/// The debrief as JSON text, as its schema ([`SCHEMA`]) describes it.
///
/// # Errors
/// Those of the serializer; no debrief is known to cause one.
pub fn json(told: &Told) -> Result<String, serde_json::Error> {
    let (found, sources) = (&told.found, &told.outcome.sources);
    let thresholds = THRESHOLDS.iter().map(|one| {
        object!({
            "id": one.id,
            "title": one.title,
            "limit": one.limit.map(of),
            "words": one.words,
            "from": one.from,
        })
    });
    let findings = told.outcome.findings.iter();
    let record = object!({
        "format": FORMAT,
        "version": VERSION,
        "program": { "name": "offing", "version": env!("CARGO_PKG_VERSION") },
        "mission": found.mission,
        "path": found.path,
        "policy": found.policy,
        "digest": told.digest(),
        "track": { "path": told.track, "sha256": told.sha256, "fixes": found.fixes, "cleaned": found.cleaned },
        "wind": found.wind,
        "record": found.record.as_ref().map(|(id, path, outcome)| object!({
            "id": id,
            "path": path,
            "outcome": outcome,
        })),
        "ends": ends(told),
        "whole": part(&found.whole, sources),
        "return_leg": part(&found.return_leg, sources),
        "legs": found.legs.iter().map(|one| part(one, sources)).collect::<Vec<_>>(),
        "cross_track_error": value(found.cross_track_error),
        "clearances": found.kept.iter().map(|one| kept(one, sources)).collect::<Vec<_>>(),
        "unseen": found.unseen.map(|unseen| object!({
            "time": value(unseen.time),
            "apart": value(unseen.apart),
            "along": value(unseen.along),
        })),
        "depths": depths(told),
        "link": link(told),
        "findings": findings.map(|one| finding(one, sources)).collect::<Vec<_>>(),
        "thresholds": thresholds.collect::<Vec<_>>(),
        "assumptions": found.assumptions,
        "notes": told.noted(),
        "caution": CAUTION,
    });
    let mut text = serde_json::to_string_pretty(&record)?;
    text.push('\n');
    Ok(json_without_controls(text))
}
