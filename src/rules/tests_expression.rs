//! Expressions: what is refused, with its words and place; what a sound one comes to.

use super::testing::{load, refused};

/// Refusals of a `measure:` of the given text, bounded by a share.
fn wrong(expression: &str) -> Vec<(String, String, String)> {
    refused(&format!("measure: {expression}\nat_least: 30 %"))
}

fn one(expression: &str) -> (String, String, String) {
    let mut all = wrong(expression);
    assert_eq!(all.len(), 1, "{expression}: {all:?}");
    all.remove(0)
}

#[test]
fn a_measure_that_is_not_known_is_refused_with_the_nearest() {
    let (message, span, help) = one("mission.rech / q(\"1 m\")");
    assert_eq!(message, "`measure`: unknown measure `mission.rech`");
    assert_eq!(span, "mission.rech");
    assert_eq!(help, "did you mean `mission.reach`?");
    let (message, span, help) = one("2.0 * tide");
    assert_eq!(message, "`measure`: unknown measure `tide`");
    assert_eq!(span, "tide");
    assert_eq!(help, "`offing measures` lists them");
}

#[test]
fn unlike_quantities_are_refused() {
    let (message, span, _) = one("mission.returns || mission.reach < mission.delay");
    assert_eq!(
        message,
        "`measure`: `mission.reach` is a length and `mission.delay` is a duration; they cannot \
         be compared"
    );
    assert_eq!(span, "mission.reach < mission.delay");
    let (message, span, _) = one("2.0 * (mission.reach + mission.reserve)");
    assert_eq!(
        message,
        "`measure`: `mission.reach` is a length and `mission.reserve` is a share; they cannot be \
         added"
    );
    assert_eq!(
        span,
        "(mission.reach + mission.reserve)".trim_matches(['(', ')'])
    );
    let (message, span, _) = one("min(mission.delay, q(\"3 m\"))");
    assert_eq!(
        message,
        "`measure`: `mission.delay` is a duration and `q(\"3 m\")` is a length; they cannot be \
         compared"
    );
    assert_eq!(span, "min(mission.delay, q(\"3 m\"))");
    let (message, ..) = one("mission.reach - q(\"4 s\")");
    assert!(message.ends_with("they cannot be subtracted"), "{message}");
}

#[test]
fn every_fault_of_an_expression_is_told() {
    let all = wrong("mission.rech > q(\"3 m\") && mission.dely < q(\"3 s\")");
    let spans: Vec<&str> = all.iter().map(|(_, span, _)| span.as_str()).collect();
    assert_eq!(spans, ["mission.rech", "mission.dely"]);
}

#[test]
fn whole_numbers_are_refused_with_the_way_to_write_them() {
    let (message, span, help) = one("mission.reserve * 2");
    assert_eq!(
        message,
        "`measure`: `2` is a whole number, which cannot be combined with measured ones"
    );
    assert_eq!(
        (span.as_str(), help.as_str()),
        ("2", "write `2.0`, or a quantity such as `q(\"2 m\")`")
    );
    let (_, span, help) = one("mission.reserve * -3");
    assert_eq!(
        (span.as_str(), help.as_str()),
        ("-3", "write `-3.0`, or a quantity such as `q(\"-3 m\")`")
    );
    let (_, span, _) = one("mission.reserve * 7u");
    assert_eq!(span, "7u");
}

#[test]
fn truths_and_quantities_are_kept_apart() {
    let (message, span, _) = one("mission.returns + 1.0");
    assert_eq!(
        message,
        "`measure`: `mission.returns` is true or false where a quantity is due"
    );
    assert_eq!(span, "mission.returns");
    let (message, span, help) = one("mission.lit && mission.reach");
    assert_eq!(
        message,
        "`measure`: `mission.reach` is a length where true or false is due"
    );
    assert_eq!(span, "mission.reach");
    assert_eq!(help, "compare it with something, such as `> q(\"30 m\")`");
    let (message, span, _) = one("'mission.lit ? mission.reach : mission.delay'");
    assert_eq!(
        message,
        "`measure`: one way this is a length, the other way a duration"
    );
    assert_eq!(span, "mission.lit ? mission.reach : mission.delay");
    let (message, ..) = one("mission.reserve == 1.0");
    assert_eq!(
        message,
        "`measure`: quantities cannot be compared for equality: two measured ones are never the \
         same"
    );
}

#[test]
fn what_has_no_place_in_a_rule_is_refused() {
    let none = "`measure`: this has no place in a rule";
    for (expression, span) in [
        ("has(mission.reach)", "has(mission.reach)"),
        ("mission.reserve % 2.0", "mission.reserve % 2.0"),
        ("mission.reach.exists()", "mission.reach.exists()"),
        ("null", "null"),
    ] {
        let (message, found, help) = one(&format!("\"{expression}\"").replace('"', "'"));
        assert_eq!(message, none, "{expression}");
        assert!(
            span.contains(&found) && !found.is_empty(),
            "{expression}: {found}"
        );
        assert!(
            help.starts_with("a rule may use measures, numbers"),
            "{help}"
        );
    }
    let (message, span, _) = one("size(mission.reach)");
    assert_eq!(
        message,
        "`measure`: `size` is not a function that a rule may call"
    );
    assert_eq!(span, "size(mission.reach)");
    let (message, span, help) = one("mission.reserve + \"30 %\"");
    assert_eq!(
        message,
        "`measure`: a text has no place in a rule, except as a quantity"
    );
    assert_eq!(span, "\"30 %\"");
    assert_eq!(help, "write a quantity as `q(\"30 m\")`");
    let (message, ..) = one("abs(mission.reserve, mission.reserve)");
    assert_eq!(message, "`measure`: `abs` takes one value");
    let (message, ..) = one("min(mission.reserve)");
    assert_eq!(message, "`measure`: `min` takes two values");
    let (message, ..) = one("mission.reserve + 1e999");
    assert_eq!(
        message,
        "`measure`: the expression cannot be read from `1` on"
    );
}

#[test]
fn lists_and_loops_never_reach_the_parser() {
    for expression in [
        "'[1.0].all(x, x > 0.0)'",
        "'{1: 2}'",
        "'mission[\"reach\"]'",
    ] {
        let (message, span, _) = one(expression);
        assert_eq!(
            message,
            "`measure`: an expression of a rule has no lists or maps"
        );
        assert!(matches!(span.as_str(), "[" | "{"), "{span}");
    }
}

#[test]
fn a_quantity_that_cannot_be_read_is_refused() {
    let (message, span, help) = one("mission.reach / q(\"3 furlong\")");
    assert_eq!(
        message,
        "`measure`: `furlong` is not a unit that offing knows"
    );
    assert_eq!(span, "q(\"3 furlong\")");
    assert_eq!(help, "write it as `q(\"30 m\")`");
    assert_eq!(
        one("mission.reach / q(\"3\")").0,
        "`measure`: `3` has no unit"
    );
    assert_eq!(
        one("mission.reach / q(mission.reach)").0,
        "`measure`: `q` takes one quantity in quotes"
    );
}

#[test]
fn what_is_no_expression_is_refused_where_it_stops() {
    let (message, span, _) = one("mission.reach @ 2.0");
    assert_eq!(
        message,
        "`measure`: the expression cannot be read from `@` on"
    );
    assert_eq!(span, "@");
    let (message, span, _) = one("mission.reach / q(\"5 °\") )");
    assert_eq!(
        message,
        "`measure`: the expression cannot be read from `)` on"
    );
    assert_eq!(span, ")");
    let (message, span, _) = one("mission.reach <");
    assert_eq!(message, "`measure`: the expression ends too early");
    assert_eq!(span, "mission.reach <");
}

#[test]
fn an_expression_without_measures_is_refused() {
    let (message, ..) = one("1.0 / 2.0");
    assert_eq!(
        message,
        "`measure`: it uses no measure, so it gives the same result for every plan"
    );
}

#[test]
fn spans_are_narrowed_in_quotes_and_not_in_blocks() {
    for quoted in ["\"mission.rech / 2.0\"", "'mission.rech / 2.0'"] {
        assert_eq!(one(quoted).1, "mission.rech");
    }
    let (_, span, _) = one(">-\n  mission.rech\n  / 2.0");
    assert!(span.starts_with("mission.rech\n"), "{span}");
    // An escape moves the letters after it.
    assert_eq!(
        one("\"\\x20mission.rech / 2.0\"").1,
        "\"\\x20mission.rech / 2.0\""
    );
}

#[test]
fn deep_and_long_expressions_are_refused_before_they_are_parsed() {
    let chain = format!("mission.reserve{}", " + 1.0".repeat(65));
    assert_eq!(
        one(&chain).0,
        "`measure`: the expression has more than 64 operators"
    );
    let calls = format!("mission{}", ".a".repeat(65));
    assert_eq!(
        one(&calls).0,
        "`measure`: the expression has more than 64 operators"
    );
    let words = format!("a{}", " in a".repeat(65));
    assert_eq!(
        one(&words).0,
        "`measure`: the expression has more than 64 operators"
    );
    let nest = format!("{}mission.reserve{}", "(".repeat(17), ")".repeat(17));
    let (message, span, _) = one(&nest);
    assert_eq!(message, "`measure`: more than 16 nested brackets");
    assert_eq!(span, "(");
    let wide = format!("'mission.reserve {}'", "°".repeat(600));
    assert!(one(&wide).0.ends_with("bytes long; at most 1000 are read"));
}

/// The largest expressions that are let through, parsed, checked and evaluated on the 2 MiB stack
/// that a thread has where nothing else is said.
#[test]
fn the_deepest_expressions_fit_a_usual_stack() {
    use super::testing::{in_force, known, quantity};
    let worst = [
        format!("mission.reserve{}", " + 1.0".repeat(64)),
        format!("{}mission.reserve{}", "-(".repeat(16), ")".repeat(16)),
        format!(
            "{}mission.reserve{}{}",
            "(".repeat(16),
            "+1.0)".repeat(16),
            "-1.0".repeat(48)
        ),
        format!("{}mission.reserve", "mission.lit?1.0:".repeat(60)),
        format!(
            "{}mission.reserve{}",
            "min(1.0, 1.0 + ".repeat(16),
            ")".repeat(16)
        ),
    ];
    let judge_all = move || {
        for expression in worst {
            let rule = in_force(&format!("measure: \"{expression}\"\nat_least: -5000 %"));
            let judged = super::judge(&rule, &|name| match name {
                "mission.lit" => vec![known("", crate::measures::Value::Truth(false))],
                _ => vec![known("", quantity(name, 0.5))],
            });
            assert_eq!(judged[0].verdict, super::Verdict::Holds, "{expression}");
        }
    };
    std::thread::Builder::new()
        .stack_size(2 << 20)
        .spawn(judge_all)
        .expect("a thread")
        .join()
        .expect("no panic");
}

#[test]
fn power_levels_differ_by_levels() {
    for lines in [
        "measure: mission.sent - mission.heard\nat_least: 3 dB",
        "measure: mission.sent + q(\"3 dB\")\nat_least: 3 dBm",
        "measure: mission.sent - link.margin\nat_least: 3 dBm",
    ] {
        let (_, rule) = load(lines);
        assert!(rule.is_ok(), "{lines}: {rule:?}");
    }
    assert_eq!(
        one("mission.sent + mission.heard").0,
        "`measure`: `mission.sent` is a power level and `mission.heard` is a power level; they \
         cannot be added"
    );
}

proptest::proptest! {
    /// Whatever is written, it is read or refused, and every refusal stands on something.
    #[test]
    fn nothing_that_is_written_ends_the_program(
        parts in proptest::collection::vec(
            proptest::sample::select(vec![
                "mission.reach", "mission.lit", "link.margin", "2.0", ".1", "2", "(", ")", "+", "-",
                "*", "/", "<", ">=", "==", "&&", "||", "!", "?", ":", ",", "q(\"3 m\")", "min(",
                "abs(", " in ", "has(", "true", "°", ".", "x", "[", "'a", "r\"", "\\u", "//", " ",
            ]),
            1..40,
        ),
    ) {
        let text = parts.concat().replace('\'', "''");
        let lines = format!("measure: 'x{text}'\nat_least: 3 m");
        let (sources, rule) = load(&lines);
        if let Err(problems) = rule {
            proptest::prop_assert!(!problems.is_empty());
            for problem in problems {
                proptest::prop_assert!(!sources.slice(problem.span).is_empty(), "{problem:?}");
            }
        }
    }
}

/// Decimal points are not counted, and what they could hide is refused by the parser.
#[test]
fn a_chain_of_decimal_points_is_no_way_round_the_count() {
    let chain = format!("mission.reserve + 1{}", ".1".repeat(480));
    assert!(
        one(&chain)
            .0
            .starts_with("`measure`: the expression cannot be read from")
    );
}
