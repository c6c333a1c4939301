//! Series along the route.

use super::Demands;
use crate::measures;
use crate::passage::coverage::{self, Served};
use crate::passage::depth;
use crate::passage::{NoPassage, Passage};
use crate::plan::mission::LinkUse;
use crate::units::{Energy, Length, Level, Ratio};

/// What there is at every sample of the route. Where nothing can be determined, a value is not there.
#[derive(Clone, PartialEq, Debug)]
pub struct AlongRoute {
    /// Distance along the route of each sample, the launch point first.
    pub distance: Vec<Length>,
    /// Energy left above empty, in the wind that is worst there.
    pub left: Vec<Option<Energy>>,
    /// Energy that the return leg takes from there, in the same wind.
    pub home: Vec<Option<Energy>>,
    /// Usable energy of a full battery.
    pub usable: Option<Energy>,
    /// The reserve that the policy asks for, as a share of it.
    pub reserve: Option<Ratio>,
    /// Where the route passes its waypoints.
    pub waypoints: Vec<Station>,
    /// Sample that lies farthest from the recovery point.
    pub turnaround: usize,
    /// Distance along the route from where the boat does not get home, where there is such a place.
    pub point_of_no_return: Option<Length>,
    /// Every link that the mission needs.
    pub links: Vec<LinkAlong>,
    /// The margin that the policy asks of them.
    pub link_margin: Option<Level>,
    /// Water under the keel on the step that leads to each sample, of what is known; the first is
    /// the launch point's own, and is not there.
    pub under_keel: Vec<Option<Length>>,
    /// Whether some of that step lies over unknown depth.
    pub depth_unknown: Vec<bool>,
    /// Why there is no water under the keel at all, where there is none.
    pub no_depth: Option<String>,
}

/// A waypoint on the way.
#[derive(Clone, PartialEq, Debug)]
pub struct Station {
    /// Its id.
    pub id: String,
    /// Its number on the map, the launch point being 0.
    pub number: usize,
    /// Sample at which it is reached.
    pub sample: usize,
}

/// The margin of one link.
#[derive(Clone, PartialEq, Debug)]
pub struct LinkAlong {
    /// Its name.
    pub link: &'static str,
    /// Margin at every sample; empty where it has none.
    pub margin: Vec<Level>,
    /// Station that serves the boat there, by its id.
    pub station: Vec<String>,
}

/// The series of a passage.
pub(super) fn along(passage: &Passage<'_>, asked: Demands) -> AlongRoute {
    let track = &passage.track;
    let figures = measures::figures(passage);
    let length = |name: &str| {
        let found = figures.iter().find(|(known, _)| *known == name);
        found.map(|(_, quantity)| Length::metres(quantity.value))
    };
    let turnaround = length("turnaround").map_or(0, |at| {
        let near = |along: &f64| (along - at.get()).abs();
        (0..track.along.len())
            .min_by(|a, b| near(&track.along[*a]).total_cmp(&near(&track.along[*b])))
            .expect("a route has a beginning")
    });
    let (left, home) = energy(passage);
    let steps = depth::along(passage);
    let no_depth = steps.as_ref().err().map(|why| match why {
        NoPassage::NoScenarios(_) => "there is no wind to raise a sea".to_owned(),
        NoPassage::TooMuch { .. } => "there is too much of it to compute".to_owned(),
    });
    let mut under_keel = vec![None];
    let mut depth_unknown = vec![false];
    for step in steps.into_iter().flatten() {
        under_keel.push(step.least.map(|least| least.under_keel));
        depth_unknown.push(step.unknown);
    }
    AlongRoute {
        distance: track.along.iter().map(|m| Length::metres(*m)).collect(),
        left,
        home,
        usable: passage
            .runs()
            .ok()
            .map(|runs| runs.boat.pack.usable_energy()),
        reserve: asked.reserve,
        waypoints: waypoints(passage),
        turnaround,
        point_of_no_return: length("point_of_no_return"),
        links: links(passage),
        link_margin: asked.link_margin,
        under_keel,
        depth_unknown,
        no_depth,
    }
}

/// At every sample the energy left and the energy home, in the run in which least is left over.
fn energy(passage: &Passage<'_>) -> (Vec<Option<Energy>>, Vec<Option<Energy>>) {
    let samples = passage.track.samples.len();
    let nothing = (vec![None; samples], vec![None; samples]);
    let Ok(runs) = passage.runs() else {
        return nothing;
    };
    let (mut left, mut home) = nothing;
    for sample in 0..samples {
        let mut worst: Option<(Energy, Energy)> = None;
        let mut all = true;
        for run in &runs.runs {
            let costs = run
                .samples
                .get(sample)
                .map(|here| (here, here.home.as_ref()));
            let Some((here, Ok(cost))) = costs else {
                all = false;
                continue;
            };
            let over = here.left - cost.energy;
            if worst.is_none_or(|(left, home)| over < left - home) {
                worst = Some((here.left, cost.energy));
            }
        }
        // A wind in which the boat does not get home is worse than any in which it does.
        if let Some((l, h)) = worst.filter(|_| all) {
            left[sample] = Some(l);
            home[sample] = Some(h);
        }
    }
    (left, home)
}

/// Where the route passes each entry: a survey where its last line ends.
pub(super) fn waypoints(passage: &Passage<'_>) -> Vec<Station> {
    let mut all: Vec<Station> = Vec::new();
    for (index, step) in passage.track.steps.iter().enumerate() {
        if !step.ends_leg {
            continue;
        }
        let id = &passage.plan.mission.legs[step.leg].id;
        match all.last_mut() {
            Some(last) if last.id == *id => last.sample = index + 1,
            _ => all.push(Station {
                id: id.clone(),
                number: all.len() + 1,
                sample: index + 1,
            }),
        }
    }
    all
}

fn links(passage: &Passage<'_>) -> Vec<LinkAlong> {
    let needed = passage.plan.mission.links.iter();
    let needed = needed.filter(|(_, usage)| usage.value == LinkUse::Needed);
    needed
        .map(|(link, _)| {
            let served: Vec<Served> = coverage::along(passage, *link).unwrap_or_default();
            let station = |one: &Served| passage.plan.site.stations[one.station].id.value.clone();
            LinkAlong {
                link: link.name(),
                margin: served
                    .iter()
                    .map(|one| Level::decibels(one.margin))
                    .collect(),
                station: served.iter().map(station).collect(),
            }
        })
        .collect()
}
