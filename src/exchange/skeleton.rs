//! A mission begun from a route. What the route's file cannot say is left empty, which a check
//! refuses on its line: a gap is never judged as if something stood there.

use std::fmt::Write as _;

use serde_json::Value as Json;

use super::names::{Ids, fitted};
use super::read::{Found, Named};
use crate::schema::Kind;
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

/// The text of a mission file, with how many fields it leaves open that it must have.
///
/// # Errors
/// In a sentence, where the route has more points than a mission may.
pub fn skeleton(begun: &Skeleton<'_>, found: &Found) -> Result<(String, usize), String> {
    let schema: Json =
        serde_json::from_str(Kind::Mission.schema_text()).map_err(|e| e.to_string())?;
    let route = Route::from_points(&found.points);
    if route.waypoints.len() > MOST_WAYPOINTS {
        return Err(format!(
            "a mission has at most {MOST_WAYPOINTS} waypoints, and {} points came from {} of the \
             file; write sounding lines as a `survey`",
            found.points.len(),
            found.from
        ));
    }
    let mut writing = Writing {
        schema: &schema,
        begun,
        route: &route,
        out: head(begun, found),
        gaps: 0,
    };
    writing.fields(&schema, "", 0);
    Ok((writing.out, writing.gaps))
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
         # Fill in each empty field marked \"to be filled\": `offing check` names the line until you do.\n\
         # The format allows you to leave out a field marked so in a comment, but the rules that need it\n\
         # require it. Heights, times and descriptions of the file are left out. Check every position.\n",
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
    /// recovery point; of any other file this cannot be told.
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

struct Writing<'a> {
    schema: &'a Json,
    begun: &'a Skeleton<'a>,
    route: &'a Route<'a>,
    out: String,
    gaps: usize,
}

impl Writing<'_> {
    /// The fields of a mapping, in the order of the schema.
    fn fields(&mut self, schema: &Json, path: &str, indent: usize) {
        let Some(properties) = schema["properties"].as_object() else {
            return;
        };
        let required: Vec<&str> = schema["required"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Json::as_str)
            .collect();
        for (key, field) in properties {
            let path = if path.is_empty() {
                key.clone()
            } else {
                format!("{path}.{key}")
            };
            self.field(key, field, &path, required.contains(&key.as_str()), indent);
        }
    }

    fn field(&mut self, key: &str, field: &Json, path: &str, required: bool, indent: usize) {
        let margin = " ".repeat(indent);
        if let Some(value) = self.known(path) {
            let _ = writeln!(self.out, "{margin}{key}: {value}");
            return;
        }
        if path == "route" && !self.route.waypoints.is_empty() {
            self.out.push_str("route:\n");
            self.waypoints();
            return;
        }
        let field = self.resolved(field);
        let description = field["description"].as_str().unwrap_or("");
        // No route can be laid out without a speed, though the schema lets each leg have its own.
        if path == "speed" {
            let _ = writeln!(self.out, "{margin}{key}: # over ground, or `through_water`");
            self.gap(
                "over_ground",
                "Speed of the legs that have none of their own.",
                indent + 2,
            );
        } else if !required {
            let _ = writeln!(self.out, "{margin}# {key}: # to be filled: {description}");
        } else if let Some(only) = only_word(&field) {
            let _ = writeln!(self.out, "{margin}{key}: {only}");
        } else if field["properties"].is_object() {
            let _ = writeln!(self.out, "{margin}{key}: # {description}");
            self.fields(&field, path, indent + 2);
        } else {
            self.gap(key, description, indent);
        }
    }

    fn gap(&mut self, key: &str, description: &str, indent: usize) {
        self.gaps += 1;
        let margin = " ".repeat(indent);
        let _ = writeln!(self.out, "{margin}{key}: # to be filled: {description}");
    }

    /// What the route or the command line says.
    fn known(&self, path: &str) -> Option<String> {
        Some(match path {
            "kind" => "mission".to_owned(),
            "format" => "1".to_owned(),
            "id" => in_yaml(self.begun.id),
            "vessel" => in_yaml(self.begun.vessel),
            "site" => in_yaml(self.begun.site),
            "launch.at" => position(self.route.launch?),
            "recovery.at" => position(self.route.recovery?),
            _ => return None,
        })
    }

    fn waypoints(&mut self) {
        let mut ids = Ids::default();
        for (index, point) in self.route.waypoints.iter().enumerate() {
            let id = ids.assign(point.name.as_deref(), index + 1);
            let changed = match &point.name {
                Some(name) if *name != id => format!(" # named \"{}\" in the file", quoted(name)),
                _ => String::new(),
            };
            let (id, at) = (in_yaml(&id), position(point));
            let _ = writeln!(self.out, "  - {{ id: {id}, to: {at} }}{changed}");
        }
    }

    /// A field's own schema, where it stands under the definitions.
    fn resolved(&self, field: &Json) -> Json {
        let named = field["$ref"].as_str();
        let pointer = named.and_then(|named| named.strip_prefix('#'));
        let found = pointer.and_then(|pointer| self.schema.pointer(pointer));
        found.unwrap_or(field).clone()
    }
}

/// The word of a field that can only be one.
fn only_word(field: &Json) -> Option<&str> {
    match field["enum"].as_array()?.as_slice() {
        [only] => only.as_str(),
        _ => None,
    }
}

fn position(point: &Named) -> String {
    format!(
        "[{}, {}]",
        decimal_degrees(point.latitude),
        decimal_degrees(point.longitude)
    )
}
