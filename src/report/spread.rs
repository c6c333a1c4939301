//! How often rules fail in sampled variations, at a terminal.

use super::paint::Look;
use super::prose::{Lead, Page, Sign, list, on_one_line, paragraph};
use crate::check::{Failing, Outcome, Spread};
use crate::units::Ratio;

fn share(of: u32, all: u32) -> String {
    Ratio::fraction(f64::from(of) / f64::from(all)).to_string()
}

fn rule(rule: &Failing, judged: u32) -> String {
    let id = &rule.rule;
    match (rule.failed, rule.unknown) {
        (failed, 0) => format!("{id} in {}", share(failed, judged)),
        (0, unknown) => format!("{id} could not be judged in {}", share(unknown, judged)),
        (failed, unknown) => format!(
            "{id} in {}, and could not be judged in {}",
            share(failed, judged),
            share(unknown, judged)
        ),
    }
}

fn mission(name: &str, spread: &Spread) -> String {
    let name = on_one_line(name);
    if spread.judged == 0 {
        return format!("{name}: too large to judge many times");
    }
    if spread.any == 0 {
        return format!("{name}: every rule passes in all of them");
    }
    let rules: Vec<String> = spread
        .rules
        .iter()
        .map(|one| rule(one, spread.judged))
        .collect();
    format!(
        "{name}: some rule fails in {}; {}",
        share(spread.any, spread.judged),
        rules.join("; ")
    )
}

/// Writes what came of the variations, where any were requested.
pub(super) fn spread(out: &mut String, page: Page, outcome: &Outcome) {
    let sampled = || {
        let missions = outcome.checked.iter();
        missions.filter_map(|one| Some((one.mission.as_str(), one.spread.as_ref()?)))
    };
    let Some((_, first)) = sampled().next() else {
        return;
    };
    let title = format!(
        "in {} random variations of each mission (seed {}):",
        first.sampling.runs, first.sampling.seed
    );
    let told: Vec<String> = sampled().map(|(name, one)| mission(name, one)).collect();
    list(out, page, 0, &title, &told, Sign::Dash);
    let mut drawn: Vec<String> = Vec::new();
    for (_, one) in sampled() {
        for text in &one.drawn {
            if !drawn.contains(text) {
                drawn.push(text.clone());
            }
        }
    }
    list(out, page, 2, "drawn were:", &drawn, Sign::Dash);
    let lead = Lead {
        indent: 2,
        words: "",
        look: Look::Quiet,
    };
    let text = "These shares are not chances of losing the boat. They show how near a plan is to \
                its limits, as far as the drawn errors match the real ones.";
    paragraph(out, page, &lead, 2, text);
}
