//! Figures as files, and their links.

use super::{edited, offing, page};

#[test]
fn the_files_are_the_figures_of_the_page() {
    let folder = crate::shared::scratch::folder().unwrap();
    let (figures, report) = (
        folder.path().join("out/figures"),
        folder.path().join("out/report.md"),
    );
    std::fs::create_dir(folder.path().join("out")).unwrap();
    let markdown = format!("--format=markdown={}", report.display());
    let output = offing(&[
        "check",
        "plans/missions/north-bay-lines.yaml",
        "--figures",
        figures.to_str().unwrap(),
        &markdown,
    ]);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = std::fs::read_to_string(&report).unwrap();
    let page = page("north-bay-lines");
    for id in ["map", "battery", "link-margin", "depth", "wind-angle"] {
        let link = format!("(figures/north-bay-lines/{id}.svg)");
        assert!(text.contains(&link), "{link} in {text}");
        let file =
            std::fs::read_to_string(figures.join(format!("north-bay-lines/{id}.svg"))).unwrap();
        assert!(
            file.starts_with("<svg ") && file.ends_with("</svg>\n"),
            "{id}"
        );
        assert!(file.contains("<style>") && file.contains("xmlns=\"http://www.w3.org/2000/svg\""));
        // The page has the same drawing: what follows the title is alike. The legend of its map is text.
        let after = |text: &str| {
            let from = text.find(&format!("id=\"{id}-desc\"")).unwrap();
            let drawn = &text[from..];
            let until = drawn.find("</svg>").unwrap();
            let last = drawn[..until].rfind("<text").unwrap();
            drawn[last..until].to_owned()
        };
        if id == "map" {
            let frame = |text: &str| {
                let from = text
                    .find("class=\"coverage\"")
                    .or(text.find("class=\"route\""))
                    .unwrap();
                let drawn = &text[from..];
                drawn[..drawn.find("class=\"frame\"").unwrap()].to_owned()
            };
            assert_eq!(frame(&file), frame(&page), "{id}");
            assert!(file.contains("return leg") && page.contains("return leg"));
        } else {
            assert_eq!(after(&file), after(&page), "{id}");
        }
        // Outside of the page it says itself what it is, in words that are seen.
        let seen: Vec<&str> = file
            .split("<text")
            .skip(1)
            .filter_map(|text| text.split_once('>')?.1.split_once("</text>"))
            .map(|(words, _)| words.trim())
            .collect();
        let title = file.split_once("-title\">").unwrap().1;
        let title = title.split_once("</title>").unwrap().0.trim();
        assert!(title.len() > 8, "{title}");
        assert_eq!(seen[..2], [title, "mission north-bay-lines"], "{id}");
    }
    // Nothing half-written is left beside them.
    let names = std::fs::read_dir(figures.join("north-bay-lines")).unwrap();
    assert_eq!(names.count(), 5);
}

#[test]
#[ignore = "slow"]
fn a_figure_that_is_no_longer_drawn_is_taken_away() {
    let folder = crate::shared::scratch::folder().unwrap();
    let out = folder.path().join("figures");
    let soundings = "soundings: # invented too: a valley that deepens towards the dam\n  file: quenderby-soundings.geojson\n  datum: the crest of the spillway\n  surveyed: 2026-09-10\n  error: 0.2 m\n  longest_edge: 100 m\n";
    let file = out.join("north-bay-lines/depth.svg");
    let draw = |plans: &str| {
        let output = offing(&["check", plans, "--figures", out.to_str().unwrap()]);
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
    };
    draw("plans");
    assert!(file.exists());
    let unsounded = edited(&[
        ("site/quenderby.yaml", soundings, ""),
        ("site/quenderby.yaml", "    depth: 1.1 m\n", ""),
    ]);
    draw(unsounded.path().to_str().unwrap());
    assert!(!file.exists());
}

#[test]
fn a_folder_that_cannot_be_written_is_told() {
    let folder = crate::shared::scratch::folder().unwrap();
    let taken = folder.path().join("taken");
    std::fs::write(&taken, "a file").unwrap();
    let output = offing(&[
        "check",
        "plans/missions/north-bay-lines.yaml",
        "--figures",
        taken.to_str().unwrap(),
    ]);
    assert_eq!(output.status.code(), Some(74));
    assert!(String::from_utf8_lossy(&output.stderr).contains("taken"));
}

#[test]
fn a_review_draws_the_missions_that_a_change_bears_on() {
    let folder = edited(&[]);
    let git = |arguments: &[&str]| {
        let output = std::process::Command::new("git")
            .args(["-c", "user.name=t", "-c", "user.email=t@example.com"])
            .args(["-c", "commit.gpgsign=false", "-C"])
            .arg(folder.path())
            .args(arguments)
            .output()
            .unwrap();
        assert!(output.status.success(), "git {arguments:?}");
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    };
    git(&["init", "--quiet"]);
    git(&["add", "--all"]);
    git(&["commit", "--quiet", "--message", "first"]);
    let base = git(&["rev-parse", "HEAD"]);
    let mission = folder.path().join("missions/north-bay-lines.yaml");
    let text = std::fs::read_to_string(&mission).unwrap();
    let before = "charge_at_launch: 95 %";
    assert!(text.contains(before));
    std::fs::write(&mission, text.replace(before, "charge_at_launch: 94 %")).unwrap();
    let out = crate::shared::scratch::folder().unwrap();
    let figures = out.path().join("figures");
    let report = out.path().join("review.md");
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(["review", &base, "--figures"])
        .arg(&figures)
        .arg(format!("--format=markdown={}", report.display()))
        .current_dir(folder.path())
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{told}");
    let drawn = std::fs::read_dir(&figures).unwrap();
    let drawn: Vec<_> = drawn.map(|one| one.unwrap().file_name()).collect();
    assert_eq!(
        drawn,
        ["north-bay-lines"],
        "only the mission that is changed"
    );
    let text = std::fs::read_to_string(&report).unwrap();
    for id in ["map", "battery", "link-margin", "depth", "wind-angle"] {
        let file = format!("north-bay-lines/{id}.svg");
        let svg = std::fs::read_to_string(figures.join(&file)).unwrap();
        assert!(
            svg.starts_with("<svg ") && svg.ends_with("</svg>\n"),
            "{id}"
        );
        assert!(text.contains(&format!("(figures/{file})")), "{id}: {text}");
    }
}
