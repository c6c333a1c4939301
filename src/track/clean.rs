//! Taking out of a track what cannot be, and splitting it where it breaks off. Each is counted.

use super::{Sample, Track, seconds};
use crate::models::geodesy::inverse;
use crate::units::{Length, Speed, Time};

/// What is taken for impossible, and for a break. The defaults are our own proposal.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Cleaning {
    /// Longest time between two fixes of one piece; more is a gap. 10 s.
    pub gap: Time,
    /// Time between two fixes from which on the clock is taken to have been set forward. 12 h.
    pub set_forward: Time,
    /// Speed over ground that the boat cannot have.
    pub fastest: Speed,
    /// How far two fixes may lie apart by their error alone. 10 m.
    pub error: Length,
    /// So many fixes that fit one another, and none before, are where the boat is. 5.
    pub confirmed: usize,
}

/// Longest time between two fixes that is no gap, whatever the rate of a track, s.
const MOST_GAP: f64 = 60.0;

impl Cleaning {
    /// The defaults for a boat that is never faster than this over ground.
    #[must_use]
    pub fn for_top_speed(fastest: Speed) -> Self {
        Self {
            gap: Time::seconds(10.0),
            set_forward: Time::seconds(12.0 * 3600.0),
            fastest,
            error: Length::metres(10.0),
            confirmed: 5,
        }
    }

    /// The same for a track of any rate: what is a gap follows from the middle interval between its
    /// fixes, twice that, but never more than a minute, in which too much can happen unseen.
    #[must_use]
    pub fn at_rate_of(mut self, samples: &[Sample]) -> Self {
        let mut steps: Vec<f64> = samples
            .windows(2)
            .map(|pair| seconds(pair[0].time, pair[1].time))
            .filter(|step| *step > 0.0)
            .collect();
        steps.sort_by(f64::total_cmp);
        if let Some(middle) = steps.get(steps.len() / 2) {
            let gap = Time::seconds((2.0 * middle).min(MOST_GAP));
            self.gap = self.gap.max(gap);
        }
        self
    }
}

/// How often each thing was found.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Counts {
    /// Fixes taken out: the same time and place as the one before.
    pub duplicates: usize,
    /// Fixes taken out: the time of the one before at another place.
    pub same_time: usize,
    /// Fixes taken out: a time before that of the one before, while the next goes on from that.
    pub late: usize,
    /// Fixes taken out: places that the boat cannot have been at.
    pub spikes: usize,
    /// Fixes taken out: alone between two breaks, so that nothing follows from them.
    pub alone: usize,
    /// Splits: no fix for longer than a gap.
    pub gaps: usize,
    /// Splits: the clock was set back.
    pub set_back: usize,
    /// Splits: the clock was set forward, or nothing was recorded for as long.
    pub set_forward: usize,
    /// Splits: the boat was somewhere else, and stayed there.
    pub elsewhere: usize,
}

impl Counts {
    /// Fixes that were taken out.
    #[must_use]
    pub fn taken_out(&self) -> usize {
        self.duplicates + self.same_time + self.late + self.spikes + self.alone
    }

    /// What was found, in words; nothing where nothing was.
    #[must_use]
    pub fn describe(&self) -> Vec<String> {
        let all = [
            (self.duplicates, "a fix recorded twice, removed"),
            (
                self.same_time,
                "two positions at one time, the second removed",
            ),
            (self.late, "a late fix, removed"),
            (self.spikes, "a position out of the boat's reach, removed"),
            (self.alone, "a lone fix between two gaps, removed"),
            (
                self.gaps,
                "a gap in the fixes, the track in two pieces there",
            ),
            (self.set_back, "the clock set back, split there"),
            (self.set_forward, "the clock set forward, split there"),
            (self.elsewhere, "the boat suddenly elsewhere, split there"),
        ];
        let found = all.into_iter().filter(|(count, _)| *count > 0);
        found
            .map(|(count, what)| format!("{count} × {what}"))
            .collect()
    }
}

/// A track in pieces, each of which goes on without a break, of two samples or more.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Cleaned {
    /// The pieces in the order of the file.
    pub pieces: Vec<Vec<Sample>>,
    /// What was taken out and where it was split.
    pub counts: Counts,
}

/// Cleans a track.
#[must_use]
pub fn clean(track: &Track, cleaning: &Cleaning) -> Cleaned {
    let mut cleaned = Cleaned::default();
    for piece in by_time(&track.samples, cleaning, &mut cleaned.counts) {
        by_place(&piece, cleaning, &mut cleaned);
    }
    let alone = |piece: &Vec<Sample>| piece.len() < 2;
    cleaned.counts.alone = cleaned.pieces.iter().filter(|piece| alone(piece)).count();
    cleaned.pieces.retain(|piece| !alone(piece));
    cleaned
}

/// Pieces in which the time only grows, by no more than a gap.
fn by_time(samples: &[Sample], cleaning: &Cleaning, counts: &mut Counts) -> Vec<Vec<Sample>> {
    let mut pieces: Vec<Vec<Sample>> = vec![Vec::new()];
    for (index, sample) in samples.iter().enumerate() {
        let last = pieces.last().and_then(|piece| piece.last()).copied();
        let Some(last) = last else {
            pieces[0].push(*sample);
            continue;
        };
        let step = seconds(last.time, sample.time);
        let split = if sample.time == last.time {
            let apart = inverse(last.position, sample.position).distance;
            if apart < Length::metres(0.001) {
                counts.duplicates += 1;
            } else {
                counts.same_time += 1;
            }
            continue;
        } else if step < 0.0 {
            let next = samples.get(index + 1);
            if next.is_some_and(|next| next.time > last.time) {
                counts.late += 1;
                continue;
            }
            counts.set_back += 1;
            true
        } else if step >= cleaning.set_forward.get() {
            counts.set_forward += 1;
            true
        } else if step > cleaning.gap.get() {
            counts.gaps += 1;
            true
        } else {
            false
        };
        if split {
            pieces.push(Vec::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(*sample);
        }
    }
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

/// Takes out places that the boat cannot have come to. So many that fit one another are believed:
/// then the boat is there, and it was the fixes before that were off, or the boat was carried.
fn by_place(piece: &[Sample], cleaning: &Cleaning, cleaned: &mut Cleaned) {
    let reached = |from: &Sample, to: &Sample| {
        let apart = inverse(from.position, to.position).distance;
        apart <= cleaning.error + cleaning.fastest * Time::seconds(seconds(from.time, to.time))
    };
    let mut kept: Vec<Sample> = Vec::new();
    let mut doubted: Vec<Sample> = Vec::new();
    for sample in piece {
        if kept.last().is_none_or(|last| reached(last, sample)) {
            cleaned.counts.spikes += doubted.len();
            doubted.clear();
            kept.push(*sample);
            continue;
        }
        if doubted.last().is_some_and(|last| !reached(last, sample)) {
            cleaned.counts.spikes += doubted.len();
            doubted.clear();
        }
        doubted.push(*sample);
        if doubted.len() >= cleaning.confirmed {
            cleaned.counts.elsewhere += 1;
            cleaned.pieces.push(std::mem::take(&mut kept));
            kept = std::mem::take(&mut doubted);
        }
    }
    cleaned.counts.spikes += doubted.len();
    cleaned.pieces.push(kept);
}
