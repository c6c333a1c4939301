//! Wind limits, a launch and a launch window against a check of the same plan in that wind or at that
//! time: what one lets pass the others do, and each names the same rules.

use std::collections::BTreeSet;

use jiff::Timestamp;
use offing::door::check::{Verdict, asked, check, on_large_stacks};
use offing::door::envelope::{Given, Limits, Sought, limits, window};
use offing::door::finding::Severity;
use offing::door::launch::{BatteryRead, Elsewhere, Readings, WindRead, launch};
use offing::door::source::MemoryTree;
use offing::door::units::{Angle, FromDirection, Length, Ratio, Speed, Time};
use rayon::prelude::*;

const MISSION: &str = "first-lines";
const WIND: &str = "{ from: 270°, spread: 20°, mean: 3 m/s, gust: 5 m/s, height: 10 m }";

/// The least repository with a boat that is tried in more wind, and with an area at the far end that is
/// closed from shortly after the latest return on.
fn pond(wind: &str, launched: &str) -> MemoryTree {
    let mut tree = MemoryTree::default();
    for name in [
        "boat.yaml",
        "first-lines.yaml",
        "pond.yaml",
        "pond-shoreline.geojson",
    ] {
        let path = format!("{}/docs/start/{name}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let text = text
            .replace("wind: 7 m/s, gust: 10 m/s", "wind: 20 m/s, gust: 30 m/s")
            .replace("wind_limit: 8 m/s", "wind_limit: 15 m/s")
            .replace(
                "keep_out: [] # nowhere that is closed",
                "keep_out:\n  - id: reeds\n    area: [[52.3001, -24.3985], [52.3001, -24.3970], [52.3005, -24.3970], \
                 [52.3005, -24.3985]]\n    closed: [{ hours: { from: '11:01', to: '20:00' } }]",
            )
            .replace("time: 2027-05-04T10:00Z", &format!("time: {launched}"))
            .replace(WIND, wind);
        tree.put(name, text);
    }
    tree
}

/// The same with motors so weak that a wind makes the run longer, and an area that is closed right after the
/// end of the run in the wind planned for.
fn weak(wind: &str) -> MemoryTree {
    let mut tree = pond(wind, PLANNED);
    for text in tree.files.values_mut() {
        *text = text
            .replace("maximum_power: 120 W", "maximum_power: 30 W")
            .replace(", latest_return: 2027-05-04T11:00Z", "")
            .replace("delay: 10 min", "delay: 0 min")
            .replace("from: '11:01'", "from: '10:13'");
    }
    tree
}

const PLANNED: &str = "2027-05-04T10:00Z";

fn stated(from: f64, spread: Angle, mean: Speed, gust: Speed, height: Length) -> String {
    format!(
        "{{ from: {from:.0}°, spread: {}°, mean: {} m/s, gust: {} m/s, height: {} m }}",
        spread.to_degrees(),
        mean.get(),
        gust.get(),
        height.get()
    )
}

/// The rules of severity error that a check finds broken.
fn checked(tree: &MemoryTree) -> BTreeSet<String> {
    let outcome = check(tree, None).unwrap();
    assert_eq!(outcome.not_checked, [], "{:?}", outcome.findings);
    let error = |rule: &str| {
        let mut all = outcome.in_force.iter();
        all.any(|one| one.rule == rule && one.severity == Severity::Error)
    };
    let judged = outcome.checked[0].judged.iter();
    judged
        .filter(|one| matches!(one.verdict, Verdict::Fails | Verdict::Unknown))
        .map(|one| one.rule.to_string())
        .filter(|rule| error(rule))
        .collect()
}

fn solved(tree: &MemoryTree, given: Option<Given>) -> Limits {
    let sought = Sought {
        step: Angle::degrees(30.0),
        wind: given,
        height: None,
        sensitivity: true,
    };
    limits(tree, MISSION, None, &sought, &|_| {}).unwrap()
}

#[test]
#[ignore = "slow"]
fn a_wind_passes_by_its_limits_where_a_check_of_the_plan_in_it_does() {
    on_large_stacks(|| {
        let found = solved(&pond(WIND, PLANNED), None);
        assert_eq!(found.regardless, []);
        let winds: Vec<(usize, f64)> = (0..found.sectors.len())
            .step_by(2)
            .flat_map(|sector| [1.0, 3.0, 4.5, 6.0, 7.5, 9.0, 12.0].map(|mean| (sector, mean)))
            .collect();
        let passing: Vec<bool> = winds
            .par_iter()
            .map(|(sector, mean)| {
                let sector = &found.sectors[*sector];
                let from = sector.from.angle().to_degrees();
                let mean = Speed::metres_per_second(*mean);
                let within = |from: Speed, to: Speed| {
                    from.get() - 1e-9 <= mean.get() && mean.get() <= to.get() + 1e-9
                };
                let passes = sector
                    .strongest
                    .is_some_and(|top| within(Speed::ZERO, top.mean))
                    || sector
                        .again
                        .iter()
                        .any(|again| within(again.from, again.to));
                // As the solver rounds it, up to a tenth.
                let gust = (mean.get() * found.gust_factor.get() * 10.0 - 1e-9).ceil() / 10.0;
                let gust = Speed::metres_per_second(gust);
                let wind = stated(from, found.spread, mean, gust, found.height);
                let broken = checked(&pond(&wind, PLANNED));
                assert_eq!(passes, broken.is_empty(), "{wind}: {broken:?}");
                passes
            })
            .collect();
        assert!(passing.iter().any(|one| *one) && passing.iter().any(|one| !one));
    });
}

/// Winds that break nothing, a little and a lot, with gusts as strong beside the mean as the plan's own.
const WINDS: [(f64, f64, f64); 5] = [
    (270.0, 3.0, 5.0),
    (90.0, 5.5, 9.5),
    (0.0, 7.0, 12.0),
    (250.0, 8.5, 14.5),
    (180.0, 10.0, 17.0),
];

#[test]
#[ignore = "slow"]
fn a_given_wind_breaks_by_limits_and_at_a_launch_what_a_check_of_the_plan_in_it_breaks() {
    on_large_stacks(|| {
        let mut closing = 0;
        for (from, mean, gust) in WINDS {
            let (mean, gust) = (
                Speed::metres_per_second(mean),
                Speed::metres_per_second(gust),
            );
            let height = Length::metres(10.0);
            let from_direction = FromDirection::new(Angle::degrees(from));
            let given = Given {
                from: from_direction,
                mean,
                gust: Some(gust),
                height: Some(height),
            };
            let found = solved(&weak(WIND), Some(given));
            let today = found.today.as_ref().unwrap();
            let wind = stated(from, today.spread, mean, gust, height);
            let by_check = checked(&weak(&wind));
            let by_limits: BTreeSet<String> = today
                .broken
                .iter()
                .map(|one| one.rule.to_string())
                .collect();
            assert_eq!(by_limits, by_check, "limits, {wind}");
            closing += usize::from(by_check.contains("keep-out"));

            let at: Timestamp = "2027-05-04T10:00:00Z".parse().unwrap();
            let readings = Readings {
                at,
                clock: at,
                computer: None,
                read: at,
                by: "survey lead".to_owned(),
                wind: WindRead {
                    from: from_direction,
                    mean,
                    gust: Some(gust),
                    height: Some(height),
                },
                battery: BatteryRead {
                    resting: None,
                    charge: Some(Ratio::fraction(0.95)),
                },
                ticked: Vec::new(),
                again: None,
                elsewhere: Elsewhere::default(),
                digest: None,
            };
            let tree = weak(WIND);
            let found = asked(&tree, MISSION, None).unwrap();
            let decision = launch(found, &tree, &readings).unwrap();
            let wind = stated(from, Angle::degrees(20.0), mean, gust, height);
            let by_check = checked(&weak(&wind));
            let rules = |rule: &String| by_check.contains(rule) || is_a_rule(&tree, rule);
            let by_launch: BTreeSet<String> = decision
                .reasons
                .iter()
                .map(|reason| reason.rule.clone())
                .filter(rules)
                .collect();
            assert_eq!(by_launch, by_check, "launch, {wind}");
        }
        assert!(
            closing > 0,
            "no wind makes the run so long that the area is closed"
        );
    });
}

fn is_a_rule(tree: &MemoryTree, rule: &str) -> bool {
    let outcome = check(tree, None).unwrap();
    outcome.in_force.iter().any(|one| one.rule == rule)
}

#[test]
fn a_launch_time_passes_by_the_window_where_a_check_of_the_plan_at_it_does() {
    on_large_stacks(|| {
        let tree = pond(WIND, PLANNED);
        let found = window(&tree, MISSION, None, Time::seconds(600.0)).unwrap();
        let mut kept = BTreeSet::new();
        for launched in [
            "05:00", "07:30", "09:00", "09:50", "10:00", "10:10", "10:20",
        ] {
            let time = format!("2027-05-04T{launched}Z");
            let at: Timestamp = format!("2027-05-04T{launched}:00Z").parse().unwrap();
            let mut stretches = found.stretches.iter();
            let stretch = stretches.find(|one| one.from.time <= at && at <= one.to.time);
            let stretch = stretch.unwrap_or_else(|| panic!("{launched} was not tried"));
            let by_check = checked(&pond(WIND, &time));
            let by_window: BTreeSet<String> = stretch
                .binding
                .iter()
                .map(|one| one.rule.to_string())
                .collect();
            assert_eq!(by_window, by_check, "{launched}");
            kept.insert(stretch.passed);
        }
        assert_eq!(kept.len(), 2, "some pass and some do not");
    });
}
