//! A measure with the function that reads it.

use super::input::{self, Inputs};
use super::left_out;
use super::reading::{Change, Cost, Lack, Measure, Measurement, Scope, Type};
use crate::passage::Passage;
use crate::units::Dimension;

/// A measure with the function that reads it off a passage.
pub struct Entry {
    /// What it is.
    pub measure: Measure,
    /// Reads it, one reading a subject.
    pub read: fn(&Passage<'_>) -> Vec<Measurement>,
}

/// A measure of the mission as a whole that nothing is solved for.
pub(super) const fn entry(
    name: &'static str,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    needs: &'static [&'static str],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
) -> Entry {
    let measure = Measure {
        name,
        scope: Scope::Mission,
        of,
        title,
        meaning,
        needs,
        levers: &[],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    };
    Entry { measure, read }
}

/// The same for a measure that is a quantity.
pub(super) const fn quantity(
    name: &'static str,
    of: Dimension,
    title: &'static str,
    meaning: &'static str,
    needs: &'static [&'static str],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
) -> Entry {
    entry(name, Type::Quantity(of), title, meaning, needs, read)
}

impl Entry {
    /// The same measure, solved for by these.
    pub(super) const fn solved_by(self, levers: &'static [Change]) -> Self {
        let measure = Measure {
            levers,
            ..self.measure
        };
        Self { measure, ..self }
    }

    /// The same measure, which follows from these alone.
    pub(super) const fn moved_by(self, inputs: Inputs) -> Self {
        let measure = Measure {
            moved_by: inputs,
            ..self.measure
        };
        let read = self.read;
        Self { measure, read }
    }

    /// The same measure, at another cost than that of the runs.
    pub(super) const fn costing(self, cost: Cost) -> Self {
        let measure = Measure {
            cost,
            ..self.measure
        };
        let read = self.read;
        Self { measure, read }
    }

    /// Reads it off a passage. Where the plan leaves out what it follows from, and no default is on the
    /// safe side, there is no value.
    #[must_use]
    pub fn readings(&self, passage: &Passage<'_>) -> Vec<Measurement> {
        let mut readings = (self.read)(passage);
        if let Some(unknown) = left_out::lacking(passage.plan, self.measure.moved_by) {
            // That there is no subject is not known either.
            let told = |one: &&mut Measurement| match &one.outcome {
                Ok(_) => true,
                Err(why) => why.lack == Lack::Subject,
            };
            for reading in readings.iter_mut().filter(told) {
                reading.outcome = Err(unknown.clone());
            }
        }
        readings
    }

    /// The same measure, of something within the mission.
    pub(super) const fn within(self, scope: Scope) -> Self {
        let measure = Measure {
            scope,
            ..self.measure
        };
        Self { measure, ..self }
    }
}
