//! What no output may hold, said here once more and not by the program's own functions.

use crate::world::CANARY;

/// What a terminal acts on, or does not show: control characters but line feeds, and those that
/// change the direction of text, break a line or take no room (Unicode Standard Annexes #9 and #14).
fn acts(character: char) -> bool {
    let control = character.is_control() && character != '\n';
    control
        || matches!(character,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Whether a job's log holds a command that begins with `##`, letters and a bracket (from memory, of
/// two hosted services).
fn has_marked_command(text: &str) -> bool {
    // Every place where a bracket stands, with the letters before it.
    text.match_indices('[').any(|(at, _)| {
        let before = text[..at].trim_end_matches(|c: char| c.is_ascii_alphabetic());
        before.ends_with("##")
    })
}

/// A text that goes to a terminal or a job's log.
pub fn in_a_log(what: &str, text: &str) {
    let found = text.chars().find(|character| acts(*character));
    assert!(found.is_none(), "{what}: {found:?} in {text}");
    assert!(!has_marked_command(text), "{what}: {text}");
    assert!(!text.contains(CANARY), "{what}: {text}");
    if what != "github" {
        let command = text
            .lines()
            .find(|line| line.trim_start().starts_with("::"));
        assert!(command.is_none(), "{what}: {command:?}");
    }
}

/// A report of a form.
pub fn of_form(form: &str, text: &str) {
    in_a_log(form, text);
    if text.is_empty() {
        return;
    }
    match form {
        "json" | "gitlab" => {
            let _: serde_json::Value = serde_json::from_str(text).expect(form);
        }
        "sarif" => {
            let value: serde_json::Value = serde_json::from_str(text).expect(form);
            for message in texts_of(&value) {
                assert!(!message.contains("]("), "a link: {message}");
            }
        }
        "junit" => xml(text),
        "markdown" => markdown(text),
        "github" => annotations(text),
        _ => {}
    }
}

/// Every value of a key `text`.
fn texts_of(value: &serde_json::Value) -> Vec<&str> {
    match value {
        serde_json::Value::Object(map) => map
            .iter()
            .flat_map(|(key, value)| match value.as_str() {
                Some(text) if key == "text" => vec![text],
                _ => texts_of(value),
            })
            .collect(),
        serde_json::Value::Array(all) => all.iter().flat_map(texts_of).collect(),
        _ => Vec::new(),
    }
}

/// Whole, and of no other elements than a report has.
fn xml(text: &str) {
    use quick_xml::events::Event;
    let known = [
        "testsuites",
        "testsuite",
        "testcase",
        "failure",
        "error",
        "skipped",
        "system-out",
    ];
    let mut reader = quick_xml::Reader::from_str(text);
    let mut open = 0;
    loop {
        match reader.read_event().expect("sound XML") {
            Event::Start(tag) => {
                open += 1;
                let name = tag.name().as_ref().to_owned();
                assert!(known.contains(&name.as_str()), "{name}");
            }
            Event::Empty(tag) => {
                let name = tag.name().as_ref().to_owned();
                assert!(known.contains(&name.as_str()), "{name}");
            }
            Event::End(_) => open -= 1,
            Event::DocType(_) | Event::PI(_) | Event::CData(_) | Event::Comment(_) => {
                panic!("no such thing belongs in a report: {text}")
            }
            Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(open, 0);
}

/// No markup but the report's own: its folds, tables, lists and fences.
fn markdown(text: &str) {
    let mut outside = String::new();
    for (number, part) in text.split("```").enumerate() {
        if number % 2 == 0 {
            outside.push_str(part);
        } else {
            // A fence holds a sketch: marks, and no name.
            let sketch = part.strip_prefix("text\n").expect("a sketch");
            let known = |c: char| c.is_ascii_alphanumeric() || " .!\n".contains(c);
            assert!(sketch.chars().all(known), "{sketch}");
        }
    }
    assert_eq!(text.matches("```").count() % 2, 0);
    for own in [
        "<details><summary>",
        "</summary>",
        "</details>",
        "<b>",
        "</b>",
        "<code>",
        "</code>",
        "&#",
    ] {
        outside = outside.replace(own, " ");
    }
    for markup in ['<', '>', '`', '@', '[', '*', '\\', '~'] {
        let line = outside.lines().find(|line| {
            // The title of a mission is the report's own.
            line.contains(markup) && !line.starts_with("**")
        });
        assert!(line.is_none(), "{markup}: {line:?}");
    }
    assert!(!outside.contains("://") && !outside.contains("www."));
}

/// Commands of the report's own only, one a line, whose properties nothing of a file's ends.
fn annotations(text: &str) {
    for line in text.lines() {
        let rest = ["::error ", "::warning ", "::notice "]
            .iter()
            .find_map(|begin| line.strip_prefix(begin));
        let rest = rest.unwrap_or_else(|| panic!("{line}"));
        let (properties, _) = rest.split_once("::").expect("a message");
        for property in properties.split(',') {
            let (key, value) = property.split_once('=').expect("a property");
            let known = ["file", "line", "endLine", "col", "endColumn", "title"];
            assert!(known.contains(&key), "{property}");
            assert!(!value.contains(':'), "{property}");
        }
    }
}

#[test]
fn a_command_in_a_log_is_seen() {
    assert!(!has_marked_command("## heading [x]\n# #[x]\n##1[x]"));
    assert!(has_marked_command("  12 | ##vso[task.x]y"));
    assert!(has_marked_command("a ###[error]y"));
}
