//! Which boat a vessel's file describes, and how long a plan has it out.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;

use super::calendar::later;
use super::out::UNTIL_SAID;
use super::vessel::Vessel;
use super::{Linked, Plan};
use crate::schema::Stated;

/// The boat that a vessel is, by what `said` gives of each vessel's id: the boat that it is said to be, or
/// the vessel that it was made of. What leads on is followed; of vessels that name one another in a ring
/// each is the first of them in order of id.
#[must_use]
pub(crate) fn boat_of(vessel: &str, said: impl Fn(&str) -> Option<String>) -> String {
    let mut way = vec![vessel.to_owned()];
    while let Some(next) = way.last().and_then(|id| said(id)) {
        if let Some(at) = way.iter().position(|id| *id == next) {
            let ring = way.get(at..).unwrap_or_default();
            return ring.iter().min().cloned().unwrap_or(next);
        }
        way.push(next);
    }
    way.pop().unwrap_or_default()
}

/// The boat of a vessel among others.
#[must_use]
pub(crate) fn boat_among(vessel: &str, vessels: &BTreeMap<String, Arc<Vessel>>) -> String {
    boat_of(vessel, |id| {
        let of = vessels.get(id)?.of_boat();
        of.map(|of| of.value.clone()).filter(|of| of != id)
    })
}

impl Linked {
    /// The boat of a plan.
    #[must_use]
    pub fn boat(&self, plan: &Plan) -> String {
        boat_among(&plan.vessel.id.value, &self.vessels)
    }
}

impl Plan {
    /// When it has the boat back at the latest, as it is planned: by its latest return, or a whole day after
    /// its delay where it states none.
    #[must_use]
    pub fn back_by(&self) -> Timestamp {
        let launch = &self.mission.launch;
        let delayed = later(launch.time.value, launch.delay.value.get());
        match launch
            .latest_return
            .as_ref()
            .map(|back: &Stated<_>| back.value)
        {
            Some(back) => back.max(delayed),
            None => later(delayed, UNTIL_SAID),
        }
    }

    /// How long after its launch that is, s.
    #[must_use]
    pub fn out_for(&self) -> f64 {
        let launched = self.mission.launch.time.value;
        self.back_by().duration_since(launched).as_secs_f64()
    }
}

#[cfg(test)]
mod tests {
    use super::boat_of;

    #[test]
    fn a_boat_is_one_under_all_its_names() {
        let said = |id: &str| {
            let to = match id {
                "goosander-2" => "goosander-1",
                "goosander-1" => "goosander",
                "a" => "c",
                "b" => "a",
                "c" => "b",
                _ => return None,
            };
            Some(to.to_owned())
        };
        for id in ["goosander", "goosander-1", "goosander-2"] {
            assert_eq!(boat_of(id, said), "goosander");
        }
        for id in ["a", "b", "c"] {
            assert_eq!(boat_of(id, said), "a");
        }
        assert_eq!(boat_of("teal", said), "teal");
    }
}
