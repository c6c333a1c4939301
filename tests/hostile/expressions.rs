//! Expressions that never end, or are more than they seem. What an expression is made of is bounded
//! before it is read, and it knows neither lists, nor texts to search in, nor loops.

use crate::world::World;

fn rule(measure: &str) -> String {
    let measure = measure.replace('\'', "''");
    format!(
        "kind: rule\nformat: 1\nid: own\ntitle: Own\nmeasure: '{measure}'\nat_most: 900 m\n\
         severity: warning\nwhy: The crew rows.\nremedy: Turn back earlier.\n"
    )
}

#[test]
#[ignore = "slow"]
fn expressions_that_would_not_end() {
    let known = "mission.upwind_run_length";
    let chain = |sign: &str, many| vec![known; many].join(sign);
    let nested =
        |from: &str, many: usize| format!("{}{known}{}", from.repeat(many), ")".repeat(many));
    let texts = [
        chain(" + ", 50_000),
        chain(" + ", 66),
        chain("\n+\n", 20_000),
        nested("(", 50_000),
        nested("abs(", 200),
        nested("max(mission.upwind_run_length, ", 40),
        format!("{}{known}", "-".repeat(60_000)),
        format!("{}true", "!".repeat(990)),
        format!("mission{}", ".a".repeat(490)),
        format!("{known} > q(\"{}\")", "9".repeat(60_000)),
        format!("{known} > q(\"{} m\")", "9".repeat(900)),
        "[1,2,3].map(a, [1,2,3].map(b, [1,2,3].map(c, a*b*c))).size() > 0".to_owned(),
        "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!\".matches(\"^(a+)+$\")".to_owned(),
        "matches(\"aaaaaaaaaaaaaaaaaaaaaaaaaaaa!\", \"(((((a{99}){99}){99}){99}){99})\")"
            .to_owned(),
        format!("\"{}\" + \"x\" == \"x\"", "x".repeat(900)),
        "duration(\"999999999999h\") > duration(\"1s\")".to_owned(),
        format!("{known} / 0.0"),
        format!("{known} * {}.0", "9".repeat(300)),
        format!("{known} ? {known} : {known}"),
        "b\"\\xff\" == b\"\\xff\"".to_owned(),
        "r\"\"\"".to_owned(),
        "0x".to_owned() + &"f".repeat(900),
    ];
    for (number, text) in texts.iter().enumerate() {
        let world = World::new();
        world.write("rules/own.yaml", &rule(text));
        let ran = world.check();
        // What is sound and has no value is a finding; all else is an error of the rule's file.
        assert_ne!(ran.status, 0, "{text}: {}", ran.terminal());
        assert!(ran.peak < 300 << 10, "{text}: {}", ran.peak);
        if number % 7 == 0 {
            assert_ne!(world.review().status, 0, "{text}");
        }
    }
}

/// Thousands of rules are each as cheap as one.
#[test]
#[ignore = "slow"]
fn rules_without_number() {
    let world = World::new();
    let terms = vec!["mission.upwind_run_length"; 30].join(" + ");
    for number in 0..1_000 {
        let text = rule(&terms).replace("id: own", &format!("id: own{number}"));
        world.write(&format!("rules/{number}.yaml"), &text);
    }
    let ran = world.check();
    assert!(ran.status < 3, "{}", ran.said);
}
