//! How often texts were parsed, of those that a test marks by their first line. Only tests have this.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What the first line of a text begins with that is counted.
pub(crate) const MARK: &str = "# counted: ";

static PARSED: Mutex<BTreeMap<String, usize>> = Mutex::new(BTreeMap::new());

fn parsed() -> MutexGuard<'static, BTreeMap<String, usize>> {
    PARSED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Counts a text that is parsed, where it is marked.
pub(super) fn note(text: &str) {
    let first = text.lines().next().unwrap_or_default();
    if let Some(name) = first.strip_prefix(MARK) {
        *parsed().entry(name.to_owned()).or_default() += 1;
    }
}

/// How often each text was parsed whose mark begins so; counting begins anew for them.
pub(crate) fn take(beginning: &str) -> BTreeMap<String, usize> {
    let mut all = parsed();
    let (taken, left) = std::mem::take(&mut *all)
        .into_iter()
        .partition(|(name, _)| name.starts_with(beginning));
    *all = left;
    taken
}
