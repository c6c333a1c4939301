//! The new vessel file: the old one with some values exchanged where they stand, and the provenance put
//! at its end. Every other byte stays as it was.

use std::ops::Range;

use super::provenance::{HEAD, provenance};
use super::{Calibration, Figure, rounded_up};
use crate::document::{Node, ParseLimits, Value, parse};
use crate::models::resistance::TrialTable;
use crate::plan::vessel::{CalmForm, Vessel};
use crate::schema::explain::first_of;
use crate::schema::is_id;
use crate::source::Sources;
use crate::units::{Power, Speed};
use crate::yaml::Yaml;

/// Most files of runs that the evidence of a trial names, and most characters of what it was before.
const MOST_FILES: usize = 6;
const MOST_OLD: usize = 300;

/// A vessel file that may be written.
#[derive(Clone, Debug)]
pub struct Written {
    /// Its id.
    pub id: String,
    /// Its text.
    pub text: String,
    /// The vessel that it describes.
    pub vessel: Vessel,
    /// Points of the trial that were left as they were, because nobody ran so slowly or so fast.
    pub left_alone: Vec<Speed>,
}

/// Why no file can be written from the old one.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum NotWritten {
    /// The file is not written line by line.
    #[error(
        "the vessel file is one mapping in braces; only a file with a line for each field can be added to"
    )]
    Braces,
    /// A value cannot be exchanged where it stands.
    #[error("`{0}` cannot be replaced in its place; write it out, without an alias")]
    Place(String),
    /// The id is too long, or no id.
    #[error(
        "`{0}` is no id: at most 64 letters from a to z, digits, points, dashes and underscores, the first a \
         letter or a digit; give another one with `--id`"
    )]
    Id(String),
    /// What would come out is no sound vessel.
    #[error("the figures together do not make a valid vessel: {0}")]
    Unsound(String),
}

/// An edit of the old text.
struct Edit {
    at: Range<usize>,
    text: String,
}

/// Makes the new file of an old one that reads well. `digest` is the SHA-256 of the old text.
///
/// # Errors
/// [`NotWritten`].
pub fn written(
    (old, root, digest): (&str, &Node, &str),
    vessel: &Vessel,
    calibration: &Calibration,
    (id, site): (&str, &str),
) -> Result<Written, NotWritten> {
    if old
        .get(root.span.range())
        .is_none_or(|text| text.starts_with('{'))
    {
        return Err(NotWritten::Braces);
    }
    if !is_id(id) {
        return Err(NotWritten::Id(id.to_owned()));
    }
    let mut making = Making {
        root,
        old,
        edits: Vec::new(),
        changed: vec!["id".to_owned(), "calibration".to_owned()],
        left_alone: Vec::new(),
        not_run: false,
    };
    making.exchange(&["id"], &Yaml::text(id).on_one_line())?;
    making.boat(vessel)?;
    for change in calibration.changes() {
        let figure = change.estimate.figure;
        match figure {
            Figure::Trial => making.trial(vessel, change.value, calibration)?,
            Figure::Drag
                if root
                    .get("windage")
                    .and_then(|of| of.get("drag_coefficient"))
                    .is_none() =>
            {
                making.add_drag(&figure.written(change.value))?;
            }
            _ => {
                let path: Vec<&str> = figure.field().split('.').collect();
                making.exchange(&path, &figure.written(change.value))?;
            }
        }
    }
    let Making {
        mut edits,
        changed,
        left_alone,
        ..
    } = making;
    edits.sort_by_key(|edit| edit.at.start);
    let mut text = old.to_owned();
    if let Some(entry) = root.entry("calibration") {
        let end = line_end(old, entry.value.span.range().end);
        let key = line_start(old, entry.key_span.range().start);
        let before = line_start(old, key.saturating_sub(1));
        let headed = old
            .get(before..key)
            .is_some_and(|line| line.trim_end() == HEAD);
        let begin = if headed { before } else { key };
        edits.push(Edit {
            at: begin..end,
            text: String::new(),
        });
        edits.sort_by_key(|edit| edit.at.start);
    }
    for edit in edits.iter().rev() {
        text.replace_range(edit.at.clone(), &edit.text);
    }
    let ending = ending(old);
    let mut lines = text.trim_end().to_owned();
    lines.push_str(ending);
    lines.push_str(ending);
    let block = provenance(calibration, (&vessel.id.value, digest), site);
    lines.push_str(&block.replace('\n', ending));
    let vessel = read_again(&lines)?;
    only_changed(root, &lines, &changed)?;
    Ok(Written {
        id: id.to_owned(),
        text: lines,
        vessel,
        left_alone,
    })
}

struct Making<'a> {
    root: &'a Node,
    old: &'a str,
    edits: Vec<Edit>,
    /// Paths of what may differ.
    changed: Vec<String>,
    left_alone: Vec<Speed>,
    /// Whether some point of the trial is of a speed that nobody ran.
    not_run: bool,
}

impl Making<'_> {
    fn exchange(&mut self, path: &[&str], text: &str) -> Result<(), NotWritten> {
        let found = path
            .iter()
            .try_fold(self.root, |node, key| node.get(key))
            .ok_or_else(|| NotWritten::Place(path.join(".")))?;
        self.put(found, &path.join("."), text)
    }

    /// Says which boat it is, where the old file does not: the new id is another one's.
    fn boat(&mut self, vessel: &Vessel) -> Result<(), NotWritten> {
        if vessel.boat.is_some() {
            return Ok(());
        }
        let boat = vessel.of_boat().unwrap_or(&vessel.id);
        let id = self.root.entry("id");
        let id = id.ok_or_else(|| NotWritten::Place("id".to_owned()))?;
        let at = line_start(self.old, id.key_span.range().start);
        self.edits.push(Edit {
            at: at..at,
            text: format!(
                "boat: {}{}",
                Yaml::text(&boat.value).on_one_line(),
                ending(self.old)
            ),
        });
        self.changed.push("boat".to_owned());
        Ok(())
    }

    fn put(&mut self, node: &Node, path: &str, text: &str) -> Result<(), NotWritten> {
        let at = node.span.range();
        let stands = self.old.get(at.clone()).unwrap_or("");
        // An alias stands for what was written elsewhere.
        if stands.is_empty() || stands.starts_with('*') || stands.contains('\n') {
            return Err(NotWritten::Place(path.to_owned()));
        }
        self.edits.push(Edit {
            at,
            text: text.to_owned(),
        });
        self.changed.push(path.to_owned());
        Ok(())
    }

    /// Multiplies the powers of the trial. A factor that makes them less is for the speeds that were
    /// run; the others were not tried again.
    fn trial(
        &mut self,
        vessel: &Vessel,
        factor: f64,
        calibration: &Calibration,
    ) -> Result<(), NotWritten> {
        let speeds = calibration.speeds;
        let CalmForm::Trial(table) = &vessel.propulsion.calm.value else {
            return Err(NotWritten::Place("propulsion.trial".to_owned()));
        };
        let points = self
            .root
            .get("propulsion")
            .and_then(|of| of.get("trial"))
            .and_then(|of| of.get("points"))
            .and_then(Node::as_list)
            .ok_or_else(|| NotWritten::Place("propulsion.trial.points".to_owned()))?;
        let mut whole = Vec::new();
        for (number, ((speed, power), point)) in table.points().zip(points).enumerate() {
            let run = speeds.is_some_and(|(low, high)| speed >= low && speed <= high);
            self.not_run |= !run;
            if factor < 1.0 && !run {
                self.left_alone.push(speed);
                whole.push((speed, power));
                continue;
            }
            let watts = rounded_up(power.get() * factor);
            whole.push((speed, Power::watts(watts)));
            let path = format!("propulsion.trial.points[{number}].power");
            let node = point
                .get("power")
                .ok_or_else(|| NotWritten::Place(path.clone()))?;
            self.put(node, &path, &Figure::Trial.written(watts))?;
        }
        TrialTable::new(whole).map_err(|error| NotWritten::Unsound(error.to_string()))?;
        self.evidence(calibration)
    }

    /// Says where the powers of the trial are from, where the file says it of the old ones: the day and
    /// the tracks of the runs. Where nobody ran some of the speeds, the day of their trial stays, whether their
    /// powers are left or multiplied.
    fn evidence(&mut self, calibration: &Calibration) -> Result<(), NotWritten> {
        let of = |key: &str| {
            let trial = self.root.get("propulsion")?.get("trial")?;
            Some(trial.get(key)?.as_text()?.trim().to_owned())
        };
        let (day, evidence) = (of("date"), of("evidence"));
        if day.is_some() && !self.not_run {
            let new = calibration.day.to_string();
            self.exchange(&["propulsion", "trial", "date"], &new)?;
        }
        let Some(old) = evidence else {
            return Ok(());
        };
        let files: Vec<&str> = calibration
            .runs
            .iter()
            .map(|run| run.file.as_str())
            .collect();
        let shown = first_of(&files, MOST_FILES);
        let old = if old.chars().count() > MOST_OLD {
            let cut: String = old.chars().take(MOST_OLD).collect();
            format!("{cut}…")
        } else {
            old
        };
        let of_day = day.map_or_else(String::new, |day| format!(" of {day}"));
        let speeds = calibration.speeds.filter(|_| self.not_run);
        let at = speeds.map_or_else(String::new, |(low, high)| {
            format!(" at {:.2} to {:.2} m/s", low.get(), high.get())
        });
        let text = format!("calibrated with {shown}{at}; before it: {old}{of_day}");
        self.exchange(
            &["propulsion", "trial", "evidence"],
            &Yaml::text(&text).on_one_line(),
        )
    }

    /// States a drag coefficient where none was stated, beside the frontal area.
    fn add_drag(&mut self, text: &str) -> Result<(), NotWritten> {
        let path = "windage.drag_coefficient";
        let place = || NotWritten::Place(path.to_owned());
        let windage = self.root.get("windage").ok_or_else(place)?;
        let area = windage.entry("frontal_area").ok_or_else(place)?;
        let end = area.value.span.range().end;
        let braces = self.old.get(windage.span.range()).unwrap_or("");
        let edit = if braces.starts_with('{') {
            Edit {
                at: end..end,
                text: format!(", drag_coefficient: {text}"),
            }
        } else {
            let key = area.key_span.range().start;
            let indent = self.old.get(line_start(self.old, key)..key).unwrap_or("");
            if !indent.chars().all(|c| c == ' ') {
                return Err(place());
            }
            Edit {
                at: line_start(self.old, key)..line_start(self.old, key),
                text: format!("{indent}drag_coefficient: {text}{}", ending(self.old)),
            }
        };
        self.edits.push(edit);
        self.changed.push(path.to_owned());
        Ok(())
    }
}

/// How the lines of a text end.
fn ending(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}

fn line_start(text: &str, at: usize) -> usize {
    text.get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |found| found + 1)
}

fn line_end(text: &str, at: usize) -> usize {
    let after = text.get(at..).and_then(|after| after.find('\n'));
    after.map_or(text.len(), |found| at + found + 1)
}

/// Reads what would be written, as a check would read it.
fn read_again(text: &str) -> Result<Vessel, NotWritten> {
    let unsound = |text: String| NotWritten::Unsound(text);
    let mut sources = Sources::new();
    let source = sources.add("vessel", text);
    let gathered = crate::plan::read_file(source, &sources);
    if let Some(problem) = gathered.problems.first() {
        return Err(unsound(problem.message.clone()));
    }
    let file = gathered
        .files
        .first()
        .ok_or_else(|| unsound("it is no vessel".to_owned()))?;
    crate::plan::vessel::vessel(file).map_err(|problems| {
        let first = problems.first().map(|problem| problem.message.clone());
        unsound(first.unwrap_or_else(|| "it cannot be read".to_owned()))
    })
}

/// Makes sure that nothing differs but what was to be changed: an exchange by bytes is held against the
/// values that come out of it.
fn only_changed(old: &Node, text: &str, changed: &[String]) -> Result<(), NotWritten> {
    let mut sources = Sources::new();
    let source = sources.add("vessel", text);
    let new = parse(source, text, &ParseLimits::YAML).map_err(|errors| {
        let first = errors.first().map(|error| error.message.clone());
        NotWritten::Unsound(first.unwrap_or_default())
    })?;
    let mut differ = Vec::new();
    differences(Some(old), Some(&new.root), "", &mut differ);
    let beyond = differ.iter().find(|path| {
        !changed.iter().any(|due| {
            let inside = path.strip_prefix(due.as_str());
            inside.is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
        })
    });
    match beyond {
        Some(path) => Err(NotWritten::Place(path.clone())),
        None => Ok(()),
    }
}

/// Paths at which two trees differ.
fn differences(old: Option<&Node>, new: Option<&Node>, path: &str, into: &mut Vec<String>) {
    match (old.map(|node| &node.value), new.map(|node| &node.value)) {
        (Some(Value::Map(before)), Some(Value::Map(after))) => {
            let joined = |key: &str| match path {
                "" => key.to_owned(),
                _ => format!("{path}.{key}"),
            };
            for entry in before {
                let other = new.and_then(|node| node.get(&entry.key));
                differences(Some(&entry.value), other, &joined(&entry.key), into);
            }
            for entry in after {
                if old.is_some_and(|node| node.get(&entry.key).is_none()) {
                    into.push(joined(&entry.key));
                }
            }
        }
        (Some(Value::List(before)), Some(Value::List(after))) if before.len() == after.len() => {
            for (number, (one, other)) in before.iter().zip(after).enumerate() {
                differences(Some(one), Some(other), &format!("{path}[{number}]"), into);
            }
        }
        (before, after) => {
            if before != after {
                into.push(path.to_owned());
            }
        }
    }
}
