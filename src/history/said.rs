//! What is said of a run.

use jiff::Timestamp;

use crate::plan::run::End;
use crate::track::Track;
use crate::units::Energy;

/// What is said of a run.
#[derive(Clone, Debug)]
pub(crate) struct Said {
    /// Id of the mission, or path of its file.
    pub mission: String,
    /// The commit in which its files stood, in full.
    pub commit: String,
    /// Id of the decision on the launch; the one about this plan where none is named.
    pub decision: Option<String>,
    /// When it was launched, as it was typed; default: as decided.
    pub launched: Option<String>,
    /// When it was back, likewise.
    pub ended: String,
    /// When this is recorded, likewise; default: now.
    pub recorded: Option<String>,
    /// Now, by the computer's clock.
    pub clock: Timestamp,
    /// Who records, by role.
    pub by: String,
    /// How it ended.
    pub outcome: End,
    /// What nearly went wrong.
    pub near_misses: Vec<String>,
    /// What wind and water were like.
    pub conditions: Option<String>,
    /// Energy that was used.
    pub energy: Option<Energy>,
    /// The track.
    pub track: Logged,
}

/// The track of a run.
#[derive(Clone, Debug)]
pub(crate) struct Logged {
    /// SHA-256 of its bytes.
    pub sha256: String,
    /// Where it is kept.
    pub kept: String,
    /// It, of one fix at least, or why it cannot be read.
    pub read: Result<Track, String>,
}
