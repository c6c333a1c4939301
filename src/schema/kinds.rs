//! The kinds of file a team writes.

use std::fmt;

/// A kind of file, as its `kind:` field says.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Kind {
    /// A plan of one run.
    Mission,
    /// A boat.
    Vessel,
    /// A stretch of water.
    Site,
    /// What holds of a team's missions that they do not state.
    Orders,
    /// A team's settings of the rules.
    Policy,
    /// A safety rule.
    Rule,
    /// Findings that were there before the repository was checked.
    Baseline,
    /// A decision on a launch.
    Launch,
    /// The record of a plan that was run.
    Run,
    /// What the columns of a recorded track hold.
    TrackColumns,
}

impl Kind {
    /// Every kind, in the order in which people meet them.
    pub const ALL: [Self; 10] = [
        Self::Mission,
        Self::Vessel,
        Self::Site,
        Self::Orders,
        Self::Policy,
        Self::Rule,
        Self::Baseline,
        Self::Launch,
        Self::Run,
        Self::TrackColumns,
    ];

    /// The kinds of which a mission names one by its id, each in the field of that kind's name, and is made of.
    pub(crate) const NAMED_BY_A_MISSION: [Self; 3] = [Self::Vessel, Self::Orders, Self::Site];

    /// Its name, as `kind:` has it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Mission => "mission",
            Self::Vessel => "vessel",
            Self::Site => "site",
            Self::Orders => "orders",
            Self::Policy => "policy",
            Self::Rule => "rule",
            Self::Baseline => "baseline",
            Self::Launch => "launch",
            Self::Run => "run",
            Self::TrackColumns => "track-columns",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// The text of its JSON Schema.
    #[must_use]
    pub fn schema_text(self) -> &'static str {
        match self {
            Self::Mission => include_str!("../../schemas/mission.schema.json"),
            Self::Vessel => include_str!("../../schemas/vessel.schema.json"),
            Self::Site => include_str!("../../schemas/site.schema.json"),
            Self::Orders => include_str!("../../schemas/orders.schema.json"),
            Self::Policy => include_str!("../../schemas/policy.schema.json"),
            Self::Rule => include_str!("../../schemas/rule.schema.json"),
            Self::Baseline => include_str!("../../schemas/baseline.schema.json"),
            Self::Launch => include_str!("../../schemas/launch.schema.json"),
            Self::Run => include_str!("../../schemas/run.schema.json"),
            Self::TrackColumns => include_str!("../../schemas/track-columns.schema.json"),
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Most characters of an id.
pub(crate) const LONGEST_ID: usize = 64;

/// Whether a text is an id, as every schema has it.
#[must_use]
pub(crate) fn is_id(text: &str) -> bool {
    let mut bytes = text.bytes();
    let first = bytes
        .next()
        .is_some_and(|byte| byte.is_ascii_alphanumeric());
    first
        && text.len() <= LONGEST_ID
        && bytes.all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'_' | b'-'))
}
