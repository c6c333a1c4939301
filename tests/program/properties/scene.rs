//! A whole plan from numbers: an invented lake in the plane, a boat and a mission, written out as
//! the files that a team would write.

use std::fmt::Write as _;

use offing::door::models::geodesy::{Plane, Position};
use offing::door::models::plane::Point;

use offing::door::source::MemoryTree;

/// A fixed danger.
#[derive(Clone, Debug)]
pub struct Hazard {
    /// `at`, `line` or `area`.
    pub form: &'static str,
    pub points: Vec<Point>,
    pub clearance: f64,
}

/// An area with a current.
#[derive(Clone, Debug)]
pub struct Current {
    pub area: Vec<Point>,
    pub set: f64,
    pub drift: f64,
}

/// A shore station with a radio for the control link.
#[derive(Clone, Debug)]
pub struct Station {
    pub at: Point,
    pub transmit_power: f64,
    pub gain: f64,
    /// Azimuth and beam width in degrees, where it is directional.
    pub beam: Option<(f64, f64)>,
}

/// One entry of the route.
#[derive(Clone, Debug)]
pub enum Stop {
    To {
        at: Point,
        speed: f64,
        /// Minutes held there.
        pause: f64,
    },
    Survey {
        area: Vec<Point>,
        direction: f64,
        spacing: f64,
        speed: f64,
    },
}

/// The wind planned for, in degrees and m/s.
#[derive(Clone, Copy, Debug)]
pub struct Wind {
    pub from: f64,
    pub spread: f64,
    pub mean: f64,
    pub gust: f64,
}

/// What differs between boats.
#[derive(Clone, Copy, Debug)]
pub struct Boat {
    pub chemistry: &'static str,
    pub cells: u32,
    pub cut_off: f64,
    /// Measured capacity, Ah.
    pub capacity: f64,
    /// Resistance of the pack, mΩ.
    pub resistance: f64,
    pub beam: f64,
    pub turning_radius: f64,
    pub maximum_power: f64,
    pub transmit_power: f64,
    /// Charge at launch, %.
    pub charge: f64,
    pub temperature: f64,
}

impl Boat {
    pub const LITHIUM: Self = Self {
        chemistry: "nmc",
        cells: 4,
        cut_off: 12.8,
        capacity: 9.3,
        resistance: 60.0,
        beam: 0.45,
        turning_radius: 1.5,
        maximum_power: 200.0,
        transmit_power: 14.0,
        charge: 100.0,
        temperature: 20.0,
    };

    pub const LEAD: Self = Self {
        chemistry: "lead-acid",
        cells: 6,
        cut_off: 10.8,
        capacity: 18.0,
        ..Self::LITHIUM
    };
}

/// What the boat does when something fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Home {
    Straight,
    AlongRoute,
    /// No contingency brings it home.
    Never,
}

/// A whole plan.
#[derive(Clone, Debug)]
pub struct Scene {
    pub outline: Vec<Point>,
    pub islands: Vec<Vec<Point>>,
    pub hazards: Vec<Hazard>,
    pub keep_out: Vec<Vec<Point>>,
    pub currents: Vec<Current>,
    pub stations: Vec<Station>,
    /// Radius of the launch site, whose middle is the launch site.
    pub zone: f64,
    /// Launch site of the recovery, where it is another.
    pub far_quay: Option<Point>,
    pub quay: Point,
    pub launch: Point,
    pub recovery: Point,
    pub operator: Point,
    pub route: Vec<Stop>,
    pub last_speed: f64,
    pub home_speed: f64,
    pub home: Home,
    pub wind: Wind,
    pub boat: Boat,
}

/// The middle of every lake: open ocean.
const ORIGIN: (f64, f64) = (52.4, -24.3);

impl Scene {
    /// The plan with every point and every bearing changed.
    pub fn mapped(&self, point: impl Fn(Point) -> Point, bearing: impl Fn(f64) -> f64) -> Self {
        let all = |points: &Vec<Point>| points.iter().map(|p| point(*p)).collect::<Vec<_>>();
        let mut scene = self.clone();
        scene.outline = all(&self.outline);
        scene.islands = self.islands.iter().map(all).collect();
        for hazard in &mut scene.hazards {
            hazard.points = all(&hazard.points);
        }
        scene.keep_out = self.keep_out.iter().map(all).collect();
        for current in &mut scene.currents {
            current.area = all(&current.area);
            current.set = bearing(current.set);
        }
        for station in &mut scene.stations {
            station.at = point(station.at);
            station.beam = station
                .beam
                .map(|(azimuth, width)| (bearing(azimuth), width));
        }
        for at in [
            &mut scene.quay,
            &mut scene.launch,
            &mut scene.recovery,
            &mut scene.operator,
        ] {
            *at = point(*at);
        }
        for stop in &mut scene.route {
            match stop {
                Stop::To { at, .. } => *at = point(*at),
                Stop::Survey {
                    area, direction, ..
                } => {
                    *area = all(area);
                    *direction = bearing(*direction);
                }
            }
        }
        scene.wind.from = bearing(scene.wind.from);
        scene
    }

    /// The plan turned clockwise about the middle of the lake.
    pub fn turned(&self, degrees: f64) -> Self {
        self.mapped(|p| p.rotated(degrees.to_radians()), |b| b + degrees)
    }

    /// The plan mirrored at a line through the middle of the lake.
    pub fn mirrored(&self, axis: f64) -> Self {
        let twice = 2.0 * axis;
        // Mirrored at the north axis first, then turned.
        self.mapped(
            |p| Point::new(-p.x, p.y).rotated(twice.to_radians()),
            |b| twice - b,
        )
    }

    /// The places of the waypoints.
    pub fn waypoint_mut(&mut self, index: usize) -> &mut Point {
        match &mut self.route[index] {
            Stop::To { at, .. } => at,
            Stop::Survey { .. } => panic!("entry {index} is a survey"),
        }
    }

    /// The files of the plan.
    pub fn tree(&self) -> MemoryTree {
        let plane = Plane::about(Position::from_degrees(ORIGIN.0, ORIGIN.1));
        let writer = Writer { plane };
        let files = [
            ("lake.geojson", writer.shoreline(self)),
            ("lake.yaml", writer.site(self)),
            ("boat.yaml", vessel(&self.boat)),
            ("run.yaml", writer.mission(self)),
        ];
        MemoryTree {
            files: files.map(|(path, text)| (path.to_owned(), text)).into(),
        }
    }
}

struct Writer {
    plane: Plane,
}

fn degrees(bearing: f64) -> String {
    format!("{:.9}°", bearing.rem_euclid(360.0) % 360.0)
}

impl Writer {
    fn numbers(&self, point: Point) -> (f64, f64) {
        let position = self.plane.to_position(point);
        (
            position.latitude.to_degrees(),
            position.longitude.to_degrees(),
        )
    }

    fn at(&self, point: Point) -> String {
        let (latitude, longitude) = self.numbers(point);
        format!("[{latitude:.10}, {longitude:.10}]")
    }

    fn list(&self, points: &[Point]) -> String {
        let all: Vec<String> = points.iter().map(|p| self.at(*p)).collect();
        format!("[{}]", all.join(", "))
    }

    fn ring(&self, points: &[Point]) -> String {
        let all: Vec<String> = points
            .iter()
            .chain(points.first())
            .map(|p| {
                let (latitude, longitude) = self.numbers(*p);
                format!("[{longitude:.10}, {latitude:.10}]")
            })
            .collect();
        format!("[{}]", all.join(", "))
    }

    fn shoreline(&self, scene: &Scene) -> String {
        let rings: Vec<String> = std::iter::once(&scene.outline)
            .chain(&scene.islands)
            .map(|ring| self.ring(ring))
            .collect();
        format!(
            "{{\"type\": \"Polygon\", \"coordinates\": [{}]}}",
            rings.join(",\n")
        )
    }

    fn site(&self, scene: &Scene) -> String {
        let mut text = format!(
            "kind: site\nformat: 1\nid: lake\ntitle: An invented lake\n\
             shoreline: {{ file: lake.geojson, error: 3 m, surveyed: 2026-09-03 }}\n\
             time_zone: Etc/UTC\nwater: fresh\nmean_depth: 6 m\nland_height: 8 m\n\
             launch_sites:\n  - {{ id: quay, at: {}, zone: {:.6} m, depth: 1.2 m }}\n",
            self.at(scene.quay),
            scene.zone
        );
        if let Some(far) = scene.far_quay {
            let (at, zone) = (self.at(far), scene.zone);
            // Writing to a String cannot fail.
            let _ = writeln!(
                text,
                "  - {{ id: far-quay, at: {at}, zone: {zone:.6} m, depth: 1.2 m }}"
            );
        }
        let mut list = |key: &str, items: Vec<String>| {
            if items.is_empty() && key == "stations" {
                return;
            }
            // Writing to a String cannot fail.
            let _ = if items.is_empty() {
                writeln!(text, "{key}: []")
            } else {
                writeln!(text, "{key}:\n{}", items.join("\n"))
            };
        };
        let number = |(index, item): (usize, String)| format!("  - {{ id: n{index}, {item} }}");
        let numbered = |items: Vec<String>| items.into_iter().enumerate().map(number).collect();
        let hazard = |hazard: &Hazard| {
            let place = match hazard.form {
                "at" => self.at(hazard.points[0]),
                _ => self.list(&hazard.points),
            };
            format!(
                "{}: {place}, clearance: {:.6} m",
                hazard.form, hazard.clearance
            )
        };
        list(
            "hazards",
            numbered(scene.hazards.iter().map(hazard).collect()),
        );
        let area = |points: &Vec<Point>| format!("area: {}", self.list(points));
        list(
            "keep_out",
            numbered(scene.keep_out.iter().map(area).collect()),
        );
        let current = |current: &Current| {
            format!(
                "area: {}, set: {}, drift: {:.6} m/s",
                self.list(&current.area),
                degrees(current.set),
                current.drift
            )
        };
        list(
            "currents",
            numbered(scene.currents.iter().map(current).collect()),
        );
        let station = |station: &Station| {
            let beam = station.beam.map_or(String::new(), |(azimuth, width)| {
                format!(", azimuth: {}, beamwidth: {width:.6}°", degrees(azimuth))
            });
            format!(
                "at: {}, radios: [{{ link: control, frequency: 868 MHz, \
                 transmit_power: {:.6} dBm, sensitivity: -103 dBm, losses: 1 dB, \
                 antenna: {{ gain: {:.6} dBi, height: 5 m, polarisation: vertical{beam} }} }}]",
                self.at(station.at),
                station.transmit_power,
                station.gain
            )
        };
        list(
            "stations",
            numbered(scene.stations.iter().map(station).collect()),
        );
        text
    }

    fn mission(&self, scene: &Scene) -> String {
        let wind = scene.wind;
        let (path, action) = match scene.home {
            Home::Straight => ("straight", "return"),
            Home::AlongRoute => ("along the route", "return"),
            Home::Never => ("straight", "hold"),
        };
        let far = scene.far_quay.map_or("quay", |_| "far-quay");
        let route: Vec<String> = scene
            .route
            .iter()
            .enumerate()
            .map(|(index, stop)| self.stop(index, stop))
            .collect();
        let manned: Vec<String> = (0..scene.stations.len())
            .map(|index| {
                let at = self.at(scene.stations[index].at);
                format!("{{ station: n{index}, operator_at: {at} }}")
            })
            .collect();
        format!(
            "kind: mission\nformat: 1\nid: run\ntitle: An invented run\nvessel: boat\nsite: lake\n\
             purpose: A property\n\
             team: {{ person_in_charge: lead, remote_operator: operator }}\n\
             operator: {{ at: {operator}, reaction_time: 10 s }}\n\
             launch: {{ place: quay, at: {launch}, time: 2027-06-15T09:30Z, delay: 0 min }}\n\
             recovery: {{ place: {far}, at: {recovery}, speed: {{ over_ground: {last:.6} m/s }} }}\n\
             charge_at_launch: {charge:.6} %\n\
             conditions:\n  wind: {{ from: {from}, spread: {spread:.6}°, mean: {mean:.9} m/s, \
             gust: {gust:.9} m/s, height: 10 m }}\n  water_temperature: {temperature:.6} °C\n\
             route:\n{route}\n\
             return_leg: {{ path: {path}, speed: {home:.6} m/s }}\n\
             links: {{ control: needed }}\n\
             stations: [{manned}]\n\
             at_end: {{ action: hold }}\n\
             on_lost_link: {{ action: {action}, after: 10 s }}\n\
             on_low_battery: {{ action: {action}, below_charge: 45 % }}\n\
             on_lost_position: {{ action: stop }}\n",
            operator = self.at(scene.operator),
            manned = manned.join(", "),
            launch = self.at(scene.launch),
            recovery = self.at(scene.recovery),
            last = scene.last_speed,
            charge = scene.boat.charge,
            from = degrees(wind.from),
            spread = wind.spread,
            mean = wind.mean,
            gust = wind.gust,
            temperature = scene.boat.temperature,
            route = route.join("\n"),
            home = scene.home_speed,
        )
    }

    fn stop(&self, index: usize, stop: &Stop) -> String {
        match stop {
            Stop::To { at, speed, pause } => format!(
                "  - {{ id: w{index}, to: {}, speed: {{ over_ground: {speed:.6} m/s }}, \
                 pause: {pause:.6} min }}",
                self.at(*at)
            ),
            Stop::Survey {
                area,
                direction,
                spacing,
                speed,
            } => format!(
                "  - {{ id: w{index}, survey: {{ area: {}, direction: {}, spacing: {spacing:.6} m, clear_of_land: 0 m }}, \
                 speed: {{ over_ground: {speed:.6} m/s }} }}",
                self.list(area),
                degrees(*direction)
            ),
        }
    }
}

/// Half the length of the hull, the least that a file may state, m.
const LEAST_RADIUS: f64 = 0.6;
/// Frontal area, m².
const FRONTAL: f64 = 0.08;

fn vessel(boat: &Boat) -> String {
    format!(
        "kind: vessel\nformat: 1\nid: boat\ntitle: An invented boat\n\
         hull: {{ length_overall: 1.20 m, waterline_length: 1.10 m, beam: {beam:.9} m, \
         draft: 0.15 m, displacement: 20 kg, bow_length: 0.45 m }}\n\
         windage: {{ frontal_area: {FRONTAL} m2, drag_coefficient: 0.9, height: {windage:.6} m, leeway: 4 % }}\n\
         propulsion:\n  maximum_power: {power:.6} W\n  propulsive_efficiency: 45 %\n\
         \x20 motor_efficiency: 70 %\n  minimum_steerageway: 0.3 m/s\n  stopping_distance: 3 m\n\
         \x20 trial:\n    date: 2027-04-22\n    evidence: invented\n    points:\n\
         \x20     - {{ speed: 0.4 m/s, power: 2.1 W }}\n\
         \x20     - {{ speed: 0.8 m/s, power: 15 W }}\n\
         \x20     - {{ speed: 1.2 m/s, power: 54 W }}\n\
         \x20     - {{ speed: 1.4 m/s, power: 94 W }}\n\
         \x20     - {{ speed: 1.8 m/s, power: 222 W }}\n\
         battery:\n  chemistry: {chemistry}\n  cells_in_series: {cells}\n\
         \x20 nominal_capacity: 40 Ah\n  measured_capacity: {capacity:.9} Ah\n\
         \x20 capacity_tested: 2027-04-10\n  usable_fraction: 80 %\n\
         \x20 internal_resistance: {resistance:.6} mohm\n  cut_off_voltage: {cut_off:.6} V\n\
         \x20 gauge: {{ counts: charge, capacity_set: 9 Ah }}\n\
         hotel_load: 9 W\n\
         radios:\n  - link: control\n    frequency: 868 MHz\n    transmit_power: {transmit:.6} dBm\n\
         \x20   sensitivity: -103 dBm\n\
         \x20   antenna: {{ gain: 2 dBi, height: 0.6 m, polarisation: vertical }}\n\
         sonar: {{ records: aboard }}\nlimits: {{ wave_height: 0.12 m }}\n\
         navigation: {{ position_error: 2 m, cross_track_error: 2 m, \
         turning_radius: {radius:.6} m, delay: 1 s }}\n",
        beam = boat.beam,
        power = boat.maximum_power,
        chemistry = boat.chemistry,
        cells = boat.cells,
        capacity = boat.capacity,
        resistance = boat.resistance,
        cut_off = boat.cut_off,
        transmit = boat.transmit_power,
        radius = boat.turning_radius.max(LEAST_RADIUS),
        windage = (FRONTAL / boat.beam / 2.0 + 0.001).max(0.3),
    )
}
