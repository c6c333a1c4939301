//! The pages on measuring a boat: their sums calculated again, their fields looked up in the schema, what
//! they write into a vessel's file read, and the worksheet held beside them.

use std::collections::BTreeSet;

use serde_json::Value as Json;

use super::markdown::{Block, code, parts, rows};
use super::session::Session;
use super::{documents, root, text_of};

const INDEX: &str = "docs/how-to/measuring/README.md";
const SHEET: &str = "docs/how-to/measuring/worksheet.html";

/// The pages, without their index.
fn pages() -> Vec<String> {
    let mut all = documents();
    all.retain(|path| path.starts_with("docs/how-to/measuring/") && path != INDEX);
    assert_eq!(all.len(), 8);
    all
}

fn blocks(path: &str) -> Vec<Block> {
    parts(path, &text_of(path)).0
}

/// Whether the schema of vessels has a field, by its path as documents write it.
fn is_field(path: &str) -> bool {
    let schema: Json = serde_json::from_str(&text_of("schemas/vessel.schema.json")).unwrap();
    let resolved = |node: &Json| -> Json {
        let named = node["$ref"].as_str().and_then(|at| at.strip_prefix('#'));
        named.map_or(node, |at| schema.pointer(at).unwrap()).clone()
    };
    let mut node = schema.clone();
    for key in path.split('.') {
        node = resolved(&node["properties"][key.trim_end_matches("[]")]);
        if key.ends_with("[]") {
            node = resolved(&node["items"]);
        }
        if node.is_null() {
            return false;
        }
    }
    true
}

/// The fields that a page says it gives, from its table.
fn fields_of(page: &str) -> Vec<String> {
    let (_, prose) = parts(page, &text_of(page));
    let cells = rows(&prose).into_iter().map(|row| row[0].clone());
    let fields: Vec<String> = cells.flat_map(|cell| code(&cell)).collect();
    assert!(!fields.is_empty(), "{page}");
    fields
}

#[test]
fn every_field_that_a_page_gives_is_one_of_a_vessel() {
    for page in pages() {
        for field in fields_of(&page) {
            assert!(is_field(&field), "{page}: a vessel has no field `{field}`");
        }
    }
    let (_, prose) = parts(INDEX, &text_of(INDEX));
    let mut named = 0;
    for field in rows(&prose).iter().flat_map(|row| code(&row[2])) {
        assert!(is_field(&field), "{INDEX}: no field `{field}`");
        named += 1;
    }
    assert!(named >= 15, "{named}");
}

/// What is a figure on a page has a place on the sheet, under the field's own name, and nothing else has.
#[test]
fn the_worksheet_names_each_field_exactly_once() {
    let sheet = text_of(SHEET);
    let named: Vec<&str> = sheet
        .split("<code>")
        .skip(1)
        .map(|rest| rest.split_once("</code>").unwrap().0)
        .collect();
    let once: BTreeSet<&str> = named.iter().copied().collect();
    assert_eq!(named.len(), once.len(), "{named:?}");
    let given: BTreeSet<String> = pages().iter().flat_map(|page| fields_of(page)).collect();
    let given: BTreeSet<&str> = given.iter().map(String::as_str).collect();
    assert_eq!(once, given);
    // It needs nothing else to be printed.
    assert!(!sheet.contains("http") && !sheet.contains("<script") && !sheet.contains("<img"));
}

/// A part of a file by its first line's key, without what belongs to another key.
fn with_part(file: &str, key: &str, part: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for line in file.lines() {
        let begins = !line.starts_with([' ', '#']);
        if begins {
            inside = line.split_once(':').is_some_and(|(own, _)| own == key);
            if inside {
                out.push_str(part);
            }
        }
        if !inside {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

/// Each block takes the place of its part in the least boat's file, and the check then reads the file.
#[test]
fn what_goes_into_the_file_can_be_read() {
    let session = Session::new();
    let mut tried = 0;
    for page in pages() {
        for block in blocks(&page) {
            if block.info != "yaml fragment" {
                continue;
            }
            let (key, _) = block.lines[0].split_once(':').unwrap();
            let part = block.lines.join("\n") + "\n";
            let boat = with_part(&text_of("docs/start/boat.yaml"), key, &part);
            assert!(boat.contains(&part), "{page}: `{key}` is no part of a boat");
            session.write("docs/start/boat.yaml", &boat);
            let said = session.run("offing check docs/start --short");
            assert!(!said.contains("[input-"), "{page}:{}: {said}", block.at);
            tried += 1;
        }
    }
    assert!(tried >= 9, "only {tried} blocks");
}

/// The tutorial's boat has what the pages come to.
#[test]
fn the_examples_are_the_boat_of_the_tutorial() {
    let tutorial = blocks("docs/tutorial/1-water-and-boat.md");
    let boat = tutorial
        .iter()
        .find(|block| block.info == "yaml vessels/dabchick.yaml");
    let boat = boat.unwrap().lines.join("\n");
    let without_comment = |line: &str| {
        let line = line.split_once(" #").map_or(line, |(before, _)| before);
        line.trim().to_owned()
    };
    let mut known: BTreeSet<String> = boat.lines().map(without_comment).collect();
    // A figure that its first check does without is stated in the part after it.
    let later = "drag_coefficient: 0.9";
    assert!(text_of("docs/tutorial/2-first-mission.md").contains(later));
    known.insert(later.to_owned());
    for page in pages() {
        for block in blocks(&page)
            .iter()
            .filter(|block| block.info == "yaml fragment")
        {
            for line in block.lines.iter().map(|line| without_comment(line)) {
                let own = line.starts_with("evidence:") || line.starts_with("delay:");
                assert!(
                    own || known.contains(&line),
                    "{page}: the boat has no `{line}`"
                );
            }
        }
    }
}

#[derive(Clone, PartialEq, Debug)]
enum Token {
    Number(f64),
    Operator(char),
    Unit,
}

/// An expression in its parts. What is neither a number nor an operator is a unit.
fn tokens(text: &str) -> Vec<Token> {
    let mut out = Vec::new();
    let chars: Vec<char> = text.chars().collect();
    let mut at = 0;
    while at < chars.len() {
        let from = at;
        at += 1;
        match chars[from] {
            ' ' => {}
            '(' | ')' | '√' | '²' => out.push(Token::Operator(chars[from])),
            '+' | '−' | '×' | '/' | '^' => out.push(Token::Operator(chars[from])),
            digit if digit.is_ascii_digit() => {
                while chars
                    .get(at)
                    .is_some_and(|c| c.is_ascii_digit() || *c == '.')
                {
                    at += 1;
                }
                let number: String = chars[from..at].iter().collect();
                out.push(Token::Number(number.parse().unwrap()));
            }
            _ => {
                while chars.get(at).is_some_and(|c| !" ()".contains(*c)) {
                    at += 1;
                }
                let after = matches!(
                    out.last(),
                    Some(Token::Number(_) | Token::Unit | Token::Operator(')' | '²'))
                );
                assert!(after, "a unit stands behind nothing: {text}");
                out.push(Token::Unit);
            }
        }
    }
    out.retain(|token| *token != Token::Unit);
    out
}

/// Sums, by the usual precedence.
struct Sum<'a>(&'a [Token]);

impl Sum<'_> {
    fn operator(&mut self, any: &[char]) -> Option<char> {
        match self.0.first() {
            Some(Token::Operator(found)) if any.contains(found) => {
                self.0 = &self.0[1..];
                Some(*found)
            }
            _ => None,
        }
    }

    fn whole(&mut self) -> f64 {
        let mut value = self.product();
        while let Some(operator) = self.operator(&['+', '−']) {
            let next = self.product();
            value = if operator == '+' {
                value + next
            } else {
                value - next
            };
        }
        value
    }

    fn product(&mut self) -> f64 {
        let mut value = self.power();
        while let Some(operator) = self.operator(&['×', '/']) {
            let next = self.power();
            value = if operator == '×' {
                value * next
            } else {
                value / next
            };
        }
        value
    }

    fn power(&mut self) -> f64 {
        let value = self.one();
        match self.operator(&['^', '²']) {
            Some('^') => value.powf(self.one()),
            Some(_) => value * value,
            None => value,
        }
    }

    fn one(&mut self) -> f64 {
        if self.operator(&['√']).is_some() {
            return self.one().sqrt();
        }
        if self.operator(&['(']).is_some() {
            let value = self.whole();
            assert!(self.operator(&[')']).is_some(), "a bracket is open");
            return value;
        }
        match self.0.split_first() {
            Some((Token::Number(value), rest)) => {
                self.0 = rest;
                *value
            }
            other => panic!("a number is due: {other:?}"),
        }
    }
}

fn calculated(expression: &str) -> f64 {
    let tokens = tokens(expression);
    let mut sum = Sum(&tokens);
    let value = sum.whole();
    assert!(sum.0.is_empty(), "{expression}: {:?} is left", sum.0);
    value
}

/// The lines of the worked examples: page, name, expression, value as printed.
fn sums() -> Vec<(String, String, String, String)> {
    let mut all = Vec::new();
    for page in pages() {
        for block in blocks(&page).iter().filter(|block| block.info == "sums") {
            for line in &block.lines {
                let (name, rest) = line.split_once(": ").unwrap_or_else(|| panic!("{line}"));
                let (expression, value) = rest.rsplit_once(" = ").unwrap();
                all.push((
                    page.clone(),
                    name.to_owned(),
                    expression.to_owned(),
                    value.to_owned(),
                ));
            }
        }
    }
    all
}

#[test]
fn every_sum_comes_to_what_it_says() {
    let all = sums();
    for (page, name, expression, value) in &all {
        let number = value.split(' ').next().unwrap();
        let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
        let printed: f64 = number.parse().unwrap();
        let found = calculated(expression);
        let half = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap()) + 1e-9;
        assert!(
            (found - printed).abs() <= half,
            "{page}: {name}: {expression} = {found}, not {value}"
        );
    }
    assert!(all.len() >= 40, "{}", all.len());
    let with: BTreeSet<&String> = all.iter().map(|(page, ..)| page).collect();
    assert_eq!(with.len(), pages().len());
}

#[test]
fn an_expression_is_calculated_by_the_usual_precedence() {
    for (expression, value) in [
        ("1 + 2 × 3", 7.0),
        ("(1 m + 2 m) × 3", 9.0),
        ("2 × (3 m/s)²", 18.0),
        ("8 − 2 − 1", 5.0),
        ("2 ^ 3 × √(4 m²)", 16.0),
        ("12 V / 4 / 3 A", 1.0),
    ] {
        assert!(
            (calculated(expression) - value).abs() < 1e-12,
            "{expression}"
        );
    }
    assert!(std::panic::catch_unwind(|| calculated("1 + ")).is_err());
    assert!(std::panic::catch_unwind(|| calculated("V + 1")).is_err());
}

/// The value of a line, as printed.
fn value_of(page: &str, name: &str) -> f64 {
    let page = format!("docs/how-to/measuring/{page}.md");
    let all = sums();
    let found = all
        .iter()
        .find(|(own, called, ..)| *own == page && called == name);
    let (.., value) = found.unwrap_or_else(|| panic!("{page}: {name}"));
    value.split(' ').next().unwrap().parse().unwrap()
}

/// Where the program has the same equation, it comes to the same.
#[test]
fn the_program_calculates_the_same() {
    let session = Session::new();
    let battery = blocks("docs/how-to/measuring/gauge.md");
    let battery = battery
        .iter()
        .find(|block| block.info == "yaml fragment")
        .unwrap();
    let part = battery.lines.join("\n") + "\n";
    let boat = with_part(&text_of("docs/start/boat.yaml"), "battery", &part);
    let trial = blocks("docs/how-to/measuring/stopping-distance.md");
    let trial = trial
        .iter()
        .find(|block| block.info == "yaml fragment")
        .unwrap();
    let boat = with_part(&boat, "propulsion", &(trial.lines.join("\n") + "\n"));
    session.write("docs/start/boat.yaml", &boat);
    // At 1.2 m/s to the end, which is more than it was stopped from.
    let mission = text_of("docs/start/first-lines.yaml");
    let mission = mission.replace(
        "speed: { over_ground: 0.5 m/s } }",
        "speed: { over_ground: 1.2 m/s } }",
    );
    session.write("docs/start/first-lines.yaml", &mission);
    let said = session.run("offing check docs/start --format json");
    let report: Json = serde_json::from_str(&said).unwrap();
    let judged = |rule: &str| -> f64 {
        let all = report["missions"][0]["judged"].as_array().unwrap();
        let found = all.iter().find(|one| one["rule"] == rule);
        let found = found.unwrap_or_else(|| panic!("{rule}: {all:#?}"));
        found["measured"]["value"].as_f64().unwrap() * 100.0
    };
    let close = |found: f64, printed: f64, half: f64| {
        assert!((found - printed).abs() <= half, "{found} and {printed}");
    };
    close(
        judged("measured-capacity"),
        value_of("capacity", "state of health"),
        0.05,
    );
    close(
        judged("gauge-matches-battery").abs(),
        value_of("gauge", "error of the setting").abs(),
        0.05,
    );
    // A limit that nothing keeps has the calculation shown.
    let policy = "kind: policy\nformat: 1\nid: team\nrules:\n  overrun: { at_least: 1 km }\n";
    session.write("docs/start/team.yaml", policy);
    let text = session.run("offing check docs/start --width 400");
    let scaled = value_of("stopping-distance", "scaled to 1.2 m/s");
    assert!(text.contains(&format!("{scaled} m")), "{scaled}: {text}");
    let on = value_of("stopping-distance", "with a reaction of 10 s");
    assert!(text.contains(&format!("{on} m")), "{on}: {text}");
    assert!(root().join(SHEET).exists());
}

/// The pages name where a figure of theirs is published, and mark what is not.
#[test]
fn every_page_has_its_sources_its_safe_side_and_its_cautions() {
    for page in pages() {
        let text = text_of(&page);
        for due in [
            "## Sources",
            "**The safe side**",
            "## Cautions",
            "## How sure it is",
            "## In the file",
        ] {
            assert!(text.contains(due), "{page}: {due}");
        }
        let (_, sources) = text.split_once("## Sources").unwrap();
        assert!(
            sources.contains("common practice, no source") || sources.contains("from memory"),
            "{page}"
        );
    }
}
