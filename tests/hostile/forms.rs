//! Whatever names and texts hold, a report has the lists, tables, elements and lines that it has with plain
//! ones, and its Markdown names nobody.

use std::collections::BTreeMap;

use pulldown_cmark::{Event, Options, Parser, Tag};

use crate::run::{Limits, Ran};
use crate::shared::cases::cases;
use crate::world::{MISSION, POLICY, SITE, World};

const PLAIN: &str = "some plain words";
const TEXTS: [&str; 22] = [
    "@everyone and @team/crew, a@example.com",
    "see #1, owner/repo#1, GH-7 and CREW-12",
    "!4 &9 ~bug %v1 $3 *iteration:1 [issue:5]",
    ":smile: :+1: a:100:b",
    "0123abcdef deadbeef owner/repo@0123abc",
    "https://e.example/x www.e.example mailto:a@e.example",
    "- a list",
    "1. a list",
    "2) a list",
    "* a list + more",
    "# a heading",
    "=== ---",
    "> a quote",
    "| a | b |",
    "/merge",
    "/approve - x",
    "    code set in",
    "``` fence ~~~",
    "</details></summary></table> <h1>",
    "[x] [ ] [a](b) ![c](d) [e]: f",
    "a  \\\\ **b** __c__ ~~d~~ $e$ \\\\(f\\\\)",
    "{+a+} [-b-] [[page]] <!-- c --> &lt;",
];

/// A mission with findings whose files hold a text wherever one is shown.
fn world_of(text: &str) -> World {
    let world = World::new();
    let quoted = format!("\"{}\"", text.replace('"', "'"));
    // A text without a letter or a digit names nobody, which is a finding more.
    let role = if text.contains(char::is_alphanumeric) {
        quoted.clone()
    } else {
        format!("\"{text} x\"")
    };
    for (path, from, to) in [
        (
            MISSION,
            "title: Sounding lines in the north bay",
            format!("title: {quoted}"),
        ),
        (
            MISSION,
            "purpose: Depth of the silt in the north bay, one line every 30 m.",
            format!("purpose: {quoted}"),
        ),
        (
            MISSION,
            "shore_contact: desk officer at the office",
            format!("shore_contact: {role}"),
        ),
        (
            MISSION,
            "charge_at_launch: 95 %",
            "charge_at_launch: 40 %".to_owned(),
        ),
        (
            MISSION,
            "person_in_charge: survey lead",
            format!("person_in_charge: {role}"),
        ),
        (
            SITE,
            "title: Quenderby Reservoir",
            format!("title: {quoted}"),
        ),
        (
            SITE,
            "title: Weir of the spillway, with no boom in front of it",
            format!("title: {quoted}"),
        ),
        (
            POLICY,
            "  reserve-at-turnaround:\n",
            format!(
                "  overrun:\n    enabled: false\n    reason: {quoted}\n  reserve-at-turnaround:\n"
            ),
        ),
    ] {
        world.edit(path, from, &to);
    }
    world.write(
        "rules/own.yaml",
        &format!(
            "kind: rule\nformat: 1\nid: own\ntitle: {quoted}\nmeasure: mission.reserve_at_turnaround\n\
             at_least: 99 %\nseverity: error\nwhy: {quoted}\nremedy: {quoted}\nsources: [{quoted}]\n"
        ),
    );
    world
}

/// What a check and a review say of it.
fn told(text: &str) -> (Ran, Ran) {
    let world = world_of(text);
    let checked = world.check();
    assert_eq!(checked.status, 1, "{}", checked.everything());
    (checked, world.review())
}

/// How many there are of each sort of thing in Markdown, and the text that is no code.
fn structure(markdown: &str) -> (BTreeMap<String, usize>, String) {
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_HEADING_ATTRIBUTES;
    let mut counts = BTreeMap::new();
    let mut shown = String::new();
    let mut code = 0;
    for event in Parser::new_ext(markdown, options) {
        let mut count = |what: String| *counts.entry(what).or_insert(0) += 1;
        match event {
            Event::Start(Tag::List(_)) => count("list".to_owned()),
            Event::Start(Tag::Item) => count("item".to_owned()),
            Event::Start(tag) => {
                let name = format!("{tag:?}");
                let name = name.split(['(', ' ', '{']).next().unwrap_or_default();
                if !matches!(name, "HtmlBlock" | "Paragraph") {
                    count(name.to_owned());
                }
            }
            Event::Html(html) | Event::InlineHtml(html) => {
                for part in html.split('<').skip(1) {
                    let tag = part.split('>').next().unwrap_or_default();
                    match tag {
                        "code" => code += 1,
                        "/code" => code -= 1,
                        _ => count(format!("<{tag}>")),
                    }
                    // A text within a block of HTML.
                    if code == 0 {
                        shown.push_str(&decoded(part.split_once('>').map_or("", |(_, rest)| rest)));
                        shown.push('\n');
                    }
                }
            }
            Event::Text(text) if code == 0 => shown.push_str(&text),
            Event::SoftBreak | Event::HardBreak | Event::End(_) => shown.push('\n'),
            Event::Rule => count("rule".to_owned()),
            Event::Code(_) => count("code".to_owned()),
            _ => {}
        }
    }
    assert_eq!(code, 0, "{markdown}");
    (counts, shown)
}

/// Character references as a browser takes them.
fn decoded(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("&#") {
        out.push_str(before);
        let (number, behind) = after.split_once(';').expect("a whole reference");
        out.push(char::from_u32(number.parse().unwrap()).unwrap());
        rest = behind;
    }
    out + rest
}

/// Fails where a service that looks for names in what is shown would find one. Said here once more and not
/// by the program's own functions; from memory, of two hosted services.
fn names_nobody(shown: &str) {
    for word in shown.split_whitespace() {
        for sign in ['@', '#', '!', '~', '$', '&', '%', '*'] {
            let named = word
                .split(sign)
                .skip(1)
                .any(|rest| rest.starts_with(|c: char| c.is_ascii_alphanumeric()));
            assert!(!named, "{word} in {shown}");
        }
        assert!(!word.contains("://") && !word.contains("www."), "{word}");
        let mut parts = word.split(':').skip(1).peekable();
        while let Some(part) = parts.next() {
            let picture = parts.peek().is_some()
                && !part.is_empty()
                && part
                    .chars()
                    .all(|c| c.is_ascii_alphanumeric() || c == '+' || c == '_');
            assert!(!picture, "{word}");
        }
        for name in word.split(|c: char| !c.is_ascii_alphanumeric()) {
            let hash = (7..=40).contains(&name.len())
                && name
                    .chars()
                    .all(|c| c.is_ascii_hexdigit() && !c.is_ascii_uppercase());
            assert!(!hash, "{word}");
        }
    }
    assert!(
        !shown.contains("GH-7") && !shown.contains("CREW-12"),
        "{shown}"
    );
}

/// How much of everything a report has, which no text changes.
fn counts(form: &str, text: &str) -> BTreeMap<String, usize> {
    let mut all = BTreeMap::new();
    let mut count = |what: &str, number: usize| {
        all.insert(what.to_owned(), number);
    };
    match form {
        "markdown" => {
            let (counts, shown) = structure(text);
            names_nobody(&shown);
            // A command of a service that takes whole lines.
            assert!(
                !text.lines().any(|line| line.trim_start().starts_with('/')),
                "{text}"
            );
            return counts;
        }
        "json" | "gitlab" | "sarif" => {
            values(&serde_json::from_str(text).unwrap(), "", &mut all);
        }
        "github" => {
            for kind in ["error", "warning", "notice"] {
                let begin = format!("::{kind} ");
                count(
                    kind,
                    text.lines().filter(|line| line.starts_with(&begin)).count(),
                );
            }
            count("lines", text.lines().count());
        }
        "junit" | "html" | "svg" => {
            for part in text.split('<').skip(1) {
                let name = part.split([' ', '>', '/']).next().unwrap_or_default();
                // A long text takes more lines of a drawing.
                if !matches!(name, "tspan" | "text" | "") {
                    *all.entry(format!("<{name}")).or_insert(0) += 1;
                }
            }
        }
        _ => {
            let begins = |word: &str| text.lines().filter(|line| line.starts_with(word)).count();
            for word in [
                "error[",
                "warning[",
                "advice[",
                "notes:",
                "missions checked:",
            ] {
                count(word, begins(word));
            }
        }
    }
    all
}

fn values(value: &serde_json::Value, path: &str, all: &mut BTreeMap<String, usize>) {
    *all.entry(path.to_owned()).or_insert(0) += 1;
    match value {
        serde_json::Value::Object(map) => {
            for (key, value) in map {
                values(value, &format!("{path}.{key}"), all);
            }
        }
        serde_json::Value::Array(list) => {
            for value in list {
                values(value, &format!("{path}[]"), all);
            }
        }
        _ => {}
    }
}

#[test]
#[ignore = "slow"]
fn every_form_counts_the_same_with_hostile_texts() {
    let (plain, reviewed) = told(PLAIN);
    let due = |ran: &Ran| -> BTreeMap<String, BTreeMap<String, usize>> {
        let all = ran.reports.iter();
        all.map(|(form, text)| (form.clone(), counts(form, text)))
            .collect()
    };
    let (of_check, of_review) = (due(&plain), due(&reviewed));
    assert!(
        of_check["markdown"]["list"] > 3,
        "{:?}",
        of_check["markdown"]
    );
    assert_eq!(of_check["markdown"]["Table"], 1);
    assert!(of_check["github"]["error"] > 0);
    for text in TEXTS.into_iter().step_by(cases(4, 1)) {
        let (checked, reviewed) = told(text);
        for (form, due) in &of_check {
            assert_eq!(&counts(form, &checked.reports[form]), due, "{form}: {text}");
        }
        for (form, due) in &of_review {
            assert_eq!(
                &counts(form, &reviewed.reports[form]),
                due,
                "review, {form}: {text}"
            );
        }
    }
}

#[test]
#[ignore = "slow"]
fn pages_and_figures_count_the_same_with_hostile_texts() {
    let pages = |text: &str| {
        let world = world_of(text);
        // Few lines to sail: a page finds the limits of the wind, which takes as long as the route is.
        world.edit(MISSION, "spacing: 30 m", "spacing: 110 m");
        let figures = world.aside("figures");
        let page = world.aside("page.html");
        let file = |path: &std::path::Path| path.to_str().unwrap().to_owned();
        let drawn = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["check", "--figures", &file(&figures)])
            .current_dir(world.repository())
            .output()
            .unwrap();
        assert_eq!(drawn.status.code(), Some(1), "{text}");
        world.run(
            &["brief", "north-bay-lines", "-o", &file(&page)],
            Limits::CHECK,
        );
        let mut all = BTreeMap::new();
        for entry in std::fs::read_dir(figures.join("north-bay-lines")).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let svg = std::fs::read_to_string(&path).unwrap();
            assert!(!svg.contains("<script"), "{name}: {text}");
            all.insert(name, counts("svg", &svg));
        }
        let html = std::fs::read_to_string(page).unwrap();
        assert!(!html.contains("href=\"http"), "{text}");
        let mut tags = counts("html", &html);
        // A text that is too long for its place on paper stands there twice, cut and whole, with a line that says so.
        tags.retain(|tag, _| !["<p", "<span"].contains(&tag.as_str()));
        assert!(tags.len() > 20, "{tags:?}");
        all.insert("page".to_owned(), tags);
        all
    };
    let due = pages(PLAIN);
    assert!(due.len() > 3);
    for text in TEXTS.into_iter().step_by(cases(11, 1)) {
        assert_eq!(pages(text), due, "{text}");
    }
}
