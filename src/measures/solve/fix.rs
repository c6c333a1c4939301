//! What a solver offers: settings of a plan's files that make it pass, or what somebody does.

use crate::finding::Who;
use crate::models::geodesy::Position;
use crate::models::plane::Point;
use crate::plan::Plan;
use crate::schema::Stated;
use crate::source::Span;

/// One thing that makes a measure pass.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Fix {
    /// Who does it.
    pub who: Who,
    /// What it comes to, in a clause; a whole sentence where nothing is set.
    pub says: String,
    /// What is set, all of it together; nothing where no file says it.
    pub settings: Vec<Setting>,
    /// What else comes of it, in a clause at the end; empty where nothing does.
    pub note: String,
}

/// A value that is set.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Setting {
    /// Where.
    pub at: At,
    /// The value, as YAML on one line.
    pub value: String,
}

/// Where a value is set.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum At {
    /// In place of a value that a file states.
    Stated(Span),
    /// As a field of the mission's file, by its JSON pointer, stated or not.
    Field(&'static str),
    /// As an item of a list of the mission's file, ahead of the item of an id, or as the last one.
    Item(&'static str, Option<String>),
}

impl Fix {
    /// Something that somebody does.
    pub(super) fn deed(who: Who, says: impl Into<String>) -> Self {
        Self {
            who,
            says: says.into(),
            settings: Vec::new(),
            note: String::new(),
        }
    }

    /// Values that the planner sets.
    pub(super) fn set(settings: Vec<Setting>) -> Self {
        Self {
            who: Who::Planner,
            says: String::new(),
            settings,
            note: String::new(),
        }
    }

    /// One value that the planner sets.
    pub(super) fn set_one(at: At, value: impl Into<String>) -> Self {
        Self::set(vec![Setting::new(at, value)])
    }

    pub(super) fn saying(self, says: impl Into<String>) -> Self {
        let says = says.into();
        Self { says, ..self }
    }

    pub(super) fn noting(self, note: impl Into<String>) -> Self {
        let note = note.into();
        Self { note, ..self }
    }
}

impl Setting {
    pub(super) fn new(at: At, value: impl Into<String>) -> Self {
        let value = value.into();
        Self { at, value }
    }
}

impl At {
    /// Where a value stands, or the mission's field that could state it.
    pub(super) fn of<T>(stated: &Stated<T>, field: &'static str) -> Self {
        match stated.assumption() {
            None => Self::Stated(stated.span()),
            Some(_) => Self::Field(field),
        }
    }
}

/// Words that a file reads as something else than a text.
const NO_TEXT: [&str; 3] = ["true", "false", "null"];

/// An id as a file writes it, in quotes where it would be read as a number or a word of the format.
pub(super) fn as_id(id: &str) -> String {
    let begins = id.starts_with(|first: char| first.is_ascii_alphabetic());
    if begins && !NO_TEXT.contains(&id.to_ascii_lowercase().as_str()) {
        id.to_owned()
    } else {
        format!("\"{id}\"")
    }
}

/// A place as a file writes it, and where that lies: a millionth of a degree is a decimetre.
pub(super) fn written(plan: &Plan, at: Point) -> (String, Point) {
    let position = plan.site.plane.to_position(at);
    let round = |degrees: f64| (degrees * 1e6).round() / 1e6;
    let (latitude, longitude) = (
        round(position.latitude.to_degrees()),
        round(position.longitude.to_degrees()),
    );
    let position = Position::from_degrees(latitude, longitude);
    (
        format!("[{latitude:.6}, {longitude:.6}]"),
        plan.site.plane.to_plane(position),
    )
}
