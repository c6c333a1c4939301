//! `offing fmt`: files brought into form, and those that are left alone.

use std::path::Path;
use std::process::{Command, Output};

use crate::shared::copied;
use crate::shared::demo_tree::{Files, SITE, VESSEL, mission};

const ID: &str = "north-bay-lines";

fn offing(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output: Output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .unwrap();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (
        output.status.code().unwrap(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

/// A mission of the demo out of form: five slips.
fn in_a_hurry() -> Files {
    let mut files = Files::demo(&[ID]);
    let path = mission(ID);
    files.edit(&path, "spacing: 30 m", "spacing:   30m");
    files.edit(&path, "\n\nlaunch:", "\n\n\n\nlaunch:");
    files.edit(
        &path,
        "at_end: { action: hold }",
        "at_end: {action: hold}   #here",
    );
    files
}

#[test]
fn the_demo_the_start_and_the_rules_are_in_form() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (status, out, err) = offing(root, &["fmt", "--check", "plans", "docs/start", "rules"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    assert!(out.starts_with("0 files not in form, "), "{out}");
}

#[test]
fn check_lists_what_is_not_in_form_and_writes_nothing() {
    let folder = in_a_hurry().lay_out();
    let path = mission(ID);
    let before = std::fs::read_to_string(folder.path().join(&path)).unwrap();
    let (status, out, err) = offing(folder.path(), &["fmt", "--check"]);
    assert_eq!((status, err.as_str()), (1, ""));
    assert!(
        out.starts_with(&format!("not in form: {path}\n1 file not in form, ")),
        "{out}"
    );
    let after = std::fs::read_to_string(folder.path().join(&path)).unwrap();
    assert_eq!(after, before);
}

#[test]
fn what_is_laid_out_is_the_file_as_it_was_before_the_hurry() {
    let files = in_a_hurry();
    let folder = files.lay_out();
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    let path = mission(ID);
    let (status, out, err) = offing(folder.path(), &["fmt", &path]);
    assert_eq!((status, err.as_str()), (0, ""));
    assert_eq!(
        out,
        format!("laid out: {path}\n1 file laid out, 0 in form already\n")
    );
    let due = Files::demo(&[ID]);
    let due = due.text(&path).replace(
        "action: hold }\non_lost_link",
        "action: hold } # here\non_lost_link",
    );
    let read = || std::fs::read_to_string(folder.path().join(&path)).unwrap();
    assert_eq!(read(), due);
    let (status, out, _) = offing(folder.path(), &["fmt", "--check"]);
    assert!(
        status == 0 && out.starts_with("0 files not in form"),
        "{out}"
    );
    // Nothing else of the folder was touched, and nothing is left behind.
    let names: Vec<String> = std::fs::read_dir(folder.path().join("missions"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(names, [format!("{ID}.yaml")]);
}

#[test]
fn a_file_that_cannot_be_parsed_is_left_as_it_is() {
    let mut files = in_a_hurry();
    files.edit(SITE, "water: fresh", "water: [fresh");
    let folder = files.lay_out();
    let before = std::fs::read_to_string(folder.path().join(SITE)).unwrap();
    let (status, out, err) = offing(folder.path(), &["fmt"]);
    assert_eq!(status, 2);
    assert!(err.contains(&format!("offing: {SITE}:")), "{err}");
    // The others are laid out all the same.
    assert!(out.contains(&format!("laid out: {}", mission(ID))), "{out}");
    assert_eq!(
        std::fs::read_to_string(folder.path().join(SITE)).unwrap(),
        before
    );
    // Geodata and other files are none of offing's, and are recognised by name alone.
    let shoreline = "site/quenderby-shoreline.geojson";
    let (status, _, err) = offing(folder.path(), &["fmt", shoreline]);
    assert!(
        status == 2 && err.contains("none of offing's files"),
        "{err}"
    );
}

#[test]
fn records_and_what_an_approval_covers_are_left_alone() {
    let mut files = in_a_hurry();
    files.edit(VESSEL, "draft: 0.15 m", "draft: 0.15m");
    files.write(
        "missions/north-bay-lines.survey-lead.approval",
        "-----BEGIN SSH SIGNATURE-----\n",
    );
    files.write("orders/other.yaml", "kind: orders\nformat:   1\n");
    files.write("runs/one.yaml", "kind: run\nformat:   1\n");
    files.write("launches/one.yaml", "kind: launch\nformat:   1\n");
    let folder = files.lay_out();
    let (status, out, err) = offing(folder.path(), &["fmt"]);
    assert_eq!((status, err.as_str()), (0, ""));
    for line in [
        "left alone: runs/one.yaml, a record of a run\n",
        "left alone: launches/one.yaml, a launch decision\n",
        "left alone: missions/north-bay-lines.yaml, which an approval covers byte for byte\n",
        "left alone: site/quenderby.yaml, which an approval covers byte for byte\n",
        "left alone: vessels/goosander.yaml, which an approval covers byte for byte\n",
        "left alone: orders/other.yaml, which an approval covers byte for byte\n",
        "left alone: policy/team.yaml, which an approval covers byte for byte\n",
    ] {
        assert!(out.contains(line), "{line}{out}");
    }
    for path in [VESSEL, "runs/one.yaml", "launches/one.yaml"] {
        let now = std::fs::read_to_string(folder.path().join(path)).unwrap();
        assert_eq!(now, files.text(path), "{path}");
    }
}

#[test]
fn a_mission_begun_by_import_is_in_form() {
    let folder = copied::demo();
    let folder = folder.path();
    let gpx = "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><rte><name>Two lines</name>\
        <rtept lat=\"52.397\" lon=\"-24.309\"><name>launch</name></rtept>\
        <rtept lat=\"52.398\" lon=\"-24.308\"><name>first # point: \u{fc}</name></rtept>\
        <rtept lat=\"52.399\" lon=\"-24.307\"/></rte></gpx>";
    std::fs::write(folder.join("route.gpx"), gpx).unwrap();
    let (status, _, err) = offing(
        folder,
        &[
            "import",
            "route",
            "route.gpx",
            "--vessel",
            "goosander",
            "--site",
            "quenderby",
            "-o",
            "plans/missions/begun.yaml",
        ],
    );
    assert_eq!(status, 0, "{err}");
    let (status, out, err) = offing(folder, &["fmt", "--check", "plans/missions/begun.yaml"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
}

/// The demo damaged in what its form leaves open comes back as it is: blanks within and after lines, the step of
/// the indentation, blank lines, units without their blank.
#[test]
fn the_demo_comes_back_from_any_damage_to_its_form() {
    let files = Files::demo(&[ID, "dam-to-bay-transects"]);
    let mut damaged = files.clone();
    let paths = [
        SITE.to_owned(),
        VESSEL.to_owned(),
        mission(ID),
        mission("dam-to-bay-transects"),
    ];
    for path in &paths {
        let mut text = String::new();
        for (index, line) in files.text(path).lines().enumerate() {
            let words = line.trim_start_matches(' ');
            let indent = line.len() - words.len();
            // What stands below a dash stands right below what is behind it.
            let (dash, words) = match words.strip_prefix("- ") {
                Some(words) => ("-   ", words),
                None => ("", words),
            };
            let comment = words.find('#').unwrap_or(words.len());
            let (words, comment) = words.split_at(comment);
            // A blank within a text is a part of it; between brackets no text of the demo has a comma or a colon.
            let words = match words.contains(['{', '[']) {
                true => words
                    .replace("{ ", "{")
                    .replace(" }", "  }")
                    .replace(", ", ",  ")
                    .replace(": ", ":   "),
                false => words.replacen(": ", ":   ", 1),
            };
            let words = words.replace(" m/s", "m/s").replace(" %", "%");
            text.push_str(&" ".repeat(indent * 2));
            text.push_str(&format!(
                "{dash}{words}{comment}{}\n",
                ["", "  ", "\t"][index % 3]
            ));
            if line.is_empty() {
                text.push_str("\n\n");
            }
        }
        damaged.write(path, text);
    }
    let folder = damaged.lay_out();
    let (status, out, err) = offing(folder.path(), &["fmt"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
    for path in &paths {
        let now = std::fs::read_to_string(folder.path().join(path)).unwrap();
        assert_eq!(now, files.text(path), "{path}");
    }
}

/// Every YAML that a document shows, under each kind that it may be a part of.
#[test]
fn what_documents_show_is_in_form() {
    let folder = crate::shared::scratch::folder().unwrap();
    let mut shown = 0;
    for entry in walkdir::WalkDir::new("docs") {
        let path = entry.unwrap().into_path();
        if path.extension().is_none_or(|ending| ending != "md") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        for block in text.split("\n```yaml").skip(1) {
            let (info, rest) = block.split_once('\n').unwrap();
            let yaml = rest.split_once("\n```").unwrap().0;
            if info.contains("workflow") || info.contains("matrix") {
                continue;
            }
            shown += 1;
            for kind in ["mission", "site", "vessel", "policy", "rule"] {
                let whole = match yaml.starts_with("kind:") || yaml.contains("\nkind:") {
                    true => format!("{yaml}\n"),
                    false => format!("kind: {kind}\n{yaml}\n"),
                };
                std::fs::write(folder.path().join(format!("{shown}-{kind}.yaml")), whole).unwrap();
            }
        }
    }
    assert!(shown >= 10, "only {shown} blocks");
    let (status, out, err) = offing(folder.path(), &["fmt", "--check"]);
    assert_eq!((status, err.as_str()), (0, ""), "{out}");
}
