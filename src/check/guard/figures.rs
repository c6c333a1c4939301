//! Figures of a vessel that a change exchanges without saying where the new ones are from.

use std::sync::Arc;

use super::{Guard, begin};
use crate::check::Loaded;
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
    /// Fields of which one changes with it.
    evidence: &'static [&'static str],
}

const TRIAL: &[&str] = &[
    "calibration",
    "propulsion.trial.date",
    "propulsion.trial.evidence",
];

const FIGURES: &[Figure] = &[
    Figure {
        name: "the speed and power in calm water",
        worse: |vessel| match &vessel.propulsion.calm.value {
            CalmForm::Trial(table) => table.points().map(|(_, power)| power.get()).collect(),
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
        evidence: &["battery.capacity_tested"],
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
                self.figure(id, figure, (earlier, later));
            }
        }
    }

    fn figure(&mut self, id: &str, figure: &Figure, (was, now): (&Arc<Vessel>, &Arc<Vessel>)) {
        let (before, after) = ((figure.worse)(was), (figure.worse)(now));
        let differ = |one: f64, other: f64| (one - other).abs() > 1e-9 * one.abs().max(other.abs());
        let same =
            before.len() == after.len() && before.iter().zip(&after).all(|(a, b)| !differ(*a, *b));
        let changed = |field: &&str| stated(self.was, id, field) != stated(self.now, id, field);
        if same || figure.evidence.iter().any(changed) {
            return;
        }
        // Of tables of other lengths it cannot be told which is better.
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
                "{} of the vessel `{id}` is {word}, and nothing says where the new figure is from",
                figure.name
            ))
            .primary(at, "by this line")
            .related(earlier, "it was")
            .remedy(format!(
                "say in the same change where it is from: {}",
                figure
                    .evidence
                    .iter()
                    .map(|field| format!("`{field}`"))
                    .collect::<Vec<_>>()
                    .join(" or ")
            ));
        self.add(builder);
    }
}

/// What a vessel's file states in a field, as it is written.
fn stated<'a>(loaded: &'a Loaded, id: &str, field: &str) -> Option<&'a str> {
    let mut files = loaded.gathered.of(Kind::Vessel);
    let file = files.find(|file| file.id.as_ref().is_some_and(|(own, _)| own == id))?;
    let root = &file.document.root;
    let node = field.split('.').try_fold(root, |node, key| node.get(key))?;
    loaded
        .sources
        .get(file.source)?
        .text()
        .get(node.span.range())
}
