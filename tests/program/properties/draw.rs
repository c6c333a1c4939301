//! Drawing plans at random: lakes, routes, winds.

use std::f64::consts::TAU;

use offing::door::models::plane::Point;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, RngSeed, TestRunner};

use super::scene::{Boat, Current, Hazard, Home, Scene, Station, Stop, Wind};

/// Runs a property on so many drawn values, the same ones each time, on the large stacks that the
/// program itself reads files on.
///
/// `OFFING_PROPERTIES=SEED` draws others, ten times as many.
pub fn hold<S: Strategy + Send + Sync>(
    cases: u32,
    strategy: &S,
    property: impl Fn(S::Value) -> Result<(), TestCaseError> + Send + Sync,
) {
    let seed = std::env::var("OFFING_PROPERTIES").ok();
    let (seed, times) = match seed.and_then(|text| text.parse().ok()) {
        Some(seed) => (seed, 10),
        None => (0x0ff1, 1),
    };
    let config = Config {
        cases: cases * times,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(seed),
        failure_persistence: None,
        max_shrink_iters: 60,
        ..Config::default()
    };
    let outcome = offing::door::check::on_large_stacks(|| {
        TestRunner::new(config)
            .run(strategy, &property)
            .map_err(|error| error.to_string())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

/// The unit vector of a bearing in degrees.
pub fn towards(degrees: f64) -> Point {
    let (east, north) = degrees.to_radians().sin_cos();
    Point::new(east, north)
}

/// A closed line about a middle whose radius varies with the bearing.
fn star(middle: Point, corners: u32, radius: impl Fn(f64) -> f64) -> Vec<Point> {
    (0..corners)
        .map(|index| {
            let bearing = 360.0 * f64::from(index) / f64::from(corners);
            middle + towards(bearing).scale(radius(bearing))
        })
        .collect()
}

/// How the radius of a lake varies with the bearing.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    pub radius: f64,
    /// Share and phase of two lobes and of three.
    pub two: (f64, f64),
    pub three: (f64, f64),
}

impl Shape {
    pub fn at(&self, bearing: f64) -> f64 {
        let angle = bearing.to_radians();
        self.radius
            * (1.0
                + self.two.0 * (2.0 * angle + self.two.1).cos()
                + self.three.0 * (3.0 * angle + self.three.1).cos())
    }

    /// A point a share of the way from the middle to the shore.
    pub fn point(&self, bearing: f64, share: f64) -> Point {
        towards(bearing).scale(self.at(bearing) * share)
    }
}

pub fn shape() -> impl Strategy<Value = Shape> + Clone {
    let lobe = |most: f64| (0.0..most, 0.0..TAU);
    (450.0..900.0f64, lobe(0.2), lobe(0.1)).prop_map(|(radius, two, three)| Shape {
        radius,
        two,
        three,
    })
}

pub fn wind() -> impl Strategy<Value = Wind> + Clone {
    (0.0..360.0f64, 0.0..25.0f64, 1.5..5.5f64, 1.0..1.7f64).prop_map(
        |(from, spread, mean, factor)| Wind {
            from,
            spread,
            mean,
            gust: mean * factor,
        },
    )
}

fn square(middle: Point, half: f64, turn: f64) -> Vec<Point> {
    [0.0, 90.0, 180.0, 270.0]
        .iter()
        .map(|corner| middle + towards(corner + turn).scale(half))
        .collect()
}

/// A plan on open water: no island, hazards, currents; launch, recovery and launch site are one.
pub fn bare(shape: Shape, quay: f64, stops: &[(f64, f64)], wind: Wind) -> Scene {
    let at = shape.point(quay, 0.9);
    Scene {
        outline: star(Point::ZERO, 48, |bearing| shape.at(bearing)),
        islands: Vec::new(),
        hazards: Vec::new(),
        keep_out: Vec::new(),
        currents: Vec::new(),
        stations: vec![Station {
            at: shape.point(quay, 1.02),
            transmit_power: 14.0,
            gain: 9.0,
            beam: None,
        }],
        zone: 60.0,
        far_quay: None,
        quay: at,
        launch: at,
        recovery: at,
        operator: shape.point(quay, 1.01),
        route: stops
            .iter()
            .map(|(bearing, share)| Stop::To {
                at: shape.point(*bearing, *share),
                speed: 1.1,
                pause: 0.0,
            })
            .collect(),
        last_speed: 1.1,
        home_speed: 1.1,
        home: Home::Straight,
        wind,
        boat: Boat::LITHIUM,
    }
}

/// A plan with something of everything.
pub fn full() -> impl Strategy<Value = Scene> + Clone {
    let place = || (0.0..360.0f64, 0.05..0.75f64);
    let basics = (
        shape(),
        0.0..360.0f64,
        prop::collection::vec(place(), 2..5),
        wind(),
        prop_oneof![Just(Home::Straight), Just(Home::AlongRoute)],
    );
    let things = (
        place(),
        20.0..60.0f64,
        place(),
        place(),
        place(),
        place(),
        0.0..360.0f64,
        0.02..0.15f64,
    );
    let survey = prop::option::of((place(), 40.0..90.0f64, 0.0..360.0f64, 18.0..40.0f64));
    let radio = (
        prop::option::of((0.0..360.0f64, 30.0..90.0f64)),
        10.0..20.0f64,
    );
    let boat = (
        prop_oneof![Just(Boat::LITHIUM), Just(Boat::LEAD)],
        0.0..3.0f64,
    );
    (basics, things, survey, radio, boat).prop_map(
        |((shape, quay, stops, wind, home), things, survey, (beam, gain), (boat, pause))| {
            let (island, size, rock, weir, reeds, stream, set, drift) = things;
            let at = |(bearing, share): (f64, f64)| shape.point(bearing, share);
            let mut scene = bare(shape, quay, &stops, wind);
            scene.islands = vec![star(at(island), 9, |bearing| {
                size * (1.0 + 0.2 * (2.0 * bearing.to_radians()).cos())
            })];
            scene.hazards = vec![
                Hazard {
                    form: "at",
                    points: vec![at(rock)],
                    clearance: 15.0,
                },
                Hazard {
                    form: "line",
                    points: vec![at(weir), at(weir) + towards(set).scale(40.0)],
                    clearance: 8.0,
                },
            ];
            scene.keep_out = vec![square(at(reeds), 35.0, set)];
            scene.currents = vec![Current {
                area: square(at(stream), 200.0, set),
                set,
                drift,
            }];
            scene.stations.push(Station {
                at: shape.point(quay + 70.0, 1.03),
                transmit_power: 14.0,
                // No antenna that radiates all round has more than 9 dBi.
                gain: if beam.is_some() { gain } else { 9.0 },
                beam,
            });
            scene.launch = shape.point(quay, 0.92);
            scene.recovery = shape.point(quay + 1.5, 0.9);
            if let Some((middle, half, direction, spacing)) = survey {
                scene.route.insert(
                    1,
                    Stop::Survey {
                        area: square(at(middle), half, direction * 0.7),
                        direction,
                        spacing,
                        speed: 1.0,
                    },
                );
            }
            if let Some(Stop::To { pause: held, .. }) = scene.route.first_mut() {
                *held = pause;
            }
            scene.last_speed = 0.6;
            scene.home = home;
            scene.boat = boat;
            scene
        },
    )
}
