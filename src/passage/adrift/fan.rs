//! The fan of ways that a boat adrift may take from one place, for figures.

use super::drives;
use super::path::{End, Start, follow};
use super::recovery::Reach;
use crate::models::plane::Point;
use crate::passage::current::current_index;
use crate::passage::{NoPassage, Passage};
use crate::units::{Angle, Speed, Time};

/// One way of a boat adrift.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Drifted {
    /// The places where it bends, its start and its end.
    pub way: Vec<Point>,
    /// Time until its end.
    pub time: Time,
    /// Whether it ends on land.
    pub ashore: bool,
    /// Whether the site's currents run.
    pub current: bool,
    /// Index of the scenario whose wind drives it.
    pub scenario: usize,
    /// How far from downwind it is driven.
    pub off: Angle,
    /// Wind at 10 m that drives it.
    pub wind: Speed,
}

/// Time from the failure until the safety boat is at the end of a way from a sample: straight where no land
/// lies between, else by way of where the power was lost. `None` where there is no craft, or none that gets
/// there.
#[must_use]
pub(crate) fn craft_there(passage: &Passage<'_>, sample: usize, way: &[Point]) -> Option<Time> {
    let craft = passage.plan.mission.safety_boat.as_ref()?;
    let reach = Reach::new(passage, craft);
    let drifted = way.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let after = reach.after(sample, drifted).time;
    let straight = way.last().and_then(|end| reach.straight(*end));
    let time = straight.map_or(after, |straight| straight.time.min(after));
    time.is_finite().then(|| Time::seconds(time))
}

/// The ways from a sample of the route, in every wind of the set and 30° either side of downwind;
/// those without current first, each group in the order of the directions that they set off in.
///
/// # Errors
/// [`NoPassage`] where there is no wind to take.
pub(crate) fn fan<'p>(
    passage: &'p Passage<'_>,
    sample: usize,
) -> Result<Vec<Drifted>, &'p NoPassage> {
    let runs = passage.runs()?;
    let from = passage.track.samples[sample];
    let start = Start {
        at: from,
        afloat: passage.plan.site.shore.is_water(from),
        current: current_index(passage, from),
    };
    let middle = Point::towards(runs.scenarios.planned.towards());
    let mut all: Vec<(bool, f64, Drifted)> = Vec::new();
    for drive in drives(passage, &runs.scenarios) {
        // The gust carries farthest; weaker winds matter to what is met, and not to the fan.
        if drive.wind != runs.scenarios.gust_u10 {
            continue;
        }
        let found = follow(passage, start, drive.leeway, drive.current);
        let Some((end, time, _)) = found.last() else {
            continue;
        };
        let mut way: Vec<Point> = found.pieces.iter().map(|piece| piece.start).collect();
        way.push(end);
        let turn = middle.cross(drive.leeway).atan2(middle.dot(drive.leeway));
        let drifted = Drifted {
            way,
            time: Time::seconds(time),
            ashore: found.end == End::Ashore,
            current: drive.current,
            scenario: drive.scenario,
            off: drive.off,
            wind: drive.wind,
        };
        all.push((drive.current, turn, drifted));
    }
    all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    Ok(all.into_iter().map(|(_, _, drifted)| drifted).collect())
}
