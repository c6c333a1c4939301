//! A mission begun from a route. What the route's file cannot say is left empty, which a check
//! refuses on its line: a gap is never judged as if something stood there.

use std::fmt::Write as _;

use super::names::{Ids, fitted};
use super::read::{Found, Named};
use crate::schema::Kind;
use crate::schema::skeleton::{Settled, skeleton_under};
use crate::source::printable_line;
use crate::units::decimal_degrees;
use crate::yaml::Yaml;

/// Most waypoints of a mission, as its schema has it.
pub const MOST_WAYPOINTS: usize = 500;

/// Longest text of others that a comment shows, in characters.
const LONGEST: usize = 80;

/// What a mission is begun with.
#[derive(Clone, Copy, Debug)]
pub struct Skeleton<'a> {
    /// Id of the mission.
    pub id: &'a str,
    /// Id of the vessel.
    pub vessel: &'a str,
    /// Id of the site.
    pub site: &'a str,
    /// Name of the file that the route came from.
    pub file: &'a str,
}

/// The text of a mission file, with how many fields it leaves open.
///
/// # Errors
/// As [`skeleton_beside`].
pub fn skeleton(begun: &Skeleton<'_>, found: &Found) -> Result<(String, usize), String> {
    skeleton_beside(begun, found, &|_| None)
}

/// The same where other files settle something of it, as `settled` tells by the path of a field.
///
/// # Errors
/// In a sentence, where the route has more points than a mission may.
pub(crate) fn skeleton_beside(
    begun: &Skeleton<'_>,
    found: &Found,
    settled: &dyn Fn(&str) -> Option<Settled>,
) -> Result<(String, usize), String> {
    let route = Route::from_points(&found.points);
    if route.waypoints.len() > MOST_WAYPOINTS {
        return Err(format!(
            "a mission has at most {MOST_WAYPOINTS} waypoints, and {} points came from {} of the \
             file; write sounding lines as a `survey`",
            found.points.len(),
            found.from
        ));
    }
    let known = |path: &str| -> Option<String> {
        Some(match path {
            "vessel" => in_yaml(begun.vessel),
            "site" => in_yaml(begun.site),
            "launch.at" => position(route.launch?),
            "recovery.at" => position(route.recovery?),
            "route" if !route.waypoints.is_empty() => waypoints(route.waypoints),
            _ => return None,
        })
    };
    let settled = |path: &str| known(path).map(Settled::Known).or_else(|| settled(path));
    let mission = skeleton_under(
        &head(begun, found),
        Kind::Mission,
        &in_yaml(begun.id),
        &settled,
    );
    Ok((mission.text, mission.gaps))
}

/// An id for a mission: the route's name, else the file's, made to fit.
#[must_use]
pub fn id_of(found: &Found, file: &str) -> String {
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    let names = [found.name.as_deref().unwrap_or(""), stem, "route"];
    let mut ids = names.into_iter().map(fitted);
    ids.find(|id| !id.is_empty()).unwrap_or_default()
}

/// An id as YAML, in quotes where a bare word would be something else.
fn in_yaml(id: &str) -> String {
    Yaml::word(id).on_one_line()
}

/// Text of others for a comment: on one line, nothing in it that acts, not too long.
fn quoted(text: &str) -> String {
    let mut shown: String = text.chars().take(LONGEST).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    printable_line(&shown).into_owned()
}

fn head(begun: &Skeleton<'_>, found: &Found) -> String {
    let name = match &found.name {
        Some(name) => format!(" \"{}\"", quoted(name)),
        None => String::new(),
    };
    let mut text = format!(
        "# Begun from {}{name} of {} ({}), {} points.\n\
         # Heights, times and descriptions of the file are left out. Check every position.\n",
        found.from,
        quoted(begun.file),
        found.form.name(),
        found.points.len()
    );
    if !found.left_out.is_empty() {
        let _ = writeln!(
            text,
            "# Left out of the file: {}.",
            found.left_out.join(", ")
        );
    }
    text
}

/// The points, by what they are to the mission.
struct Route<'a> {
    launch: Option<&'a Named>,
    recovery: Option<&'a Named>,
    waypoints: &'a [Named],
}

impl<'a> Route<'a> {
    /// A first point that is named `launch` is the launch point, a last one named `recovery` the
    /// recovery point; of any other file this cannot be determined.
    fn from_points(points: &'a [Named]) -> Self {
        let is = |point: &Named, name: &str| {
            let named = point.name.as_deref();
            named.is_some_and(|named| named.eq_ignore_ascii_case(name))
        };
        let mut waypoints = points;
        let mut launch = None;
        let mut recovery = None;
        if let [first, rest @ ..] = waypoints
            && is(first, "launch")
        {
            (launch, waypoints) = (Some(first), rest);
        }
        if let [rest @ .., last] = waypoints
            && is(last, "recovery")
        {
            (recovery, waypoints) = (Some(last), rest);
        }
        Self {
            launch,
            recovery,
            waypoints,
        }
    }
}

/// The waypoints as the items of a list, each on a line.
fn waypoints(points: &[Named]) -> String {
    let mut ids = Ids::default();
    let mut text = String::new();
    for (index, point) in points.iter().enumerate() {
        let id = ids.assign(point.name.as_deref(), index + 1);
        let changed = match &point.name {
            Some(name) if *name != id => format!(" # named \"{}\" in the file", quoted(name)),
            _ => String::new(),
        };
        let (id, at) = (in_yaml(&id), position(point));
        let _ = write!(text, "\n  - {{ id: {id}, to: {at} }}{changed}");
    }
    text
}

fn position(point: &Named) -> String {
    format!(
        "[{}, {}]",
        decimal_degrees(point.latitude),
        decimal_degrees(point.longitude)
    )
}
