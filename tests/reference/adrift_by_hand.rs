//! A disabled boat and the water under its keel on a square lake, against figures worked out
//! by hand from the places and speeds stated here.

use offing::door::check::{load, on_large_stacks};
use offing::door::models::geodesy::{Plane, Position};
use offing::door::models::plane::Point;
use offing::door::passage::Passage;
use offing::door::passage::adrift::{OnTo, Peril};
use offing::door::passage::depth::{By, Over};
use offing::door::source::MemoryTree;

const BOAT: &str = include_str!("../../plans/vessels/goosander.yaml");

/// Within some decimetres the plane that the site makes about the middle of its shoreline.
fn plane() -> Plane {
    Plane::about(Position::from_degrees(52.4, -24.3))
}

fn written(x: f64, y: f64) -> String {
    let at = plane().to_position(Point::new(x, y));
    let (latitude, longitude) = (at.latitude.to_degrees(), at.longitude.to_degrees());
    format!("[{latitude:.8}, {longitude:.8}]")
}

fn geojson(x: f64, y: f64) -> String {
    let at = plane().to_position(Point::new(x, y));
    let (latitude, longitude) = (at.latitude.to_degrees(), at.longitude.to_degrees());
    format!("[{longitude:.8}, {latitude:.8}]")
}

/// A lake of 2 km by 2 km about the origin; the weir lies along x = 700 m, the soundings lie 500 m
/// apart west of x = 500 m, one of them, at (0, 0), shallower than all others.
fn lake(current: &str) -> MemoryTree {
    let mut tree = MemoryTree::default();
    tree.put("boat.yaml", BOAT.to_owned());
    let corners = [
        (-1e3, -1e3),
        (1e3, -1e3),
        (1e3, 1e3),
        (-1e3, 1e3),
        (-1e3, -1e3),
    ];
    let ring: Vec<String> = corners.iter().map(|(x, y)| geojson(*x, *y)).collect();
    let shore = format!(
        "{{ \"type\": \"Polygon\", \"coordinates\": [[{}]] }}",
        ring.join(", ")
    );
    tree.put("lake.geojson", shore);
    let mut soundings = Vec::new();
    for x in [-1000.0, -500.0, 0.0, 500.0] {
        for y in [-1000.0, -500.0, 0.0, 500.0, 1000.0] {
            let depth = if f64::abs(x) + f64::abs(y) < 1.0 {
                2.0
            } else {
                6.0
            };
            soundings.push(format!(
                "{{ \"type\": \"Feature\", \"properties\": {{ \"depth\": {depth} }}, \"geometry\": {{ \
                 \"type\": \"Point\", \"coordinates\": {} }} }}",
                geojson(x, y)
            ));
        }
    }
    let soundings = soundings.join(",\n");
    tree.put(
        "soundings.geojson",
        format!("{{ \"type\": \"FeatureCollection\", \"features\": [{soundings}] }}"),
    );
    let (south, north) = (written(700.0, -900.0), written(700.0, 900.0));
    let place = written(-990.0, 0.0);
    tree.put(
        "site.yaml",
        format!(
            "kind: site
format: 1
id: lake
shoreline: {{ file: lake.geojson, error: 3 m }}
soundings: {{ file: soundings.geojson, datum: the sill, surveyed: 2027-01-01, error: 0.3 m, longest_edge: 750 m }}
water_level: {{ above_datum: -0.3 m, read: 2027-06-01, error: 0.4 m }}
hazards:
  - {{ id: weir, kind: weir, line: [{south}, {north}], clearance: 50 m }}
{current}launch_sites:
  - {{ id: slip, at: {place}, zone: 100 m, depth: 3 m }}
"
        ),
    );
    let (start, end, far) = (
        written(-980.0, 0.0),
        written(-950.0, 0.0),
        written(300.0, 0.0),
    );
    let craft = written(300.0, 400.0);
    tree.put(
        "mission.yaml",
        format!(
            "kind: mission
format: 1
id: out-and-back
vessel: goosander
site: lake
team: {{ person_in_charge: lead, remote_operator: operator }}
operator: {{ at: {start}, reaction_time: 10 s }}
safety_boat: {{ at: {craft}, speed: 2 m/s, ready_within: 2 min, wind_limit: 10 m/s }}
launch: {{ place: slip, at: {start}, time: 2027-06-15T09:30Z, latest_return: 2027-06-15T11:30Z }}
recovery: {{ place: slip, at: {end} }}
charge_at_launch: 95 %
conditions:
  wind: {{ from: 270°, spread: 0°, mean: 4 m/s, gust: 6.25 m/s, height: 10 m }}
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

fn with_passage(tree: &MemoryTree, test: impl Fn(&Passage<'_>) + Send + Sync) {
    on_large_stacks(|| {
        let loaded = load(tree, None).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        test(&Passage::from_plan(&loaded.linked.plans[0]));
    });
}

/// 4 % of a gust of 6.25 m/s is 0.25 m/s; from (300, 0) it is 350 m to within 50 m of the weir, which
/// take 1400 s. The craft, 400 m north of there, has √(350² + 400²) = 531.51 m straight to the
/// meeting at (650, 0), at 2 m/s 265.75 s, after 10 s and 120 s.
#[test]
fn the_nearest_place_above_a_weir() {
    with_passage(&lake(""), |passage| {
        let weir = &passage.adrift(Peril::Weir).unwrap().met;
        let worst = weir.worst.as_ref().unwrap();
        assert_eq!(worst.on_to, OnTo::Hazard(0));
        assert!((worst.time.get() - 1400.0).abs() < 0.5, "{worst:?}");
        assert!((worst.distance.get() - 350.0).abs() < 0.1);
        assert!(worst.at.distance(Point::new(650.0, 0.0)) < 0.5);
        let fetched = worst.fetched.as_ref().unwrap();
        assert!(fetched.straight);
        assert!((fetched.time.get() - 395.75).abs() < 0.1, "{fetched:?}");
        assert!((worst.in_hand().unwrap().get() - 1004.25).abs() < 0.5);
        // From everywhere the wind takes it there: nothing else lies to leeward.
        assert!(weir.meets.iter().all(|meets| *meets));
        assert!(weir.before_fetched.iter().all(|before| !before));
    });
}

/// A current of 0.1 m/s towards the weir between x = 400 m and x = 600 m: 100 m at 0.25 m/s, 200 m
/// at 0.35 m/s and 50 m at 0.25 m/s take 400 + 571.4 + 200 = 1171.4 s.
#[test]
fn a_current_is_taken_up_and_left_on_the_way() {
    let corners = [
        (400.0, -900.0),
        (600.0, -900.0),
        (600.0, 900.0),
        (400.0, 900.0),
    ];
    let area: Vec<String> = corners.iter().map(|(x, y)| written(*x, *y)).collect();
    let current = format!(
        "currents:\n  - {{ id: race, area: [{}], set: 090°, drift: 0.1 m/s }}\n",
        area.join(", ")
    );
    with_passage(&lake(&current), |passage| {
        let weir = &passage.adrift(Peril::Weir).unwrap().met;
        let worst = weir.worst.clone().unwrap();
        assert!((worst.time.get() - 1171.4).abs() < 1.0, "{worst:?}");
    });
}

/// A boat whose operator's craft lies behind nothing but water still has no hope where it is too slow:
/// at 2 m/s and 40 min to get under way, 1400 − (10 + 2400 + 265.75) is −1275.75 s.
#[test]
fn a_craft_that_is_late() {
    let mut tree = lake("");
    let mission = tree.files["mission.yaml"].replace("ready_within: 2 min", "ready_within: 40 min");
    tree.put("mission.yaml", mission);
    with_passage(&tree, |passage| {
        let weir = &passage.adrift(Peril::Weir).unwrap().met;
        let left = weir.worst.as_ref().unwrap().in_hand().unwrap().get();
        assert!((left + 1275.75).abs() < 0.5, "{left}");
        assert!(weir.before_fetched.iter().any(|before| *before));
    });
}

/// Over the sounding of 2 m at the origin: 2 − 0.3 − √(0.3² + 0.4²) − 0.15 is 1.05 m, less half of
/// the height that the highest of 1000 waves exceeds in one run out of ten: by Rayleigh's distribution
/// √(−½ ln(1 − 0.9^(1/1000))) = 2.140 times the significant height.
#[test]
fn the_water_over_a_shoal() {
    with_passage(&lake(""), |passage| {
        let under = passage.under_keel().unwrap();
        let least = under.least.as_ref().unwrap();
        assert_eq!(least.by, By::Soundings);
        assert!(matches!(least.over, Over::Step(_)));
        assert!(least.at.length() < 0.5, "{least:?}");
        let significant = under.significant.get();
        assert!((0.05..0.4).contains(&significant), "{significant}");
        let expected = 1.05 - 0.5 * 2.140 * significant;
        assert!((least.under_keel.get() - expected).abs() < 1e-3);
        // The soundings reach to x = 500 m, and the return leg too lies west of it.
        assert!(under.unknown_on_route.get() < 1e-9 && under.unknown_on_return_legs.get() < 1e-9);
    });
}

/// With the easternmost soundings left out the bed ends at x = 0: of the route from x = −980 m to
/// 300 m and back to −950 m that is 300 + 300 of 1280 + 1250 m, the half width of 4.35 m apart.
#[test]
fn what_is_past_the_soundings_is_unknown() {
    let mut tree = lake("");
    let text = &tree.files["soundings.geojson"];
    let east = plane()
        .to_position(Point::new(250.0, 0.0))
        .longitude
        .to_degrees();
    let (head, tail) = text.split_once('[').unwrap();
    let kept: Vec<&str> = tail
        .split(",\n")
        .filter(|line| {
            let (_, at) = line.split_once("\"coordinates\": [").unwrap();
            at.split_once(',').unwrap().0.parse::<f64>().unwrap() < east
        })
        .collect();
    let text = format!("{head}[{} ] }}", kept.join(",\n"));
    tree.put("soundings.geojson", text);
    with_passage(&tree, |passage| {
        let under = passage.under_keel().unwrap();
        let share = under.unknown_on_route.get();
        assert!((share - 600.0 / 2530.0).abs() < 0.01, "{share}");
        assert!(under.unknown_at.iter().all(Option::is_some));
    });
}

/// Without soundings the least depth stated for the site counts all along, but at the slip: 1.2 m less
/// 0.15 m of draft, and no level to lower it.
#[test]
fn a_stated_least_depth_counts_where_nothing_was_sounded() {
    let mut tree = lake("");
    let site = &tree.files["site.yaml"];
    let measured =
        |line: &&str| !line.starts_with("soundings:") && !line.starts_with("water_level:");
    let lines: Vec<&str> = site.lines().filter(measured).collect();
    tree.put(
        "site.yaml",
        format!("{}\nleast_depth: 1.2 m\n", lines.join("\n")),
    );
    with_passage(&tree, |passage| {
        let under = passage.under_keel().unwrap();
        let least = under.least.as_ref().unwrap();
        assert_eq!(least.by, By::Stated);
        let expected = 1.05 - 0.5 * 2.140 * under.significant.get();
        assert!((least.under_keel.get() - expected).abs() < 1e-3);
        assert!(under.unknown_on_route.get() < 1e-9 && under.unknown_on_return_legs.get() < 1e-9);
    });
}
