//! What can hurt people, whatever the figures say.

/// Cautions whose word comes before this program's: three lines wherever a plan is found to pass, and in the head
/// of every record and decision that people keep. Common practice, no source.
pub(crate) const PHYSICAL: [&str; 3] = [
    "People: flotation at the water’s edge; motors off near anybody in it; nobody goes in after a boat.",
    "Weir and pack: never follow a boat towards a weir; keep a wet or crushed pack outdoors and apart.",
    "Local rules, the owner of the water and licensed practice come before this program.",
];
