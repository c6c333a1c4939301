//! Puts together what is drawn on the map.

use super::Demands;
use super::along::waypoints;
use super::depths::depths;
use super::graticule::graticule;
use super::on_map::{
    Area, Ashore, Beyond, Comes, Coverage, Danger, Driven, Fan, Landmark, LegLine, Lines, Map,
    Near, OnTo, Stop, Way,
};
use super::view::{At, View, view};
use crate::measures;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::passage::adrift::{self, Drifted, Meeting, Peril, craft_there, fan};
use crate::passage::clearance::ClosestApproach;
use crate::passage::coverage::reach;
use crate::passage::links::azimuth;
use crate::passage::return_lines::returns_off_route;
use crate::plan::radio::Link;
use crate::plan::route::Leg;
use crate::plan::site::Form;
use crate::units::{Angle, Length, Speed};

/// Return legs that are drawn, and fans.
const MOST_WAYS: usize = 8;
const MOST_FANS: usize = 3;
/// Places nearer together than this are one, m.
const SAME: f64 = 50.0;

/// The map of a passage.
pub(super) fn map(passage: &Passage<'_>, asked: Demands) -> Map {
    let (plan, track) = (passage.plan, &passage.track);
    let (mission, site) = (&plan.mission, &plan.site);
    let figures = measures::figures(passage);
    let sample_at = |name: &str| {
        let along = figures.iter().find(|(known, _)| *known == name)?.1.value;
        let off = |sample: &usize| (track.along[*sample] - along).abs();
        (0..track.along.len()).min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let turnaround = sample_at("turnaround").unwrap_or(0);
    let mut all: Vec<Point> = track.samples.clone();
    all.extend(mission.return_points());
    let stations = stations(passage);
    let operator = mission.operator.as_ref().map(|operator| operator.at.value);
    all.extend(operator);
    let fans = fans(passage, turnaround);
    let drifted = fans.iter().flat_map(|fan| &fan.ways).flatten();
    let rests_on = rests_on(passage, &stations, &fans);
    let view = view(&all, drifted.copied(), rests_on.iter().map(|(_, at)| *at));
    let across =
        Length::metres((view.high.east - view.low.east).hypot(view.high.north - view.low.north));
    let coverage = asked
        .link_margin
        .and_then(|margin| reach(passage, Link::Control, margin.get(), across).ok());
    Map {
        view,
        shore: rings(site.shore.edges()),
        open: open(passage),
        depths: depths(passage, view),
        launch: mission.launch.at.value.into(),
        recovery: mission.recovery.at.value.into(),
        legs: mission
            .legs
            .iter()
            .map(|leg| LegLine {
                from: leg.from.into(),
                to: leg.to.into(),
                sounding: leg.sounding,
            })
            .collect(),
        stops: stops(passage),
        turnaround: track.samples[turnaround].into(),
        point_of_no_return: sample_at("point_of_no_return").map(|at| track.samples[at].into()),
        return_legs: return_legs(passage, turnaround),
        dangers: dangers(passage),
        areas: areas(passage),
        nearest: nearest(passage, asked),
        fans,
        stations,
        operator: operator.map(At::from),
        safety_boat: mission
            .safety_boat
            .as_ref()
            .map(|boat| boat.at.value.into()),
        beyond: beyond(mission.launch.at.value, rests_on, view),
        graticule: graticule(&site.plane, view),
        declination: site.declination,
        coverage: coverage
            .into_iter()
            .flatten()
            .map(|one| Coverage {
                station: site.stations[one.station].id.value.clone(),
                outline: places(&one.outline),
            })
            .collect(),
    }
}

/// What the verdict rests on wherever it is: what a boat adrift is carried onto, where the safety boat
/// waits, the stations in use.
fn rests_on(passage: &Passage<'_>, stations: &[Landmark], fans: &[Fan]) -> Vec<(String, At)> {
    let carried = fans.iter().filter_map(|fan| fan.on_to.as_ref());
    let carried = carried.map(|one| (one.title.clone(), one.at));
    let boat = passage.plan.mission.safety_boat.iter();
    let boat = boat.map(|boat| ("safety boat".to_owned(), boat.at.value.into()));
    let stations = stations.iter();
    let stations = stations.map(|one| (format!("station {}", one.name), one.at));
    carried.chain(boat).chain(stations).collect()
}

/// What of that lies past the edge, as far as it is from the launch point.
fn beyond(launch: Point, rests_on: Vec<(String, At)>, view: View) -> Vec<Beyond> {
    let outside = rests_on.into_iter().filter(|(_, at)| !view.holds(*at));
    let mut all: Vec<Beyond> = Vec::new();
    for (name, at) in outside {
        let there = Point::new(at.east, at.north);
        if all.iter().all(|one| one.name != name) {
            all.push(Beyond {
                name,
                at,
                away: Length::metres(launch.distance(there)),
                bearing: launch.bearing_to(there),
            });
        }
    }
    all
}

fn places(points: &[Point]) -> Vec<At> {
    points.iter().map(|point| (*point).into()).collect()
}

/// Edges joined where one begins at the other's end.
fn rings(edges: &[Segment]) -> Vec<Vec<At>> {
    let mut rings: Vec<Vec<At>> = Vec::new();
    let mut ring: Vec<At> = Vec::new();
    let mut end: Option<Point> = None;
    for edge in edges {
        if end != Some(edge.a) && !ring.is_empty() {
            rings.push(std::mem::take(&mut ring));
        }
        ring.push(edge.a.into());
        end = Some(edge.b);
    }
    if !ring.is_empty() {
        rings.push(ring);
    }
    rings
}

/// The open edges of the shoreline, each row of them as a line.
fn open(passage: &Passage<'_>) -> Vec<Vec<At>> {
    let edges = passage.plan.site.shore.edges();
    let rows = passage.plan.site.edges.open.iter();
    rows.map(|row| {
        let mut all = row.edges.iter().filter_map(|edge| edges.get(*edge));
        let mut line: Vec<At> = all.clone().map(|edge| edge.a.into()).collect();
        line.extend(all.next_back().map(|edge| At::from(edge.b)));
        line
    })
    .collect()
}

fn stops(passage: &Passage<'_>) -> Vec<Stop> {
    let mission = &passage.plan.mission;
    let track = &passage.track;
    let mut before = 0;
    waypoints(passage)
        .into_iter()
        .map(|station| {
            let legs: Vec<_> = mission
                .legs
                .iter()
                .filter(|leg| leg.id == station.id)
                .collect();
            let speeds = legs.iter().map(|leg| leg.speed());
            let step = track.steps.get(station.sample.saturating_sub(1));
            let leg = step.map(|step| &mission.legs[step.leg]);
            let stop = Stop {
                number: station.number,
                at: track.samples[station.sample].into(),
                track: match (leg, legs.len()) {
                    (Some(leg), 1) => Some(leg.from.bearing_to(leg.to)),
                    _ => None,
                },
                lines: lines(&legs),
                length: Length::metres(track.along[station.sample] - track.along[before]),
                slowest: speeds.clone().reduce(Speed::min).unwrap_or_default(),
                fastest: speeds.reduce(Speed::max).unwrap_or_default(),
                id: station.id,
            };
            before = station.sample;
            stop
        })
        .collect()
}

fn lines(legs: &[&Leg]) -> Option<Lines> {
    let mut sounding = legs.iter().filter(|leg| leg.sounding);
    let count = sounding.clone().count();
    let first = sounding.next()?;
    Some(Lines {
        from: first.from.into(),
        first: first.from.bearing_to(first.to),
        count,
    })
}

/// The return legs from the turnaround and from the waypoints, where a contingency takes them.
fn return_legs(passage: &Passage<'_>, turnaround: usize) -> Vec<Way> {
    let mission = &passage.plan.mission;
    let home = mission.recovery.at.value;
    if !returns_off_route(passage.plan) {
        return Vec::new();
    }
    let mut from: Vec<usize> = vec![turnaround];
    from.extend(waypoints(passage).into_iter().map(|station| station.sample));
    let mut taken: Vec<Point> = Vec::new();
    for sample in from {
        let at = passage.track.samples[sample];
        let near = taken.iter().any(|held| held.distance(at) < SAME);
        if at.distance(home) > SAME && !near && taken.len() < MOST_WAYS {
            taken.push(at);
        }
    }
    let return_points = mission.return_points();
    let way = |at: Point| Way {
        places: places(&[&[at], return_points.as_slice()].concat()),
    };
    taken.into_iter().map(way).collect()
}

fn dangers(passage: &Passage<'_>) -> Vec<Danger> {
    let hazards = passage.plan.site.hazards.iter();
    hazards
        .map(|hazard| {
            let (form, closed) = match &hazard.form {
                Form::Point(point) => (places(&[*point]), false),
                Form::Line(line) => (places(line), false),
                Form::Area(area) => (places(area.exterior()), true),
            };
            Danger {
                title: hazard.title.clone(),
                kind: hazard.kind.value.word(),
                form,
                closed,
                clearance: hazard.clearance.value,
            }
        })
        .collect()
}

fn areas(passage: &Passage<'_>) -> Vec<Area> {
    let closed = measures::closed_areas(passage);
    let areas = passage.plan.site.keep_out.iter().enumerate();
    areas
        .map(|(index, area)| Area {
            title: area.title.clone(),
            outline: places(area.outline.exterior()),
            closed: closed.get(index).copied().unwrap_or(true),
        })
        .collect()
}

fn nearest(passage: &Passage<'_>, asked: Demands) -> Vec<Near> {
    let found = passage.clearances();
    let near = |what: String, near: &ClosestApproach, asked: Option<Length>| Near {
        what,
        at: near.at.into(),
        distance: Length::metres(near.distance),
        keep: asked.map(|asked| Length::metres(near.distance - near.clearance) + asked),
        by: if near.part.is_return() {
            Comes::Return
        } else {
            Comes::Route
        },
        crosses: near.distance <= 0.0,
    };
    let land = found
        .land
        .as_ref()
        .map(|one| near("land".to_owned(), one, asked.from_land));
    let hazard = found.hazard().map(|(index, one)| {
        let hazard = &passage.plan.site.hazards[index];
        near(hazard.title.clone(), one, asked.from_hazards)
    });
    land.into_iter().chain(hazard).collect()
}

/// Fans from where a boat adrift has least time, and from the turnaround.
fn fans(passage: &Passage<'_>, turnaround: usize) -> Vec<Fan> {
    let mut from: Vec<(Option<OnTo>, usize)> = Vec::new();
    for peril in [Peril::Weir, Peril::Closed] {
        let adrift = passage.adrift(peril).ok();
        let worst = adrift.and_then(|adrift| adrift.met.worst.as_ref());
        from.extend(worst.map(|meeting| (on_to(passage, meeting), meeting.sample)));
    }
    from.push((None, turnaround));
    let mut fans: Vec<Fan> = Vec::new();
    for (on_to, sample) in from {
        let at: At = passage.track.samples[sample].into();
        let near = |fan: &Fan| (fan.at.east - at.east).hypot(fan.at.north - at.north) < SAME;
        if fans.len() >= MOST_FANS || fans.iter().any(near) {
            continue;
        }
        let Ok(ways) = fan(passage, sample) else {
            continue;
        };
        let ashore = |ways: &[Drifted]| {
            let ends = ways.iter().filter(|way| way.ashore);
            let first = ends.min_by(|a, b| a.time.get().total_cmp(&b.time.get()))?;
            let driven = driven(passage, first.scenario, first.wind, first.off)?;
            Some(Ashore {
                after: first.time,
                driven,
                fetched: craft_there(passage, sample, &first.way),
            })
        };
        fans.push(Fan {
            at,
            along: Length::metres(passage.track.along[sample]),
            turnaround: sample == turnaround,
            on_to,
            ashore: ashore(&ways),
            ways: ways.iter().map(|way| places(&way.way)).collect(),
        });
    }
    fans
}

fn on_to(passage: &Passage<'_>, meeting: &Meeting) -> Option<OnTo> {
    let site = &passage.plan.site;
    let title = match meeting.on_to {
        adrift::OnTo::Hazard(index) => site.hazards.get(index)?.title.clone(),
        adrift::OnTo::KeepOut(index) => site.keep_out.get(index)?.title.clone(),
        adrift::OnTo::Land | adrift::OnTo::Open(_) => return None,
    };
    let driven = driven(passage, meeting.scenario, meeting.wind, meeting.off)?;
    let fetched = meeting.fetched.as_ref().map(|fetched| fetched.time);
    Some(OnTo {
        title,
        at: meeting.at.into(),
        after: meeting.time,
        driven,
        fetched: fetched.filter(|time| time.get().is_finite()),
    })
}

fn driven(passage: &Passage<'_>, scenario: usize, wind: Speed, off: Angle) -> Option<Driven> {
    let scenario = passage.scenarios().ok()?.all.get(scenario)?;
    Some(Driven {
        from: scenario.from,
        wind,
        off,
        current: scenario.current,
    })
}

fn stations(passage: &Passage<'_>) -> Vec<Landmark> {
    let mut all = Vec::new();
    let stations = passage.plan.site.stations.iter().enumerate();
    let in_use = stations.filter(|(index, _)| passage.plan.mission.uses_station(*index));
    for (index, station) in in_use {
        let radio = station
            .radios
            .iter()
            .find(|radio| radio.link.value == Link::Control);
        let beam = radio.and_then(|radio| {
            let width = radio.antenna.beamwidth.as_ref().map(|width| width.value);
            azimuth(passage, index, radio).zip(width)
        });
        all.push(Landmark {
            name: station.id.value.clone(),
            at: station.at.into(),
            beam,
        });
    }
    all
}
