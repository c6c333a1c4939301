//! The first digits of a digest that a person typed. They confirm which plan is meant, and choose none:
//! where they begin the digests of several plans that are known here, they confirm nothing.

use super::before::Before;
use super::instruments::ALL_DIGITS;
use crate::check::LoadedMission;
use crate::source::{ReadError, Tree};

/// Digests of other plans that the repository knows, of its missions as they are and of what was decided
/// and run, that begin as the digits do; none where all digits were typed.
///
/// # Errors
/// [`ReadError`] where the tree cannot be listed any more.
pub(super) fn others_alike(
    read: Option<&str>,
    whole: &str,
    (found, tree): (&mut LoadedMission, &dyn Tree),
    before: &Before,
) -> Result<usize, ReadError> {
    let Some(read) = read.filter(|read| read.len() < ALL_DIGITS && whole.starts_with(read)) else {
        return Ok(0);
    };
    let loaded = found.beside(tree)?;
    let mut digester = loaded.digester();
    let mut known: Vec<String> = Vec::new();
    let plans = loaded.linked.plans.iter();
    for other in plans.filter(|other| other.path != found.plan.path) {
        let chosen = loaded
            .policies
            .choose(other.policy.as_ref(), other.mission.id.span());
        if let Ok((policy, _)) = chosen {
            known.push(digester.plan(other, policy).whole);
        }
    }
    known.extend(before.digests().map(str::to_owned));
    Ok(alike(read, whole, known))
}

/// How many other digests begin so.
fn alike(read: &str, whole: &str, mut known: Vec<String>) -> usize {
    known.retain(|other| other != whole && other.starts_with(read));
    known.sort();
    known.dedup();
    known.len()
}

/// That a digest was confirmed by its first digits alone.
pub(super) fn note(read: Option<&str>) -> Option<String> {
    let typed = read.map(str::len).filter(|typed| *typed < ALL_DIGITS)?;
    Some(format!(
        "the first {typed} digits of {ALL_DIGITS} confirmed the plan's digest"
    ))
}

#[cfg(test)]
mod tests {
    use super::{alike, note};

    #[test]
    fn digits_that_begin_several_digests_are_counted() {
        let whole = "0123456789abcdef".repeat(4);
        let other = format!("01234567{}", "f".repeat(56));
        let known = || vec![whole.clone(), other.clone(), other.clone(), "f".repeat(64)];
        assert_eq!(alike("01234567", &whole, known()), 1);
        assert_eq!(alike("012345678", &whole, known()), 0);
        assert_eq!(alike(&whole, &whole, known()), 0);
        assert!(note(Some("01234567")).is_some_and(|text| text.contains("first 8 digits of 64")));
        assert_eq!((note(Some(&whole)), note(None)), (None, None));
    }
}
