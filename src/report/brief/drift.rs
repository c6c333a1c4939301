//! Where a boat adrift comes to, and when the safety boat is there.

use super::shortened;
use crate::picture::{Driven, Fan, Picture};
use crate::units::Time;

/// One place that a boat adrift comes to.
pub(super) struct Drift {
    /// What drives it there, in words.
    pub driven: String,
    /// Where it comes to: `carried onto the weir`, `ashore`.
    pub end: String,
    /// How long that takes.
    pub after: Time,
    /// When the safety boat is there, where it gets there at all.
    pub there: Option<Time>,
    /// What is wrong with that, where something is.
    pub late: Option<String>,
    /// Whether it is a danger, and not only the shore.
    danger: bool,
}

impl Drift {
    fn new(driven: &Driven, end: String, after: Time, there: Option<Time>, danger: bool) -> Self {
        let late = match there {
            Some(there) if there > after && danger => Some(format!("{} too late", there - after)),
            None if danger => Some("no safety boat known to get there".to_owned()),
            _ => None,
        };
        Self {
            driven: driven.describe(),
            end,
            after,
            there,
            late,
            danger,
        }
    }

    /// The whole of it but for what is wrong, in a line.
    pub(super) fn boat(&self) -> String {
        let Self {
            driven, end, after, ..
        } = self;
        let soonest = if self.danger { "" } else { " at the soonest" };
        let there = match self.there {
            Some(there) if there <= *after => {
                format!(
                    "; safety boat there after {there}, {} sooner",
                    *after - there
                )
            }
            Some(there) if self.danger => format!("; safety boat there after {there}"),
            Some(there) => format!(
                "; safety boat there after {there}, {} later",
                there - *after
            ),
            None if self.danger => String::new(),
            None => "; no safety boat known to get there".to_owned(),
        };
        format!("{driven}: {end} after {after}{soonest}{there}")
    }

    /// How much time is in hand once the safety boat is there, s; the less, the graver.
    fn in_hand(&self) -> f64 {
        let there = self.there.map_or(f64::INFINITY, Time::get);
        self.after.get() - there
    }
}

/// Where a boat adrift comes to, if it comes anywhere within a day, each in the wind that takes it
/// there.
pub(super) fn drifts(fan: &Fan) -> Vec<Drift> {
    let on_to = fan.on_to.as_ref().map(|one| {
        let end = format!("carried onto {}", shortened(&one.title, 60));
        Drift::new(&one.driven, end, one.after, one.fetched, true)
    });
    let ashore = fan.ashore.as_ref();
    let ashore = ashore.map(|one| {
        Drift::new(
            &one.driven,
            "ashore".to_owned(),
            one.after,
            one.fetched,
            false,
        )
    });
    on_to.into_iter().chain(ashore).collect()
}

/// The gravest of all drifts: a danger before the shore, the least time in hand first.
pub(super) fn gravest_drift(picture: &Picture) -> Option<Drift> {
    let all = picture.map.fans.iter().flat_map(drifts);
    all.min_by(|one, other| {
        let shore = (!one.danger).cmp(&!other.danger);
        let sooner = one.after.get().total_cmp(&other.after.get());
        shore
            .then(one.in_hand().total_cmp(&other.in_hand()))
            .then(sooner)
    })
}
