//! Figures of a vessel that a change exchanges without saying where the new ones are from.

use std::sync::Arc;

use super::{Guard, begin};
use crate::check::Loaded;
use crate::document::{Node, Value};
use crate::finding::Severity;
use crate::plan::vessel::{CalmForm, Vessel};
use crate::schema::Kind;
use crate::source::Span;

/// A figure that calibrations and tests tell, with what says where it is from.
struct Figure {
    name: &'static str,
    /// Its values, each of which is worse where it is more.
    worse: fn(&Vessel) -> Vec<f64>,
    line: fn(&Vessel) -> Span,
    /// Fields of which one changes with it; none where no field says where it is from.
    evidence: &'static [&'static str],
}

const TRIAL: &[&str] = &[
    "calibration",
    "propulsion.trial.date",
    "propulsion.trial.evidence",
];

const TESTED: &[&str] = &["battery.capacity_tested"];

const FIGURES: &[Figure] = &[
    Figure {
        name: "the speed and power in calm water",
        worse: |vessel| match &vessel.propulsion.calm.value {
            // More speed for the same power is as good as less power for the same speed.
            CalmForm::Trial(table) => table
                .points()
                .flat_map(|(speed, power)| [-speed.get(), power.get()])
                .collect(),
            CalmForm::Model {
                form_factor,
                residuary,
            } => vec![*form_factor, *residuary],
        },
        line: |vessel| vessel.propulsion.calm.span(),
        evidence: TRIAL,
    },
    Figure {
        name: "the hotel load",
        worse: |vessel| vec![vessel.hotel_load.value.get()],
        line: |vessel| vessel.hotel_load.span(),
        evidence: &["calibration"],
    },
    Figure {
        name: "the drag coefficient",
        worse: |vessel| vec![vessel.windage.drag_coefficient.value],
        line: |vessel| vessel.windage.drag_coefficient.span(),
        evidence: &["calibration"],
    },
    Figure {
        name: "the internal resistance",
        worse: |vessel| vec![vessel.battery.resistance.value.get()],
        line: |vessel| vessel.battery.resistance.span(),
        evidence: &["calibration"],
    },
    Figure {
        name: "the capacity",
        worse: |vessel| vec![-vessel.battery.capacity.value.get()],
        line: |vessel| vessel.battery.capacity.span(),
        evidence: TESTED,
    },
    Figure {
        name: "the usable fraction",
        worse: |vessel| vec![-vessel.battery.usable.value.get()],
        line: |vessel| vessel.battery.usable.span(),
        evidence: &[],
    },
    Figure {
        name: "the cut-off voltage",
        worse: |vessel| vec![vessel.battery.cut_off.value.get()],
        line: |vessel| vessel.battery.cut_off.span(),
        evidence: &[],
    },
    Figure {
        name: "the propulsive efficiency",
        worse: |vessel| vec![-vessel.propulsion.propulsive_efficiency.value.get()],
        line: |vessel| vessel.propulsion.propulsive_efficiency.span(),
        evidence: TRIAL,
    },
    Figure {
        name: "the motor efficiency",
        worse: |vessel| vec![-vessel.propulsion.motor_efficiency.value.get()],
        line: |vessel| vessel.propulsion.motor_efficiency.span(),
        evidence: TRIAL,
    },
    Figure {
        name: "the frontal area",
        worse: |vessel| vec![vessel.windage.frontal_area.value.get()],
        line: |vessel| vessel.windage.frontal_area.span(),
        evidence: &[],
    },
    Figure {
        name: "the leeway",
        worse: |vessel| vec![vessel.windage.leeway.value.get()],
        line: |vessel| vessel.windage.leeway.span(),
        evidence: &[],
    },
];

impl Guard<'_> {
    /// Figures of vessels that a change exchanges while what says where they are from stays as it was:
    /// a warning where some are better, news where all are worse.
    pub(super) fn figures(&mut self) {
        let (was, now) = (self.was, self.now);
        for (id, earlier) in &was.linked.vessels {
            let Some(later) = now.linked.vessels.get(id) else {
                continue;
            };
            for figure in FIGURES {
                self.figure((id, id), figure, (earlier, later));
            }
        }
    }

    /// The same of a boat that is a copy of one of before.
    pub(super) fn figures_between(&mut self, original: &str, copy: &str) {
        let (was, now) = (self.was, self.now);
        let boats = (
            was.linked.vessels.get(original),
            now.linked.vessels.get(copy),
        );
        if let (Some(earlier), Some(later)) = boats {
            for figure in FIGURES {
                self.figure((original, copy), figure, (earlier, later));
            }
        }
    }

    fn figure(
        &mut self,
        (original, id): (&str, &str),
        figure: &Figure,
        (was, now): (&Arc<Vessel>, &Arc<Vessel>),
    ) {
        let (before, after) = ((figure.worse)(was), (figure.worse)(now));
        let differ = |one: f64, other: f64| (one - other).abs() > 1e-9 * one.abs().max(other.abs());
        let same =
            before.len() == after.len() && before.iter().zip(&after).all(|(a, b)| !differ(*a, *b));
        // Evidence that was taken away is none.
        let changed = |field: &&str| {
            let now = stated(self.now, id, field);
            now.is_some() && now != stated(self.was, original, field)
        };
        if same || figure.evidence.iter().any(changed) {
            return;
        }
        // Of tables of other lengths it cannot be determined which is better.
        let better = before.len() != after.len()
            || before
                .iter()
                .zip(&after)
                .any(|(a, b)| differ(*a, *b) && b < a);
        let (severity, word) = if better {
            (Severity::Warning, "changed")
        } else {
            (Severity::Advice, "made worse")
        };
        let (at, earlier) = ((figure.line)(now), (figure.line)(was));
        let (at, earlier) = (self.later(at), self.earlier(earlier));
        let builder = begin("vessel-without-evidence", &format!("{id}/{}", figure.name))
            .severity(severity)
            .message(format!(
                "{} of the vessel `{id}` is {word}, and the change states no source for the new \
                 figure",
                figure.name
            ))
            .primary(at, "by this line")
            .related(earlier, "it was")
            .remedy(remedy(figure.evidence));
        self.add(builder);
    }
}

fn remedy(evidence: &[&str]) -> String {
    if evidence.is_empty() {
        return "no field states its source: say in the change how you measured it, and have \
                somebody check that"
            .to_owned();
    }
    let fields: Vec<String> = evidence.iter().map(|field| format!("`{field}`")).collect();
    format!(
        "state its source in the same change: {}",
        fields.join(" or ")
    )
}

/// What a vessel's file states in a field, however it is written; `None` where that is nothing.
fn stated(loaded: &Loaded, id: &str, field: &str) -> Option<String> {
    let mut files = loaded.gathered.of_kind(Kind::Vessel);
    let file = files.find(|file| file.id.as_ref().is_some_and(|(own, _)| own == id))?;
    let root = &file.document.root;
    let node = field.split('.').try_fold(root, |node, key| node.get(key))?;
    let told = canonical_text(node);
    (!told.is_empty()).then_some(told)
}

/// A value without its place, its blanks and its quotes.
fn canonical_text(node: &Node) -> String {
    match &node.value {
        Value::Null => String::new(),
        Value::Text(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Value::List(items) => {
            let items: Vec<String> = items.iter().map(canonical_text).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Map(entries) => {
            let mut entries: Vec<String> = entries
                .iter()
                .map(|entry| format!("{}: {}", entry.key, canonical_text(&entry.value)))
                .collect();
            entries.sort_unstable();
            format!("{{{}}}", entries.join(", "))
        }
        other => format!("{other:?}"),
    }
}
