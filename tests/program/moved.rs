//! What a measure says that it follows from, against what moves it: winds, charges, delays and the like
//! are changed over the whole demo, and no measure comes out otherwise that did not say so.

use std::collections::BTreeSet;
use std::path::Path;

use offing::door::check::{load, on_large_stacks};
use offing::door::measures::{CATALOGUE, Input, Value};
use offing::door::passage::{Passage, Variation};
use offing::door::plan::{Plan, ReturnPath, Via};
use offing::door::schema::Stated;
use offing::door::source::MemoryTree;
use offing::door::units::{Angle, FromDirection, Length, Level, Ratio, Speed, Time, Towards};
use rayon::prelude::*;

fn in_wind(plan: &Plan, from: f64, spread: f64, mean: f64, gust: f64) -> Plan {
    let mut plan = plan.clone();
    if let Some(wind) = &mut plan.mission.wind {
        wind.from.value = FromDirection::new(Angle::degrees(from));
        wind.spread.value = Angle::degrees(spread);
        wind.mean.value = Speed::metres_per_second(mean);
        wind.gust.value = Speed::metres_per_second(gust);
    }
    plan
}

/// A return leg by the end of the first leg.
fn by_the_first_leg(plan: &Plan) -> ReturnPath {
    let leg = &plan.mission.legs[0];
    ReturnPath::ByWaypoints(vec![Via {
        id: leg.id.clone(),
        at: Stated::written(leg.to, leg.span),
    }])
}

/// The plan with one thing changed, in several ways.
fn changed(plan: &Plan, what: &str) -> Vec<Plan> {
    let with = |change: &dyn Fn(&mut Plan)| {
        let mut plan = plan.clone();
        change(&mut plan);
        plan
    };
    match what {
        "wind" => (0..8)
            .map(|eighth| {
                let mean = [0.0, 2.0, 4.5, 8.0][eighth % 4];
                let spread = [0.0, 35.0, 90.0][eighth % 3];
                in_wind(plan, 45.0 * eighth as f64, spread, mean, mean * 1.5 + 0.5)
            })
            .collect(),
        "battery" => vec![
            with(&|plan| plan.mission.charge_at_launch.value = Ratio::fraction(0.5)),
            with(&|plan| plan.mission.charge_at_launch.value = Ratio::fraction(0.1)),
        ],
        "home" => vec![
            with(&|plan| plan.mission.return_leg.path.value = ReturnPath::AlongRoute),
            with(&|plan| plan.mission.return_leg.path.value = by_the_first_leg(plan)),
            with(&|plan| plan.mission.return_leg.speed.value = Speed::metres_per_second(0.5)),
            with(&|plan| plan.mission.return_leg.speed.value = Speed::metres_per_second(1.6)),
        ],
        // Only as a margin: a trial itself is read by what doubts it, too.
        "power" => Vec::new(),
        "delay" => vec![with(&|plan| {
            plan.mission.launch.delay.value = Time::seconds(14_400.0)
        })],
        "reaction" => vec![with(&|plan| {
            if let Some(operator) = &mut plan.mission.operator {
                operator.reaction_time.value = Time::seconds(90.0);
            }
        })],
        "launch time" => [-6, 7, 24 * 40]
            .into_iter()
            .map(|hours| {
                with(&|plan| {
                    let time = &mut plan.mission.launch.time.value;
                    *time += jiff::SignedDuration::from_hours(hours);
                })
            })
            .collect(),
        "radios" => vec![
            with(&|plan| {
                let mut vessel = (*plan.vessel).clone();
                for radio in &mut vessel.radios {
                    radio.losses.value += Level::decibels(6.0);
                    radio.antenna.height.value = radio.antenna.height.value * 0.4;
                    radio.antenna.gain.value += Level::decibels(2.0);
                }
                plan.vessel = vessel.into();
            }),
            with(&|plan| {
                let mut site = (*plan.site).clone();
                for radio in site.stations.iter_mut().flat_map(|one| &mut one.radios) {
                    radio.antenna.gain.value += Level::decibels(3.0);
                    radio.antenna.height.value = radio.antenna.height.value * 0.4;
                    if let Some(azimuth) = &mut radio.antenna.azimuth {
                        azimuth.value = Towards::new(azimuth.value.angle() + Angle::degrees(70.0));
                    }
                    if let Some(beamwidth) = &mut radio.antenna.beamwidth {
                        beamwidth.value = beamwidth.value * 0.5;
                    }
                }
                plan.site = site.into();
            }),
        ],
        "depths" => [0, 1, 2, 3]
            .into_iter()
            .map(|which| {
                with(&|plan| {
                    let mut site = (*plan.site).clone();
                    match which {
                        0 => site.depths.soundings = None,
                        1 => {
                            if let Some(level) = &mut site.depths.level {
                                level.above_datum.value -= Length::metres(0.7);
                            }
                        }
                        2 => {
                            site.depths.least =
                                Some(Stated::written(Length::metres(0.9), plan.mission.id.span()));
                        }
                        _ => {
                            for place in &mut site.launch_sites {
                                place.depth = None;
                            }
                        }
                    }
                    plan.site = site.into();
                })
            })
            .collect(),
        "currents" | "keep out" => {
            let mut none = plan.clone();
            let mut more = plan.clone();
            for (plan, times) in [(&mut none, 0.0), (&mut more, 6.0)] {
                let mut site = (*plan.site).clone();
                if what == "currents" {
                    for current in &mut site.currents {
                        current.drift.value = current.drift.value * times;
                    }
                } else if times < 1.0 {
                    site.keep_out.clear();
                } else {
                    for area in &mut site.keep_out {
                        area.closed.clear();
                    }
                    let outline = site.currents[0].outline.clone();
                    site.keep_out[0].outline = outline;
                }
                plan.site = site.into();
            }
            vec![none, more]
        }
        _ => unreachable!("{what}"),
    }
}

/// The plan as it is, with what a run takes of it made worse, as a policy's margins do.
fn worse(what: &str) -> Option<Variation> {
    let none = Variation::default();
    match what {
        "wind" => Some(Variation { wind: 1.4, ..none }),
        "battery" => Some(Variation {
            capacity: 0.6,
            ..none
        }),
        "power" => Some(Variation { power: 1.5, ..none }),
        _ => None,
    }
}

type Told = Vec<(String, Option<Value>)>;

fn told(plan: &Plan, variation: Variation) -> Vec<Told> {
    let passage = Passage::varied(plan, variation);
    let of_entry = |entry: &offing::door::measures::Entry| {
        let readings = (entry.read)(&passage).into_iter();
        let values = readings.map(|one| (one.subject, one.outcome.ok().map(|known| known.value)));
        values.collect()
    };
    CATALOGUE.iter().map(of_entry).collect()
}

/// The demo, with one mission more: of the one that passes, on water where areas are closed one after the
/// other while the boat is out, each nearer to the route than the one before.
fn demo() -> MemoryTree {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut tree = MemoryTree::default();
    for folder in ["missions", "orders", "policy", "rules", "site", "vessels"] {
        for file in std::fs::read_dir(root.join(folder)).unwrap() {
            let file = file.unwrap().path();
            let text = std::fs::read_to_string(&file).unwrap();
            let name = file.file_name().unwrap().to_str().unwrap();
            tree.put(format!("{folder}/{name}"), text);
        }
    }
    let mission = tree.files["missions/north-bay-lines.yaml"]
        .replace("id: north-bay-lines", "id: closing-water")
        .replace("site: quenderby", "site: closing")
        .replace("vessel: goosander", "vessel: weak")
        // As fast as weak motors go, so that a wind makes the run longer.
        .replace("over_ground: 1.1 m/s", "over_ground: 1.6 m/s")
        // Without a latest return every area counts as closed; past this one the run's own length counts.
        .replace("return: 2027-06-15T11:30", "return: 2027-06-15T09:55");
    let mut areas = String::from("keep_out:\n");
    for index in 0..40 {
        let (minutes, east) = (620 + index, -24.2950 - 0.0002 * f64::from(index));
        let corner = |lat: f64, lon: f64| format!("[{:.6}, {:.6}]", 52.4005 + lat, east + lon);
        let corners = [
            corner(0.0, 0.0),
            corner(0.0, 0.0001),
            corner(0.0001, 0.0001),
        ];
        let corners = corners.join(", ");
        let from = format!("{:02}:{:02}", minutes / 60, minutes % 60);
        areas += &format!(
            "  - {{ id: late-{index}, area: [{corners}], closed: [{{ hours: {{ from: '{from}', to: '20:00' }} }}] }}\n"
        );
    }
    let vessel = tree.files["vessels/goosander.yaml"]
        .replace("id: goosander", "id: weak")
        .replace("maximum_power: 180 W", "maximum_power: 40 W");
    assert!(vessel.contains("id: weak") && vessel.contains("maximum_power: 40 W"));
    assert!(mission.contains("vessel: weak"));
    tree.put("vessels/weak.yaml", vessel);
    let site = tree.files["site/quenderby.yaml"]
        .replace("id: quenderby\n", "id: closing\n")
        .replace("keep_out:\n", &areas);
    assert!(mission.contains("id: closing-water") && mission.contains("return: 2027-06-15T09:55"));
    assert!(site.contains("late-39"));
    tree.put("missions/closing-water.yaml", mission);
    tree.put("site/closing.yaml", site);
    tree
}

/// What is changed, and under which name a measure says that it follows from it.
const CHANGES: [(&str, Input); 11] = [
    ("wind", Input::Wind),
    ("battery", Input::Battery),
    ("power", Input::CalmWaterPower),
    ("home", Input::ReturnLeg),
    ("currents", Input::Currents),
    ("keep out", Input::KeepOut),
    ("delay", Input::Delay),
    ("reaction", Input::Reaction),
    ("launch time", Input::LaunchTime),
    ("radios", Input::Radios),
    ("depths", Input::Depths),
];

#[test]
#[ignore = "slow"]
fn nothing_moves_a_measure_that_did_not_say_so() {
    on_large_stacks(|| {
        let loaded = load(&demo(), None).unwrap();
        assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
        let plans = &loaded.linked.plans;
        let moved: BTreeSet<(&str, &str)> = plans
            .par_iter()
            .flat_map_iter(|plan| {
                let before = told(plan, Variation::default());
                let mut moved = BTreeSet::new();
                for (what, _) in CHANGES {
                    let others = changed(plan, what).into_iter();
                    let others = others.map(|other| told(&other, Variation::default()));
                    let worse = worse(what).map(|variation| told(plan, variation));
                    for after in others.chain(worse) {
                        let pairs = CATALOGUE.iter().zip(before.iter().zip(&after));
                        let differing = pairs.filter(|(_, (one, other))| one != other);
                        moved.extend(differing.map(|(entry, _)| (entry.measure.name, what)));
                    }
                }
                moved
            })
            .collect();
        let mut unsaid = Vec::new();
        for (what, input) in CHANGES {
            let moves = |name: &str| moved.contains(&(name, what));
            let silent = CATALOGUE.iter().filter(|entry| {
                moves(entry.measure.name) && !entry.measure.moved_by.contains(input)
            });
            unsaid.extend(silent.map(|entry| format!("{} by the {what}", entry.measure.name)));
            // The change bites, and not everything claims to follow from it.
            let said = CATALOGUE
                .iter()
                .filter(|entry| entry.measure.moved_by.contains(input));
            assert!(said.count() < CATALOGUE.len() * 2 / 3, "{what}");
            assert!(
                CATALOGUE.iter().any(|entry| moves(entry.measure.name)),
                "{what}"
            );
        }
        assert!(unsaid.is_empty(), "{unsaid:#?}");
        // A run that the wind makes longer comes into more of what closes.
        assert!(moved.contains(&("mission.keep_out_clearance", "wind")));
        assert!(moved.contains(&("mission.keep_out_clearance", "delay")));
    });
}
