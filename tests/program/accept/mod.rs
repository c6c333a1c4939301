//! What somebody accepts: waivers, the baseline, signatures. It stays visible, and no more is
//! accepted than was seen.

mod at_the_water;
mod baseline;
mod judges;
use crate::shared::key;
mod kinds;
mod known;
mod launch;
mod one_commit;
mod places;
use crate::shared::repo;
mod review;
mod signatures;
mod silence;
mod waivers;
use crate::shared::water;
