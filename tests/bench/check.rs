//! How long a check takes, as a whole and in its parts; `docs/reference/performance.md` has the figures.

mod change;
mod history;
mod lake;
mod unkind;

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

use lake::Pack;
use offing::door::check::{Outcome, Verdict, check, load, on_large_stacks};
use offing::door::document::{ParseLimits, parse};
use offing::door::envelope::{Sought, limits};
use offing::door::measures;
use offing::door::models::geodesy::{Plane, Position};
use offing::door::models::geometry::{Polygon, Shore};
use offing::door::passage::Passage;
use offing::door::passage::adrift::Peril;
use offing::door::plan::Plan;
use offing::door::rules::judge;
use offing::door::source::MemoryTree;
use offing::door::source::Sources;
use offing::door::units::Angle;

/// Vertices of the shoreline that most figures are for.
const VERTICES: usize = 10_000;

/// Whether it is told where a boat adrift drifts to, of every kind of thing.
fn all_adrift(passage: &Passage<'_>) -> bool {
    let all = [Peril::Weir, Peril::Closed, Peril::Shore, Peril::Open];
    all.into_iter().all(|peril| passage.adrift(peril).is_ok())
}

/// Checks a repository and makes sure that it was judged, and how: a figure for a check that
/// ended early would be worth nothing.
fn judged(tree: &MemoryTree, missions: usize, failing: usize) -> Outcome {
    let outcome = match check(tree, None) {
        Ok(outcome) => outcome,
        Err(error) => panic!("{error}"),
    };
    assert_eq!(outcome.checked.len(), missions, "{:?}", outcome.not_checked);
    let count = |verdict: Verdict| {
        let all = outcome.checked.iter().flat_map(|one| &one.judged);
        all.filter(|one| one.verdict == verdict).count()
    };
    let failed: Vec<&str> = outcome
        .findings
        .iter()
        .map(|f| f.message.as_str())
        .collect();
    assert_eq!(count(Verdict::Unknown), 0, "{failed:?}");
    assert_eq!(count(Verdict::Fails), failing, "{failed:?}");
    outcome
}

fn whole(c: &mut Criterion) {
    let mut group = c.benchmark_group("check");
    let one = lake::repository(VERTICES, 1, Pack::Ample);
    on_large_stacks(|| judged(&one, 1, 0));
    group.bench_function("one mission of 60 legs, all rules hold", |b| {
        b.iter(|| on_large_stacks(|| check(black_box(&one), None)));
    });
    let unkind = unkind::repository(VERTICES, 1, Pack::Ample);
    on_large_stacks(|| judged(&unkind, 1, 0));
    group.bench_function("one mission on the unkind lake", |b| {
        b.iter(|| on_large_stacks(|| check(black_box(&unkind), None)));
    });
    let scant = lake::repository(VERTICES, 1, Pack::Scant);
    on_large_stacks(|| judged(&scant, 1, 1));
    group.bench_function("one mission of 60 legs, remedies are solved", |b| {
        b.iter(|| on_large_stacks(|| check(black_box(&scant), None)));
    });
    let many = lake::repository(VERTICES, 1000, Pack::Ample);
    on_large_stacks(|| judged(&many, 1000, 0));
    group.sample_size(10);
    group.bench_function("1000 missions of 60 legs", |b| {
        b.iter(|| on_large_stacks(|| check(black_box(&many), None)));
    });
    let many = unkind::repository(VERTICES, 1000, Pack::Ample);
    on_large_stacks(|| judged(&many, 1000, 0));
    group.bench_function("1000 missions on the unkind lake", |b| {
        b.iter(|| on_large_stacks(|| check(black_box(&many), None)));
    });
    group.finish();
}

fn size(c: &mut Criterion) {
    let mut group = c.benchmark_group("check against shoreline size");
    group.sample_size(20);
    for vertices in [1_000, 10_000, 100_000] {
        let tree = lake::repository(vertices, 1, Pack::Ample);
        on_large_stacks(|| judged(&tree, 1, 0));
        group.bench_function(BenchmarkId::from_parameter(vertices), |b| {
            b.iter(|| on_large_stacks(|| check(black_box(&tree), None)));
        });
    }
    group.finish();
    let mut group = c.benchmark_group("check against route length");
    group.sample_size(20);
    for legs in [15, 60, 150] {
        let tree = lake::of_legs(VERTICES, 1, Pack::Ample, legs);
        on_large_stacks(|| judged(&tree, 1, 0));
        group.bench_function(BenchmarkId::from_parameter(legs), |b| {
            b.iter(|| on_large_stacks(|| check(black_box(&tree), None)));
        });
    }
    group.finish();
}

/// Wind limits from 36 directions, with how they move and the alternatives: from the text of the files
/// on, as a user waits for it.
fn wind_limits(c: &mut Criterion) {
    let mut group = c.benchmark_group("limits");
    group.sample_size(10);
    let tree = lake::repository(VERTICES, 1, Pack::Ample);
    let sought = Sought {
        step: Angle::degrees(10.0),
        wind: None,
        height: None,
        sensitivity: true,
    };
    let solve = || on_large_stacks(|| limits(black_box(&tree), "lines-0", None, &sought, &|_| {}));
    match solve() {
        Ok(found) => {
            // A plan that passes in no wind, or in all, would be solved sooner.
            assert!(found.any_wind_passes());
            assert_eq!(found.sectors.len(), 36);
            assert!(found.sectors.iter().all(|one| one.limited_by.is_some()));
        }
        Err(error) => panic!("{error}"),
    }
    group.bench_function("36 directions, a mission of 60 legs", |b| b.iter(solve));
    group.finish();
}

/// The rings of a GeoJSON text, laid out as a site's are.
fn rings(text: &str) -> Vec<Vec<offing::door::models::plane::Point>> {
    let json: serde_json::Value = serde_json::from_str(text).unwrap_or_default();
    let plane = Plane::about(Position::from_degrees(52.4, -24.3));
    let rings = json["features"][0]["geometry"]["coordinates"].as_array();
    let position = |at: &serde_json::Value| {
        let number = |i: usize| at[i].as_f64().unwrap_or(f64::NAN);
        plane.to_plane(Position::from_degrees(number(1), number(0)))
    };
    rings
        .into_iter()
        .flatten()
        .map(|ring| {
            ring.as_array()
                .into_iter()
                .flatten()
                .map(position)
                .collect()
        })
        .collect()
}

fn first_plan(tree: &MemoryTree) -> Plan {
    match load(tree, None).map(|loaded| loaded.linked.plans.into_iter().next()) {
        Ok(Some(plan)) => plan,
        _ => panic!("the repository holds no plan"),
    }
}

fn parts(c: &mut Criterion) {
    let mut group = c.benchmark_group("parts");
    let text = lake::shoreline(VERTICES);
    let mut sources = Sources::new();
    let source = sources.add("lake.geojson", text.as_str());
    group.bench_function("shoreline: parse the GeoJSON", |b| {
        b.iter(|| parse(source, black_box(&text), &ParseLimits::GEODATA));
    });
    let rings = rings(&text);
    let polygon = |mut rings: Vec<Vec<_>>| {
        let exterior = rings.remove(0);
        match Polygon::new(exterior, rings) {
            Ok(polygon) => polygon,
            Err(error) => panic!("{error}"),
        }
    };
    group.bench_function("shoreline: prove the polygon sound", |b| {
        b.iter(|| polygon(black_box(rings.clone())));
    });
    let sound = polygon(rings);
    group.bench_function("shoreline: index it", |b| {
        b.iter(|| Shore::new(vec![black_box(sound.clone())]));
    });

    let empty = MemoryTree::default();
    group.bench_function("load: rules and policy alone", |b| {
        b.iter(|| load(black_box(&empty), None));
    });
    let tree = lake::repository(VERTICES, 1, Pack::Ample);
    group.bench_function("load: everything", |b| {
        b.iter(|| load(black_box(&tree), None));
    });
    group.bench_function("threads: start and end them", |b| {
        b.iter(|| on_large_stacks(|| black_box(0)));
    });

    let plan = on_large_stacks(|| first_plan(&tree));
    group.bench_function("passage: runs of all scenarios", |b| {
        b.iter(|| Passage::from_plan(black_box(&plan)).runs().is_ok());
    });
    group.bench_function("passage: links", |b| {
        b.iter(|| Passage::from_plan(black_box(&plan)).links().len());
    });
    group.bench_function("passage: clearances", |b| {
        b.iter(|| {
            Passage::from_plan(black_box(&plan))
                .clearances()
                .land
                .is_some()
        });
    });
    // What stands on the runs, each on runs that are at hand.
    let ready = || {
        let passage = Passage::from_plan(&plan);
        let _ = passage.runs();
        passage
    };
    let small = criterion::BatchSize::SmallInput;
    group.bench_function("passage: waves", |b| {
        b.iter_batched(ready, |passage| passage.seaway().is_ok(), small);
    });
    group.bench_function("passage: adrift", |b| {
        b.iter_batched(ready, |passage| all_adrift(&passage), small);
    });
    group.bench_function("passage: under the keel", |b| {
        b.iter_batched(ready, |passage| passage.under_keel().is_ok(), small);
    });
    let Ok(loaded) = load(&tree, None) else {
        panic!("the repository cannot be read")
    };
    let passage = Passage::from_plan(&plan);
    let _ = (passage.runs(), passage.links(), passage.clearances());
    let _ = (passage.seaway(), all_adrift(&passage), passage.under_keel());
    let policy = loaded.policies.builtin();
    group.bench_function("rules: judged on a passage at hand", |b| {
        b.iter(|| {
            let lookup = |name: &str| measures::evaluate(name, &passage);
            let rules = policy.rules.iter();
            rules
                .map(|rule| judge(black_box(rule), &lookup).len())
                .sum::<usize>()
        });
    });
    group.finish();
}

criterion_group!(
    benches,
    whole,
    size,
    wind_limits,
    parts,
    change::change,
    history::history
);
criterion_main!(benches);
