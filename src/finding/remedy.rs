//! What makes a finding go away: changes of files, each as it is written there, or what somebody does.

use crate::source::{SourceId, Span};

/// Who does something about a finding, by role.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Who {
    /// Whoever plans the mission.
    Planner,
    /// The person in charge of the run.
    PersonInCharge,
    /// Whoever steers the boat from the shore.
    RemoteOperator,
    /// Whoever fetches the boat.
    RecoveryCrew,
    /// Whoever looks after the boat and its vessel's file.
    BoatKeeper,
    /// Whoever looks after the site's file.
    SiteKeeper,
}

impl Who {
    /// Every one.
    pub const ALL: [Self; 6] = [
        Self::Planner,
        Self::PersonInCharge,
        Self::RemoteOperator,
        Self::RecoveryCrew,
        Self::BoatKeeper,
        Self::SiteKeeper,
    ];

    /// The role in words, as a rule file writes it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Planner => "planner",
            Self::PersonInCharge => "person in charge",
            Self::RemoteOperator => "remote operator",
            Self::RecoveryCrew => "recovery crew",
            Self::BoatKeeper => "keeper of the boat",
            Self::SiteKeeper => "keeper of the site",
        }
    }
}

/// One way to make a finding go away.
#[derive(Clone, PartialEq, Debug)]
pub struct Remedy {
    /// Who does it; `None` where it is whoever wrote what the finding is about.
    pub who: Option<Who>,
    /// What they do, in a sentence.
    pub text: String,
    /// The changes of files that do it, together; none where no change of a file does.
    pub edits: Vec<Edit>,
}

/// A change of one field of a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Edit {
    /// The file.
    pub file: SourceId,
    /// The field, as a JSON pointer (RFC 6901); of an item that is added to a list, the place that it takes.
    pub field: String,
    /// Its value, as YAML on one line.
    pub value: String,
    /// The bytes of the file that are replaced; none of them where something is added.
    pub replaced: Span,
    /// What stands there afterwards.
    pub text: String,
}

impl Remedy {
    /// Something that a person does.
    #[must_use]
    pub fn deed(who: Who, text: impl Into<String>) -> Self {
        Self {
            who: Some(who),
            text: text.into(),
            edits: Vec::new(),
        }
    }

    /// As it is told: with who does it, where no change of a file does.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self.who {
            Some(who) if self.edits.is_empty() => {
                format!(
                    "{}: {}",
                    super::capitalised(who.label()),
                    decapitalised(&self.text)
                )
            }
            _ => self.text.clone(),
        }
    }
}

/// What whoever wrote something does about it.
impl From<String> for Remedy {
    fn from(text: String) -> Self {
        Self {
            who: None,
            text,
            edits: Vec::new(),
        }
    }
}

impl From<&str> for Remedy {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// A sentence that begins small, where its first word is one that does elsewhere.
fn decapitalised(text: &str) -> String {
    let mut characters = text.chars();
    let first = characters.next().unwrap_or_default();
    let word = characters.clone().next().is_some_and(char::is_lowercase);
    if !word {
        return text.to_owned();
    }
    first.to_lowercase().chain(characters).collect()
}
