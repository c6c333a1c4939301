//! The return leg: straight to the recovery point, back along the route, or by waypoints.

use std::cell::RefCell;

use super::laid_out::point;
use super::route::{self, Leg};
use super::site::Site;
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated, explain};
use crate::units::Speed;

/// The return leg when the boat breaks off.
#[derive(Clone, Debug)]
pub struct ReturnLeg {
    /// Its path.
    pub path: Stated<ReturnPath>,
    /// Speed through the water.
    pub speed: Stated<Speed>,
}

/// The path of a return leg.
#[derive(Clone, PartialEq, Debug)]
pub enum ReturnPath {
    /// Straight to the recovery point.
    Straight,
    /// Back along the route to the launch point, and straight to the recovery point.
    AlongRoute,
    /// Straight to the first of these, on to each of the others in order, and to the recovery point.
    ByWaypoints(Vec<Via>),
}

/// A waypoint of a return leg.
#[derive(Clone, PartialEq, Debug)]
pub struct Via {
    /// Its id: that of the route's waypoint, or its own.
    pub id: String,
    /// Where it is, on the line of the return leg that states it.
    pub at: Stated<Point>,
}

impl ReturnLeg {
    /// Whether it goes back along the route.
    #[must_use]
    pub fn along_route(&self) -> bool {
        self.path.value == ReturnPath::AlongRoute
    }

    /// The waypoints that it goes by, in order; none where it goes by none.
    #[must_use]
    pub fn via(&self) -> &[Via] {
        match &self.path.value {
            ReturnPath::ByWaypoints(via) => via,
            ReturnPath::Straight | ReturnPath::AlongRoute => &[],
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Word {
    Straight,
    AlongRoute,
    ByWaypoints,
}

const WORDS: &[(&str, Word)] = &[
    ("straight", Word::Straight),
    ("along the route", Word::AlongRoute),
    ("by waypoints", Word::ByWaypoints),
];

/// Reads it; `None` where a value is malformed, or where no speed can stand in for one left out.
pub(super) fn parse(file: Fields<'_>, site: &Site, legs: Option<&[Leg]>) -> Option<ReturnLeg> {
    let fields = file.map("return_leg");
    let path = path(file, fields, site)?;
    if let Some(speed) = fields.and_then(|f| f.quantity("speed")) {
        return Some(ReturnLeg { path, speed });
    }
    let fastest = legs?
        .iter()
        .map(|leg| leg.speed())
        .fold(Speed::ZERO, Speed::max);
    let text = format!(
        "the speed of the return leg is not stated (`return_leg: speed`); figures use {fastest}, \
         the plan's fastest"
    );
    let near = fields.map_or(file.span(), |f| f.span());
    Some(ReturnLeg {
        path,
        speed: Stated::missing(fastest, near, text),
    })
}

fn path(file: Fields<'_>, fields: Option<Fields<'_>>, site: &Site) -> Option<Stated<ReturnPath>> {
    let word = fields.and_then(|fields| fields.word("path", WORDS));
    let listed = fields.and_then(|fields| fields.node().entry("via"));
    match (word, listed) {
        (Some(word), Some(_)) if word.value == Word::ByWaypoints => {
            let via = waypoints(file, fields?, site)?;
            Some(word.map(|_| ReturnPath::ByWaypoints(via)))
        }
        (Some(word), None) if word.value == Word::ByWaypoints => {
            let text = "the return leg goes by waypoints, and `via` does not state them";
            let help = "add `via: [{ waypoint: ID }]`, with a waypoint of the route, or \
                        `via: [{ id: NAME, at: [LATITUDE, LONGITUDE] }]`";
            file.problem(Problem::value(word.span(), text).help(help));
            None
        }
        // A word that is none of the three is reported where it stands.
        (None, Some(_)) if fields?.get("path").is_some() => None,
        (_, Some(entry)) => {
            let text =
                "`via` states waypoints, and `path` does not say that the return leg goes by them";
            let help = "write `path: by waypoints` beside it, or remove `via`";
            file.problem(Problem::value(entry.key_span, text).help(help));
            None
        }
        (Some(word), None) => Some(word.map(|word| match word {
            Word::AlongRoute => ReturnPath::AlongRoute,
            Word::Straight | Word::ByWaypoints => ReturnPath::Straight,
        })),
        (None, None) => Some(Stated::missing(
            ReturnPath::Straight,
            file.span(),
            "the path of the return leg is not stated (`path`); figures show it straight",
        )),
    }
}

/// The waypoints of `via`; `None` where one of them is malformed or names nothing.
fn waypoints(file: Fields<'_>, fields: Fields<'_>, site: &Site) -> Option<Vec<Via>> {
    let all: Vec<Option<Via>> = fields
        .maps("via")
        .map(|item| match item.text("waypoint") {
            Some(named) => match item.get("at") {
                None => of_route(file, item, site, &named),
                Some(at) => {
                    let text = "a waypoint of the route has its position there";
                    let help = "remove `at`, or name it by `id` in place of `waypoint`";
                    item.problem(Problem::value(at.span, text).help(help));
                    None
                }
            },
            None => {
                let (id, at) = (item.required_text("id"), point(&site.plane, item, "at"));
                let (id, at) = (id?.value, at?);
                let afloat = route::near_water(site, item, &at, &id);
                afloat.then_some(Via { id, at })
            }
        })
        .collect();
    all.into_iter().collect()
}

/// A waypoint of the route, by its id.
fn of_route(
    file: Fields<'_>,
    item: Fields<'_>,
    site: &Site,
    named: &Stated<String>,
) -> Option<Via> {
    let mut known = Vec::new();
    for waypoint in file.maps("route").filter(|one| one.get("to").is_some()) {
        let Some(id) = waypoint.text("id") else {
            continue;
        };
        if id.value == named.value {
            // What is wrong with it is told where the route is read.
            let told = RefCell::new(Vec::new());
            let at = point(&site.plane, waypoint.with_problems(&told), "to")?;
            return Some(Via {
                id: id.value,
                at: named.clone().map(|_| at.value),
            });
        }
        known.push(id.value);
    }
    let text = format!("`{}` is not a waypoint of the route", named.value);
    let problem = Problem::new("input-reference", named.span(), text);
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    item.problem(match explain::nearest(&named.value, &known) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem.help("name a waypoint with a position, or state `id` and `at` here"),
    });
    None
}
