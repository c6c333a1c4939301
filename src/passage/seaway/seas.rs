//! What follows from the sea of a place, worked out once for all steps that meet it.

use std::cell::OnceCell;

use super::met::Met;
use crate::models::plane::Point;
use crate::models::stability::{
    Encounter, breaking_height, counts, counts_astern, group_speed, steepness,
};
use crate::models::waves::{EXCEEDANCE, highest_exceeded, wavelength};
use crate::passage::Waves;
use crate::passage::acting::Acting;
use crate::passage::made::Made;
use crate::passage::places::Number;
use crate::units::{Length, Speed, Time, Towards};

/// Periods between the shortest and the longest that rolling is looked at for.
const PERIODS: usize = 9;

/// What follows from the sea of a place, which many steps share; what few of them ask for only where it is.
pub(super) struct Of {
    pub(super) waves: Waves,
    pub(super) depth: Length,
    /// Height of the highest wave of the run, where waves break later.
    pub(super) highest: Length,
    /// How far it counts by its height.
    pub(super) counts: f64,
    pub(super) steepness: OnceCell<f64>,
    pub(super) astern: OnceCell<Astern>,
    /// Periods and lengths, from the shortest to the longest.
    pub(super) lengths: OnceCell<[(Time, Length); PERIODS]>,
}

/// What waves from astern are held against.
pub(super) struct Astern {
    /// How far they count by their length.
    pub(super) counts: f64,
    /// The speeds of their groups, of the shortest and the longest.
    pub(super) groups: (Speed, Speed),
}

impl Of {
    pub(super) fn breaking(&self) -> Length {
        breaking_height(self.waves.sea.longest, self.depth)
    }

    pub(super) fn steepness(&self) -> f64 {
        let steepness = || steepness(self.waves.sea, self.depth).get();
        *self.steepness.get_or_init(steepness)
    }

    pub(super) fn astern(&self, length: Length) -> &Astern {
        self.astern.get_or_init(|| {
            let (sea, depth) = (self.waves.sea, self.depth);
            Astern {
                counts: counts_astern(wavelength(sea.longest, depth), length),
                groups: (
                    group_speed(sea.shortest, depth),
                    group_speed(sea.longest, depth),
                ),
            }
        })
    }

    pub(super) fn lengths(&self) -> &[(Time, Length)] {
        self.lengths.get_or_init(|| {
            let sea = self.waves.sea;
            let step = (sea.longest / sea.shortest).powf(1.0 / (PERIODS - 1) as f64);
            let mut period = sea.shortest;
            std::array::from_fn(|_| {
                let wave = (period, wavelength(period, self.depth));
                period = period * step;
                wave
            })
        })
    }

    pub(super) fn met(&self, at: Point, made: &Made, sample: usize, home: bool) -> Met {
        let heading = Towards::from_components(made.through.0, made.through.1);
        let Waves { sea, from } = self.waves;
        Met {
            at,
            home,
            sample,
            heading,
            speed: Speed::metres_per_second(made.through.0.hypot(made.through.1)),
            encounter: Encounter::between(heading, from),
            from,
            sea,
        }
    }
}

/// The seas of every place under one scenario, each worked out once.
pub(super) struct Seas<'a> {
    acting: &'a Acting<'a>,
    length: Length,
    depth: Length,
    time: Time,
    each: Vec<OnceCell<Of>>,
}

impl<'a> Seas<'a> {
    /// For a hull of a length overall, and a time under way that the highest wave is the highest of.
    pub(super) fn new(acting: &'a Acting<'a>, length: Length, time: Time) -> Self {
        let (depth, count) = (acting.sea.water().depth, acting.places().count());
        Self {
            acting,
            length,
            depth: depth.unwrap_or(Length::metres(f64::INFINITY)),
            time,
            each: std::iter::repeat_with(OnceCell::new).take(count).collect(),
        }
    }

    pub(super) fn at(&self, place: Number) -> &Of {
        self.each[place as usize].get_or_init(|| {
            let waves = self.acting.waves(place);
            let sea = waves.sea;
            Of {
                waves,
                depth: self.depth,
                highest: highest_exceeded(sea.height, self.time / sea.shortest, EXCEEDANCE),
                counts: counts(sea.height, self.length),
                steepness: OnceCell::new(),
                astern: OnceCell::new(),
                lengths: OnceCell::new(),
            }
        })
    }
}
