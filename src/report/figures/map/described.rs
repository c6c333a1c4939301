//! The map in words, for whoever does not see it.

use crate::picture::{Comes, Picture};

/// The map in words.
pub(super) fn describe(picture: &Picture, of_run: bool) -> String {
    let (map, along) = (&picture.map, &picture.along);
    let length = along.distance.last().copied().unwrap_or_default();
    let mut all = vec![format!("North is up. The route is {length} long.")];
    for stop in map.stops.iter().take(12) {
        let track = stop
            .track
            .map_or_else(String::new, |track| format!(", {track}"));
        all.push(format!(
            "{} {}: {}{track}.",
            stop.number, stop.id, stop.length
        ));
    }
    if map.stops.len() > 12 {
        all.push(format!("And {} more.", map.stops.len() - 12));
    }
    all.push(format!(
        "The turnaround is {} along the route.",
        along.distance[along.turnaround]
    ));
    if let Some(at) = along.point_of_no_return {
        all.push(format!("The point of no return is {at} along it."));
    }
    for near in &map.nearest {
        let who = match near.by {
            Comes::Run => "run",
            Comes::Route => "route",
            Comes::Return => "return",
        };
        let keep = near.keep;
        let keep = keep.map_or_else(String::new, |keep| format!("; {keep} is to be kept"));
        all.push(match (near.crosses, of_run) {
            (true, true) => format!("The {who} crossed {}.", near.what),
            (true, false) => format!("The {who} crosses {}.", near.what),
            (false, true) => format!(
                "The {who} came within {} of {}{keep}.",
                near.distance, near.what
            ),
            (false, false) => format!(
                "The {who} comes within {} of {}{keep}.",
                near.distance, near.what
            ),
        });
    }
    for fan in &map.fans {
        if let Some(on_to) = &fan.on_to {
            all.push(format!(
                "Disabled at {}, a boat is carried onto {} after {} ({}).",
                fan.place(),
                on_to.title,
                on_to.after,
                on_to.driven.describe()
            ));
        }
        if let Some(one) = &fan.ashore {
            all.push(format!(
                "Disabled at {}, a boat comes ashore after {} at the soonest ({}).",
                fan.place(),
                one.after,
                one.driven.describe()
            ));
        }
    }
    for one in &map.beyond {
        all.push(format!(
            "Off the map, {} from the launch towards {}: {}.",
            one.away, one.bearing, one.name
        ));
    }
    if let Some(wind) = &picture.wind {
        all.push(format!(
            "The wind is from {} ± {}, {} sustained and {} in gusts.",
            wind.from, wind.spread, wind.sustained, wind.gust
        ));
    }
    all.join(" ")
}
