//! The link as it was, against the margin that the plan predicts.

use super::actual::ActualRun;
use super::thresholds::{FADE, LINK, STRETCH, UNSEEN};
use crate::picture::{AlongRoute, LinkAlong};
use crate::plan::Plan;
use crate::track::LinkQuality;
use crate::units::{Length, Level, Quantity, Ratio, Time, Typed as _};

/// Width of a row of the table, dB.
const ROW: f64 = 5.0;

/// What was recorded where the plan predicts a margin of so much.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Row {
    /// Least margin of the row.
    pub from: Level,
    /// Up to this one.
    pub to: Level,
    /// Fixes.
    pub count: usize,
    /// Their mean.
    pub mean: Quantity,
    /// The least of them.
    pub least: Quantity,
}

/// The stretch on which the link was worst.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Worst {
    /// For how long: half a minute, or up to the next figure after it.
    pub time: Time,
    /// Its mean.
    pub mean: Quantity,
    /// What the plan promises: the same power as it predicts, or a share that is common.
    pub due: Quantity,
    /// Margin that the plan predicts there, on average.
    pub margin: Level,
    /// Where along the route it begins.
    pub along: Length,
    /// Index of its first fix.
    pub(super) begins: usize,
    /// Whether the plan promises the margin that the policy asks for all along it.
    pub promised: bool,
}

impl Worst {
    /// Whether it is worse than the plan promises.
    #[must_use]
    pub(crate) fn too_bad(&self) -> bool {
        self.promised && self.mean.value < self.due.value
    }
}

/// A stretch without a figure where the plan promises its margin.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Silent {
    /// For how long.
    pub time: Time,
    /// Where along the route it begins.
    pub along: Length,
    /// Index of its first fix.
    pub(super) begins: usize,
}

/// The link of a run.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct LinkKept {
    /// Which link the figures are held against.
    pub link: &'static str,
    /// Whether a share was recorded, and not a power.
    pub share: bool,
    /// Fixes on the route with a figure.
    pub count: usize,
    /// Fixes on the route.
    pub of: usize,
    /// The longest stretch without one where the plan promises the margin that the policy asks for.
    pub silent: Option<Silent>,
    /// Correlation of what was recorded and what is predicted (Pearson); `None` where one of them
    /// does not vary.
    pub correlation: Option<f64>,
    /// By the margin that is predicted, least first.
    pub rows: Vec<Row>,
    /// The worst stretch.
    pub worst: Option<Worst>,
}

impl LinkKept {
    /// Share of the fixes on the route without a figure.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    pub(crate) fn missing(&self) -> Ratio {
        Ratio::fraction(1.0 - self.count as f64 / self.of.max(1) as f64)
    }

    /// Whether too much of it is missing for the rest to tell how it was. A recorder leaves out what
    /// a lost link does not bring (common practice, no source).
    #[must_use]
    pub(crate) fn too_little(&self) -> bool {
        let long = |silent: Silent| silent.time.get() >= STRETCH;
        self.missing().get() >= UNSEEN || self.silent.is_some_and(long)
    }
}

/// One fix.
struct One {
    index: usize,
    margin: f64,
    value: f64,
}

/// The link of a run; `None` where nothing was recorded of it, or nothing is predicted.
pub(super) fn link(plan: &Plan, along: &AlongRoute, actual: &ActualRun) -> Option<LinkKept> {
    let with_margin = |link: &&LinkAlong| !link.margin.is_empty();
    let mut links = along.links.iter().filter(with_margin);
    let held = links
        .clone()
        .find(|link| link.link == "control")
        .or_else(|| links.next())?;
    let run = actual.first()..=actual.last_on_route();
    let first = actual
        .fixes
        .get(run.clone())?
        .iter()
        .find_map(|fix| fix.sample.link)?;
    let share = matches!(first, LinkQuality::Share(_));
    let all: Vec<One> = run
        .clone()
        .filter_map(|index| {
            let fix = &actual.fixes[index];
            let value = match (fix.sample.link?, share) {
                (LinkQuality::Share(share), true) => share.get(),
                (LinkQuality::Received(level), false) => level.get(),
                _ => return None,
            };
            let margin = predicted(along, held, fix.on.along.get())?;
            Some(One {
                index,
                margin,
                value,
            })
        })
        .collect();
    if all.is_empty() {
        return None;
    }
    let sensitivity = plan
        .vessel
        .radios
        .iter()
        .find(|radio| radio.link.value.name() == held.link);
    let due = match (share, sensitivity) {
        (true, _) => LINK.limit.map(|limit| Due {
            base: limit.value,
            per: 0.0,
        }),
        (false, Some(radio)) => Some(Due {
            base: radio.sensitivity.value.get() - FADE,
            per: 1.0,
        }),
        (false, None) => None,
    };
    let asked = along.link_margin.map_or(0.0, Level::get);
    let as_recorded = |value: f64| {
        let dimension = if share {
            Ratio::DIMENSION
        } else {
            crate::units::PowerLevel::DIMENSION
        };
        Quantity::new(value, dimension)
    };
    Some(LinkKept {
        link: held.link,
        share,
        count: all.len(),
        of: run.clone().count(),
        silent: silent(actual, run, &all, |index| {
            predicted(along, held, actual.fixes[index].on.along.get())
                .is_some_and(|margin| margin >= asked)
        }),
        correlation: correlation(&all),
        rows: rows(&all, as_recorded),
        worst: due.and_then(|due| worst(actual, &all, due, asked, as_recorded)),
    })
}

/// What is due at a margin.
#[derive(Clone, Copy)]
struct Due {
    base: f64,
    per: f64,
}

/// The margin at a distance along the route, between the samples of the plan.
fn predicted(along: &AlongRoute, link: &LinkAlong, at: f64) -> Option<f64> {
    let next = along
        .distance
        .partition_point(|distance| distance.get() < at);
    let next = next.min(along.distance.len().checked_sub(1)?);
    let before = next.saturating_sub(1);
    let (a, b) = (along.distance[before].get(), along.distance[next].get());
    let (from, to) = (link.margin.get(before)?.get(), link.margin.get(next)?.get());
    let share = if b > a {
        ((at - a) / (b - a)).clamp(0.0, 1.0)
    } else {
        0.0
    };
    Some(from + share * (to - from))
}

#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
fn mean(values: impl Iterator<Item = f64> + Clone) -> f64 {
    values.clone().sum::<f64>() / values.count().max(1) as f64
}

fn correlation(all: &[One]) -> Option<f64> {
    let (x, y) = (
        mean(all.iter().map(|one| one.margin)),
        mean(all.iter().map(|one| one.value)),
    );
    let sum = |of: &dyn Fn(&One) -> f64| all.iter().map(of).sum::<f64>();
    let both = sum(&|one| (one.margin - x) * (one.value - y));
    let (xx, yy) = (
        sum(&|one| (one.margin - x).powi(2)),
        sum(&|one| (one.value - y).powi(2)),
    );
    (xx > 1e-9 && yy > 1e-9).then(|| both / (xx * yy).sqrt())
}

fn rows(all: &[One], as_recorded: impl Fn(f64) -> Quantity) -> Vec<Row> {
    let number = |one: &One| (one.margin / ROW).floor();
    let mut numbers: Vec<f64> = all.iter().map(number).collect();
    numbers.sort_by(f64::total_cmp);
    numbers.dedup_by(|a, b| (*a - *b).abs() < 0.5);
    let row = |row: f64| {
        let inside = || {
            all.iter()
                .filter(move |one| (number(one) - row).abs() < 0.5)
                .map(|one| one.value)
        };
        Row {
            from: Level::decibels(row * ROW),
            to: Level::decibels((row + 1.0) * ROW),
            count: inside().count(),
            mean: as_recorded(mean(inside())),
            least: as_recorded(inside().fold(f64::INFINITY, f64::min)),
        }
    };
    numbers.into_iter().map(row).collect()
}

/// The longest stretch of fixes without a figure and with a margin that is promised, up to the fix
/// that ends it.
fn silent(
    actual: &ActualRun,
    run: std::ops::RangeInclusive<usize>,
    all: &[One],
    promised: impl Fn(usize) -> bool,
) -> Option<Silent> {
    let mut figures = all.iter().map(|one| one.index).peekable();
    let (mut begins, mut longest) = (None::<usize>, None::<Silent>);
    for index in run {
        let known = figures.next_if_eq(&index).is_some();
        let out = !known && promised(index);
        let from = match (begins, out) {
            (None, false) => continue,
            (None, true) => {
                begins = Some(index);
                continue;
            }
            (Some(from), _) => from,
        };
        let fixes = &actual.fixes;
        let time = Time::seconds(actual.seconds(from, index));
        if longest.is_none_or(|held| time > held.time) {
            longest = Some(Silent {
                time,
                along: fixes[from].on.along,
                begins: from,
            });
        }
        if !out {
            begins = None;
        }
    }
    longest
}

/// The stretch of half a minute that is farthest below what is due; each is as long as it takes to
/// the next figure, and where there is less, it is all of it.
fn worst(
    actual: &ActualRun,
    all: &[One],
    due: Due,
    asked: f64,
    as_recorded: impl Fn(f64) -> Quantity,
) -> Option<Worst> {
    let mut worst: Option<(f64, Worst)> = None;
    let mut end = 0;
    let (mut value, mut margin, mut short) = (0.0, 0.0, 0_usize);
    for (begin, first) in all.iter().enumerate() {
        let time = |upto: usize| {
            let last = &all[upto.max(begin + 1) - 1];
            actual.seconds(first.index, last.index)
        };
        while end < all.len() && (end <= begin || time(end) < STRETCH) {
            value += all[end].value;
            margin += all[end].margin;
            short += usize::from(all[end].margin < asked);
            end += 1;
        }
        let seconds = time(end);
        // What is left at the end has been part of a stretch before.
        if seconds < STRETCH && begin > 0 {
            break;
        }
        #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
        let count = (end - begin) as f64;
        let promised = short == 0;
        let (mean, at) = (value / count, margin / count);
        let below = mean - (due.base + due.per * at);
        // What the plan promised comes before what it did not.
        let rank = below + if promised { 0.0 } else { 1e6 };
        if worst.is_none_or(|(held, _)| rank < held) {
            worst = Some((
                rank,
                Worst {
                    time: Time::seconds(seconds),
                    mean: as_recorded(mean),
                    due: as_recorded(due.base + due.per * at),
                    margin: Level::decibels(at),
                    along: actual.fixes[first.index].on.along,
                    begins: first.index,
                    promised,
                },
            ));
        }
        value -= first.value;
        margin -= first.margin;
        short -= usize::from(first.margin < asked);
    }
    worst.map(|(_, worst)| worst)
}
