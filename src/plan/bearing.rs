//! Which files may bear on one mission, as far as their lines tell it without parsing them.

use super::gathered::FileOfKind;
use super::heading::Heading;
use super::out::Out;
use super::record_heading::RecordHeading;

/// What a text is, of which its lines tell that.
#[derive(Clone, Debug)]
pub(super) enum Headed {
    /// A mission.
    Mission(Heading),
    /// The record of a decision on a launch, or of a run: it bears on no plan.
    Record(RecordHeading),
}

impl Headed {
    /// What a text is; `None` where only parsing it can tell.
    #[must_use]
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mission = Heading::parse(text).map(Self::Mission);
        mission.or_else(|| RecordHeading::parse(text).map(Self::Record))
    }
}

/// What another mission has to do with one for it to bear on it: it has its id, is repeated by it, or may
/// have its boat out at the same time.
pub(super) struct Bearing {
    id: Option<String>,
    repeats: Option<String>,
    /// Whether what it repeats is laid under it, so that its times are known.
    laid: bool,
    out: Option<Out>,
}

impl Bearing {
    /// What bears on a mission that was parsed.
    #[must_use]
    pub(super) fn on(file: &FileOfKind) -> Self {
        let repeats = file.named("repeats").map(str::to_owned);
        Self {
            id: file.id.as_ref().map(|(id, _)| id.clone()),
            laid: repeats.is_none() || file.repeats.is_some(),
            repeats,
            out: file.whole().get("launch").and_then(Out::from_node),
        }
    }

    /// Whether a mission does, or cannot be determined not to.
    #[must_use]
    pub(super) fn is_it(&self, other: &Heading) -> bool {
        let named = |id: &Option<String>| id.as_ref() == Some(&other.id);
        if named(&self.id) || named(&self.repeats) {
            return true;
        }
        // A mission without the one that it repeats is no plan, and has no boat out.
        let both = self.out.as_ref().zip(other.out.as_ref());
        self.laid && both.is_none_or(|(one, other)| one.may_meet(other))
    }
}
