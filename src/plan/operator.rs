//! The remote operator: who steers the boat by hand and stops it.

use super::places::at_or_place;
use super::site::Site;
use crate::models::plane::Point;
use crate::schema::{Fields, Form, Kind, Stated};
use crate::units::{Time, Typed as _};

/// The remote operator.
#[derive(Clone, Debug)]
pub struct Operator {
    /// Where the operator stands.
    pub at: Stated<Point>,
    /// Time from seeing to acting.
    pub reaction_time: Stated<Time>,
}

/// Reads the operator of a mission. Outside `None` where something is malformed, inside where the mission
/// states none.
pub(super) fn parse(file: Fields<'_>, site: &Site) -> Option<Option<Operator>> {
    let Some(fields) = file.map("operator") else {
        return Some(None);
    };
    let at = at_or_place(fields, site);
    let reaction_time = fields.quantity_to_state("reaction_time");
    Some(Some(Operator {
        at: at?,
        reaction_time,
    }))
}

/// The reaction time of an operator of whom nothing is said.
pub(super) fn unstated_reaction() -> Time {
    let form = Form::for_kind(Kind::Mission).path(&["operator", "reaction_time"]);
    let figure = form.and_then(|form| form.stand_in(Time::DIMENSION));
    // Without one nothing that follows from it comes to a figure.
    figure.map_or(Time::seconds(f64::INFINITY), |figure| {
        Time::from_stored(figure.value)
    })
}
