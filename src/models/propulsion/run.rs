//! A boat on one track at one speed: what it takes, and the fastest that some power gives.

use super::super::resistance;
use super::{Propulsion, Vector};

/// How often the interval of speeds is halved where the boat slows down. Numerical: past it the interval is
/// as narrow as numbers are.
const HALVINGS: usize = 60;
/// Past this many times as much, no rounding makes the greater of two the lesser. Numerical.
const CLEARLY: f64 = 1.000_001;

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

pub(super) fn size(a: Vector) -> f64 {
    dot(a, a).sqrt()
}

/// One track in given surroundings, with everything that does not depend on the speed.
#[derive(Clone)]
pub(super) struct Run<'a> {
    pub boat: &'a Propulsion,
    pub track: Vector,
    pub wind: Vector,
    /// All that carries the boat off: the current, and what the wind blows along.
    pub current: Vector,
    /// Where the waves come from, as a unit vector towards it.
    pub seaward: Vector,
    /// The current's part along the track.
    pub along: f64,
    /// The square of its part across the track.
    pub across2: f64,
    /// The added resistance in head seas.
    pub head_sea: f64,
    pub efficiency: f64,
}

/// A run at one speed.
#[derive(Clone, Copy)]
pub(super) struct At {
    pub v: f64,
    pub through: f64,
    pub watts: f64,
    pub air: f64,
    pub waves: f64,
}

impl Run<'_> {
    /// The speed over ground at a speed through the water, or `None` where the boat cannot hold
    /// the track against the current.
    pub(super) fn over_ground(&self, through: f64) -> Option<f64> {
        let rest = through * through - self.across2;
        (rest >= 0.0).then(|| rest.sqrt() + self.along)
    }

    /// The speed through the water at a speed over ground.
    pub(super) fn through_water(&self, v: f64) -> f64 {
        ((v - self.along).powi(2) + self.across2).sqrt()
    }

    /// What it takes to make `v` over ground at `through` through the water, which must belong
    /// together and be covered by the calm-water model.
    pub(super) fn at(&self, v: f64, through: f64) -> At {
        let (track, current) = (self.track, self.current);
        // A boat that only drifts has no way through the water; it points along its track.
        let heading = if through > 1e-12 {
            (
                (v * track.0 - current.0) / through,
                (v * track.1 - current.1) / through,
            )
        } else {
            track
        };
        let apparent = (self.wind.0 - v * track.0, self.wind.1 - v * track.1);
        let drag = |apparent: Vector| {
            let (area, coefficient) = (self.boat.frontal_area, self.boat.drag_coefficient);
            resistance::air_force(apparent, heading, area, coefficient).get()
        };
        // A wind from behind is not credited: it may drop, so the air costs what still air does. What is
        // clearly stronger from ahead costs more.
        let still = (-v * track.0, -v * track.1);
        let (ahead, still_ahead) = (-dot(apparent, heading), -dot(still, heading));
        let clearly =
            ahead > CLEARLY * still_ahead && dot(apparent, apparent) > CLEARLY * dot(still, still);
        let air = if clearly {
            drag(apparent)
        } else {
            drag(apparent).max(drag(still))
        };
        let waves = if self.head_sea > 0.0 {
            let cos = dot(heading, self.seaward);
            let sin = (heading.0 * self.seaward.1 - heading.1 * self.seaward.0).abs();
            self.head_sea * resistance::share(cos, sin)
        } else {
            0.0
        };
        let thrust = self.boat.calm.newtons(through, self.efficiency) + air + waves;
        let watts = self.boat.calm.watts_for(thrust, self.efficiency);
        At {
            v,
            through,
            // More thrust than was ever shown is not to be had for any power.
            watts: watts.unwrap_or(f64::INFINITY),
            air,
            waves,
        }
    }

    /// The fastest that at most `available` watts give, below a speed that takes more.
    pub(super) fn slow_down(&self, available: f64, fast: f64) -> Option<At> {
        // The slowest at which the boat neither loses its track nor is set back along it.
        let slow = if self.along < 0.0 {
            self.through_water(0.0)
        } else {
            self.across2.sqrt()
        };
        if slow >= fast {
            return None;
        }
        let probe = |through: f64| {
            let v = self.over_ground(through).unwrap_or(self.along);
            self.at(v, through)
        };
        let mut best = probe(slow);
        if best.watts > available || best.watts.is_nan() {
            return None;
        }
        let (mut low, mut high) = (slow, fast);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            let at = probe(middle);
            if at.watts <= available {
                low = middle;
                best = at;
            } else {
                high = middle;
            }
        }
        Some(best)
    }
}
