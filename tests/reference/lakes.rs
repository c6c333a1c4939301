//! The lakes of the benchmarks: each mission is judged by every rule and none fails, as the benchmarks take it, and
//! those on the unkind one agree with the independent recomputation. Its currents bend drifts, its wind veers from hour
//! to hour, and two stations share the link.

use std::path::Path;

use offing::door::check::{Verdict, check, on_large_stacks};
use offing::door::source::MemoryTree;

use crate::lake::{self, Pack};
use crate::passage::compared;
use crate::unkind;

/// Vertices of the shoreline for which the values were recorded.
const VERTICES: usize = 2000;

fn failing(tree: &MemoryTree) -> Vec<String> {
    let outcome = on_large_stacks(|| check(tree, None).unwrap());
    assert!(!outcome.checked.is_empty(), "{:?}", outcome.not_checked);
    let judged = outcome.checked.iter().flat_map(|one| &one.judged);
    assert!(judged.clone().count() > 80 * outcome.checked.len());
    let amiss = judged.filter(|one| matches!(one.verdict, Verdict::Fails | Verdict::Unknown));
    amiss.map(|one| format!("{one:?}")).collect()
}

#[test]
fn every_rule_is_judged_on_the_lakes_of_the_benchmarks_and_none_fails() {
    for vertices in [1000, VERTICES] {
        let none = Vec::<String>::new();
        assert_eq!(failing(&lake::repository(vertices, 1, Pack::Ample)), none);
        assert_eq!(failing(&unkind::repository(vertices, 2, Pack::Ample)), none);
    }
    let scant = failing(&lake::repository(VERTICES, 1, Pack::Scant));
    assert_eq!(scant.len(), 1, "{scant:#?}");
}

#[test]
fn missions_on_the_unkind_lake_agree_with_the_independent_recomputation() {
    let recorded = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/lake.json");
    let recorded = std::fs::read_to_string(recorded).unwrap();
    let tree = unkind::repository(VERTICES, 2, Pack::Ample);
    let (compared, apart) = compared(&tree, &recorded);
    assert!(apart.is_empty(), "{}", apart.join("\n"));
    assert!(compared >= 2 * 30, "only {compared} values were compared");
}
