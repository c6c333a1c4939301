//! What files stated before and state no more, each with where it is stated now.

use super::kinds::Kind;
use super::renamed::looked_up;

/// A field: its kind of file, the mapping that held it as a path from the root with `*` for any item of a
/// list, its name, and what is done in its place.
pub const FIELDS: &[(Kind, &str, &str, &str)] = &[
    (Kind::Mission, "checklist.*", "by", TICKED),
    (Kind::Mission, "checklist.*", "done", TICKED),
];

/// A built-in rule: its id, and what is done in its place.
pub const RULES: &[(&str, &str)] = &[("checklist-done", TICKED)];

/// A measure: its name, and what is done in its place.
pub const MEASURES: &[(&str, &str)] = &[("mission.checklist_done", TICKED)];

const TICKED: &str = "leave it out: `offing launch` asks for every item, `--ticked` answers, and the \
                      decision records it";

/// What is done in place of a built-in rule that is no more.
#[must_use]
pub fn rule(id: &str) -> Option<&'static str> {
    looked_up(RULES, id)
}

/// What is done in place of a measure that is no more.
#[must_use]
pub fn measure(name: &str) -> Option<&'static str> {
    looked_up(MEASURES, name)
}

/// What is done in place of a field of one mapping, by JSON pointer.
pub(super) fn field(kind: Kind, pointer: &str, name: &str) -> Option<&'static str> {
    let path = pointer.trim_start_matches('/').replace('/', ".");
    let is_here = |pattern: &str| {
        let (mut wanted, mut there) = (pattern.split('.'), path.split('.'));
        loop {
            match (wanted.next(), there.next()) {
                (None, None) => return true,
                (Some("*"), Some(number)) if number.parse::<usize>().is_ok() => {}
                (Some(one), Some(other)) if one == other => {}
                _ => return false,
            }
        }
    };
    let mut all = FIELDS.iter();
    all.find(|(of, pattern, old, _)| *of == kind && *old == name && is_here(pattern))
        .map(|(.., help)| *help)
}

/// Why something is no more in a plan, or in what judges it.
const WHY: &str = "is of the day of the launch, and no plan states it in advance";

/// That something is no more in a plan, or in what judges it.
#[must_use]
pub fn sentence(name: &str) -> String {
    format!("`{name}` {WHY}")
}

/// The same to somebody who asks what the name means, with what is done in its place.
pub(super) fn explained(name: &str, help: &str) -> String {
    format!("`{name}` was removed: it {WHY}; {help}")
}
