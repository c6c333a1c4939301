//! What a team's own rule can have wrong. Missions are still judged by the other rules, and the
//! check is no pass.

use super::cases::{Case, case, run};
use super::tree::Files;

const FILE: &str = "rules/own.yaml";

fn told(cases: Vec<Case>) -> String {
    let mut base = Files::demo(&[]);
    base.write(
        FILE,
        "kind: rule\nformat: 1\nid: own\ntitle: Length of the run upwind\n\
         measure: mission.upwind_run_length\nat_most: 900 m\nseverity: warning\n\
         why: The crew rows.\nremedy: Turn back earlier.\n",
    );
    run(&base, &cases)
}

fn measure(name: &'static str, to: &str) -> Case {
    case(name, FILE, "measure: mission.upwind_run_length", to)
}

#[test]
fn rule_files() {
    let long = format!(
        "measure: §{}mission.upwind_run_length",
        "1.0 * ".repeat(165)
    );
    let deep = format!(
        "measure: {}§(mission.upwind_run_length{}",
        "(".repeat(16),
        ")".repeat(17)
    );
    let told = told(vec![
        case("a misspelt field", FILE, "remedy:", "§remedi:").and(
            FILE,
            "kind: rule",
            "§kind: rule",
        ),
        case(
            "an unknown severity",
            FILE,
            "severity: warning",
            "severity: §fatal",
        ),
        case("no bound", FILE, "at_most: 900 m\n", "").and(FILE, "kind: rule", "§kind: rule"),
        case(
            "a bound of another dimension",
            FILE,
            "at_most: 900 m",
            "at_most: §900 s",
        ),
        case(
            "a bound without its unit",
            FILE,
            "at_most: 900 m",
            "at_most: §'900'",
        ),
        case("a bare bound", FILE, "at_most: 900 m", "at_most: §900"),
        case(
            "an equality of quantities",
            FILE,
            "at_most: 900 m",
            "equals: §true",
        ),
        case(
            "limits that leave nothing between them",
            FILE,
            "at_most: 900 m",
            "at_least: §950 m\nat_most: 900 m",
        ),
        case(
            "the id of a built-in rule",
            FILE,
            "id: own",
            "id: §upwind-run-length",
        ),
        measure("an unknown measure", "measure: §mission.upwind_run_lenght"),
        measure(
            "an unknown measure that nothing resembles",
            "measure: §boat.colour",
        ),
        measure("a truth with a limit", "measure: end.operator_in_sight").and(
            FILE,
            "at_most: 900 m",
            "at_most: §900 m",
        ),
        measure(
            "metres against seconds",
            "measure: §mission.upwind_run_length + mission.upwind_run_time",
        ),
        measure(
            "metres compared with seconds",
            "measure: §mission.upwind_run_length > q(\"90 s\")",
        ),
        measure("a whole number", "measure: mission.upwind_run_length * §2"),
        measure("a comprehension", "measure: '§[1, 2].all(x, x > 1)'"),
        measure(
            "a method",
            "measure: §mission.upwind_run_length.matches(\"a\")",
        ),
        measure(
            "a function that no rule may call",
            "measure: §size(mission.upwind_run_length)",
        ),
        measure(
            "no expression at all",
            "measure: §mission.upwind_run_length +",
        ),
        measure("a constant", "measure: §q(\"30 m\")"),
        measure(
            "a unit that is not known",
            "measure: mission.upwind_run_length - §q(\"3 furlong\")",
        ),
        measure("longer than is read", &long),
        measure("nested deeper than is read", &deep),
        measure(
            "two subjects",
            "measure: §end.stand_off > q(\"5 m\") && link.margin > q(\"3 dB\")",
        )
        .and(FILE, "at_most: 900 m", "equals: true"),
        case(
            "a condition that is a quantity",
            FILE,
            "severity: warning",
            "severity: warning\napplies_when: §mission.upwind_run_time",
        ),
        case(
            "a condition of an unknown measure",
            FILE,
            "severity: warning",
            "severity: warning\napplies_when: §mission.moonlit",
        ),
    ]);
    insta::assert_snapshot!(told);
}
