//! The picture at the top of the README: the map that the program draws of a mission of the demo with the
//! finding below it, once for light pages and once for dark ones.

use std::fmt::Write as _;
use std::process::Command;

use serde_json::Value as Json;

use super::{root, text_of};

const MISSION: &str = "plans/missions/past-the-island.yaml";
const LIGHT: &str = "docs/figures/past-the-island-light.svg";
const DARK: &str = "docs/figures/past-the-island-dark.svg";

/// Room below the map, the height of a line, and the letters on one, in units of the drawing.
const BELOW: f64 = 76.0;
const LINE: f64 = 15.0;
const LETTERS: usize = 62;

fn run(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap()
}

/// The map as the program writes it, and the rule and the sentence of the mission's one error.
fn drawn() -> (String, String, String) {
    let folder = crate::shared::scratch::folder().unwrap();
    let to = folder.path().to_str().unwrap();
    let report = run(&["check", MISSION, "--figures", to, "--format", "json"]);
    let report: Json = serde_json::from_str(&report).unwrap();
    let findings = report["findings"].as_array().unwrap();
    let [finding] = findings.as_slice() else {
        panic!("{MISSION} has {} findings", findings.len());
    };
    let words = |key: &str| finding[key].as_str().unwrap().to_owned();
    let map = folder.path().join("past-the-island/map.svg");
    let map = std::fs::read_to_string(map).unwrap();
    (map, words("rule"), words("message"))
}

/// What stands between two texts, the first of each.
fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("no {from}"));
    rest.split_once(to).unwrap_or_else(|| panic!("no {to}")).0
}

/// The style sheet with one palette, by day or by night, whatever the reader's system says: the page
/// chooses between two files.
fn one_palette(style: &str, night: bool) -> String {
    let day = between(style, ":root{color-scheme:light dark;", "}");
    let dark = between(style, "@media (prefers-color-scheme:dark){:root{", "}}");
    let (_, printed) = style.split_once("@media print{").unwrap();
    let (_, classes) = printed.split_once("}}").unwrap();
    format!(":root{{{}}}{classes}", if night { dark } else { day })
}

fn wrapped(sentence: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in sentence.split_whitespace() {
        let line = lines.last_mut().unwrap();
        if line.chars().count() + 1 + word.chars().count() > LETTERS && !line.is_empty() {
            lines.push(word.to_owned());
        } else {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}

/// The picture from the program's own map: taller by the room for the finding.
fn picture(night: bool) -> String {
    let (map, rule, sentence) = drawn();
    let style = between(&map, "<style>", "</style>");
    let mut svg = map.replacen(style, &format!("\n{}\n", one_palette(style, night)), 1);
    let shown = between(&map, "viewBox=\"", "\"").to_owned();
    let numbers: Vec<f64> = shown.split(' ').map(|n| n.parse().unwrap()).collect();
    let [left, top, width, height] = numbers.as_slice() else {
        panic!("{shown}");
    };
    let taller = height + BELOW;
    let grown = format!("viewBox=\"{left} {top} {width} {taller:.1}\"");
    svg = svg.replacen(&format!("viewBox=\"{shown}\""), &grown, 1);
    let tall = between(&map, " height=\"", "\"");
    let grown = format!(" height=\"{:.1}\"", 2.0 * taller);
    svg = svg.replacen(&format!(" height=\"{tall}\""), &grown, 1);
    let floor = top + height;
    let mut below = format!(
        "<rect class=\"paper\" height=\"{:.1}\" width=\"{width}\" x=\"0\" y=\"{:.1}\"/>\n\
         <text class=\"strong danger\" x=\"8\" y=\"{:.1}\">error[{rule}]</text>\n",
        BELOW + 1.0,
        floor - 1.0,
        floor + LINE
    );
    for (number, line) in wrapped(&sentence).iter().enumerate() {
        let y = floor + LINE * (number as f64 + 2.0);
        assert!(!line.contains(['<', '&']), "{line}");
        writeln!(
            below,
            "<text class=\"small\" x=\"8\" y=\"{y:.1}\">{line}</text>"
        )
        .unwrap();
        assert!(y < floor + BELOW, "the finding takes more room");
    }
    let (drawing, _) = svg.rsplit_once("</svg>").unwrap();
    format!("{drawing}{below}</svg>\n")
}

#[test]
#[ignore = "slow"]
fn the_picture_of_the_readme_is_what_the_program_draws() {
    for (path, night) in [(LIGHT, false), (DARK, true)] {
        let made = picture(night);
        if std::env::var_os("OFFING_UPDATE_DOCS").is_some() {
            std::fs::write(root().join(path), &made).unwrap();
        }
        assert!(
            std::fs::read_to_string(root().join(path)).is_ok_and(|kept| kept == made),
            "{path} is stale: OFFING_UPDATE_DOCS=1 makes it again"
        );
    }
}

/// Light and dark pages get their own file, and whoever sees neither has words.
#[test]
fn the_readme_shows_it_by_day_and_by_night() {
    let readme = text_of("README.md");
    let shown = between(&readme, "<picture>", "</picture>");
    let dark = format!("<source media=\"(prefers-color-scheme: dark)\" srcset=\"{DARK}\">");
    assert!(shown.contains(&dark), "{shown}");
    assert!(shown.contains(&format!("src=\"{LIGHT}\"")), "{shown}");
    assert!(between(shown, "alt=\"", "\"").len() > 40, "{shown}");
}
