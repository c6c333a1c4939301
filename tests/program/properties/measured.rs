//! What the program makes of a drawn plan.

use std::sync::Arc;

use offing::door::check::{Loaded, load};
use offing::door::measures::{self, Value};
use offing::door::passage::Passage;
use offing::door::units::Length;

use super::scene::Scene;

/// The plan, read and linked; a drawn plan that is no plan is a fault of the test.
pub fn loaded(scene: &Scene) -> Loaded {
    let mut loaded = load(&scene.tree(), None).unwrap();
    let problems: Vec<&str> = loaded.problems.iter().map(|p| p.message.as_str()).collect();
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(loaded.linked.plans.len(), 1);
    // A turn without any radius, which no file may state, leaves out how far the boat runs on in it.
    let vessel = Arc::make_mut(&mut loaded.linked.plans[0].vessel);
    vessel.navigation.turning_radius.value = Length::metres(scene.boat.turning_radius);
    loaded
}

/// The one plan's passage.
pub fn passage(loaded: &Loaded) -> Passage<'_> {
    Passage::from_plan(&loaded.linked.plans[0])
}

/// The value of a measure, the first subject's where there are several; `None` where unknown.
pub fn read(passage: &Passage<'_>, name: &str) -> Option<f64> {
    let reading = &measures::evaluate(name, passage)[0];
    reading
        .outcome
        .as_ref()
        .ok()
        .map(|known| match known.value {
            Value::Quantity(quantity) => quantity.value,
            Value::Truth(yes) => f64::from(u8::from(yes)),
        })
}

/// The value of a measure of a drawn plan.
pub fn measure(scene: &Scene, name: &str) -> Option<f64> {
    read(&passage(&loaded(scene)), name)
}

/// A figure of the passage by name.
pub fn figure(passage: &Passage<'_>, name: &str) -> Option<f64> {
    measures::figures(passage)
        .into_iter()
        .find(|(held, _)| *held == name)
        .map(|(_, quantity)| quantity.value)
}

/// Whether a second value is no better than a first. What cannot be determined is worse than anything
/// that can.
pub fn no_better(first: Option<f64>, second: Option<f64>, slack: f64) -> bool {
    match (first, second) {
        (_, None) => true,
        (None, Some(_)) => false,
        (Some(first), Some(second)) => second <= first + slack,
    }
}
