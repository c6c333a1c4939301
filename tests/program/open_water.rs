//! Edges of a shoreline that are no shore: fetch goes on past them, clearance is not measured from
//! them, nothing may cross them, and what drifts over one is lost. On a bay drawn in metres here.

use offing::door::check::{Outcome, check, load, on_large_stacks};
use offing::door::finding::Nature;
use offing::door::measures::{self, Value};
use offing::door::models::geodesy::{Plane, Position};
use offing::door::models::plane::Point;
use offing::door::models::waves::design_height;
use offing::door::passage::Passage;
use offing::door::passage::adrift::Peril;
use offing::door::source::MemoryTree;
use offing::door::units::{Length, Speed};

const BOAT: &str = include_str!("../../plans/vessels/goosander.yaml");

/// The middle of the shoreline's box, and so the site's own plane but for some decimetres.
fn plane() -> Plane {
    Plane::about(Position::from_degrees(52.4, -24.3))
}

fn degrees(x: f64, y: f64) -> (f64, f64) {
    let at = plane().to_position(Point::new(x, y));
    (at.latitude.to_degrees(), at.longitude.to_degrees())
}

fn written(x: f64, y: f64) -> String {
    let (latitude, longitude) = degrees(x, y);
    format!("[{latitude:.8}, {longitude:.8}]")
}

/// A bay of 1 km by 1 km, its shore drawn every 50 m, closed in the west by one line, which `between`
/// more positions may be drawn on.
fn bay(between: usize) -> String {
    let mut ring = vec![(-500.0, 500.0)];
    ring.extend((1..=between).map(|k| (-500.0, 500.0 - 1000.0 * k as f64 / (between + 1) as f64)));
    // A shore that is nowhere straight: every other position stands back.
    let back = |k: usize| if k % 2 == 1 { 12.0 } else { 0.0 };
    ring.extend((0..20).map(|k| (-500.0 + 50.0 * k as f64, -500.0 - back(k))));
    ring.extend((0..20).map(|k| (500.0 + back(k), -500.0 + 50.0 * k as f64)));
    ring.extend((0..20).map(|k| (500.0 - 50.0 * k as f64, 500.0 + back(k))));
    ring.push((-500.0, 500.0));
    let pairs: Vec<String> = ring
        .iter()
        .map(|&(x, y)| {
            let (latitude, longitude) = degrees(x, y);
            format!("[{longitude:.8}, {latitude:.8}]")
        })
        .collect();
    format!(
        "{{ \"type\": \"Polygon\", \"coordinates\": [[{}]] }}",
        pairs.join(", ")
    )
}

/// A run along the bay 300 m off its western line, in a wind from a direction.
fn tree(edges: &str, from: &str, between: usize) -> MemoryTree {
    let mut tree = MemoryTree::default();
    tree.put("boat.yaml", BOAT.to_owned());
    tree.put("bay.geojson", bay(between));
    let place = written(-200.0, -490.0);
    tree.put(
        "site.yaml",
        format!(
            "kind: site
format: 1
id: bay
shoreline: {{ file: bay.geojson, error: 3 m }}
{edges}mean_depth: 8 m
least_depth: 4 m
hazards: []
currents: []
launch_sites:
  - {{ id: slip, at: {place}, zone: 60 m, depth: 3 m, accessible: yes }}
"
        ),
    );
    let (start, end, far, craft) = (
        written(-200.0, -480.0),
        written(-190.0, -440.0),
        written(-200.0, 300.0),
        written(-200.0, -470.0),
    );
    tree.put(
        "mission.yaml",
        format!(
            "kind: mission
format: 1
id: along-the-line
vessel: goosander
site: bay
team: {{ person_in_charge: lead, remote_operator: operator }}
operator: {{ at: {start}, reaction_time: 10 s }}
safety_boat: {{ at: {craft}, speed: 2 m/s, ready_within: 2 min, wind_limit: 10 m/s }}
launch: {{ place: slip, at: {start}, time: 2027-06-15T09:30Z, latest_return: 2027-06-15T11:30Z }}
recovery: {{ place: slip, at: {end} }}
charge_at_launch: 95 %
conditions:
  wind: {{ from: {from}, spread: 0°, mean: 4 m/s, gust: 6.25 m/s, height: 10 m }}
speed: {{ over_ground: 1.0 m/s }}
route:
  - {{ id: far, to: {far} }}
return_leg: {{ path: straight, speed: 1 m/s }}
links: {{ control: needed }}
at_end: {{ action: hold }}
on_lost_link: {{ action: return, after: 10 s }}
on_low_battery: {{ action: return, below_charge: 45 % }}
on_lost_position: {{ action: stop }}
"
        ),
    );
    tree
}

fn line(fetch: &str) -> String {
    format!(
        "open_edges:\n  - {{ from: {}, to: {}, fetch: {fetch} }}\n",
        written(-500.0, 500.0),
        written(-500.0, -500.0)
    )
}

fn shore() -> String {
    format!(
        "straight_shores:\n  - {{ from: {}, to: {}, what: a wall }}\n",
        written(-500.0, -500.0),
        written(-500.0, 500.0)
    )
}

fn with<T: Send>(tree: &MemoryTree, test: impl Fn(&Passage<'_>) -> T + Send + Sync) -> T {
    on_large_stacks(|| {
        let loaded = load(tree, None).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        test(&Passage::from_plan(&loaded.linked.plans[0]))
    })
}

fn measure(passage: &Passage<'_>, name: &str) -> f64 {
    match measures::evaluate(name, passage)
        .remove(0)
        .outcome
        .unwrap()
        .value
    {
        Value::Quantity(quantity) => quantity.value,
        Value::Truth(_) => panic!("a quantity"),
    }
}

fn read(tree: &MemoryTree, name: &str) -> f64 {
    with(tree, |passage| measure(passage, name))
}

fn nature(outcome: &Outcome, rule: &str) -> Option<Nature> {
    let found = outcome.findings.iter().find(|f| f.rule.as_str() == rule);
    found.map(|finding| finding.nature)
}

fn checked(tree: &MemoryTree) -> Outcome {
    on_large_stacks(|| check(tree, None)).unwrap()
}

/// A westerly of 4 m/s comes in over the line. Of the nodes round the farthest leeward place the fetch
/// to it is 300 m and a lattice's spacing; 3 km past it they raise what 3.3 km and more do, and waves
/// without limit what 50 km do, the longest that is counted.
#[test]
fn fetch_goes_on_past_an_open_edge() {
    let height = |edges: &str| 0.15 * read(&tree(edges, "270°", 0), "mission.wave_height_share");
    let raised = |fetch: f64| {
        let depth = Some(Length::metres(8.0));
        design_height(Speed::metres_per_second(4.0), Length::metres(fetch), depth).get()
    };
    let closed = height("");
    assert!((raised(290.0)..raised(420.0)).contains(&closed), "{closed}");
    let three = height(&line("3 km"));
    assert!((raised(3250.0)..raised(3450.0)).contains(&three), "{three}");
    let without_end = height(&line("unlimited"));
    assert!(
        (without_end / raised(50_000.0) - 1.0).abs() < 0.02,
        "{without_end}"
    );
    assert!(without_end > three && three > 1.8 * closed);
    // To leeward it makes nothing.
    let away = |edges: &str| read(&tree(edges, "090°", 0), "mission.wave_height_share");
    assert!((away(&line("unlimited")) / away("") - 1.0).abs() < 1e-9);
}

/// The line itself lies 300 m off the route; the shore behind the far end 200 m.
#[test]
fn clearance_is_not_measured_from_an_open_edge() {
    let clearance = |edges: &str| {
        let mut tree = tree(edges, "270°", 0);
        // Nearer to the line than to any shore.
        let text = tree.files["mission.yaml"].replace(
            &written(-200.0, 300.0),
            &format!(
                "{} }}\n  - {{ id: near, to: {}",
                written(-200.0, 0.0),
                written(-450.0, 0.0)
            ),
        );
        tree.put("mission.yaml", text);
        read(&tree, "mission.shoreline_clearance")
    };
    let (closed, open) = (clearance(&shore()), clearance(&line("3 km")));
    assert!(closed < 50.0, "{closed}");
    // What is left is the southern shore past the launch site, less the corridor.
    assert!(open > closed + 5.0, "{closed} {open}");
}

/// Past the line the water is not known: a route that crosses it is off the site, as on land.
#[test]
fn a_route_may_not_cross_an_open_edge() {
    for edges in [line("3 km"), line("unlimited"), shore()] {
        let mut tree = tree(&edges, "270°", 0);
        let text =
            tree.files["mission.yaml"].replace(&written(-200.0, 300.0), &written(-560.0, 0.0));
        tree.put("mission.yaml", text);
        let clearance = read(&tree, "mission.shoreline_clearance");
        // 60 m past it, less the half width of the corridor.
        assert!((-75.0..-59.0).contains(&clearance), "{clearance}");
        assert_eq!(
            nature(&checked(&tree), "shoreline"),
            Some(Nature::Violation)
        );
    }
}

/// In an easterly the boat drifts to the line: 300 m at 4 % of a gust of 6.25 m/s, 0.25 m/s, take 1200 s. A
/// shore ends it there; over an open edge it is lost, unless somebody fetches it before.
#[test]
fn a_boat_that_drifts_over_an_open_edge_is_lost() {
    let leeway = "leeway: 4 %";
    assert!(
        BOAT.contains(leeway),
        "the boat of the demo drifts otherwise"
    );
    let open = tree(&line("3 km"), "090°", 0);
    with(&open, |passage| {
        let open = &passage.adrift(Peril::Open).unwrap().met;
        let worst = open.worst.as_ref().unwrap();
        assert!((worst.distance.get() - 300.0).abs() < 30.0, "{worst:?}");
        assert!(
            (worst.time.get() - 4.0 * worst.distance.get()).abs() < 1.0,
            "{worst:?}"
        );
        assert!(open.meets.iter().filter(|meets| **meets).count() > 20);
        assert!((measure(passage, "mission.drift_share_open") - 1.0).abs() < 0.1);
    });
    let late = |tree: &MemoryTree| {
        let mut tree = tree.clone();
        let text =
            tree.files["mission.yaml"].replace("ready_within: 2 min", "ready_within: 40 min");
        tree.put("mission.yaml", text);
        nature(&checked(&tree), "drift-into-open-water")
    };
    assert_eq!(nature(&checked(&open), "drift-into-open-water"), None);
    assert_eq!(late(&open), Some(Nature::Violation));
    // Without a craft nobody can tell; with the wind the other way, and with a shore, nothing is met.
    let mut alone = open.clone();
    let text = alone.files["mission.yaml"].clone();
    let text: Vec<&str> = text
        .lines()
        .filter(|l| !l.starts_with("safety_boat"))
        .collect();
    alone.put("mission.yaml", text.join("\n"));
    assert_eq!(
        nature(&checked(&alone), "drift-into-open-water"),
        Some(Nature::NotEvaluated)
    );
    assert_eq!(late(&tree(&line("3 km"), "270°", 0)), None);
    assert_eq!(late(&tree(&shore(), "090°", 0)), None);
}

/// A line that nobody says anything about is reported, as an error where the waves hang on it; one that is
/// drawn with positions of its own counts a third, and is reported where it is long enough all the same.
#[test]
fn a_closing_line_that_is_not_marked_is_told() {
    let found = |edges: &str, from: &str, between: usize| {
        let outcome = checked(&tree(edges, from, between));
        ["open-water-upwind", "straight-shore"].map(|rule| nature(&outcome, rule).is_some())
    };
    // A thousand metres among stretches of 51 m are 19 times their length.
    assert_eq!(found("", "270°", 0), [true, false]);
    assert_eq!(found("", "330°", 0), [true, false]);
    assert_eq!(found("", "090°", 0), [false, true]);
    assert_eq!(found(&line("3 km"), "270°", 0), [false, false]);
    assert_eq!(found(&shore(), "270°", 0), [false, false]);
    // Drawn every 100 m it counts a third, 6.5 times, and is reported; no shore of the bay's own is.
    assert_eq!(found("", "270°", 9), [true, false]);
    // A closing line that bends by 20 m to either side every 500 m: two edges of ten times the others.
    assert_eq!(found("", "270°", 1), [true, false]);
    let times = |between| read(&tree("", "270°", between), "mission.straight_shore_upwind");
    assert!((times(0) - 19.4).abs() < 0.5, "{}", times(0));
    assert!((times(9) - times(0) / 3.0).abs() < 0.2, "{}", times(9));
    // A mark on part of it does not speak for the rest.
    let half = format!(
        "straight_shores:\n  - {{ from: {}, to: {}, what: a wall }}\n",
        written(-500.0, 500.0),
        written(-500.0, 400.0)
    );
    assert!(
        (read(&tree(&half, "270°", 9), "mission.straight_shore_upwind") - times(9)).abs() < 0.2
    );
}

/// A mark that means no edge is refused, at the position that is wrong.
#[test]
fn marks_that_match_no_edge_are_refused() {
    let corner = written(-500.0, 500.0);
    for (edges, says) in [
        (
            format!(
                "open_edges:\n  - {{ from: {corner}, to: {}, fetch: 3 km }}\n",
                written(-400.0, 0.0)
            ),
            "no vertex of the shoreline is here",
        ),
        (
            format!(
                "open_edges:\n  - {{ from: {corner}, to: {}, fetch: 3 km }}\n",
                written(500.0, -500.0)
            ),
            "no edge of the shoreline",
        ),
        (
            format!("straight_shores:\n  - {{ from: {corner}, to: {corner}, what: a wall }}\n"),
            "no edge of the shoreline",
        ),
        (line("3 kg"), "`fetch`"),
        (line("far"), "`fetch`"),
        (line("0 km"), "`fetch` is 0 km"),
        (format!("{}{}", line("3 km"), shore()), "marked twice"),
    ] {
        let tree = tree(&edges, "270°", 0);
        on_large_stacks(|| {
            let loaded = load(&tree, None).unwrap();
            let told = loaded
                .problems
                .iter()
                .any(|problem| problem.message.contains(says));
            assert!(told, "{says}: {:?}", loaded.problems);
        });
    }
}
