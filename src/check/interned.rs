//! Texts that the results of a mission repeat, each held once.

use std::collections::BTreeSet;
use std::sync::Arc;

/// What was said so far.
#[derive(Debug, Default)]
pub(super) struct Interned(BTreeSet<Arc<str>>);

impl Interned {
    /// A text, as it is held.
    pub(super) fn text(&mut self, text: &str) -> Arc<str> {
        if let Some(held) = self.0.get(text) {
            return Arc::clone(held);
        }
        let held: Arc<str> = text.into();
        self.0.insert(Arc::clone(&held));
        held
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_text_is_held_once() {
        let mut interned = Interned::default();
        let [one, same, other] =
            ["control", "control", "telemetry"].map(|text| interned.text(text));
        assert!(Arc::ptr_eq(&one, &same));
        assert_eq!((&*one, &*other), ("control", "telemetry"));
    }
}
