//! What acts on the boat in one scenario: at any point, and place by place along the route and the return
//! legs.

use std::cell::OnceCell;

use super::Passage;
use super::boat::Boat;
use super::current::current_at;
use super::places::{Number, Places};
use super::scenario::Scenario;
use super::sea::{SeaField, Waves};
use crate::models::OutsideValidity;
use crate::models::plane::Point;
use crate::models::propulsion::{Blown, HeadSea, Surroundings};
use crate::models::waves::opposed::opposed;
use crate::units::{Speed, Towards};

/// What acts on the boat at any point, for one scenario.
#[derive(Clone, Copy)]
pub(super) struct Acting<'a> {
    pub passage: &'a Passage<'a>,
    pub scenario: &'a Scenario,
    pub sea: &'a SeaField,
}

impl<'a> Acting<'a> {
    /// The surroundings at a point under the sustained wind.
    pub(super) fn sustained(&self, at: Point) -> Surroundings {
        self.with_wind(at, self.scenario.sustained, self.scenario.blown)
    }

    /// The surroundings at a point under the gust. The sea is the sustained wind's: a gust is
    /// over before it has raised one.
    pub(super) fn gust(&self, at: Point) -> Surroundings {
        self.with_wind(at, self.scenario.gust, self.scenario.blown_in_gust)
    }

    fn with_wind(&self, at: Point, wind: (f64, f64), blown: Blown) -> Surroundings {
        let current = self.current(at);
        let waves = self.sea.at(self.scenario.direction, at);
        around(steepened(waves, current), current, wind, blown)
    }

    /// The site's current at a point, where this scenario has it.
    fn current(&self, at: Point) -> (f64, f64) {
        if self.scenario.current {
            current_at(self.passage, at)
        } else {
            (0.0, 0.0)
        }
    }

    /// The places that the boat comes through.
    pub(super) fn places(&self) -> &'a Places {
        self.sea.places()
    }

    /// A point of a place, and the current there where this scenario has it.
    pub(super) fn at_place(&self, place: Number) -> (Point, (f64, f64)) {
        let place = self.places().get(place);
        if self.scenario.current {
            (place.at, place.current)
        } else {
            (place.at, (0.0, 0.0))
        }
    }

    /// The waves at a place, height, periods and direction of one point of it: what the boat meets, where
    /// [`Along::sustained`] has the worst of each for the power.
    pub(super) fn waves(&self, place: Number) -> Waves {
        let (at, current) = self.at_place(place);
        steepened(self.sea.highest(self.scenario.direction, at), current)
    }
}

fn around(waves: Waves, current: (f64, f64), wind: (f64, f64), blown: Blown) -> Surroundings {
    Surroundings {
        wind,
        blown,
        current,
        sea: waves.sea,
        waves_from: waves.from,
    }
}

/// Waves on a current: higher and shorter where it sets against them.
fn steepened(waves: Waves, current: (f64, f64)) -> Waves {
    if current.0.abs() + current.1.abs() <= 0.0 {
        return waves;
    }
    let (east, north) = Towards::new(waves.from.angle()).unit_vector();
    let against = current.0 * east + current.1 * north;
    Waves {
        sea: opposed(waves.sea, Speed::metres_per_second(against)),
        ..waves
    }
}

/// What acts on the boat at one place under one scenario.
struct Here {
    /// The worst of each figure around the place, on its current.
    worst: Waves,
    /// The current, where the scenario has it.
    current: (f64, f64),
    head: Result<HeadSea, OutsideValidity>,
}

/// What acts on a boat along the route and the return legs, each place worked out once.
pub(super) struct Along<'a> {
    pub acting: Acting<'a>,
    boat: &'a Boat,
    here: Vec<OnceCell<Here>>,
}

/// The surroundings at a place, with what the sea asks for there.
pub(super) type Around = (Surroundings, HeadSea);

impl<'a> Along<'a> {
    pub(super) fn new(acting: Acting<'a>, boat: &'a Boat) -> Self {
        let count = acting.places().count();
        Self {
            acting,
            boat,
            here: std::iter::repeat_with(OnceCell::new).take(count).collect(),
        }
    }

    fn here(&self, place: Number) -> &Here {
        self.here[place as usize].get_or_init(|| {
            let Acting { scenario, sea, .. } = self.acting;
            let (at, current) = self.acting.at_place(place);
            let worst = steepened(sea.at(scenario.direction, at), current);
            let head = self.boat.propulsion.head_sea(worst.sea, worst.from);
            Here {
                worst,
                current,
                head,
            }
        })
    }

    /// The surroundings at a place under the sustained wind.
    ///
    /// # Errors
    /// A sea outside the validity of its model.
    pub(super) fn sustained(&self, place: Number) -> Result<Around, &OutsideValidity> {
        let scenario = self.acting.scenario;
        self.in_wind(place, scenario.sustained, scenario.blown)
    }

    /// The surroundings at a place under the gust, as [`Acting::gust`].
    ///
    /// # Errors
    /// A sea outside the validity of its model.
    pub(super) fn gust(&self, place: Number) -> Result<Around, &OutsideValidity> {
        let scenario = self.acting.scenario;
        self.in_wind(place, scenario.gust, scenario.blown_in_gust)
    }

    fn in_wind(
        &self,
        place: Number,
        wind: (f64, f64),
        blown: Blown,
    ) -> Result<Around, &OutsideValidity> {
        let here = self.here(place);
        let head = *here.head.as_ref()?;
        Ok((around(here.worst, here.current, wind, blown), head))
    }
}
