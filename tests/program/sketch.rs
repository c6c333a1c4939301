//! Sketches in the Markdown reports of the demo.

use std::process::Command;

#[test]
fn a_demo_mission_and_what_was_found_in_it() {
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(["check", "plans/missions/adrift-above-the-weir.yaml"])
        .args(["--format", "markdown"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let (_, sketch) = text.split_once("<details><summary>Sketch").unwrap();
    let (sketch, _) = sketch.split_once("</details>").unwrap();
    insta::assert_snapshot!(sketch);
}
