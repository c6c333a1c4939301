//! The route: straight legs, survey blocks expanded into sounding lines.

use super::laid_out::{point, ring};
use super::site::Site;
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::models::survey::{SurveyError, sounding_lines};
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Speed, Time, Towards};

/// Legs shorter than this are a waypoint set on the last one.
const SHORTEST: f64 = 0.001;
/// Legs that one mission may have, sounding lines and the runs between them included.
const MOST_LEGS: usize = 5000;

/// A straight leg.
#[derive(Clone, Debug)]
pub struct Leg {
    /// What people call it: `the leg to W3`, `line 2 of north-bay`.
    pub name: String,
    /// The id of the waypoint or survey that it belongs to.
    pub id: String,
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
    /// Commanded speed.
    pub command: Stated<Command>,
    /// Time held at the end.
    pub pause: Option<Stated<Time>>,
    /// The line that places its end.
    pub span: Span,
    /// Whether it is a sounding line.
    pub sounding: bool,
}

impl Leg {
    /// Its length in metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.from.distance(self.to)
    }

    /// The commanded speed, whichever way it is meant.
    #[must_use]
    pub fn speed(&self) -> Speed {
        match self.command.value {
            Command::OverGround(speed) | Command::ThroughWater(speed) => speed,
        }
    }
}

/// Where a route begins and ends.
pub(super) struct Ends<'a> {
    pub launch: &'a Stated<Point>,
    pub recovery: &'a Stated<Point>,
}

/// A waypoint farther from the water than this is mistyped, m; one nearer is judged. Our own choice.
const FARTHEST_INLAND: f64 = 500.0;

/// Reads a commanded speed.
pub(super) fn command(fields: Fields<'_>) -> Option<Stated<Command>> {
    let ground: Option<Stated<Speed>> = fields.quantity("over_ground");
    let water: Option<Stated<Speed>> = fields.quantity("through_water");
    ground
        .map(|speed| speed.map(Command::OverGround))
        .or_else(|| water.map(|speed| speed.map(Command::ThroughWater)))
}

/// The route in the making.
struct Course<'a> {
    file: Fields<'a>,
    legs: Vec<Leg>,
    at: Point,
    /// Whether there were more legs than there may be.
    full: bool,
}

impl Course<'_> {
    fn go(&mut self, to: Point, leg: Leg) -> bool {
        if self.at.distance(to) < SHORTEST {
            return true;
        }
        if self.legs.len() >= MOST_LEGS {
            // Told once, of the first leg that is too much.
            if !self.full {
                self.file.problem(Problem::value(
                    leg.span,
                    format!("the route has more than {MOST_LEGS} legs, sounding lines included"),
                ));
            }
            self.full = true;
            return false;
        }
        self.legs.push(Leg {
            from: self.at,
            to,
            ..leg
        });
        self.at = to;
        true
    }
}

/// Reads the route from launch to recovery; `None` where it cannot be laid out.
pub(super) fn parse(
    file: Fields<'_>,
    site: &Site,
    ends: &Ends<'_>,
    speed: Option<&Stated<Command>>,
    last_speed: Option<&Stated<Command>>,
) -> Option<Vec<Leg>> {
    let mut course = Course {
        file,
        legs: Vec::new(),
        at: ends.launch.value,
        full: false,
    };
    let mut names: Vec<Stated<String>> = Vec::new();
    let mut sound = true;
    for item in file.maps("route") {
        let Some(id) = item.required_text("id") else {
            sound = false;
            continue;
        };
        if let Some(first) = names.iter().find(|other| other.value == id.value) {
            item.problem(
                Problem::value(
                    id.span(),
                    format!("`{}` is used twice in the route", id.value),
                )
                .with(first.span(), "first used here"),
            );
            sound = false;
        }
        let own = item.map("speed");
        let stated = own.and_then(command);
        let Some(command) = (if own.is_some() {
            stated.as_ref()
        } else {
            speed
        }) else {
            // A speed that is malformed was reported where it stands.
            if own.is_none() && file.get("speed").is_none() {
                item.problem(no_speed(id.span(), &id.value));
            }
            sound = false;
            continue;
        };
        sound &= match item.map("survey") {
            Some(survey) => no_pause(item) & block(&mut course, site, survey, &id, command),
            None => waypoint(&mut course, site, item, &id, command),
        };
        names.push(id);
    }
    let Some(command) = last_speed else {
        let own = file.map("recovery").and_then(|f| f.get("speed"));
        if own.is_none() && file.get("speed").is_none() {
            file.problem(no_speed(ends.recovery.span(), "recovery"));
        }
        return None;
    };
    sound &= course.go(
        ends.recovery.value,
        Leg {
            name: "the leg to the recovery point".to_owned(),
            id: "recovery".to_owned(),
            from: course.at,
            to: ends.recovery.value,
            command: command.clone(),
            pause: None,
            span: ends.recovery.span(),
            sounding: false,
        },
    );
    if course.legs.is_empty() {
        let span = file.node().entry("route").map(|entry| entry.key_span);
        file.problem(Problem::value(
            span.unwrap_or(file.span()),
            "the route goes nowhere",
        ));
        return None;
    }
    sound.then_some(course.legs)
}

/// A pause belongs to a waypoint; whether one in a survey is a pause a line or one at its end
/// would be guessed.
fn no_pause(item: Fields<'_>) -> bool {
    let Some(pause) = item.get("pause") else {
        return true;
    };
    let text = "a survey has no `pause`";
    item.problem(Problem::value(pause.span, text).help("put it on a waypoint after the survey"));
    false
}

fn no_speed(span: Span, name: &str) -> Problem {
    Problem::value(
        span,
        format!("no speed is stated for `{name}`, nor one for the whole mission"),
    )
    .help("write `speed: { over_ground: 1.0 m/s }` or `speed: { through_water: 1.0 m/s }`")
}

fn waypoint(
    course: &mut Course<'_>,
    site: &Site,
    item: Fields<'_>,
    id: &Stated<String>,
    command: &Stated<Command>,
) -> bool {
    let Some(to) = point(&site.plane, item, "to") else {
        return false;
    };
    if !near_water(site, item, &to, &id.value) {
        return false;
    }
    let pause = item.quantity("pause");
    let here = course.at.distance(to.value) < SHORTEST;
    let leg = Leg {
        name: format!("the leg to {}", id.value),
        id: id.value.clone(),
        from: course.at,
        to: to.value,
        command: command.clone(),
        pause: pause.clone(),
        span: to.span(),
        sounding: false,
    };
    if here && let Some(last) = course.legs.last_mut() {
        // A waypoint on the one before adds its pause to it.
        if let Some(pause) = pause {
            let total = last.pause.as_ref().map_or(Time::ZERO, |p| p.value) + pause.value;
            last.pause = Some(pause.map(|_| total));
        }
        return true;
    }
    course.go(to.value, leg)
}

/// Whether a waypoint lies on the water or so near to it that it may be judged; otherwise it is mistyped,
/// which is a problem.
pub(super) fn near_water(site: &Site, item: Fields<'_>, at: &Stated<Point>, id: &str) -> bool {
    let inland = -site.shore.signed_distance(at.value);
    if inland <= FARTHEST_INLAND {
        return true;
    }
    let away = Length::metres(inland);
    item.problem(
        Problem::value(
            at.span(),
            format!("waypoint `{id}` lies on land, {away} from the water"),
        )
        .with(site.shore_span, "by this shoreline")
        .help("check its digits; latitude comes first"),
    );
    false
}

fn block(
    course: &mut Course<'_>,
    site: &Site,
    survey: Fields<'_>,
    id: &Stated<String>,
    command: &Stated<Command>,
) -> bool {
    let area = ring(&site.plane, survey, "area");
    let direction = survey.required_direction("direction");
    let spacing: Option<Stated<Length>> = survey.required("spacing");
    let clear: Option<Stated<Length>> = survey.quantity("clear_of_land");
    let (Some(area), Some(direction), Some(spacing)) = (area, direction, spacing) else {
        return false;
    };
    let keep = clear
        .as_ref()
        .map(|clear| (site.shore.as_ref(), clear.value));
    let direction = Towards::new(direction.value);
    let span = survey
        .node()
        .entry("area")
        .map_or(survey.span(), |entry| entry.key_span);
    let lines = match sounding_lines(area.rings(), direction, spacing.value, keep, course.at) {
        Ok(lines) if !lines.is_empty() => lines,
        Ok(_) | Err(SurveyError::None) => {
            let text = format!("`{}`: {}", id.value, SurveyError::None);
            let mut problem = Problem::value(span, text);
            if let Some(clear) = &clear {
                problem = problem.with(clear.span(), "lines keep this far from land");
            }
            survey.problem(problem);
            return false;
        }
        Err(error) => {
            survey.problem(Problem::value(
                spacing.span(),
                format!("`{}`: {error}", id.value),
            ));
            return false;
        }
    };
    for (index, line) in lines.iter().enumerate() {
        let number = index + 1;
        let leg = |name: String, sounding: bool| Leg {
            name,
            id: id.value.clone(),
            from: line.a,
            to: line.b,
            command: command.clone(),
            pause: None,
            span,
            sounding,
        };
        let run = leg(format!("the run to line {number} of {}", id.value), false);
        let line_leg = leg(format!("line {number} of {}", id.value), true);
        if !(course.go(line.a, run) && course.go(line.b, line_leg)) {
            return false;
        }
    }
    true
}
