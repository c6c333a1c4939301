//! The marks that the program leaves in a file that it begins: of a gap, and of a value that it chose.
//!
//! Everything that writes or looks for one takes it from here, so that a reader, a check and `offing new` at a
//! terminal mean the same lines.

/// The mark of a gap.
pub(super) const TO_BE_FILLED: &str = "to be filled";

/// The mark of a value that the program chose.
pub(super) const PROPOSED: &str = "proposed";

/// What parts a field from what is to be filled in.
pub(crate) const GAP: &str = ": # to be filled: ";

/// What stands behind a value that the program chose, ahead of what the value is.
const PROPOSAL: &str = " # proposed: ";

/// A field as a gap, without margin and line end. `told` says what belongs there.
#[must_use]
pub(crate) fn gap(field: &str, told: &str) -> String {
    format!("{field}{GAP}{told}")
}

/// A field with a value that the program chose, without margin and line end. `told` says what the value is.
#[must_use]
pub(crate) fn proposal(field: &str, value: &str, told: &str) -> String {
    format!("{field}: {value}{PROPOSAL}{told}")
}

/// How many values of a file stand beside the mark of a proposal. A field in a comment is no value.
#[must_use]
pub(crate) fn proposals(text: &str) -> usize {
    let fields = text.lines().map(str::trim_start);
    let fields = fields.filter(|line| !line.starts_with('#'));
    fields.filter(|line| line.contains(PROPOSAL)).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_are_those_that_the_head_of_a_file_names() {
        assert_eq!(GAP, format!(": # {TO_BE_FILLED}: "));
        assert_eq!(PROPOSAL, format!(" # {PROPOSED}: "));
        assert_eq!(
            gap("error", "in metres"),
            "error: # to be filled: in metres"
        );
        assert_eq!(
            proposal("zone", "30 m", "its radius"),
            "zone: 30 m # proposed: its radius"
        );
    }

    #[test]
    fn a_proposal_is_one_while_its_mark_stands() {
        let line = proposal("  zone", "30 m", "its radius");
        assert_eq!(proposals(&format!("id: jetty\n{line}\n{line}\n")), 2);
        for text in [
            "zone: 30 m # its radius",
            "# zone: 30 m # proposed: its radius",
        ] {
            assert_eq!(proposals(text), 0, "{text}");
        }
    }
}
