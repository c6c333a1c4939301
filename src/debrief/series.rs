//! What the charts and the map of a debrief show.

use super::actual::ActualRun;
use super::planned::Planned;
use super::sums::Mark;
use crate::picture::At;
use crate::picture::Picture;
use crate::plan::Plan;
use crate::track::LinkQuality;

/// Most points of a line that is drawn.
const MOST: usize = 4000;
/// Least way between two places of a speed, m: shorter ones are error more than speed.
const STEP: f64 = 15.0;

/// Lines against the distance along the route in metres; and the track.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Series {
    /// Energy above empty as planned, J.
    pub left_planned: Vec<(f64, f64)>,
    /// The same as it was, from what was planned at the launch on.
    pub left_actual: Vec<(f64, f64)>,
    /// Speed over ground as planned, m/s.
    pub speed_planned: Vec<(f64, f64)>,
    /// As it was.
    pub speed_actual: Vec<(f64, f64)>,
    /// Distance off the leg, m, positive to the right.
    pub cross: Vec<(f64, f64)>,
    /// Depth by the site's soundings and level, m.
    pub depth_charted: Vec<(f64, f64)>,
    /// As it was sounded.
    pub depth_sounded: Vec<(f64, f64)>,
    /// Power received as predicted, dBm; nothing where a share was recorded.
    pub link_predicted: Vec<(f64, f64)>,
    /// What was recorded of the link: dBm, or a share in per cent.
    pub link_actual: Vec<(f64, f64)>,
    /// Whether that is a share.
    pub link_is_share: bool,
    /// The track in its pieces, on the map.
    pub pieces: Vec<Vec<At>>,
    /// Where the run was left, on the map.
    pub left: Option<At>,
    /// Where the track ends.
    pub end: Option<At>,
}

/// Every so many of some, so that a line stays short.
fn every(count: usize) -> usize {
    count.div_ceil(MOST).max(1)
}

pub(super) fn series(
    plan: &Plan,
    picture: &Picture,
    actual: &ActualRun,
    planned: Option<&Planned<'_>>,
) -> Series {
    let mut series = Series::default();
    let run = actual.first()..=actual.last_on_route();
    let indices: Vec<usize> = run.clone().step_by(every(actual.fixes.len())).collect();
    let along = |index: usize| actual.fixes[index].on.along.get();
    if let Some(planned) = planned {
        series.left_planned = planned.left();
        series.speed_planned = speeds(plan, actual, planned);
        let whole = actual.between(Mark::at(actual.first()), Mark::at(actual.last_on_route()));
        let known = actual.powered && actual.begun.is_some() && !whole.broken;
        if let Some(charged) = planned.charged().filter(|_| known) {
            let used = |index: usize| {
                actual
                    .between(Mark::at(actual.first()), Mark::at(index))
                    .energy
            };
            series.left_actual = indices
                .iter()
                .map(|index| (along(*index), charged.get() - used(*index)))
                .collect();
        }
    }
    series.cross = indices
        .iter()
        .map(|index| (along(*index), actual.fixes[*index].on.cross.get()))
        .collect();
    series.speed_actual = made(actual, &indices);
    depths(&mut series, plan, actual, &indices);
    link(&mut series, plan, picture, actual, &indices);
    let step = every(actual.fixes.len());
    for (index, fix) in actual.fixes.iter().enumerate() {
        let new = index == 0 || actual.fixes[index - 1].piece != fix.piece;
        if new {
            series.pieces.push(Vec::new());
        }
        let ends = actual
            .fixes
            .get(index + 1)
            .is_none_or(|next| next.piece != fix.piece);
        if let Some(piece) = series.pieces.last_mut()
            && (new || ends || index % step == 0)
        {
            piece.push(At::from(fix.at));
        }
    }
    series.left = actual
        .left
        .map(|(_, index)| At::from(actual.fixes[index].at));
    series.end = actual.fixes.last().map(|fix| At::from(fix.at));
    series
}

/// Planned speed on each leg, as steps.
fn speeds(plan: &Plan, actual: &ActualRun, planned: &Planned<'_>) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    for leg in 0..plan.mission.legs.len() {
        let (from, to) = (actual.begins(leg), actual.ends[leg]);
        if let Some(stretch) = planned.between(from, to) {
            let speed = (stretch.length / stretch.time.planned).get();
            all.extend([(from, speed), (to, speed)]);
        }
    }
    all
}

/// Speed from place to place.
fn made(actual: &ActualRun, indices: &[usize]) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    let Some(mut from) = indices.first().copied() else {
        return all;
    };
    for index in indices {
        let (a, b) = (&actual.fixes[from], &actual.fixes[*index]);
        if a.piece != b.piece {
            all.push((b.on.along.get(), f64::NAN));
            from = *index;
            continue;
        }
        let between = actual.between(Mark::at(from), Mark::at(*index));
        if between.path >= STEP && between.time > 0.0 {
            all.push((b.on.along.get(), between.path / between.time));
            from = *index;
        }
    }
    all
}

fn depths(series: &mut Series, plan: &Plan, actual: &ActualRun, indices: &[usize]) {
    let site = &plan.site.depths;
    for index in indices {
        let fix = &actual.fixes[*index];
        let Some(depth) = fix.sample.depth.filter(|depth| depth.get() > 0.0) else {
            continue;
        };
        series.depth_sounded.push((fix.on.along.get(), depth.get()));
        let charted = match (&site.soundings, &site.level) {
            (Some(soundings), Some(level)) => soundings
                .bed
                .depth_at(fix.at)
                .map(|depth| depth + level.above_datum.value),
            _ => None,
        };
        let charted = charted.map_or(f64::NAN, |depth| depth.get());
        series.depth_charted.push((fix.on.along.get(), charted));
    }
}

fn link(
    series: &mut Series,
    plan: &Plan,
    picture: &Picture,
    actual: &ActualRun,
    indices: &[usize],
) {
    for index in indices {
        let fix = &actual.fixes[*index];
        let (value, share) = match fix.sample.link {
            Some(LinkQuality::Share(share)) => (share.get() * 100.0, true),
            Some(LinkQuality::Received(level)) => (level.get(), false),
            None => continue,
        };
        series.link_is_share = share;
        series.link_actual.push((fix.on.along.get(), value));
    }
    if series.link_is_share || series.link_actual.is_empty() {
        return;
    }
    let links = &picture.along.links;
    let held = links
        .iter()
        .find(|link| link.link == "control")
        .or_else(|| links.first());
    let Some(held) = held else {
        return;
    };
    let radio = plan
        .vessel
        .radios
        .iter()
        .find(|radio| radio.link.value.name() == held.link);
    if let Some(radio) = radio {
        let sensitivity = radio.sensitivity.value.get();
        let each = picture.along.distance.iter().zip(&held.margin);
        series.link_predicted = each
            .map(|(at, margin)| (at.get(), sensitivity + margin.get()))
            .collect();
    }
}
