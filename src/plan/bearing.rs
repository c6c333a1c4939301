//! Which files may bear on missions, as far as their lines tell it without parsing them.

use std::collections::{BTreeMap, BTreeSet};

use jiff::tz::TimeZone;

use super::boats::boat_of;
use super::gathered::{FileOfKind, Gathered};
use super::heading::Heading;
use super::out::Out;
use super::record_heading::RecordHeading;
use crate::document::Node;
use crate::schema::Kind;

/// What a text is, of which its lines tell that.
#[derive(Clone, Debug)]
pub(super) enum Headed {
    /// A mission.
    Mission(Heading),
    /// The record of a decision on a launch, or of a run: it bears on no plan.
    Record(RecordHeading),
}

impl Headed {
    /// What a text is; `None` where only parsing it can tell.
    #[must_use]
    pub(super) fn parse(text: &str) -> Option<Self> {
        let mission = Heading::parse(text).map(Self::Mission);
        mission.or_else(|| RecordHeading::parse(text).map(Self::Record))
    }
}

/// What missions need of another one for it to bear on them: it has the id of one, or may have the same boat out at
/// the same time. One that any mission repeats which was parsed bears on them as well: what that one is about is not
/// known without it.
pub(super) struct Bearing<'a> {
    /// The missions by their ids, and those that are repeated.
    named: BTreeSet<&'a str>,
    /// When boats are out, so far as that is told; the boat `None` is one that cannot be determined.
    out: BTreeMap<Option<String>, Vec<Option<Out>>>,
    boats: Boats<'a>,
    zones: BTreeMap<&'a str, Option<TimeZone>>,
}

impl<'a> Bearing<'a> {
    /// What bears on missions that were parsed, among the files that were.
    #[must_use]
    pub(super) fn on(missions: &[&'a FileOfKind], gathered: &'a Gathered) -> Self {
        let (boats, zones) = (Boats::of(gathered), zones(gathered));
        let parsed = gathered.of_kind(Kind::Mission);
        let mut named: BTreeSet<&str> = parsed.filter_map(|file| file.named("repeats")).collect();
        let mut out: BTreeMap<_, Vec<_>> = BTreeMap::new();
        for file in missions {
            let repeats = file.named("repeats");
            named.extend(file.id.as_ref().map(|(id, _)| id.as_str()));
            // Without the one that it repeats, which is parsed next, its times are not known.
            if repeats.is_none() || file.repeats.is_some() {
                let boat = file.named("vessel").and_then(|id| boats.boat(id));
                let time = file.whole().get("launch").and_then(Out::from_node);
                let zone = file.named("site").and_then(|id| zones.get(id)?.as_ref());
                let time = time.map(|time| time.in_zone(zone));
                out.entry(boat).or_default().push(time);
            }
        }
        Self {
            named,
            out,
            boats,
            zones,
        }
    }

    /// Whether a mission does, or cannot be determined not to.
    #[must_use]
    pub(super) fn is_it(&self, other: &Heading) -> bool {
        if self.named.contains(other.id.as_str()) {
            return true;
        }
        let zone = self.zones.get(other.site.as_str()).and_then(Option::as_ref);
        let time = other.out.map(|out| out.in_zone(zone));
        let meets = |times: &Vec<Option<Out>>| {
            let mut times = times.iter();
            times.any(|one| {
                let both = one.as_ref().zip(time.as_ref());
                both.is_none_or(|(one, other)| one.may_meet(other))
            })
        };
        match self.boats.boat(&other.vessel) {
            None => self.out.values().any(meets),
            boat => {
                let same = [None, boat];
                same.iter()
                    .any(|boat| self.out.get(boat).is_some_and(meets))
            }
        }
    }
}

/// The time zones of the sites, as their files state them; none of one that is not sound, or there twice.
fn zones(gathered: &Gathered) -> BTreeMap<&str, Option<TimeZone>> {
    let mut zones = BTreeMap::new();
    for file in gathered.of_kind(Kind::Site) {
        let name = file.document.root.get("time_zone").and_then(Node::as_text);
        let zone = name.filter(|_| file.sound);
        let zone = zone.and_then(|name| TimeZone::get(name).ok());
        if let Some((id, _)) = &file.id {
            let twice = zones.contains_key(id.as_str());
            zones.insert(id.as_str(), zone.filter(|_| !twice));
        }
    }
    zones
}

/// Which vessels are one boat, by what their files say before anything is made of them.
struct Boats<'a>(BTreeMap<&'a str, Option<&'a str>>);

impl<'a> Boats<'a> {
    fn of(gathered: &'a Gathered) -> Self {
        let mut said = BTreeMap::new();
        for file in gathered.of_kind(Kind::Vessel) {
            let root = &file.document.root;
            let calibrated = || root.get("calibration")?.get("from")?.get("vessel");
            let of = root.get("boat").or_else(calibrated);
            if let Some((id, _)) = &file.id {
                said.insert(id.as_str(), of.and_then(Node::as_text));
            }
        }
        Self(said)
    }

    /// The boat of a vessel; `None` where no file says what that is.
    fn boat(&self, vessel: &str) -> Option<String> {
        let said = |id: &str| {
            let of = self.0.get(id).copied().flatten()?;
            (of != id).then(|| of.to_owned())
        };
        self.0.contains_key(vessel).then(|| boat_of(vessel, said))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::gather::Reader;
    use crate::source::{MemoryTree, Sources};

    fn mission(id: &str, vessel: &str, day: u8) -> String {
        format!(
            "kind: mission\nformat: 1\nid: {id}\nvessel: {vessel}\nsite: lake\nlaunch: {{ time: \
             2027-06-{day:02}T09:30, latest_return: 2027-06-{day:02}T19:30 }}\n"
        )
    }

    fn vessel(id: &str, says: &str) -> String {
        format!("kind: vessel\nformat: 1\nid: {id}\n{says}")
    }

    /// Which of other missions bear on one of `teal-2` on the 15th.
    fn bearing(others: &[(&str, &str, u8)], site: Option<&str>) -> Vec<bool> {
        let mut tree = MemoryTree::default();
        if let Some(text) = site {
            tree.put("site.yaml", text);
        }
        let from = "calibration: { from: { vessel: teal } }\n";
        let vessels = [
            ("teal", ""),
            ("teal-2", from),
            ("coot", ""),
            ("grebe", "boat: teal\n"),
        ];
        for (id, says) in vessels {
            tree.put(format!("vessels/{id}.yaml"), vessel(id, says));
        }
        tree.put("one.yaml", mission("one", "teal-2", 15));
        let mut reader = Reader::new(Sources::new());
        let gathered = reader.gather(&tree, None).expect("a listing");
        let missions: Vec<&FileOfKind> = gathered.of_kind(Kind::Mission).collect();
        let on = Bearing::on(&missions, &gathered);
        let heading = |(id, vessel, day): &(&str, &str, u8)| {
            Heading::parse(&mission(id, vessel, *day)).expect("plain lines")
        };
        others.iter().map(|one| on.is_it(&heading(one))).collect()
    }

    #[test]
    fn a_mission_bears_on_another_of_the_same_boat_at_the_same_time() {
        let others = [
            ("other", "teal", 15),
            ("other", "teal-2", 16),
            ("other", "grebe", 15),
            ("other", "teal", 25),
            ("other", "coot", 15),
            // A vessel that no file is of may be any.
            ("other", "smew", 15),
            ("other", "smew", 25),
            ("one", "coot", 25),
        ];
        let expected = [true, true, true, false, false, true, false, true];
        assert_eq!(bearing(&others, None), expected);
    }

    #[test]
    fn the_time_zone_of_a_site_tells_days_apart() {
        let site = include_str!("../../plans/site/quenderby.yaml");
        let site = site.replace("\nid: quenderby\n", "\nid: lake\n");
        let others = [
            ("other", "teal", 15),
            ("other", "teal", 16),
            ("other", "teal", 25),
        ];
        assert_eq!(bearing(&others, None), [true, true, false]);
        assert_eq!(bearing(&others, Some(&site)), [true, false, false]);
        let unsound = site.replace("\ntime_zone:", "\nno_such_key: 1\ntime_zone:");
        assert_eq!(bearing(&others, Some(&unsound)), [true, true, false]);
    }
}
