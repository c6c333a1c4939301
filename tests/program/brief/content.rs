//! What is on the page: the JSON report's numbers, nothing that acts, nothing from elsewhere.

use std::path::Path;
use std::sync::OnceLock;

use super::{demo, edited, offing, page, page_in};
use crate::shared::cases::cases;

/// The text between two others, from a place on.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    let start = text.find(from)? + from.len();
    Some(&text[start..start + text[start..].find(to)?])
}

/// Text as HTML has it between elements.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// Names between backticks as the page has them.
fn as_code(text: &str) -> String {
    let parts = text.split('`').enumerate();
    parts
        .map(|(index, part)| match index % 2 {
            0 => part.to_owned(),
            _ => format!("<code>{part}</code>"),
        })
        .collect()
}

/// The JSON report of the whole demo: a page is made of the same folder.
fn report() -> &'static serde_json::Value {
    static REPORT: OnceLock<serde_json::Value> = OnceLock::new();
    REPORT.get_or_init(|| {
        let output = offing(&["check", "plans", "--format", "json"]);
        serde_json::from_slice(&output.stdout).unwrap()
    })
}

const DEMO: [&str; 5] = [
    "north-bay-lines",
    "dam-to-bay-transects",
    "headwind-return",
    "long-run-downwind",
    "lines-across-the-wind",
];

#[test]
#[ignore = "slow"]
fn its_numbers_are_those_of_the_json_report() {
    for mission in DEMO {
        let (page, report) = (with_plain_spaces(&page(mission)), report());
        let missions = report["missions"].as_array().unwrap();
        let told = missions
            .iter()
            .find(|one| one["mission"] == mission)
            .unwrap();
        let figures = told["figures"].as_array().unwrap();
        assert!(figures.len() >= 6, "{mission}");
        for figure in figures {
            let name = figure["name"].as_str().unwrap();
            let row = between(&page, &format!("data-figure=\"{name}\">"), "</div>");
            let row = row.unwrap_or_else(|| panic!("{mission}: no {name}"));
            let value: f64 = between(row, "value=\"", "\"").unwrap().parse().unwrap();
            let wanted = figure["quantity"]["value"].as_f64().unwrap();
            assert!(
                (value - wanted).abs() <= 1e-12 * wanted.abs(),
                "{mission} {name}"
            );
            let shown = figure["quantity"]["text"].as_str().unwrap();
            assert!(
                row.contains(&format!(">{shown}</data>")),
                "{mission} {name}: {row}"
            );
        }
        // What decides is the least, as the rule measures it.
        let judged = told["judged"].as_array().unwrap();
        let mut of_rule = judged
            .iter()
            .filter(|one| one["rule"] == "reserve-at-turnaround");
        if let Some(measured) = of_rule.next().unwrap()["measured"]["value"].as_f64() {
            let row = between(&page, "data-figure=\"least_reserve\">", "</div>").unwrap();
            let shown: f64 = between(row, "value=\"", "\"").unwrap().parse().unwrap();
            assert!((shown - measured).abs() < 1e-12, "{mission}: {row}");
        }
        let findings = report["findings"].as_array().unwrap();
        for finding in findings.iter().filter(|one| one["mission"] == mission) {
            let message = as_code(&escaped(finding["message"].as_str().unwrap()));
            assert!(page.contains(&message), "{mission}: {message}");
        }
        let whole = told["digest"].as_str().unwrap();
        assert!(page.contains(&format!("<code class=\"whole\">{whole}</code>")));
        for file in told["inputs"].as_array().unwrap() {
            for field in ["path", "sha256"] {
                assert!(
                    page.contains(file[field].as_str().unwrap()),
                    "{mission}: {file}"
                );
            }
        }
        assert!(page.contains("never “safe to launch”"));
    }
}

/// A page with the spaces between numbers and units as other reports have them.
fn with_plain_spaces(page: &str) -> String {
    page.replace('\u{a0}', " ")
}

#[test]
fn no_line_ends_between_a_number_and_its_unit() {
    const UNITS: [&str; 12] = [
        "%", "m", "m/s", "min", "h", "s", "V", "W", "Ah", "Wh", "°C", "dB",
    ];
    for mission in ["north-bay-lines", "long-run-downwind"] {
        let page = page(mission);
        let mut text = String::new();
        // Neither the style sheet nor drawings, whose text does not wrap.
        let body = &page[page.find("<body").unwrap()..];
        for piece in body.split("<svg") {
            text.push_str(piece.split_once("</svg>").map_or(piece, |(_, after)| after));
        }
        let parted = text.match_indices(' ').filter(|(at, _)| {
            let number = text[..*at].ends_with(|c: char| c.is_ascii_digit());
            let mut words = text[at + 1..].split([' ', '<', ',', ';', '.', ')', ':', '&', '"']);
            number && UNITS.contains(&words.next().unwrap_or_default())
        });
        let parted: Vec<&str> = parted
            .map(|(at, _)| &text[at - 1..(at + 6).min(text.len())])
            .collect();
        assert_eq!(parted, Vec::<&str>::new(), "{mission}");
        assert!(text.contains("\u{a0}m/s"), "{mission}");
    }
}

/// The words of a page without its elements.
fn words(html: &str) -> String {
    let mut out = String::new();
    for piece in html.split('<') {
        out.push_str(piece.split_once('>').map_or(piece, |(_, text)| text));
    }
    with_plain_spaces(&out)
}

#[test]
#[ignore = "slow"]
fn whoever_acts_is_named_or_it_is_said_that_nobody_is() {
    let section = |page: &str| {
        let from = "<section class=\"contingencies\">";
        words(between(page, from, "</section>").unwrap())
    };
    let named = section(&page("adrift-above-the-weir"));
    for (what, who) in [
        ("control link lost", "remote operator: operator"),
        ("battery low", "remote operator: operator"),
        ("position lost", "remote operator: operator"),
        ("propulsion lost", "recovery crew: survey lead and second"),
        ("adrift, disabled", "recovery crew: survey lead and second"),
    ] {
        let row =
            between(&named, what, "lost").unwrap_or_else(|| named.split_once(what).unwrap().1);
        assert!(row.contains(who), "{what}: {row}");
    }
    // Each end of a drift is reported with the wind that leads to it.
    let drifts = named.split_once("adrift, disabled").unwrap().1;
    let (onto, ashore) = (": carried onto Intake tower after", ": ashore after");
    for end in [onto, ashore] {
        let before = drifts
            .split_once(end)
            .unwrap_or_else(|| panic!("{drifts}"))
            .0;
        let wind = before.rfind("wind from ").unwrap();
        assert!(
            before.len() - wind < 90 && before[wind..].contains("m/s"),
            "{drifts}"
        );
    }
    let without = edited(&[
        (
            "missions/adrift-above-the-weir.yaml",
            "team:\n  recovery_crew: survey lead and second helper, with the rowing boat\n",
            "",
        ),
        (
            "orders/from-the-dam.yaml",
            "  recovery_crew: survey lead and second helper, with the inflatable\n",
            "",
        ),
    ]);
    let unnamed = section(&page_in(without.path(), "adrift-above-the-weir"));
    assert!(unnamed.contains("recovery crew: nobody named"), "{unnamed}");
}

#[test]
#[ignore = "slow"]
fn an_item_of_the_checklist_is_told_in_words() {
    let folder = edited(&[(
        "missions/north-bay-lines.yaml",
        "manual_override:",
        "checklist:\n  - { item: stop-tried, text: Stop was tried from the jetty }\n  \
         - { item: flag-up }\nmanual_override:",
    )]);
    let page = page_in(folder.path(), "north-bay-lines");
    let list = between(&page, "<section class=\"checklist\">", "</section>").unwrap();
    let list = words(list);
    for told in [
        // The policy's words, the mission's own beside them, and an item that nobody has words for.
        "the gauge aboard is set to the capacity that was measured, and shows the charge gauge-set",
        "and the motors stood still (in the plan’s words: Stop was tried from the jetty) stop-tried",
        "its memory has room for the whole run logging-on",
        "flag-up",
    ] {
        assert!(list.contains(told), "{told}: {list}");
    }
}

#[test]
#[ignore = "slow"]
fn no_backtick_of_the_program_is_left() {
    for mission in [
        "adrift-above-the-weir",
        "north-bay-lines",
        "headwind-return",
    ] {
        let page = page(mission);
        let body = page.split_once("</style>").unwrap().1;
        let at = body
            .find('`')
            .map(|at| &body[at.saturating_sub(60)..at + 20]);
        assert_eq!(at, None, "{mission}");
    }
    assert!(page("adrift-above-the-weir").contains("the hazard <code>intake-tower</code>"));
}

#[test]
#[ignore = "slow"]
fn a_day_and_its_offset_are_said_once() {
    let page = page("north-bay-lines");
    let times = between(&page, "<section class=\"times\"", "</section>").unwrap();
    assert_eq!(times.matches("2027-06-15").count(), 1, "{times}");
    assert_eq!(times.matches("UTC").count(), 1, "{times}");
    assert!(times.contains("<dt>launch</dt><dd>09:30</dd>"), "{times}");
}

#[test]
fn the_band_has_what_is_needed_within_two_seconds() {
    let plain = |mission: &str| with_plain_spaces(&page(mission));
    let page = plain("north-bay-lines");
    let band = between(&page, "<div class=\"band\">", "<div class=\"beside\">").unwrap();
    assert_eq!(band.matches("class=\"box ").count(), 5, "{band}");
    let band = words(band);
    for told in [
        "No findings against this plan",
        "never “safe to launch”",
        // The wind planned, by hand and at 10 m; `print.rs` has the sums.
        "planned2.3 m/s gusts 3.9 m/s",
        "at 10 m: planned 3 m/s, gusts 5 m/s",
        "back by11:30",
        "alarm12:00",
        "call The reservoir keeper on duty",
        "link lost after 10 s: return, then hold",
        "adrift: carried onto Intake tower after 106 min; safety boat after 14.1 min",
    ] {
        assert!(band.contains(told), "{told}: {band}");
    }
    // The strictest reading of the table: the highest voltage, the highest gauge, the least used.
    let cells = |class: &str| -> Vec<f64> {
        let cell = format!("<td class=\"{class}\"");
        let cells = page.split(&cell).skip(1);
        let cells = cells.map(|cell| {
            words(
                cell.split_once('>')
                    .unwrap()
                    .1
                    .split("</td>")
                    .next()
                    .unwrap(),
            )
        });
        cells
            .map(|cell| cell.split(' ').next().unwrap().parse().unwrap())
            .collect()
    };
    let (volts, gauge, used) = (cells("volts"), cells("gauge"), cells("used"));
    assert!(volts.len() == 6 && gauge.len() == 6 && used.len() == 6);
    let most = |all: &[f64]| all.iter().copied().fold(f64::MIN, f64::max);
    let least = used.iter().copied().fold(f64::MAX, f64::min);
    for told in [
        format!("pack{:.1} V", most(&volts)),
        format!("gauge{:.0} %", most(&gauge)),
        format!("or used{least:.1} Ah"),
    ] {
        assert!(band.contains(&told), "{told}: {band}");
    }
    // What is late is told as late, and a limit that there is not as none.
    let late = plain("adrift-above-the-weir");
    let late = words(between(&late, "<div class=\"band\">", "<div class=\"beside\">").unwrap());
    assert!(late.contains("23.2 min too late"), "{late}");
    let none = plain("long-run-downwind");
    let none = words(between(&none, "<div class=\"band\">", "<div class=\"beside\">").unwrap());
    assert!(none.contains("limitnone fails in any wind"), "{none}");
}

#[test]
#[ignore = "slow"]
fn the_limit_for_the_planned_wind_is_the_least_that_lies_around_it() {
    // What `offing limits` has for the two directions that 255° lies between.
    let limits = offing(&[
        "limits",
        "adrift-above-the-weir",
        "--plans",
        "plans",
        "--format",
        "json",
    ]);
    let limits: serde_json::Value = serde_json::from_slice(&limits.stdout).unwrap();
    let sectors = limits["sectors"].as_array().unwrap();
    let near = sectors.iter().filter(|sector| {
        let from = sector["from_degrees"].as_f64().unwrap();
        (from - 250.0).abs() < 0.5 || (from - 260.0).abs() < 0.5
    });
    let means: Vec<f64> = near
        .map(|sector| sector["strongest"]["mean"]["value"].as_f64().unwrap())
        .collect();
    assert_eq!(means.len(), 2, "{limits}");
    let least = means.iter().copied().fold(f64::MAX, f64::min);
    let page = with_plain_spaces(&page("adrift-above-the-weir"));
    assert!(
        page.contains(&format!("limit at 10 m {least:.1} m/s")),
        "{least}"
    );
}

#[test]
#[ignore = "slow"]
fn a_figure_has_one_title_that_is_seen() {
    let page = page("north-bay-lines");
    let title = "Wind limits of north-bay-lines";
    assert!(page.contains(&format!("<figcaption>{title}</figcaption>")));
    for text in page.split("<text").skip(1) {
        assert!(!text.split("</text>").next().unwrap().contains(title));
    }
}

#[test]
#[ignore = "slow"]
fn a_verdict_says_what_stands() {
    assert!(page("north-bay-lines").contains("No findings against this plan"));
    let failing = page("headwind-return");
    assert!(failing.contains("Not fit to launch as planned") && !failing.contains("No findings"));
    assert_eq!(
        offing(&["brief", "north-bay-lines", "--plans", "plans"])
            .status
            .code(),
        Some(0)
    );
    let failing = offing(&["brief", "headwind-return", "--plans", "plans"]);
    assert_eq!(failing.status.code(), Some(1));
}

#[test]
#[ignore = "slow"]
fn it_is_the_same_every_time_and_needs_nothing_else() {
    for mission in DEMO {
        let first = page(mission);
        assert!(first == page_in(&demo(), mission), "{mission} differs");
        assert!(first.len() < 200_000, "{mission}: {} bytes", first.len());
        for reference in [
            "http:", "https:", "src=", "href=", "@import", "<script", "<link", "<iframe",
        ] {
            assert!(!first.contains(reference), "{mission}: {reference}");
        }
        // A reference within the page is all that a `url` may be.
        for target in first.split("url(").skip(1) {
            assert!(target.starts_with('#'), "{mission}: {}", &target[..20]);
        }
        let ids: Vec<&str> = first
            .split(" id=\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap())
            .collect();
        let mut once = ids.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), ids.len(), "{mission}: an id is there twice");
    }
}

#[test]
#[ignore = "slow"]
fn text_that_means_harm_is_only_text() {
    const MISSION: &str = "missions/north-bay-lines.yaml";
    let harm = "</style></svg><script>alert(1)</script><img src=x onerror=alert(2)> \\u202egnirts\\u202c \\u0007";
    let quoted = format!("purpose: \"{harm}\"");
    let folder = edited(&[
        (
            MISSION,
            "purpose: Depth of the silt in the north bay, one line every 30 m.",
            &quoted,
        ),
        (
            MISSION,
            "title: Sounding lines in the north bay",
            &format!("title: \"{harm}\""),
        ),
        (
            MISSION,
            "person_in_charge: survey lead",
            &format!("person_in_charge: \"{harm}\""),
        ),
        (
            "site/quenderby.yaml",
            "title: Row of fishing-boat moorings on the west side of the north bay",
            &format!("title: \"{harm}\""),
        ),
        (
            "site/quenderby.yaml",
            "datum: the crest of the spillway",
            &format!("datum: \"{harm}\""),
        ),
    ]);
    let page = page_in(folder.path(), "north-bay-lines");
    assert!(page.contains("&lt;script&gt;alert(1)"), "it is shown");
    for live in ["<script", "<img", "\u{202e}", "\u{7}", "onerror=alert(2)>"] {
        assert!(!page.contains(live), "{live:?}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(
        page.contains("\\u{202e}"),
        "what would turn text round is visible"
    );
}

#[test]
#[ignore = "slow"]
fn a_long_text_does_not_make_a_long_page() {
    let long = format!("purpose: {}", "word ".repeat(390));
    let folder = edited(&[(
        "missions/north-bay-lines.yaml",
        "purpose: Depth of the silt in the north bay, one line every 30 m.",
        &long,
    )]);
    let page = page_in(folder.path(), "north-bay-lines");
    assert!(page.contains("word…") && page.len() < 200_000);
}

#[test]
#[ignore = "slow"]
fn a_shoreline_of_very_many_points_makes_a_page_below_a_megabyte() {
    // The demo's shoreline, each edge cut into many that go slightly to and fro.
    let folder = edited(&[]);
    let path = folder.path().join("site/quenderby-shoreline.geojson");
    let mut shore: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
    let mut points = 0;
    roughen(&mut shore, &mut points);
    assert!(points > cases(20_000, 100_000), "{points}");
    std::fs::write(&path, shore.to_string()).unwrap();
    let page = page_in(folder.path(), "north-bay-lines");
    assert!(page.len() < 1_000_000, "{} bytes", page.len());
}

fn roughen(value: &mut serde_json::Value, points: &mut usize) {
    let pieces = cases(120, 600);
    let Some(object) = value.as_object_mut() else {
        value
            .as_array_mut()
            .into_iter()
            .flatten()
            .for_each(|one| roughen(one, points));
        return;
    };
    let is_polygon = object.get("type").is_some_and(|kind| kind == "Polygon");
    if !is_polygon {
        object.values_mut().for_each(|one| roughen(one, points));
        return;
    }
    for ring in object["coordinates"].as_array_mut().unwrap() {
        let corners: Vec<[f64; 2]> = serde_json::from_value(ring.clone()).unwrap();
        let mut rough = Vec::new();
        for pair in corners.windows(2) {
            for piece in 0..pieces {
                let share = piece as f64 / pieces as f64;
                // A hundred-millionth of a degree is a millimetre.
                let off = if piece % 2 == 1 { 2e-8 } else { 0.0 };
                let at = |axis: usize| pair[0][axis] + share * (pair[1][axis] - pair[0][axis]);
                rough.push([at(0) + off, at(1)]);
            }
        }
        *points += rough.len();
        rough.push(rough[0]);
        *ring = serde_json::to_value(rough).unwrap();
    }
}

#[test]
#[ignore = "slow"]
fn what_cannot_be_asked_is_told() {
    let told = |arguments: &[&str]| {
        let output = offing(arguments);
        let text = String::from_utf8_lossy(&output.stderr).into_owned();
        (
            output.status.code().unwrap(),
            text,
            output.stdout.is_empty(),
        )
    };
    let (status, text, silent) = told(&["brief", "north-bay-line", "--plans", "plans"]);
    assert_eq!((status, silent), (64, true));
    assert!(text.contains("did you mean `north-bay-lines`?"), "{text}");
    let (status, text, _) = told(&["brief", "north-bay-lines", "--plans", "nowhere"]);
    assert_eq!(status, 2);
    assert!(text.contains("nowhere"), "{text}");
    let (status, text, _) = told(&[
        "brief",
        "north-bay-lines",
        "--plans",
        "plans",
        "-o",
        "no/such/folder/x.html",
    ]);
    assert_eq!(status, 74);
    assert!(text.contains("no/such/folder/x.html"), "{text}");
    let (status, _, _) = told(&["brief"]);
    assert_eq!(status, 64);
    let broken = edited(&[(
        "missions/north-bay-lines.yaml",
        "charge_at_launch: 95 %",
        "charge_at_launch: 95 V",
    )]);
    let (status, text, silent) = told(&[
        "brief",
        "north-bay-lines",
        "--plans",
        broken.path().to_str().unwrap(),
    ]);
    assert_eq!((status, silent), (2, true), "{text}");
}

#[test]
#[ignore = "slow"]
fn a_page_is_written_whole_into_its_file() {
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("brief.html");
    let output = offing(&[
        "brief",
        "plans/missions/nowhere.yaml",
        "--plans",
        "plans",
        "-o",
        file.to_str().unwrap(),
    ]);
    assert_eq!(output.status.code(), Some(64));
    assert!(!Path::exists(&file));
    let output = offing(&[
        "brief",
        "north-bay-lines",
        "--plans",
        "plans",
        "-o",
        file.to_str().unwrap(),
    ]);
    assert!(output.stdout.is_empty());
    let whole = std::fs::read_to_string(&file).unwrap() == page("north-bay-lines");
    assert!(whole, "the file is what goes to the standard output");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}
