//! The limits against brute force, and the rules that no wind changes anything about against two
//! winds.

use super::kinds::{Kinds, all_broken};
use super::wind::{Setting, in_wind};
use super::*;
use crate::check::{Verdict, asked, check, load, on_large_stacks};
use crate::envelope::Binding;
use crate::finding::Severity;
use crate::measures::CATALOGUE;
use crate::models::plane::Point;
use crate::passage::adrift::Peril;
use crate::passage::boat::faster;
use crate::plan::route::Leg;
use crate::source::{MemoryTree, Tree, open_argument};

/// The winds that brute force goes up to, in tenths: past where the demo's boat has its own limits.
const PAST: u32 = 90;

fn with_demo<T: Send>(work: impl FnOnce(&dyn Tree) -> T + Send) -> T {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let opened = open_argument(std::path::Path::new(path)).expect("the demo");
    on_large_stacks(|| work(&opened.tree))
}

fn sought(step: f64) -> Sought {
    Sought {
        step: Angle::degrees(step),
        wind: None,
        height: None,
        // What changes would give: not what is compared here, and most of the work.
        sensitivity: false,
    }
}

/// What is not met in a wind, every rule judged on the whole band, as a check does it.
fn by_check(plan: &Plan, policy: &EffectivePolicy, wind: Wind) -> Vec<Binding> {
    let plan = in_wind(plan, wind);
    let kinds = Kinds::from_policy(policy);
    all_broken(kinds.all(), &margins::passage(&plan, policy))
}

/// Every tenth of a metre a second from some directions, each judged whole, against the solver.
/// Winds that fail between two that pass are held in `solve`, by `stretches_are_those_of_every_tenth`.
#[test]
fn limits_are_those_of_brute_force() {
    with_demo(|tree| {
        let mission = "adrift-above-the-weir";
        let found = limits(tree, mission, None, &sought(30.0), &|_| {}).expect("limits");
        let asked = asked(tree, mission, None).expect("the mission");
        let (plan, policy) = (&asked.plan, &asked.policy);
        let setting = Setting::from_plan(plan, policy);
        assert_eq!(found.regardless, []);
        for index in [1, 6] {
            let sector = &found.sectors[index];
            let passes: Vec<bool> = (0..=PAST)
                .into_par_iter()
                .map(|tenths| {
                    let wind = setting.wind(sector.from, found.spread, tenths);
                    by_check(plan, policy, wind).is_empty()
                })
                .collect();
            let top = passes.iter().position(|passes| !passes).expect("a limit");
            let told = sector.strongest.expect("a limit").mean.get() * 10.0;
            assert_eq!(told.round() as usize + 1, top, "{}", sector.from);
            let above = &passes[top..];
            let islands = above.windows(2).filter(|pair| !pair[0] && pair[1]).count();
            assert_eq!(islands, sector.again.len(), "{}", sector.from);
            for again in &sector.again {
                let [from, to] =
                    [again.from, again.to].map(|speed| (speed.get() * 10.0).round() as usize);
                assert!(passes[from..=to].iter().all(|passes| *passes));
                assert!(!passes[from - 1] && !passes[to + 1]);
            }
        }
    });
}

/// At the limit every rule holds, and a tenth above one fails: the one that is named.
#[test]
fn the_rule_that_bars_is_the_one_that_fails() {
    with_demo(|tree| {
        for mission in ["dam-to-bay-transects", "north-bay-lines"] {
            let found = limits(tree, mission, None, &sought(30.0), &|_| {}).expect("limits");
            let asked = asked(tree, mission, None).expect("the mission");
            let (plan, policy) = (&asked.plan, &asked.policy);
            let setting = Setting::from_plan(plan, policy);
            assert!(found.any_wind_passes());
            for sector in &found.sectors {
                let at = sector.strongest.expect("a limit");
                let wind = setting.blowing(sector.from, found.spread, at.mean, at.gust);
                assert_eq!(
                    by_check(plan, policy, wind),
                    [],
                    "{mission}, {}",
                    sector.from
                );
                let limited_by = sector.limited_by.as_ref().expect("what bars");
                assert!((limited_by.wind.mean.get() - at.mean.get() - 0.1).abs() < 1e-9);
                assert!(!limited_by.rules.is_empty());
                let of = |spread, from| {
                    setting.blowing(from, spread, limited_by.wind.mean, limited_by.wind.gust)
                };
                let alone = by_check(plan, policy, of(Angle::degrees(0.0), limited_by.from));
                let whole = by_check(plan, policy, of(found.spread, sector.from));
                assert!(
                    alone == limited_by.rules || whole == limited_by.rules,
                    "{mission}, {}: {:?} and not {alone:?} or {whole:?}",
                    sector.from,
                    limited_by.rules
                );
            }
        }
    });
}

/// A search that takes more than may be computed ends, and gives an error in place of limits that were not
/// found; one that takes less gives all of them.
#[test]
fn what_takes_too_long_is_refused_and_not_half_told() {
    with_demo(|tree| {
        let found = asked(tree, "north-bay-lines", None).expect("the mission");
        let within = |most: usize| {
            of_plan(
                &found.plan,
                &found.policy,
                &sought(30.0),
                Vec::new(),
                (&|_| {}, most),
            )
        };
        assert_eq!(within(usize::MAX).expect("limits").sectors.len(), 12);
        // So little that the first winds spend it, and so much that only the last ones do.
        for most in [1, 10_000, 1_000_000] {
            let error = within(most).expect_err("too much").to_string();
            assert!(
                error.starts_with("plans/missions/north-bay-lines.yaml: "),
                "{error}"
            );
            assert!(
                error.contains(&format!("more than {most} steps")),
                "{error}"
            );
            assert!(error.contains("take a wider step"), "{error}");
        }
    });
}

/// What is said of the planned wind is what a check says, of every demo mission.
#[test]
fn the_planned_wind_is_judged_as_by_a_check() {
    with_demo(|tree| {
        let outcome = check(tree, None).expect("a check");
        let loaded = load(tree, None).expect("the demo");
        assert!(outcome.checked.len() > 10);
        for checked in &outcome.checked {
            let asked = asked(tree, &checked.mission, None).expect("the mission");
            let errors = |rule: &str| {
                let own = loaded
                    .policies
                    .get(&checked.policy)
                    .expect("its policy")
                    .get(rule);
                own.is_some_and(|rule| rule.severity.value == Severity::Error)
            };
            let mut by_check: Vec<&str> = checked
                .judged
                .iter()
                .filter(|one| matches!(one.verdict, Verdict::Fails | Verdict::Unknown))
                .map(|one| &*one.rule)
                .filter(|rule| errors(rule))
                .collect();
            by_check.sort_unstable();
            by_check.dedup();
            let kinds = Kinds::from_policy(&asked.policy);
            let passage = margins::passage(&asked.plan, &asked.policy);
            let ours = all_broken(kinds.all(), &passage);
            let mut ours: Vec<&str> = ours.iter().map(|one| one.rule.as_str()).collect();
            ours.sort_unstable();
            assert_eq!(ours, by_check, "{}", checked.mission);
        }
    });
}

/// A measure that does not ask for a wind reads the same in any.
#[test]
fn what_asks_for_no_wind_is_the_same_in_every_wind() {
    with_demo(|tree| {
        let loaded = load(tree, None).expect("the demo");
        let without: Vec<_> = CATALOGUE
            .iter()
            .filter(|entry| !entry.measure.depends_on_wind())
            .collect();
        assert!(without.len() > 20 && without.len() < CATALOGUE.len());
        let mut differing = 0;
        for plan in &loaded.linked.plans {
            let policy = loaded.policies.builtin();
            let setting = Setting::from_plan(plan, policy);
            let in_winds = [(40.0, 10.0, 15), (260.0, 30.0, 70)].map(|(from, spread, tenths)| {
                let from = FromDirection::new(Angle::degrees(from));
                in_wind(plan, setting.wind(from, Angle::degrees(spread), tenths))
            });
            let passages = in_winds
                .each_ref()
                .map(|plan| margins::passage(plan, policy));
            let values = |read: fn(&Passage<'_>) -> Vec<measures::Measurement>, passage| {
                let readings = read(passage).into_iter();
                let all: Vec<_> = readings
                    .map(|reading| {
                        (
                            reading.subject,
                            reading.outcome.ok().map(|known| known.value),
                        )
                    })
                    .collect();
                all
            };
            for entry in &without {
                let [one, other] = passages
                    .each_ref()
                    .map(|passage| values(entry.read, passage));
                assert_eq!(
                    one, other,
                    "{} of {}",
                    entry.measure.name, plan.mission.id.value
                );
            }
            for entry in CATALOGUE
                .iter()
                .filter(|entry| entry.measure.depends_on_wind())
            {
                let [one, other] = passages
                    .each_ref()
                    .map(|passage| values(entry.read, passage));
                differing += usize::from(one != other);
            }
        }
        assert!(differing > 100, "{differing}");
    });
}

/// Passages that share what no wind changes read as ones that share nothing.
#[test]
fn shared_parts_change_nothing() {
    with_demo(|tree| {
        let found = asked(tree, "dam-to-bay-transects", None).expect("the mission");
        let (plan, policy) = (&found.plan, &found.policy);
        let setting = Setting::from_plan(plan, policy);
        let from = FromDirection::new(Angle::degrees(310.0));
        let wind = |tenths| in_wind(plan, setting.wind(from, Angle::degrees(20.0), tenths));
        let (first, second) = (wind(30), wind(60));
        let passage = margins::passage(&first, policy);
        let read = |passage: &Passage<'_>| {
            let all = CATALOGUE
                .iter()
                .map(|entry| format!("{:?}", (entry.read)(passage)));
            all.collect::<Vec<_>>()
        };
        let _ = read(&passage);
        assert_eq!(
            read(&passage.in_wind(&second)),
            read(&margins::passage(&second, policy))
        );
    });
}

/// Whatever a route is changed into, it runs on from point to point, from the launch to the recovery.
#[test]
fn a_changed_route_is_whole() {
    use super::course::{nearer, reversed};
    with_demo(|tree| {
        let loaded = load(tree, None).expect("the demo");
        let (mut turned, mut cut) = (0, 0);
        for plan in &loaded.linked.plans {
            let whole = |changed: &Plan| {
                let (legs, own) = (&changed.mission.legs, &plan.mission.legs);
                let meet = |a: Point, b: Point| a.distance(b) < 0.002;
                assert!(meet(legs[0].from, own[0].from));
                assert!(meet(legs[legs.len() - 1].to, own[own.len() - 1].to));
                assert!(legs.windows(2).all(|pair| meet(pair[0].to, pair[1].from)));
                assert!(legs.iter().all(|leg| leg.length() > 0.0));
            };
            let length = |plan: &Plan| plan.mission.legs.iter().map(Leg::length).sum::<f64>();
            let home = plan.mission.recovery.at.value;
            let farthest = |plan: &Plan| {
                let ends = plan.mission.legs.iter().map(|leg| leg.to.distance(home));
                ends.fold(0.0, f64::max)
            };
            if let Some(other) = reversed(plan) {
                whole(&other);
                assert!((farthest(&other) - farthest(plan)).abs() < 1e-6);
                // Twice the other way round is the way as it was, but for the speed of the way out.
                let twice = reversed(&other).expect("a route that was turned can be turned");
                assert!(
                    (length(&twice) - length(plan)).abs() < 0.01,
                    "{}",
                    plan.path
                );
                turned += 1;
            }
            if let Some((other, reach)) = nearer(plan, NEARER) {
                whole(&other);
                assert!(farthest(&other) <= reach + 1e-6);
                assert!((reach / farthest(plan) - NEARER).abs() < 1e-9);
                assert!(length(&other) < length(plan));
                cut += 1;
            }
        }
        assert!(turned > 5 && cut > 5, "{turned} {cut}");
    });
}

/// What winds from one direction have in common is worked out once for all of them: where the wind alone
/// drives a boat from every sample, and what it comes near that goes straight on.
#[test]
fn what_no_strength_of_wind_changes_is_worked_out_once() {
    with_demo(|tree| {
        let asked = asked(tree, "north-bay-lines", None).expect("the mission");
        let (plan, policy) = (&asked.plan, &asked.policy);
        let kinds = Kinds::from_policy(policy);
        let setting = Setting::from_plan(plan, policy);
        let from = FromDirection::new(Angle::degrees(240.0));
        let in_tenths = |tenths| in_wind(plan, setting.wind(from, Angle::degrees(0.0), tenths));
        let plans: Vec<Plan> = [20, 30, 40, 50].map(in_tenths).into();
        let first = margins::passage(&plans[0], policy);
        let judge = |passage: &Passage<'_>| all_broken(kinds.windy.iter().copied(), passage).len();
        judge(&first);
        let once = first.worked_out();
        // Five directions off downwind from each sample, one time of each of the two contingencies.
        assert_eq!(once.ways_adrift, 5 * first.track.samples.len());
        assert!(once.straight_on > 0, "{once:?}");
        for plan in &plans[1..] {
            let other = first.in_wind(plan);
            judge(&other);
            assert_eq!(other.worked_out(), once);
        }
        // Another direction has ways of its own, and the same turns to miss.
        let south = FromDirection::new(Angle::degrees(180.0));
        let turned = in_wind(plan, setting.wind(south, Angle::degrees(0.0), 30));
        let turned = first.in_wind(&turned);
        judge(&turned);
        assert_eq!(turned.worked_out(), once);
        assert_eq!(first.worked_out(), once);
    });
}

/// A measure asks for no more of a passage than it needs: a variation that is tried for the energy does not
/// work out the headway, nor the runs against the wind.
#[test]
fn what_a_measure_does_not_ask_for_is_not_worked_out() {
    with_demo(|tree| {
        let asked = asked(tree, "north-bay-lines", None).expect("the mission");
        let passage = margins::passage(&asked.plan, &asked.policy);
        let read = |name: &str| measures::evaluate(name, &passage).len();
        assert_eq!(read("mission.reserve_at_turnaround"), 1);
        let runs = passage.runs().expect("runs");
        assert_eq!(runs.worked_out(), (false, false));
        assert_eq!(read("mission.headway_in_gusts"), 1);
        assert_eq!(runs.worked_out(), (true, false));
        assert_eq!(read("mission.upwind_run_length"), 1);
        assert_eq!(runs.worked_out(), (true, true));
    });
}

/// Plans that differ in their speeds share where a disabled boat drifts to only where the time that they are out
/// decides nothing about it: not where an area closes in that time, though another is closed all year.
#[test]
fn a_slower_boat_meets_what_closes_while_it_is_still_out() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/plans");
    let mut tree = MemoryTree::default();
    for file in walkdir::WalkDir::new(root) {
        let file = file.expect("a file of the demo");
        if file.file_type().is_file() {
            let path = file.path().strip_prefix(root).expect("below the demo");
            let text = std::fs::read_to_string(file.path()).expect("a text");
            tree.put(path.to_str().expect("a path"), text);
        }
    }
    let mut edit = |path: &str, from: &str, to: &str| {
        let text = tree.files.get_mut(path).expect("a file");
        assert_eq!(text.matches(from).count(), 1, "{from}");
        *text = text.replace(from, to);
    };
    // Past the latest return the run's own length counts.
    let mission = "missions/dam-to-bay-transects.yaml";
    edit(
        mission,
        "latest_return: 2027-06-22T10:30",
        "latest_return: 2027-06-22T09:00",
    );
    let site = "site/quenderby.yaml";
    let reeds = "[[52.397644, -24.292970], [52.398320, -24.293372], [52.398688, -24.291715], [52.398013, -24.291313]]";
    let off_the_dam = "[[52.402681, -24.287053], [52.403311, -24.287053], [52.403311, -24.286023], [52.402681, -24.286023]]";
    edit(site, reeds, off_the_dam);
    let season = "closed: [{ from: 03-01, to: 09-15 }]";
    edit(
        site,
        season,
        "closed: [{ hours: { from: '10:00', to: '20:00' } }]",
    );
    let nets = "keep_out:\n  - id: nets\n    area: [[52.3965, -24.3130], [52.3966, -24.3130], [52.3966, -24.3128]]\n";
    edit(site, "keep_out:\n", nets);
    on_large_stacks(|| {
        let asked = asked(&tree, "dam-to-bay-transects", None).expect("the mission");
        let fast = &asked.plan;
        let mut slow = fast.clone();
        for leg in &mut slow.mission.legs {
            leg.command.value = faster(leg.command.value, 0.5);
        }
        let meets = |passage: &Passage<'_>| {
            let adrift = passage.adrift(Peril::Closed).expect("where it drifts");
            adrift.met.meets.clone()
        };
        let planned = Passage::from_plan(fast);
        let known = planned.of_directions();
        let first = meets(&planned.in_wind_of(fast, &known).in_wind(fast));
        assert_eq!(first, meets(&planned));
        let slower = Passage::from_plan(&slow).in_wind_of(&slow, &known);
        let again = meets(&slower.in_wind(&slow));
        assert_eq!(again, meets(&Passage::from_plan(&slow)));
        assert_ne!(again, first);
    });
}
