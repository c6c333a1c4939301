//! An invented lake with two islands, and as many missions as are requested, each boat once a day; the same
//! on every run.

use std::f64::consts::TAU;
use std::fmt::Write as _;
use std::path::Path;

use jiff::ToSpan as _;
use offing::door::models::geodesy::{Plane, Position};
use offing::door::models::plane::Point;

use offing::door::source::MemoryTree;

const BOAT: &str = include_str!("../../plans/vessels/goosander.yaml");

/// What the lake is judged by: its shore is made of noise, with lines longer than those beside them, and its lines are
/// long.
const POLICY: &str = "kind: policy
format: 1
id: bench
title: Policy of the benchmarks
extends: builtin
rules:
  open-water-upwind: { enabled: false, reason: The shore is made of noise. }
  straight-shore: { enabled: false, reason: The shore is made of noise. }
  beam-sea: { at_most: 3 h, reason: The lines lie across the wind. }
  steep-waves: { enabled: false, reason: The lines lie across the wind. }
  synchronous-roll: { enabled: false, reason: The lines lie across the wind. }
  wave-groups: { enabled: false, reason: The lines lie across the wind. }
  approach-into-wind: { at_most: 120°, reason: The wind veers. }
";

/// Half the length and half the width of the lake, m.
const HALF: (f64, f64) = (1000.0, 400.0);
/// Middle and mean radius of each island, m.
const ISLANDS: [(Point, f64); 2] = [
    (Point::new(-620.0, 110.0), 70.0),
    (Point::new(640.0, -60.0), 45.0),
];
/// Distance between soundings, m.
const SOUNDED_EVERY: f64 = 50.0;
/// Days from the first on which a boat goes out once each.
const DAYS: usize = 30;
/// Legs of a mission beside the lines of its zigzag: the way there, the turn back, the approach.
const OTHER_LEGS: usize = 3;

/// What a mission is to come to.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Pack {
    /// A pack that brings the boat home with something left.
    Ample,
    /// A pack that brings it home with less left than is required.
    Scant,
}

fn plane() -> Plane {
    Plane::about(Position::from_degrees(52.4, -24.3))
}

/// A number between 0 and 1 from two others, by the finaliser of `SplitMix64`.
fn hashed(one: u64, two: u64) -> f64 {
    let mut z = one
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(two.wrapping_mul(0xd1b5_4a32_d192_ed03));
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// The radius of a shoreline at a share of the way round, 1 at the mean: octaves of noise, each
/// twice as fine and rather more than half as high. A function of the bearing, so that the line
/// cannot cross itself.
fn radius(share: f64, vertices: usize, seed: u64) -> f64 {
    let mut sum = 1.0;
    let mut cells = 6_usize;
    let mut height = 0.12;
    let mut octave = seed * 64;
    while cells * 2 <= vertices {
        let along = share * cells as f64;
        let cell = along as usize;
        let rest = along - cell as f64;
        let smooth = rest * rest * (3.0 - 2.0 * rest);
        let at = |index: usize| 2.0 * hashed(octave, (index % cells) as u64) - 1.0;
        sum += height * (at(cell) + smooth * (at(cell + 1) - at(cell)));
        cells *= 2;
        height *= 0.55;
        octave += 1;
    }
    sum
}

fn outer(share: f64, vertices: usize) -> Point {
    let r = radius(share, vertices, 1);
    let (sin, cos) = (share * TAU).sin_cos();
    Point::new(HALF.0 * r * cos, HALF.1 * r * sin)
}

/// The rings of the lake with a number of vertices in all: nine tenths are the outer shore's.
fn rings(vertices: usize) -> Vec<Vec<Point>> {
    let island = vertices / 20;
    let around = vertices - 2 * island;
    let mut rings = vec![
        (0..around)
            .map(|i| outer(i as f64 / around as f64, around))
            .collect::<Vec<_>>(),
    ];
    for (seed, (middle, mean)) in (2..).zip(ISLANDS) {
        rings.push(
            (0..island)
                .map(|i| {
                    let share = i as f64 / island as f64;
                    let r = mean * radius(share, island, seed);
                    // The other way round, as GeoJSON asks of holes.
                    let (sin, cos) = (-share * TAU).sin_cos();
                    middle + Point::new(r * cos, r * sin)
                })
                .collect(),
        );
    }
    rings
}

/// The shoreline file.
#[must_use]
pub fn shoreline(vertices: usize) -> String {
    let plane = plane();
    let mut text = String::from(
        "{\n  \"type\": \"FeatureCollection\",\n  \"features\": [\n    {\n      \"type\": \"Feature\",\n      \
         \"properties\": { \"name\": \"invented\" },\n      \"geometry\": {\n        \"type\": \"Polygon\",\n        \
         \"coordinates\": [\n",
    );
    let rings = rings(vertices);
    for (number, ring) in rings.iter().enumerate() {
        text.push_str("          [\n");
        for (i, point) in ring.iter().chain(ring.first()).enumerate() {
            let at = plane.to_position(*point);
            let comma = if i < ring.len() { "," } else { "" };
            let (longitude, latitude) = (at.longitude.to_degrees(), at.latitude.to_degrees());
            let _ = writeln!(text, "            [{longitude:.8}, {latitude:.8}]{comma}");
        }
        let comma = if number + 1 < rings.len() { "," } else { "" };
        let _ = writeln!(text, "          ]{comma}");
    }
    text.push_str("        ]\n      }\n    }\n  ]\n}\n");
    text
}

/// The soundings: an uneven bed some metres down, as far as a boat comes.
fn soundings(vertices: usize) -> String {
    let plane = plane();
    let mut text = String::from("{ \"type\": \"FeatureCollection\", \"features\": [\n");
    let (columns, rows) = (52_u32, 24_u32);
    let around = vertices - 2 * (vertices / 20);
    let along =
        |number: u32, of: u32| SOUNDED_EVERY * (f64::from(number) - f64::from(of - 1) / 2.0);
    let grid = (0..columns * rows).map(|index| (index % columns, index / columns));
    let afloat = grid.filter_map(|(column, row)| {
        let at = Point::new(along(column, columns), along(row, rows));
        let (east, north) = (at.x / HALF.0, at.y / HALF.1);
        let share = (north.atan2(east) / TAU).rem_euclid(1.0);
        // A little way up the bank as well, where the chart is no better than that.
        let ashore = ISLANDS
            .iter()
            .any(|(middle, mean)| middle.distance(at) < 1.2 * mean);
        let within = east.hypot(north) < radius(share, around, 1) + 0.02;
        (within && !ashore).then_some((column, row, at))
    });
    let mut comma = "";
    for (column, row, at) in afloat {
        let at = plane.to_position(at);
        let depth = 4.0 + 4.0 * hashed(2_000_000 + u64::from(column), u64::from(row));
        let (longitude, latitude) = (at.longitude.to_degrees(), at.latitude.to_degrees());
        let _ = write!(
            text,
            "{comma}  {{ \"type\": \"Feature\", \"properties\": {{ \"depth\": {depth:.2} }}, \"geometry\": \
             {{ \"type\": \"Point\", \"coordinates\": [{longitude:.7}, {latitude:.7}] }} }}"
        );
        comma = ",\n";
    }
    text.push_str("\n] }\n");
    text
}

pub fn written(point: Point) -> String {
    let at = plane().to_position(point);
    format!(
        "[{:.7}, {:.7}]",
        at.latitude.to_degrees(),
        at.longitude.to_degrees()
    )
}

/// Where the slip is: the southernmost part of the shore, whatever its number of vertices.
fn slip(vertices: usize) -> Point {
    let around = vertices - 2 * (vertices / 20);
    outer(0.75, around)
}

fn site(vertices: usize) -> String {
    let slip = slip(vertices);
    let (place, mast) = (
        written(slip + Point::new(0.0, 12.0)),
        written(slip + Point::new(4.0, -3.0)),
    );
    let rock = written(Point::new(-640.0, -40.0));
    format!(
        "kind: site
format: 1
id: lake
shoreline: {{ file: lake.geojson, error: 2 m }}
time_zone: Etc/UTC
water: fresh
mean_depth: 7 m
land_height: 12 m
soundings: {{ file: soundings.geojson, datum: the sill, surveyed: 2026-09-01, error: 0.2 m, longest_edge: 90 m }}
water_level: {{ above_datum: -0.2 m, read: 2027-06-10, error: 0.1 m }}
hazards:
  - {{ id: rock, kind: rock, at: {rock}, clearance: 15 m }}
keep_out: []
currents: []
emergency_contact: the keeper
other_users: []
launch_sites:
  - {{ id: slip, at: {place}, zone: 50 m, depth: 1 m }}
permissions:
  - {{ id: owner, from: 2027-01-01, until: 2027-12-31 }}
stations:
  - id: mast
    at: {mast}
    radios:
      - link: control
        frequency: 868 MHz
        transmit_power: 14 dBm
        sensitivity: -103 dBm
        antenna: {{ gain: 8 dBi, height: 6 m, azimuth: 000°, beamwidth: 120°, polarisation: vertical }}
      - link: telemetry
        frequency: 2.4 GHz
        transmit_power: 20 dBm
        sensitivity: -97 dBm
        antenna: {{ gain: 9 dBi, height: 6 m, azimuth: 000°, beamwidth: 120°, polarisation: vertical }}
"
    )
}

/// Id of the boat of a mission.
fn boat_id(number: usize) -> String {
    match number / DAYS {
        0 => "goosander".to_owned(),
        boat => format!("goosander-{boat}"),
    }
}

fn boat(id: &str, pack: Pack) -> String {
    // The demo's own pack is made for runs of a fifth of the length.
    let capacity = match pack {
        Pack::Scant => 25,
        Pack::Ample => 60,
    };
    BOAT.replace("id: goosander\n", &format!("id: {id}\n"))
        .replace(
            "nominal_capacity: 10 Ah",
            &format!("nominal_capacity: {capacity} Ah"),
        )
        .replace(
            "measured_capacity: 9.3 Ah",
            &format!("measured_capacity: {capacity} Ah"),
        )
        .replace("state_of_health: 93 %", "state_of_health: 100 %")
        .replace(
            "capacity_set: 9.0 Ah",
            &format!("capacity_set: {capacity} Ah"),
        )
        .replace(
            "internal_resistance: 60 mohm",
            "internal_resistance: 12 mohm",
        )
}

/// A mission of so many legs: a zigzag of sounding lines, each 100 to 150 m long, over the same
/// water however many they are.
#[must_use]
pub fn mission(number: usize, vertices: usize, legs: usize) -> String {
    let lines = legs - OTHER_LEGS;
    let slip = slip(vertices);
    let random = |what: u64| hashed(1_000_000 + number as u64, what);
    let mut route = String::new();
    let start = Point::new(-480.0 + 200.0 * random(0), -120.0 + 100.0 * random(1));
    let (length, width) = (105.0 + 40.0 * random(2), 513.0 + 228.0 * random(3));
    let step = width / lines as f64;
    for line in 0..=lines {
        let north = if line % 2 == 0 { 0.0 } else { length };
        let at = start + Point::new(step * line as f64, north + 3.0 * random(10 + line as u64));
        let _ = writeln!(
            route,
            "  - {{ id: p{line}, to: {}, speed: {{ over_ground: 1.1 m/s }} }}",
            written(at)
        );
    }
    let turn = written(slip + Point::new(0.0, 110.0));
    let _ = writeln!(
        route,
        "  - {{ id: line-up, to: {turn}, speed: {{ over_ground: 1.1 m/s }} }}"
    );
    let (launch, recovery, operator) = (
        written(slip + Point::new(0.0, 12.0)),
        written(slip + Point::new(0.0, 30.0)),
        written(slip + Point::new(-3.0, -2.0)),
    );
    let day = jiff::civil::date(2027, 6, 15)
        .saturating_add(i64::try_from(number % DAYS).unwrap_or_default().days());
    let charged = day.saturating_sub(1.day());
    let boat = boat_id(number);
    let mut hours = String::new();
    for hour in 9..22 {
        let _ = writeln!(
            hours,
            "      - {{ time: {day}T{hour:02}:00, from: 200°, mean: 6 m/s, gust: 9.2 m/s }}"
        );
    }
    format!(
        "kind: mission
format: 1
id: lines-{number}
title: Sounding lines, number {number}
vessel: {boat}
site: lake
team:
  person_in_charge: survey lead
  remote_operator: operator
  lookout: helper
  recovery_crew: survey lead and helper
  at_water: 3
  flotation: buoyancy aids
alarm: {{ means: telephone, shore_contact: office, overdue: 30 min }}
operator: {{ at: {operator}, reaction_time: 10 s }}
safety_boat: {{ place: slip, speed: 2.5 m/s, ready_within: 2 min, wind_limit: 12 m/s }}
launch: {{ place: slip, at: {launch}, time: {day}T09:30, delay: 10 min, latest_return: {day}T19:30 }}
recovery: {{ place: slip, at: {recovery} }}
charge_at_launch: 95 %
charged: {charged}
conditions:
  forecast:
    source: invented
    issued: {day}T06:00
    valid_until: {day}T22:00
    height: 10 m
    spread: 20°
    hours:
{hours}  water_temperature: 15 °C
  visibility: 5 km
speed: {{ over_ground: 0.6 m/s }}
route:
{route}return_leg: {{ path: straight, speed: 1.1 m/s, at_end: hold }}
links: {{ control: needed, telemetry: logged aboard, sonar-data: not used }}
stations: [{{ station: mast, operator_at: {operator} }}]
soundings: {{ survey_order: order 1b, depths: {{ least: 3 m, greatest: 12 m }}, level_error: 0.05 m, sound_speed: profile }}
at_end: {{ action: hold }}
on_lost_link: {{ action: hold, after: 10 s }}
on_low_battery: {{ action: return, below_charge: 37 % }}
on_lost_position: {{ action: stop, after: 5 s }}
on_lost_propulsion: {{ action: drift, then: the crew fetches it }}
manual_override: {{ over: control, within: 2 s }}
"
    )
}

/// Puts a repository on the disk.
pub fn write(tree: &MemoryTree, folder: &Path) {
    for (path, text) in &tree.files {
        let at = folder.join(path);
        let made = at.parent().map_or(Ok(()), std::fs::create_dir_all);
        let written = made.and_then(|()| std::fs::write(&at, text));
        assert!(written.is_ok(), "{}", at.display());
    }
}

/// A whole repository.
#[must_use]
pub fn repository(vertices: usize, missions: usize, pack: Pack) -> MemoryTree {
    of_legs(vertices, missions, pack, 60)
}

/// A whole repository, its missions of so many legs.
#[must_use]
pub fn of_legs(vertices: usize, missions: usize, pack: Pack, legs: usize) -> MemoryTree {
    let mut tree = MemoryTree::default();
    for number in (0..missions).step_by(DAYS) {
        let id = boat_id(number);
        tree.put(format!("vessels/{id}.yaml"), boat(&id, pack));
    }
    tree.put("site/lake.yaml", site(vertices));
    tree.put("site/lake.geojson", shoreline(vertices));
    tree.put("site/soundings.geojson", soundings(vertices));
    tree.put("policy/bench.yaml", POLICY);
    for number in 0..missions {
        let path = format!("missions/lines-{number:04}.yaml");
        tree.put(path, mission(number, vertices, legs));
    }
    tree
}
