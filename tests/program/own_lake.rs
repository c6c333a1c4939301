//! From an empty folder to a first clean check, on a water and with a boat unlike the demo and the tutorial: a narrow
//! salt arm near the polar circle, an intake at its head, a boat on lead and acid, a radio ashore that is not the one
//! aboard. What its people type is counted. Not counted are what a command writes, what a skeleton proposes and they
//! leave as it is, the options of commands, and what is drawn on a map or listed in a table.

use std::path::Path;

use crate::shared::repo::Repo;

/// Most values that a newcomer types: our own aim.
const AIM: usize = 60;

const SITE: &str = "site/skarn-voe.yaml";
const VESSEL: &str = "vessels/whimbrel.yaml";
const ORDERS: &str = "orders/standing.yaml";
const MISSION: &str = "missions/first.yaml";

/// The shore, west and east, and what is marked on it; longitude first.
const OUTLINE: &str = r#"{ "type": "FeatureCollection", "features": [
  { "type": "Feature", "properties": {}, "geometry": { "type": "Polygon", "coordinates": [[
    [-30.390377, 66.214854], [-30.392097, 66.213534], [-30.394155, 66.211912], [-30.396524, 66.210019],
    [-30.397620, 66.207890], [-30.398069, 66.205897], [-30.399686, 66.204024], [-30.401155, 66.202011],
    [-30.401310, 66.200106], [-30.398690, 66.199894], [-30.397064, 66.201579], [-30.395417, 66.203515],
    [-30.394362, 66.205592], [-30.393476, 66.207548], [-30.391900, 66.209369], [-30.390263, 66.211245],
    [-30.388759, 66.213034], [-30.388253, 66.214586], [-30.390377, 66.214854]]] } },
  { "type": "Feature", "properties": { "kind": "launch site", "id": "slip" },
    "geometry": { "type": "Point", "coordinates": [-30.398047, 66.205897] } },
  { "type": "Feature", "properties": { "kind": "intake", "id": "hatchery" },
    "geometry": { "type": "Point", "coordinates": [-30.389315, 66.213034] } }
] }"#;

/// Down the arm and back, and up to the slip against the wind.
const ROUTE: &[(&str, &str)] = &[
    ("a", "-30.396661, 66.205116"),
    ("b", "-30.397329, 66.204129"),
    ("c", "-30.397997, 66.203052"),
    ("d", "-30.397507, 66.203016"),
    ("e", "-30.396839, 66.204093"),
    ("f", "-30.396104, 66.205161"),
    ("line-up", "-30.396550, 66.206283"),
    ("recovery", "-30.397491, 66.206014"),
];

const TRIAL: &str = "throttle,v,watts\noff,0,14\n30 %,0.62,27\n30 %,0.60,27\n50 %,0.93,45\n50 %,0.92,45\n\
                     70 %,1.22,85\n70 %,1.21,85\n85 %,1.45,139\n85 %,1.44,139\n100 %,1.67,226\n100 %,1.66,226\n";

const WIND: &str = "time,dir,wind,gust,vis\n2027-06-15T08:00,190,3,5,10\n2027-06-15T09:00,190,3.4,5.2,10\n\
                    2027-06-15T10:00,200,3.4,5.2,10\n2027-06-15T11:00,200,3.5,5.4,10\n";

/// A file in the hands of whoever fills it in.
struct Hand {
    text: String,
    typed: usize,
}

impl Hand {
    fn takes(repo: &Repo, path: &str) -> Self {
        let text = repo.read(path);
        Self { text, typed: 0 }
    }

    /// Types a value at the first line of a field that is left open, or in a comment.
    fn types(&mut self, field: &str, value: &str) {
        let open = format!("{field}: # ");
        let mut lines = self
            .text
            .lines()
            .map(str::to_owned)
            .collect::<Vec<String>>();
        let begins = |line: &&mut String| {
            let line = line.trim_start_matches([' ', '-', '#']);
            line.starts_with(&open)
        };
        let line = lines.iter_mut().find(begins);
        let line = line.unwrap_or_else(|| panic!("{field}:\n{}", self.text));
        let (before, _) = line.split_once(&open).unwrap();
        *line = format!("{}{field}: {value}", before.replace("# ", ""));
        self.text = lines.join("\n") + "\n";
        // Each value within braces is typed by itself.
        self.typed += value.matches(": ").count().max(1);
    }

    fn types_all(&mut self, values: &[(&str, &str)]) {
        for (field, value) in values {
            self.types(field, value);
        }
    }

    /// Types values at fields that stand behind a text of the file.
    fn types_behind(&mut self, text: &str, values: &[(&str, &str)]) {
        let behind = self.text.split_off(self.text.find(text).unwrap());
        let mut rest = Self {
            text: behind,
            typed: 0,
        };
        rest.types_all(values);
        self.text.push_str(&rest.text);
        self.typed += rest.typed;
    }

    /// Takes out a field with what stands in it, and puts what a command wrote in its place.
    fn pastes(&mut self, field: &str, lines: &str) {
        let deep = |line: &str| line.len() - line.trim_start().len();
        let mut text = String::new();
        let mut within: Option<usize> = None;
        for line in self.text.lines() {
            within = within.filter(|margin| deep(line) > *margin);
            if within.is_none() && line.trim_start().starts_with(&format!("{field}:")) {
                within = Some(deep(line));
                text.push_str(lines);
            }
            if within.is_none() {
                text.push_str(line);
                text.push('\n');
            }
        }
        assert_ne!(text, self.text, "{field}");
        self.text = text;
    }

    /// Puts the file back, and tells how much was typed.
    fn done(self, repo: &Repo, path: &str) -> usize {
        repo.write(path, &self.text);
        self.typed
    }
}

/// What a command writes.
fn wrote(repo: &Repo, arguments: &[&str]) -> String {
    let (status, text) = repo.run(arguments);
    assert_eq!(status, 0, "{arguments:?}: {text}");
    text
}

/// The lines of a field at the margin.
fn part(text: &str, field: &str) -> String {
    let begin = text
        .find(&format!("{field}:"))
        .unwrap_or_else(|| panic!("{field}: {text}"));
    let mut lines = text[begin..].lines();
    let first = lines.next().unwrap().to_owned();
    let rest = lines.take_while(|line| line.starts_with(' '));
    std::iter::once(first.as_str())
        .chain(rest)
        .map(|line| format!("{line}\n"))
        .collect()
}

fn site(repo: &Repo) -> usize {
    let shoreline = [
        "import",
        "shoreline",
        "outline.geojson",
        "-o",
        "site/shoreline.geojson",
    ];
    wrote(repo, &shoreline);
    let places = wrote(repo, &["import", "places", "outline.geojson"]);
    let mut site = Hand::takes(repo, SITE);
    site.pastes("hazards", &part(&places, "hazards"));
    site.pastes("launch_sites", &part(&places, "launch_sites"));
    // The radio ashore is another one.
    site.pastes("as", "");
    site.pastes("antenna_height", "");
    site.types_all(&[
        ("error", "4 m"),
        ("time_zone", "Etc/UTC"),
        ("least_depth", "1.2 m"),
        ("keep_out", "[]"),
        ("currents", "[]"),
        ("depth", "0.9 m"),
        ("frequency", "433 MHz"),
        ("transmit_power", "20 dBm"),
        ("sensitivity", "-118 dBm"),
        ("antenna", "{ gain: 5 dBi, height: 4 m }"),
        ("from", "2027-05-01"),
        ("until", "2027-08-31"),
        ("emergency_contact", "the master of the hatchery"),
    ]);
    site.done(repo, SITE)
}

fn vessel(repo: &Repo) -> usize {
    let columns = [
        "--setting",
        "throttle",
        "--speed",
        "v in m/s",
        "--power",
        "watts in W",
    ];
    let import = ["import", "trial", "trial.csv", "--date", "2027-05-20"];
    let trial = wrote(repo, &[&import[..], &columns[..]].concat());
    let mut vessel = Hand::takes(repo, VESSEL);
    let propulsion = part(&trial, "propulsion");
    vessel.pastes("trial", propulsion.split_once('\n').unwrap().1);
    vessel.pastes("hotel_load", &part(&trial, "hotel_load"));
    // The gauge reads a voltage.
    vessel.pastes("capacity_set", "");
    vessel.types_all(&[
        ("length_overall", "1.6 m"),
        ("waterline_length", "1.5 m"),
        ("beam", "0.7 m"),
        ("draft", "0.22 m"),
        ("displacement", "36 kg"),
        ("frontal_area", "0.14 m2"),
        ("leeway", "3 %"),
        ("maximum_power", "220 W"),
        ("minimum_steerageway", "0.3 m/s"),
        ("stopping_distance", "4 m"),
        ("stopping_speed", "1.2 m/s"),
        ("chemistry", "lead-acid"),
        ("cells_in_series", "6"),
        ("nominal_capacity", "40 Ah"),
        ("measured_capacity", "35 Ah"),
        ("capacity_tested", "2027-05-10"),
        ("internal_resistance", "24 mohm"),
        ("cut_off_voltage", "10.5 V"),
        ("empty", "1.98 V"),
        ("full", "2.12 V"),
        ("frequency", "433 MHz"),
        ("transmit_power", "20 dBm"),
        ("sensitivity", "-118 dBm"),
        ("gain", "2 dBi"),
    ]);
    // The antenna's height, and not that of the windage.
    vessel.types_behind("\nradios:", &[("height", "0.7 m")]);
    vessel.types_all(&[("wind", "9 m/s"), ("turning_radius", "2.5 m")]);
    vessel.done(repo, VESSEL)
}

fn orders(repo: &Repo) -> usize {
    let mut orders = Hand::takes(repo, ORDERS);
    orders.types_all(&[
        ("person_in_charge", "survey lead"),
        ("remote_operator", "operator"),
        ("lookout", "second hand"),
        ("recovery_crew", "survey lead and second hand, in the skiff"),
        ("at_water", "3"),
        ("flotation", "immersion suits for all three"),
    ]);
    // The mission's own speed comes first in the file, and is proposed.
    let behind = [
        ("speed", "2.5 m/s"),
        ("ready_within", "3 min"),
        ("wind_limit", "10 m/s"),
        ("means", "handheld radio, tried at the slip"),
        ("shore_contact", "the office of the hatchery"),
        ("how", "a call to the harbour the day before"),
    ];
    orders.types_behind("\nsafety_boat:", &behind);
    orders.done(repo, ORDERS)
}

fn mission(repo: &Repo) -> usize {
    wrote(
        repo,
        &[
            "import",
            "route",
            "route.geojson",
            "--id",
            "first",
            "-o",
            MISSION,
        ],
    );
    let columns = [
        "--time",
        "time in UTC",
        "--from",
        "dir in °",
        "--mean",
        "wind in m/s",
        "--gust",
        "gust in m/s",
        "--visibility",
        "vis in km",
        "--height",
        "10 m",
        "--spread",
        "20°",
    ];
    let given = [
        "import",
        "forecast",
        "wind.csv",
        "--source",
        "the coast's model",
        "--issued",
        "2027-06-15T04:00Z",
        "--valid-until",
        "2027-06-15T15:00Z",
    ];
    let forecast = wrote(repo, &[&given[..], &columns[..]].concat());
    let conditions = part(&forecast, "conditions");
    let mut mission = Hand::takes(repo, MISSION);
    mission.pastes("visibility", "");
    mission.pastes("wind", conditions.split_once('\n').unwrap().1);
    mission.types_all(&[
        ("time", "2027-06-15T09:00"),
        ("latest_return", "2027-06-15T10:30"),
        ("charged", "2027-06-14"),
        ("water_temperature", "9 °C"),
    ]);
    mission.done(repo, MISSION)
}

#[test]
fn fewer_than_sixty_values_make_a_clean_check_of_a_lake_of_ones_own() {
    let repo = Repo::empty();
    let init = [
        "init",
        "--site",
        "skarn-voe",
        "--vessel",
        "whimbrel",
        "--launch-site",
        "slip",
    ];
    wrote(&repo, &init);
    repo.write("outline.geojson", OUTLINE);
    repo.write("trial.csv", TRIAL);
    repo.write("wind.csv", WIND);
    let points: Vec<String> = ROUTE
        .iter()
        .map(|(name, at)| {
            format!(
                "{{ \"type\": \"Feature\", \"properties\": {{ \"name\": \"{name}\" }}, \"geometry\": {{ \"type\": \
                 \"Point\", \"coordinates\": [{at}] }} }}"
            )
        })
        .collect();
    let route = format!(
        "{{ \"type\": \"FeatureCollection\", \"features\": [{}] }}",
        points.join(", ")
    );
    repo.write("route.geojson", &route);
    let (site, vessel, orders) = (site(&repo), vessel(&repo), orders(&repo));
    let mission = mission(&repo);
    let (status, text) = repo.run(&["check", "."]);
    assert_eq!(status, 0, "{text}");
    assert!(text.contains("98 of 98"), "{text}");
    // What was proposed and is left as it is stands first among the assumptions.
    let files = [
        (MISSION, "mission"),
        (VESSEL, "vessel"),
        (SITE, "site"),
        (ORDERS, "orders"),
    ];
    let marks = files.map(|(path, what)| (repo.read(path).matches(" # proposed: ").count(), what));
    let all: usize = marks.iter().map(|(count, _)| count).sum();
    let counts = marks
        .map(|(count, what)| format!("{count} of the {what}"))
        .join(", ");
    let due = format!(
        "assumptions: - {all} values are offing's proposals, and nobody's statement until the mark “proposed” is \
         removed: {counts} - "
    );
    let words = |text: &str| text.split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(all > 30 && words(&text).contains(&due), "{due}: {text}");
    // Whoever takes a mark away states the value.
    let line = repo.read(ORDERS);
    let line = line
        .lines()
        .find(|line| line.contains("  delay: 15 min #"))
        .unwrap();
    repo.edit(ORDERS, line, "  delay: 15 min");
    let (status, text) = repo.run(&["check", "."]);
    assert_eq!(status, 0, "{text}");
    let due = format!("{} values are offing's proposals", all - 1);
    assert!(words(&text).contains(&due), "{due}: {text}");
    // A gauge that is set as it came is refused, with the scale that it should have.
    repo.edit(VESSEL, "empty: 1.98 V", "empty: 1.75 V");
    let (status, text) = repo.run(&["check", "."]);
    assert_eq!(status, 1, "{text}");
    assert!(
        words(&text).contains("the scale that comes nearest to a cell at rest goes from 1.98 V to 2.12 V and differs by"),
        "{text}"
    );
    let typed = site + vessel + orders + mission;
    assert!(typed < AIM, "{typed}");
    let due =
        format!("{typed}: site {site}, vessel {vessel}, orders {orders}, mission {mission} |");
    let tutorial = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/tutorial/README.md");
    let told = std::fs::read_to_string(tutorial).unwrap();
    assert!(told.contains(&due), "{due}");
}
