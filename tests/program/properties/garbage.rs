//! The demo's files with their text damaged at random: nothing panics, every finding stands where
//! it says, and a mission that fails does not come to pass by being unreadable.

use offing::door::check::{Outcome, Verdict, check};
use offing::door::document::{ParseLimits, parse};
use offing::door::finding::Severity;
use offing::door::report::{Settings, exit_status, json, terminal};
use offing::door::source::{SourceId, Span};
use proptest::prelude::*;
use proptest::sample::Index;

use super::draw::hold;
use offing::door::source::MemoryTree;

use super::tree::of_folder;

/// One way of damaging a text.
#[derive(Clone, Debug)]
enum Damage {
    DeleteLine(Index),
    DoubleLine(Index),
    SwapLines(Index, Index),
    DeleteCharacter(Index),
    DoubleCharacter(Index),
    PutCharacter(Index, char),
    PutWord(Index, &'static str),
    Cut(Index),
}

/// Words that mean something to a parser, a number, or nobody.
const WORDS: &[&str] = &[
    "null",
    "~",
    "true",
    "[]",
    "{}",
    "- ",
    ": ",
    "\n",
    "\t",
    "&a ",
    "*a",
    "<<: ",
    "!!str ",
    "---\n",
    "...\n",
    "|\n",
    ">-\n",
    "NaN",
    ".inf",
    "-",
    "1e999",
    "0x7f",
    "°",
    "%",
    "\u{feff}",
    "\u{202e}",
    "é",
    "\u{0}",
    "\r",
    "kind: ",
    "\"",
    "'",
    "9999999999999999999",
    "-0",
    "m/s",
];

fn damage() -> impl Strategy<Value = Damage> + Clone {
    let at = || any::<Index>();
    prop_oneof![
        at().prop_map(Damage::DeleteLine),
        at().prop_map(Damage::DoubleLine),
        (at(), at()).prop_map(|(a, b)| Damage::SwapLines(a, b)),
        at().prop_map(Damage::DeleteCharacter),
        at().prop_map(Damage::DoubleCharacter),
        (at(), any::<char>()).prop_map(|(i, c)| Damage::PutCharacter(i, c)),
        (at(), prop::sample::select(WORDS)).prop_map(|(i, w)| Damage::PutWord(i, w)),
        at().prop_map(Damage::Cut),
    ]
}

fn damaged(text: &str, damage: &Damage) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let mut characters: Vec<char> = text.chars().collect();
    match damage {
        Damage::DeleteLine(at) if !lines.is_empty() => {
            lines.remove(at.index(lines.len()));
            return lines.concat();
        }
        Damage::DoubleLine(at) if !lines.is_empty() => {
            let index = at.index(lines.len());
            lines.insert(index, lines[index]);
            return lines.concat();
        }
        Damage::SwapLines(one, other) if !lines.is_empty() => {
            let (one, other) = (one.index(lines.len()), other.index(lines.len()));
            lines.swap(one, other);
            return lines.concat();
        }
        Damage::DeleteCharacter(at) if !characters.is_empty() => {
            characters.remove(at.index(characters.len()));
        }
        Damage::DoubleCharacter(at) if !characters.is_empty() => {
            let index = at.index(characters.len());
            characters.insert(index, characters[index]);
        }
        Damage::PutCharacter(at, character) => {
            characters.insert(at.index(characters.len() + 1), *character);
        }
        Damage::PutWord(at, word) => {
            let index = at.index(characters.len() + 1);
            characters.splice(index..index, word.chars());
        }
        Damage::Cut(at) if !characters.is_empty() => {
            characters.truncate(at.index(characters.len()));
        }
        _ => {}
    }
    characters.into_iter().collect()
}

/// What a text means, whatever its comments and spaces.
fn meaning(text: &str) -> Option<serde_json::Value> {
    let document = parse(SourceId(0), text, &ParseLimits::YAML).ok()?;
    Some(document.root.to_json())
}

fn stands(outcome: &Outcome, span: Span) -> Result<(), TestCaseError> {
    let file = outcome.sources.get(span.source);
    prop_assert!(file.is_some(), "{span:?} is in no file");
    let text = file.map_or("", |file| file.text());
    let range = span.range();
    prop_assert!(
        range.start <= range.end && range.end <= text.len(),
        "{span:?}"
    );
    prop_assert!(text.is_char_boundary(range.start) && text.is_char_boundary(range.end));
    Ok(())
}

/// A mission, its vessel, site, shoreline and policy, and the rule it fails by.
const MISSIONS: &[(&str, &str)] = &[
    ("careless-end", "end-action"),
    ("headwind-return", "upwind-run-length"),
    ("past-the-island", "shoreline"),
    ("long-run-downwind", "reserve-at-turnaround"),
];

fn one_mission(name: &str) -> MemoryTree {
    of_folder("plans", |path| {
        !path.ends_with(".md") && (!path.starts_with("missions/") || path.contains(name))
    })
}

#[test]
#[ignore = "slow"]
fn damaged_files_never_panic_and_never_pass_unread() {
    let trees: Vec<MemoryTree> = MISSIONS.iter().map(|(name, _)| one_mission(name)).collect();
    let drawn = (
        0..MISSIONS.len(),
        any::<Index>(),
        prop::collection::vec(damage(), 1..4),
    );
    hold(300, &drawn, |(mission, file, all)| {
        let (sound, (_, rule)) = (&trees[mission], MISSIONS[mission]);
        let mut tree = sound.clone();
        let path = tree.files.keys().nth(file.index(tree.files.len()));
        let path = path.cloned().unwrap();
        let text = all
            .iter()
            .fold(tree.files[&path].clone(), |text, one| damaged(&text, one));
        tree.files.insert(path.clone(), text);
        let outcome = check(&tree, None).map_err(|e| TestCaseError::fail(e.to_string()))?;
        for finding in &outcome.findings {
            stands(&outcome, finding.primary.span)?;
            for label in &finding.related {
                stands(&outcome, label.span)?;
            }
        }
        let status = exit_status(&outcome, Severity::Warning);
        prop_assert!(status <= 2);
        let shown = terminal(&outcome, &Settings::default());
        let bad = shown.chars().find(|c| c.is_control() && *c != '\n');
        prop_assert!(bad.is_none(), "{bad:?} on the terminal");
        prop_assert!(json(&outcome).is_ok());
        if status == 0 {
            // Then the mission was read and judged as a whole, and means something else.
            prop_assert_eq!(outcome.checked.len(), 1);
            let judged = &outcome.checked[0].judged;
            prop_assert!(judged.len() >= 20, "{}", judged.len());
            prop_assert!(judged.iter().all(|one| one.verdict <= Verdict::Holds));
            let (was, is) = (&sound.files[&path], &tree.files[&path]);
            prop_assert!(
                meaning(was) != meaning(is),
                "{rule} is not found any more, and {path} means the same"
            );
        } else if status == 1 && meaning(&sound.files[&path]) == meaning(&tree.files[&path]) {
            prop_assert!(outcome.findings.iter().any(|finding| finding.rule == rule));
        }
        Ok(())
    });
}
