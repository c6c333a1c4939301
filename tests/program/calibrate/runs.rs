//! Runs of a boat whose figures are known, made by equations written anew here and not by those of
//! the program.

use std::path::Path;
use std::sync::Arc;

use jiff::{SignedDuration, Timestamp};
use offing::door::calibrate::{Run, Wind};
use offing::door::check::{asked, on_large_stacks};
use offing::door::models::plane::Point;
use offing::door::plan::Site;
use offing::door::plan::Vessel;
use offing::door::source::WorkTree;
use offing::door::track::{Sample, Track};
use offing::door::units::{Angle, Current, FromDirection, Length, Speed, Voltage};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, Normal};

/// What is true of the boat.
#[derive(Clone, Copy)]
pub struct Truth {
    /// Hotel load, W.
    pub hotel: f64,
    /// The powers of the trial are off by this factor.
    pub trial: f64,
    /// Drag coefficient.
    pub drag: f64,
    /// Internal resistance, ohm.
    pub resistance: f64,
    /// Residuary coefficient of a boat that has no trial.
    pub residuary: Option<f64>,
}

/// Worse than the demo's boat is stated in every figure.
pub const WORSE: Truth = Truth {
    hotel: 10.5,
    trial: 1.08,
    drag: 1.15,
    resistance: 0.075,
    residuary: None,
};

/// Better in every figure.
pub const BETTER: Truth = Truth {
    hotel: 7.5,
    trial: 0.9,
    drag: 0.6,
    resistance: 0.045,
    residuary: None,
};

/// What is not known of a run, as standard deviations.
#[derive(Clone, Copy)]
pub struct Scatter {
    /// Of the power from fix to fix, W.
    pub power: f64,
    /// Of the mean power of a leg, W: gusts that last, a trim, weed.
    pub leg: f64,
    /// Of a position, m.
    pub place: f64,
    /// Of a voltage, V.
    pub voltage: f64,
    /// Of a current, A.
    pub current: f64,
}

pub const QUIET: Scatter = Scatter {
    power: 2.0,
    leg: 0.0,
    place: 0.15,
    voltage: 0.01,
    current: 0.0,
};

/// How it was run.
#[derive(Clone)]
pub struct Course {
    /// When it began.
    pub start: &'static str,
    /// Where the wind came from, degrees.
    pub from: f64,
    /// Its mean at 2 m, m/s.
    pub wind: f64,
    /// Off the wind's own line, degrees: 0 runs against it and with it.
    pub across: f64,
    /// Speed of each leg, m/s; they alternate against and with the wind.
    pub speeds: Vec<f64>,
    /// Length of each in time, s.
    pub seconds: f64,
}

/// Three speeds, twice each way.
pub fn course(start: &'static str, from: f64, wind: f64) -> Course {
    Course {
        start,
        from,
        wind,
        across: 0.0,
        speeds: vec![0.6, 0.6, 1.2, 1.2, 0.9, 0.9, 1.2, 1.2, 0.6, 0.6, 0.9, 0.9],
        seconds: 300.0,
    }
}

/// The demo's boat and water.
pub fn boat() -> (Arc<Vessel>, Arc<Site>) {
    on_large_stacks(|| {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let tree = WorkTree::open(&root).unwrap();
        let plan = asked(&tree, "north-bay-lines", None).unwrap().plan;
        (plan.vessel, plan.site)
    })
}

/// The trial of the demo's boat, by straight lines between its points.
fn trial(v: f64) -> f64 {
    let points = [
        (0.4, 2.1),
        (0.6, 6.6),
        (0.8, 15.0),
        (1.0, 30.0),
        (1.2, 54.0),
        (1.4, 94.0),
    ];
    let after = points
        .iter()
        .position(|point| point.0 >= v - 1e-12)
        .unwrap();
    let ((v0, p0), (v1, p1)) = (points[after - 1], points[after]);
    p0 + (p1 - p0) * (v - v0) / (v1 - v0)
}

/// Electrical watts of a hull of 1.1 m, 20 kg, 0.15 m deep in fresh water: ITTC 1957 with k = 0.3,
/// wetted surface by Denny–Mumford (from memory).
fn modelled(v: f64, residuary: f64) -> f64 {
    let surface = 1.7 * 1.1 * 0.15 + 0.020 / 0.15;
    let friction = 0.075 / ((v * 1.1 / 1.139e-6).log10() - 2.0).powi(2);
    0.5 * 1000.0 * v.powi(3) * surface * (friction * 1.3 + residuary) / (0.45 * 0.70)
}

/// Watts that the boat draws: hotel load, hull, and the drag of 0.08 m² at 0.3 m over 31.5 %.
pub fn watts(truth: &Truth, v: f64, ahead: f64, across: f64) -> f64 {
    let share = (0.3_f64 / 2e-4).ln() / (2.0_f64 / 2e-4).ln();
    let (ahead, across) = (ahead * share + v, across * share);
    let force = 0.5 * 1.225 * truth.drag * 0.08 * ahead.hypot(across) * ahead;
    let hull = match truth.residuary {
        Some(residuary) => modelled(v, residuary),
        None => truth.trial * trial(v),
    };
    truth.hotel + hull + force * v / (0.45 * 0.70)
}

/// Resting volts of four cells, nickel manganese cobalt, between two of its charges.
fn resting(charge: f64) -> f64 {
    let curve = [
        2.5, 3.2959, 3.4852, 3.5814, 3.6670, 3.7509, 3.8406, 3.9479, 4.0421, 4.0967, 4.2,
    ];
    let along = charge * 10.0;
    let below = along.floor().min(9.0);
    let (low, high) = (curve[below as usize], curve[below as usize + 1]);
    4.0 * (low + (high - low) * (along - below))
}

/// Runs it.
pub fn run(site: &Site, truth: &Truth, scatter: &Scatter, course: &Course, seed: u64) -> Run {
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    let mut drawn = |size: f64| Normal::new(0.0, size).unwrap().sample(&mut dice);
    let from = (course.from + course.across).to_radians();
    let upwind = Point::new(from.sin(), from.cos());
    let off = course.across.to_radians();
    let mut at = Point::new(-500.0, -150.0) - upwind.scale(200.0);
    let mut time: Timestamp = course.start.parse().unwrap();
    let mut charge = 0.95;
    let mut samples = Vec::new();
    for (number, speed) in course.speeds.iter().enumerate() {
        let way = if number % 2 == 0 { 1.0 } else { -1.0 };
        let heading = upwind.scale(way);
        let mean = watts(
            truth,
            *speed,
            way * course.wind * off.cos(),
            course.wind * off.sin(),
        ) + drawn(scatter.leg);
        let mut gone = 0.0;
        while gone < course.seconds {
            let power = mean + drawn(scatter.power);
            let open = resting(charge);
            let r = truth.resistance;
            let current = (open - (open * open - 4.0 * r * power).sqrt()) / (2.0 * r);
            charge -= current * 2.0 / (9.3 * 3600.0);
            let place = at + Point::new(drawn(scatter.place), drawn(scatter.place));
            let mut sample = Sample::at(time, site.plane.to_position(place));
            let volts = open - current * r + drawn(scatter.voltage);
            sample.voltage = Some(Voltage::volts(volts));
            sample.current = Some(Current::amperes(current + drawn(scatter.current)));
            samples.push(sample);
            at = at + heading.scale(speed * 2.0);
            time += SignedDuration::from_secs(2);
            gone += 2.0;
        }
    }
    Run {
        file: format!("run-{seed}.csv"),
        sha256: format!("{seed:064x}"),
        track: Track {
            samples,
            without_fix: 0,
            cut_off: false,
        },
        aside: Vec::new(),
        wind: Wind {
            from: FromDirection::new(Angle::degrees(course.from)),
            mean: Speed::metres_per_second(course.wind),
            height: Length::metres(2.0),
        },
        known: "as given".to_owned(),
        anemometer: None,
    }
}
