//! What was found of a boat adrift, kept for whoever asks next.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::path::Way;
use super::{Adrift, Drive, Peril, onto};
use crate::passage::{NoPassage, Passage};
use crate::plan::{Plan, Wind};

/// What comes of following the boat, for each kind of thing that was requested.
#[derive(Debug, Default)]
pub(in crate::passage) struct Kept([OnceLock<Result<Adrift, NoPassage>>; Peril::ALL.len()]);

impl Kept {
    /// Whether any kind was requested.
    fn is_asked(&self) -> bool {
        self.0.iter().any(|of| of.get().is_some())
    }

    /// What is told of one kind. The first that is requested is looked at alone, since seldom is more wanted
    /// of a plan that is varied; with the second come all the others, for which the boat is followed once.
    pub(in crate::passage) fn of(
        &self,
        passage: &Passage<'_>,
        peril: Peril,
    ) -> Result<&Adrift, &NoPassage> {
        let slot = &self.0[peril as usize];
        if slot.get().is_none() {
            if self.is_asked() {
                self.complete(passage);
            } else {
                let found = onto(passage, &[peril]);
                let _ = slot.set(found.map(|mut one| one.remove(0)));
            }
        }
        let alone = || onto(passage, &[peril]).map(|mut one| one.remove(0));
        slot.get_or_init(alone).as_ref()
    }

    /// Looks at every kind that was not asked for yet.
    pub(in crate::passage) fn complete(&self, passage: &Passage<'_>) {
        let left = Peril::ALL.into_iter();
        let left = left.filter(|peril| self.0[*peril as usize].get().is_none());
        let left: Vec<Peril> = left.collect();
        match onto(passage, &left) {
            Ok(all) => {
                for (peril, one) in left.into_iter().zip(all) {
                    let _ = self.0[peril as usize].set(Ok(one));
                }
            }
            Err(why) => {
                for peril in left {
                    let _ = self.0[peril as usize].set(Err(why.clone()));
                }
            }
        }
    }
}

/// What comes of following the boat in winds from the same directions, by their mean and gust. A boat that is
/// run faster, slower or at another charge drifts the same way.
#[derive(Debug, Default)]
pub(in crate::passage) struct OfWinds(Mutex<BTreeMap<(u64, u64), Arc<Kept>>>);

impl OfWinds {
    /// Whether plans that differ in speeds and charge have it in common: not where an area is closed for a
    /// season and open at the launch, since how long they are out decides whether they find it so.
    pub(in crate::passage) fn are_shared(plan: &Plan) -> bool {
        let launch = plan.mission.launch.time.value;
        let mut areas = plan.site.keep_out.iter();
        areas.all(|area| {
            let zone = plan.site.time_zone.as_ref();
            let closed = |zone| {
                let mut closures = area.closed.iter();
                closures.any(|closure| closure.meets(launch, launch, zone))
            };
            area.closed.is_empty() || zone.is_none_or(closed)
        })
    }

    /// What comes of it in one wind.
    pub(in crate::passage) fn of(&self, wind: &Wind) -> Arc<Kept> {
        let bits = (
            wind.mean.value.get().to_bits(),
            wind.gust.value.get().to_bits(),
        );
        let mut winds = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(winds.entry(bits).or_default())
    }
}

/// The ways that the site's currents alone drive a boat from every sample: the same for all winds.
#[derive(Debug, Default)]
pub(in crate::passage) struct WithoutWind(OnceLock<Vec<OnceLock<Arc<Way>>>>);

impl WithoutWind {
    /// The way from a sample that is driven so, or else the one that is followed.
    pub(super) fn or(
        &self,
        passage: &Passage<'_>,
        (sample, drive): (usize, &Drive),
        follow: impl FnOnce() -> Way,
    ) -> Arc<Way> {
        if !drive.current || drive.leeway.length() > 0.0 {
            return Arc::new(follow());
        }
        let unasked = || vec![OnceLock::new(); passage.track.samples.len()];
        let all = self.0.get_or_init(unasked);
        Arc::clone(all[sample].get_or_init(|| Arc::new(follow())))
    }
}
