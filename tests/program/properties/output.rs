//! The reports: fit for their schema, and the same whenever and however they are made.

use offing::door::check::{Outcome, check};
use offing::door::report::{Settings, json, schema, terminal};
use offing::door::source::Tree;
use proptest::prelude::*;

use super::draw::{full, hold};

use super::tree::of_folder;

/// The reports of a tree, made on so many threads.
fn reports(tree: &dyn Tree, threads: usize) -> (String, String) {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .stack_size(32 << 20)
        .build()
        .unwrap();
    pool.install(|| texts(&check(tree, None).unwrap()))
}

fn texts(outcome: &Outcome) -> (String, String) {
    let settings = Settings {
        width: 100,
        ..Settings::default()
    };
    (terminal(outcome, &settings), json(outcome).unwrap())
}

/// Whether a JSON report is as its schema says.
fn fits(report: &str) -> Result<(), TestCaseError> {
    static VALIDATOR: std::sync::OnceLock<jsonschema::Validator> = std::sync::OnceLock::new();
    let validator = VALIDATOR.get_or_init(|| jsonschema::validator_for(&schema()).unwrap());
    let report: serde_json::Value = serde_json::from_str(report).unwrap();
    let errors: Vec<String> = validator
        .iter_errors(&report)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    prop_assert!(errors.is_empty(), "{errors:?}");
    Ok(())
}

#[test]
#[ignore = "slow"]
fn a_report_fits_its_schema_and_is_the_same_on_any_number_of_threads() {
    hold(10, &full(), |mut scene| {
        // A spread less keeps the solving of remedies short.
        scene.wind.spread = scene.wind.spread.min(5.0);
        let tree = scene.tree();
        let first = reports(&tree, 1);
        prop_assert!(first.0.contains("missions checked"));
        fits(&first.1)?;
        prop_assert_eq!(&first, &reports(&tree, 2));
        Ok(())
    });
}

/// The demo as a whole, with several missions side by side, and with files that are broken.
#[test]
#[ignore = "slow"]
fn the_demos_reports_are_the_same_on_any_number_of_threads() {
    let mut demo = of_folder("plans", |_| true);
    for broken in [false, true] {
        if broken {
            for (path, text) in &mut demo.files {
                if path.contains("headwind") || path.ends_with("team.yaml") {
                    *text = text.replacen(": ", " ", 9);
                }
            }
        }
        let first = reports(&demo, 1);
        fits(&first.1).unwrap();
        for threads in [1, 2, 4] {
            assert_eq!(first, reports(&demo, threads), "{threads} threads");
        }
    }
}
