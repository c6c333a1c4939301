//! Columns of the track that cannot be of this boat.

use super::judging::Judging;
use super::thresholds::COLUMN;
use crate::finding::{Nature, Severity, capitalised};
use crate::source::Span;
use crate::track::{Aside, Recorded};

impl Judging<'_> {
    /// Tells each column that was put aside as a whole; what depends on it has nothing left to be judged
    /// by.
    pub(super) fn columns(&mut self) {
        for one in self.asked.aside.iter().filter(|one| one.whole) {
            self.put_aside(one);
        }
    }

    fn put_aside(&mut self, one: &Aside) {
        let row = self.asked.line_at(one.begins);
        let columns = self.asked.columns;
        let stated = columns.and_then(|(columns, file)| {
            let stated = columns.of_quantity(one.quantity)?.stated.clone();
            let at = |byte: usize| u32::try_from(byte).unwrap_or(u32::MAX);
            Some(Span::new(file, at(stated.start), at(stated.end)))
        });
        let told = one.describe(columns.map(|(columns, _)| columns));
        let stop = if told.ends_with('?') { "" } else { "." };
        let message = format!(
            "{}{stop} Nothing that depends on it is judged",
            capitalised(&told)
        );
        // Nothing depends on the speed: that is from place to place.
        let severity = match one.quantity {
            Recorded::Speed | Recorded::Wind => Severity::Advice,
            _ => Severity::Warning,
        };
        let why = format!("{} of {} values are out of range", one.count, one.of);
        self.push(
            &COLUMN,
            severity,
            Nature::NotEvaluated,
            (one.quantity.word(), message),
            |built| {
                let built = match stated {
                    Some(stated) => built
                        .primary(stated, "the stated unit")
                        .related(row, "the first such row"),
                    None => built.primary(row, "the first such row"),
                };
                let built = match one.line {
                    Some(line) => built.related(line, "compared with this"),
                    None => built,
                };
                built.reason(&why)
            },
        );
    }
}
