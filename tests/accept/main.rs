//! What somebody accepts: waivers, the baseline, signatures. It stays visible, and no more is
//! accepted than was seen.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

mod at_the_water;
mod baseline;
mod judges;
mod key;
mod kinds;
mod known;
mod launch;
mod one_commit;
mod places;
mod repo;
mod review;
mod signatures;
mod silence;
mod waivers;
#[allow(dead_code)] // the track is for the history
mod water;
