//! What was found of a boat adrift, kept for whoever asks next.

use std::sync::{Arc, OnceLock};

use super::path::Way;
use super::{Adrift, Drive, Peril, onto};
use crate::passage::{NoPassage, Passage};

/// What comes of following the boat, for each kind of thing that was asked for.
#[derive(Debug, Default)]
pub(in crate::passage) struct Kept([OnceLock<Result<Adrift, NoPassage>>; Peril::ALL.len()]);

impl Kept {
    /// Whether any kind was asked for.
    pub(in crate::passage) fn is_asked(&self) -> bool {
        self.0.iter().any(|of| of.get().is_some())
    }

    /// What is told of one kind. The first that is asked for is looked at alone, since seldom is more wanted
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
