//! A run that is made up: along the demo's route, with power, depth and link that are known.

use std::path::Path;

use jiff::{SignedDuration, Timestamp};
use offing::door::check::{asked, on_large_stacks};
use offing::door::models::plane::Point;
use offing::door::plan::Plan;
use offing::door::source::WorkTree;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use rand_distr::{Distribution as _, Normal};

use super::MISSION;

/// Between two rows, s.
pub const EVERY: f64 = 5.0;

/// A row as it is written.
#[derive(Clone, Debug)]
pub struct Row {
    pub time: Timestamp,
    pub latitude: f64,
    pub longitude: f64,
    pub voltage: f64,
    pub current: f64,
    pub depth: f64,
    pub link: f64,
    /// The leg that it was made on; not written.
    pub leg: usize,
}

/// What a run is made with.
#[derive(Clone, Debug)]
pub struct Making {
    /// Speed of every leg as a share of the plan's.
    pub speed: f64,
    /// Power out of the pack on legs before `turn` and from it on, W.
    pub power: (f64, f64),
    /// First leg of the return leg.
    pub turn: usize,
    /// Distance to the right of the legs, m.
    pub offset: f64,
    /// Standard deviation of each row's place, m.
    pub noise: f64,
    /// By how much the bed is shoaler than the site says, m.
    pub shoaler: f64,
    /// Seconds after the planned time.
    pub late: f64,
    /// Leg that is left half way for the recovery point, straight.
    pub leave: Option<usize>,
}

impl Default for Making {
    fn default() -> Self {
        Self {
            speed: 1.0,
            power: (50.0, 50.0),
            turn: usize::MAX,
            offset: 0.0,
            noise: 0.0,
            shoaler: 0.0,
            late: 0.0,
            leave: None,
        }
    }
}

/// The plan of the demo that runs are made along.
pub fn plan() -> Plan {
    on_large_stacks(|| {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
        let tree = WorkTree::open(&root).unwrap();
        asked(&tree, MISSION, None).unwrap().plan
    })
}

/// Makes a run: half a minute at the launch point, every leg with its pause, half a minute at the
/// recovery point. Voltage sags with what was taken; the link falls with the distance from the mast
/// as in free space (ITU-R P.525).
pub fn run(making: &Making) -> Vec<Row> {
    let plan = plan();
    let plane = plan.site.plane;
    let mut dice = ChaCha8Rng::seed_from_u64(20_270_622);
    let unit = Normal::new(0.0, 1.0).unwrap();
    let mut rows: Vec<Row> = Vec::new();
    let begin = plan.mission.launch.time.value;
    let mut taken = 0.0;
    let bed = &plan.site.depths.soundings.as_ref().unwrap().bed;
    let level = plan
        .site
        .depths
        .level
        .as_ref()
        .unwrap()
        .above_datum
        .value
        .get();
    let stations = &plan.site.stations;
    let mut put = |at: Point, leg: usize, watts: f64| {
        let seconds = making.late + EVERY * rows.len() as f64;
        let time = begin + SignedDuration::from_millis((seconds * 1000.0) as i64);
        let noise = Point::new(unit.sample(&mut dice), unit.sample(&mut dice)).scale(making.noise);
        let position = plane.to_position(at + noise);
        let voltage = 16.5 - 0.4 * taken / 36_000.0 - 0.004 * watts;
        taken += watts * EVERY;
        let depth = bed
            .depth_at(at)
            .map_or(0.0, |depth| depth.get() + level - making.shoaler);
        let mast = stations
            .iter()
            .map(|one| one.at.distance(at))
            .fold(f64::INFINITY, f64::min);
        let link = -38.0 - 20.0 * (mast.max(5.0) / 10.0).log10() + 1.5 * unit.sample(&mut dice);
        rows.push(Row {
            time,
            latitude: position.latitude.to_degrees(),
            longitude: position.longitude.to_degrees(),
            voltage,
            current: watts / voltage,
            depth: depth + 0.04 * unit.sample(&mut dice) * f64::from(making.noise > 0.0),
            link,
            leg,
        });
    };
    let hold = |put: &mut dyn FnMut(Point, usize, f64), at, leg, seconds: f64, watts| {
        for _ in 0..(seconds / EVERY).round() as usize {
            put(at, leg, watts);
        }
    };
    let legs = &plan.mission.legs;
    hold(&mut put, legs[0].from, 0, 30.0, 9.0);
    for (index, leg) in legs.iter().enumerate() {
        let watts = if index < making.turn {
            making.power.0
        } else {
            making.power.1
        };
        let ahead = (leg.to - leg.from).unit().unwrap();
        let right = Point::new(ahead.y, -ahead.x).scale(making.offset);
        // Slow legs take less.
        let slow = leg.speed().get() < 0.8;
        let watts = if slow { 0.4 * watts } else { watts };
        let leave = making.leave == Some(index);
        let speed = leg.speed().get() * making.speed;
        let to = if leave {
            leg.from.lerp(leg.to, 0.5)
        } else {
            leg.to
        };
        go(&mut put, (leg.from, to), right, speed, index, watts);
        if leave {
            let home = plan.mission.recovery.at.value;
            go(
                &mut put,
                (to, home),
                Point::ZERO,
                speed,
                index,
                making.power.1,
            );
            break;
        }
        if let Some(pause) = &leg.pause {
            hold(&mut put, leg.to, index, pause.value.get(), 12.0);
        }
    }
    let last = legs.len() - 1;
    hold(&mut put, plan.mission.recovery.at.value, last, 30.0, 9.0);
    rows
}

fn go(
    put: &mut dyn FnMut(Point, usize, f64),
    (from, to): (Point, Point),
    right: Point,
    speed: f64,
    leg: usize,
    watts: f64,
) {
    let steps = (from.distance(to) / (speed * EVERY)).ceil();
    let mut step = 0.0;
    while step < steps {
        put(from.lerp(to, step / steps) + right, leg, watts);
        step += 1.0;
    }
}

/// The rows as the demo's recorder writes them.
pub fn csv(rows: &[Row]) -> String {
    let mut text = String::from("utc,lat,lon,pack_v,pack_a,depth_m,control_dbm\n");
    for row in rows {
        text.push_str(&format!(
            "{},{:.7},{:.7},{:.2},{:.2},{:.2},{:.0}\n",
            row.time, row.latitude, row.longitude, row.voltage, row.current, row.depth, row.link
        ));
    }
    text
}
